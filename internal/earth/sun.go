package earth

import (
	"math"
	"time"

	"example.com/legclock/internal/angle"
)

// Altitudes of the sun's centre that define the events: its upper limb on a sea-level horizon with 34' of refraction and 16' of
// radius; and civil twilight, the limit of night in ICAO Annex 2 and 14 CFR 1.1.
const (
	sunriseAltitude       = -50.0 / 60
	civilTwilightAltitude = -6.0
)

// SunEvent is a moment of the solar day.
type SunEvent struct {
	At     time.Time // UTC, to the second; zero if the event does not occur
	Occurs bool
	// StaysAbove has a meaning if the event does not occur: true if the sun is already above that event's horizon when the
	// day begins (dawn, sunrise) or still above it when the day ends (sunset, dusk), false if it is below.
	StaysAbove bool
}

// SunDay is one solar day at one place: from a solar midnight to the next.
type SunDay struct {
	Begins, Ends time.Time // UTC; a day ends as the next begins

	CivilDawn, Sunrise, Transit, Sunset, CivilDusk SunEvent

	NoonAltitude     float64 // degrees, at the transit
	MidnightAltitude float64 // degrees, at the end of the day
}

// Sun returns the solar day whose transit falls on a calendar date, by local mean time: the date is that of localDay as it
// stands, whatever its time and zone. Sunrise and sunset by UTC may then fall on the date before or after.
//
// Times are right to some seconds (the atmosphere, in life, makes it a minute or two), worse only where the sun grazes the horizon.
func Sun(p Position, localDay time.Time) SunDay {
	year, month, day := localDay.Date()
	return newSunPlace(p).day(daysSinceEpoch(time.Date(year, month, day, 12, 0, 0, 0, time.UTC)))
}

// SunAround returns the solar day that contains a moment: Begins ≤ at < Ends.
func SunAround(p Position, at time.Time) SunDay {
	place := newSunPlace(p)
	number := math.Round(daysSinceEpoch(at) + place.meanTime)
	day := place.day(number)
	switch { // the sun runs up to a quarter of an hour ahead of or behind mean time
	case at.Before(day.Begins):
		return place.day(number - 1)
	case !at.Before(day.Ends):
		return place.day(number + 1)
	}
	return day
}

// SunAltitude returns the altitude of the sun's centre in degrees, without refraction and as from the earth's centre
// (parallax, at most 0.0025°, is left out).
func SunAltitude(p Position, at time.Time) float64 {
	return angle.Degrees(math.Asin(newSunPlace(p).sinAltitude(daysSinceEpoch(at))))
}

// sunEpoch is J2000.0; inside the sums a time is a number of days from it.
var sunEpoch = time.Date(2000, time.January, 1, 12, 0, 0, 0, time.UTC)

func daysSinceEpoch(at time.Time) float64 { return at.Sub(sunEpoch).Hours() / 24 }

func atDays(days float64) time.Time {
	return sunEpoch.Add(time.Duration(math.Round(days*86400)) * time.Second)
}

// earthVector is a direction in the frame that turns with the earth: towards latitude 0 longitude 0, latitude 0 longitude 90° east,
// and the north pole.
type earthVector struct{ prime, east, pole float64 }

// sunDirection is the direction from the earth's centre to the sun.
//
// J. Meeus, Astronomical Algorithms (2nd ed. 1998), chapters 12, 22 and 25, "low accuracy": within 0.01° for some decades about 2000.
// Universal time stands in for dynamical time (about 70 s, 0.001°).
func sunDirection(days float64) earthVector {
	centuries := days / 36525
	meanLongitude := 280.46646 + centuries*(36000.76983+centuries*0.0003032)
	anomaly := unitRadians(angle.Radians(357.52911 + centuries*(35999.05029-centuries*0.0001537)))
	twice := anomaly.plus(anomaly)
	centre := (1.914602-centuries*(0.004817+centuries*0.000014))*anomaly.sin +
		(0.019993-centuries*0.000101)*twice.sin +
		0.000289*twice.plus(anomaly).sin

	const aberration = -0.00569
	node := unitRadians(angle.Radians(125.04 - 1934.136*centuries))
	nutation := -0.00478 * node.sin
	longitude := unitRadians(angle.Radians(meanLongitude + centre + aberration + nutation))
	obliquity := unitRadians(angle.Radians(23.4392911 - 0.0130042*centuries + 0.00256*node.cos))
	sidereal := unitRadians(angle.Radians(280.46061837 + 360.98564736629*days + nutation*obliquity.cos))

	equinox, solstice := longitude.cos, obliquity.cos*longitude.sin
	return earthVector{
		prime: equinox*sidereal.cos + solstice*sidereal.sin,
		east:  solstice*sidereal.cos - equinox*sidereal.sin,
		pole:  obliquity.sin * longitude.sin,
	}
}
