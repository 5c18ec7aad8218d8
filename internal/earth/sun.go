package earth

import (
	"math"
	"time"

	"example.com/legclock/internal/angle"
)

// Altitudes of the sun's centre that define the events, in degrees: its upper limb on a sea-level horizon with 34' of refraction and 16' of
// radius; and civil twilight, the limit of night in ICAO Annex 2 and 14 CFR 1.1.
const (
	SunriseAltitude       = -50.0 / 60
	CivilTwilightAltitude = -6.0
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

// sunPlace is a place from which the sun is seen.
type sunPlace struct {
	longitude float64
	meanTime  float64 // local mean time less universal time, days
	up        earthVector
}

func newSunPlace(p Position) sunPlace {
	latitude, longitude := unitDegrees(p.Lat), unitDegrees(p.Lon)
	return sunPlace{
		longitude: p.Lon,
		meanTime:  p.Lon / 360,
		up:        earthVector{latitude.cos * longitude.cos, latitude.cos * longitude.sin, latitude.sin},
	}
}

func (s sunPlace) sinAltitude(days float64) float64 {
	sun := sunDirection(days)
	return s.up.prime*sun.prime + s.up.east*sun.east + s.up.pole*sun.pole
}

// whenHourAngle is the moment, near another, at which the sun has a local hour angle in degrees.
func (s sunPlace) whenHourAngle(hourAngle, near float64) float64 {
	const rounds = 3
	for range rounds {
		sun := sunDirection(near)
		now := s.longitude - angle.Direction(sun.prime, sun.east)
		near += angle.Turn(now, hourAngle) / 360
	}
	return near
}

// sunSample is the sine of the sun's altitude at a moment of a solar day.
type sunSample struct{ days, sinAltitude float64 }

// day returns the solar day of a number: the epoch being a noon, local mean noons have whole numbers of days.
//
// The altitude is sampled about every hour, with the transit and both midnights among the samples; an event lies between the
// two samples that it parts. That way the day needs no special cases near the poles.
func (s sunPlace) day(number float64) SunDay {
	const perHalfDay = 12
	begins := s.whenHourAngle(180, number-0.5-s.meanTime)
	transit := s.whenHourAngle(0, number-s.meanTime)
	ends := s.whenHourAngle(180, number+0.5-s.meanTime)

	var samples [2*perHalfDay + 1]sunSample
	for i := range samples {
		days := begins + (transit-begins)*float64(i)/perHalfDay
		if i >= perHalfDay {
			days = transit + (ends-transit)*float64(i-perHalfDay)/perHalfDay
		}
		samples[i] = sunSample{days, s.sinAltitude(days)}
	}
	altitude := func(sample int) float64 { return angle.Degrees(math.Asin(samples[sample].sinAltitude)) }
	return SunDay{
		Begins: atDays(begins), Ends: atDays(ends),
		CivilDawn:        s.rising(samples[:], angle.Sin(CivilTwilightAltitude)),
		Sunrise:          s.rising(samples[:], angle.Sin(SunriseAltitude)),
		Transit:          SunEvent{At: atDays(transit), Occurs: true},
		Sunset:           s.setting(samples[:], angle.Sin(SunriseAltitude)),
		CivilDusk:        s.setting(samples[:], angle.Sin(CivilTwilightAltitude)),
		NoonAltitude:     altitude(perHalfDay),
		MidnightAltitude: altitude(len(samples) - 1),
	}
}

// rising is the first time that the sun climbs to an altitude.
func (s sunPlace) rising(samples []sunSample, sinAltitude float64) SunEvent {
	for i := 1; i < len(samples); i++ {
		if samples[i-1].sinAltitude < sinAltitude && samples[i].sinAltitude >= sinAltitude {
			return s.crossing(samples[i-1].days, samples[i].days, sinAltitude)
		}
	}
	return SunEvent{StaysAbove: samples[0].sinAltitude >= sinAltitude}
}

// setting is the last time that the sun sinks below an altitude.
func (s sunPlace) setting(samples []sunSample, sinAltitude float64) SunEvent {
	for i := len(samples) - 1; i > 0; i-- {
		if samples[i-1].sinAltitude >= sinAltitude && samples[i].sinAltitude < sinAltitude {
			return s.crossing(samples[i].days, samples[i-1].days, sinAltitude)
		}
	}
	return SunEvent{StaysAbove: samples[len(samples)-1].sinAltitude >= sinAltitude}
}

// crossing halves the time between a moment below an altitude and one above it, down to a fraction of a second.
func (s sunPlace) crossing(below, above, sinAltitude float64) SunEvent {
	const accuracy = 0.1 / 86400
	for math.Abs(above-below) > accuracy {
		middle := (below + above) / 2
		if s.sinAltitude(middle) < sinAltitude {
			below = middle
		} else {
			above = middle
		}
	}
	return SunEvent{At: atDays(above), Occurs: true}
}
