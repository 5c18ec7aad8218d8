package debrief

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
)

// leastTurnDeg is the turn from which its lateness can be told from the way a heading wanders. Common practice, no source.
const leastTurnDeg = 20.0

// causes fills in why a leg went as it did: when the turn onto it was made and what that cost, what the wind found explains, and how far
// from it the aircraft really was, where that is known.
func (m making) causes(leg *Leg, row flight.RoutePoint, seen legSeen) {
	if seen.StartedAt == nil || row.Actual == nil || leg.Diversion {
		return
	}
	path := within(m.way, *seen.StartedAt, *row.Actual)
	m.flownOff(leg, path)
	m.held(leg, path)
	m.airborneWind(leg, seen, path, *row.Actual)
	if leg.Index > 0 && sameTime(seen.StartedAt, m.startOf(leg.Index)) {
		m.turn(leg, *seen.StartedAt, *row.Actual, path)
	}
	if leg.Wind != nil && leg.PlannedMinutes != nil {
		planned := m.log.Sheet.Legs[leg.Index]
		found, err := deadreckon.HeadingFor(planned.TrackTrue, planned.TASKt, air.Wind{FromTrue: leg.Wind.FromTrue, SpeedKt: leg.Wind.SpeedKt})
		if err == nil && planned.GroundspeedKt > 0 {
			leg.WindMinutes = finite(leg.DistanceNM * 60 * (1/found.GroundspeedKt - 1/planned.GroundspeedKt))
		}
	}
}

// startOf is when the start of a leg was passed; nil when it was not logged.
func (m making) startOf(leg int) *time.Time {
	for _, row := range m.last.Route {
		if !row.Checkpoint && row.Leg == leg-1 {
			return row.Actual
		}
	}
	return nil
}

// flownOff is the farthest that the aircraft was from a leg, between its ends.
func (m making) flownOff(leg *Leg, path []feed.Sample) {
	line := m.log.Sheet.Route.Legs[leg.Index].Line
	for _, place := range path {
		along, right := line.Abeam(place.At)
		if along < 0 || along > leg.DistanceNM {
			continue
		}
		if leg.FlownOffTrackNM == nil || math.Abs(right) > math.Abs(*leg.FlownOffTrackNM) {
			leg.FlownOffTrackNM, leg.FlownOffTrackAt = finite(right), ref(place.Time)
		}
	}
}

// turn is how long after the leg's start the aircraft was half-way round from the track before to the new one: by its path where that is
// known, by the headings that the pilot said to steer else.
func (m making) turn(leg *Leg, from, to time.Time, path []feed.Sample) {
	before, now := m.log.Sheet.Legs[leg.Index-1], m.log.Sheet.Legs[leg.Index]
	turned := angle.Turn(before.TrackTrue, now.TrackTrue)
	if math.Abs(turned) < leastTurnDeg {
		return
	}
	rounded := func(degrees, old, new float64) bool {
		return math.Abs(angle.Turn(degrees, new)) < math.Abs(angle.Turn(degrees, old))
	}
	var at *time.Time
	switch {
	case len(path) > 1:
		leg.TurnBy = "track"
		for i := range len(path) - 1 {
			way := earth.Inverse(path[i].At, path[i+1].At)
			if way.DistanceNM > 0.02 && rounded(way.AzimuthStart, before.TrackTrue, now.TrackTrue) {
				at = ref(path[i].Time)
				break
			}
		}
	default:
		leg.TurnBy = "heading"
		old := false
		for _, r := range m.entries {
			if r.Act != flight.Steering || r.Heading == nil || r.T.After(to) {
				continue
			}
			if isNew := rounded(*r.Heading, before.HeadingMagnetic, now.HeadingMagnetic); r.T.Before(from) {
				old = !isNew
			} else if isNew && old {
				at, old = ref(r.T), false
			}
		}
	}
	if at == nil {
		leg.TurnBy = ""
		return
	}
	late := math.Max(0, at.Sub(from).Seconds())
	leg.TurnDegrees, leg.TurnLateSeconds = finite(turned), finite(late)
	// Going on for x along the old track and then straight to the leg's end costs x + √(x² + l² − 2xl cos θ) − l: the law of cosines. The old
	// track goes away from the new one by x sin θ, by x where it goes back.
	speed := now.GroundspeedKt
	if leg.ActualGroundspeedKt != nil {
		speed = *leg.ActualGroundspeedKt
	}
	x, l := speed*late/3600, leg.DistanceNM
	rest := math.Sqrt(math.Max(0, x*x+l*l-2*x*l*angle.Cos(turned)))
	if speed > 0 {
		leg.TurnCostMinutes = finite((x + rest - l) / speed * 60)
	}
	off := x * math.Abs(angle.Sin(turned))
	if math.Abs(turned) > 90 {
		off = x
	}
	leg.TurnOffTrackNM = finite(off)
}
