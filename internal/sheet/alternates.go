package sheet

import (
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// Alternate is the way from overhead the destination straight to an alternate, at cruise on the last leg's level.
type Alternate struct {
	plan.Point
	DistanceNM      float64
	HeadingMagnetic float64 // at mid-way
	Minutes         float64
	Fuel            float64
	ETA             time.Time // after the planned arrival
}

// alternate is the ident of the one that fuel is kept for; empty when there is none.
func (s *Sheet) alternate() string {
	if s.Plan.Fuel.Alternate == "" && len(s.Plan.Route.Alternates) > 0 {
		return s.Plan.Route.Alternates[0]
	}
	return s.Plan.Fuel.Alternate
}

// alternates finds the way to every alternate that can be reached in the forecast, and the end of the day at the destination and at each
// of them for the planned time of arrival there.
func (s *Sheet) alternates(cruiseFlow float64) {
	destination := s.Route.Destination()
	s.Daylight = append(s.Daylight, DaylightAt(destination, s.Arrival()))
	for _, ident := range s.Plan.Route.Alternates {
		point, ok := s.Plan.Point(ident)
		if !ok || ident == destination.Ident {
			continue
		}
		way, err := s.alternateWay(point)
		if err != nil {
			continue
		}
		way.ETA, way.Fuel = after(s.Arrival(), way.Minutes), fuel.Burned(way.Minutes, cruiseFlow)
		s.Alternates = append(s.Alternates, way)
		s.Daylight = append(s.Daylight, DaylightAt(point, way.ETA))
	}
}

// alternateWay is the way to an alternate but for its fuel and ETA.
func (s *Sheet) alternateWay(alternate plan.Point) (Alternate, error) {
	last := s.Route.Legs[len(s.Route.Legs)-1]
	route, err := s.Route.Direct(last.To.At, last.AltitudeFt, alternate, last.Level)
	if err != nil {
		return Alternate{}, err
	}
	leg := route.Legs[0]
	way := Alternate{Point: alternate, DistanceNM: leg.DistanceNM}
	k := newReckoner(route, Start{}, s.Air, layerFt, len(route.Legs)-1)
	for _, track := range leg.Tracks {
		piece, _, err := k.through(Cruise, 0, track, last.AltitudeFt)
		if err != nil {
			return Alternate{}, err
		}
		way.Minutes += deadreckon.Minutes(track.ToNM-track.FromNM, piece.Heading.GroundspeedKt)
	}
	piece, _, err := k.through(Cruise, 0, Track{TrackTrue: leg.TrackTrue}, last.AltitudeFt)
	way.HeadingMagnetic = deadreckon.MagneticFromTrue(piece.Heading.HeadingTrue, leg.Variation)
	return way, err
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
