package sheet

import (
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
)

// daylight finds the end of the day at the destination and at every alternate, for the planned time of arrival there.
func (s *Sheet) daylight() {
	s.Daylight = append(s.Daylight, DaylightAt(s.Route.Destination(), s.Arrival()))
	for _, ident := range s.Plan.Route.Alternates {
		alternate, ok := s.Plan.Point(ident)
		if !ok {
			continue
		}
		if minutes, err := s.minutesToAlternate(alternate); err == nil {
			s.Daylight = append(s.Daylight, DaylightAt(alternate, after(s.Arrival(), minutes)))
		}
	}
}

// DaylightAt is the end of the day at a point for an arrival there: sunset and dusk of the solar day in which the arrival falls or,
// when that is before sunrise, of the one before.
func DaylightAt(point plan.Point, arrival time.Time) Daylight {
	day := earth.SunAround(point.At, arrival)
	daylight := Daylight{
		Ident: point.Ident, Arrival: arrival,
		SunDown: isDown(day.Sunrise, day.Sunset, arrival),
		Night:   isDown(day.CivilDawn, day.CivilDusk, arrival),
	}
	if day.Sunrise.Occurs && arrival.Before(day.Sunrise.At) {
		day = earth.SunAround(point.At, day.Begins.Add(-time.Minute))
	}
	if day.Sunset.Occurs {
		daylight.Sunset = &day.Sunset.At
	}
	if day.CivilDusk.Occurs {
		daylight.CivilTwilightEnd = &day.CivilDusk.At
	}
	return daylight
}

// isDown reports whether the sun stands below the horizon that it rises above and sets below on a solar day.
func isDown(rising, setting earth.SunEvent, at time.Time) bool {
	switch {
	case rising.Occurs && at.Before(rising.At):
		return true
	case setting.Occurs:
		return !at.Before(setting.At)
	case rising.Occurs:
		return false
	}
	return !setting.StaysAbove
}
