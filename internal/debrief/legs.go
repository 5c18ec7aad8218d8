package debrief

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
)

// legs are the plan's legs and those of diversions, in the order of their indexes.
func (m making) legs() []Leg {
	legs := []Leg{}
	from := m.route[0]
	for _, row := range m.route[1:] {
		if row.Checkpoint {
			continue
		}
		legs = append(legs, m.leg(row, from))
		from = row
	}
	return legs
}

func (m making) leg(row, from flight.RoutePoint) Leg {
	leg := Leg{
		Index: row.Leg, From: from.Point, To: row.Point, LeftOut: row.Diverted, Diversion: row.Leg >= len(m.log.Sheet.Legs),
		DistanceNM: row.LegDistanceNM, TrackMagnetic: row.TrackMagnetic,
	}
	m.planOf(&leg)
	if row.Turned != nil {
		leg.From = fromHere
	}
	if left := row.Left; left != nil {
		leg.LeftAfterMinutes, leg.LeftAfterNM = m.minutesFlown(left.From, left.To), finite(left.DistanceNM)
		return leg
	}
	seen, flown := m.standing.legs[row.Leg]
	if !flown || row.Actual == nil {
		return leg
	}
	leg.From = seen.From
	if began := seen.StartedAt; began != nil {
		leg.ActualGroundspeedKt = finite(row.GroundspeedKt)
		if slices.ContainsFunc(m.last.Holds(), func(hold flight.HoldFlown) bool { return hold.Leg == row.Leg }) { // its end started the leg's clock anew
			began = from.Actual
			if row.Turned != nil {
				began = row.Turned
			}
		}
		if sameTime(began, from.Actual) || sameTime(began, row.Turned) { // else its start was never logged
			leg.ActualMinutes = m.minutesFlown(*began, *row.Actual)
		}
	}
	if leg.Diversion && seen.PlannedMinutes > 0 {
		leg.PlannedMinutes = finite(seen.PlannedMinutes)
		leg.PlannedGroundspeedKt = finite(deadreckon.Groundspeed(leg.DistanceNM, seen.PlannedMinutes))
	}
	if seen.StartedAt != nil && m.inFull() {
		leg.GivenHeading = m.headingGiven(row.Leg, *seen.StartedAt, *row.Actual)
		leg.SteeredHeading = m.headingSteered(*seen.StartedAt, *row.Actual)
	}
	if seen.wind != nil && seen.wind.Source == flight.WindFound {
		wind := *seen.wind
		m.addTruth(&wind)
		leg.Wind = &wind
		leg.FoundDrift = m.drift(leg, seen, wind)
	}
	leg.StartedAt = seen.StartedAt
	leg.OffTrackNM, leg.OffTrackAt = m.farthestOff(row.Leg)
	m.causes(&leg, row, seen)
	return leg
}

// minutesFlown are those between two moments that were flown and not spent in holds; nil where that is not known.
func (m making) minutesFlown(from, to time.Time) *float64 {
	if flown, ok := flight.FlownBetween(from, to, m.last.Holds()); ok {
		return finite(flown.Minutes())
	}
	return nil
}

// longerSeconds is by how much the leg took longer than planned; nil where either is not known.
func (l *Leg) longerSeconds() *float64 {
	if l.PlannedMinutes == nil || l.ActualMinutes == nil {
		return nil
	}
	return ref(flight.LongerSeconds(time.Duration(*l.ActualMinutes*float64(time.Minute)).Round(time.Second), *l.PlannedMinutes))
}

// fromHere is what a leg begins at that a diversion begins with.
const fromHere = "here"

func sameTime(a, b *time.Time) bool { return a != nil && b != nil && a.Equal(*b) }

// planOf fills in what the sheet had.
func (m making) planOf(leg *Leg) {
	if leg.Diversion {
		return
	}
	planned := m.log.Sheet.Legs[leg.Index]
	leg.PlannedMinutes = ref(planned.Minutes)
	if planned.Minutes > 0 {
		leg.PlannedGroundspeedKt = finite(deadreckon.Groundspeed(leg.DistanceNM, planned.Minutes))
	}
	leg.PlannedHeading = ref(planned.HeadingMagnetic)
	leg.PlannedDrift = ref(angle.Turn(planned.HeadingTrue, planned.TrackTrue))
}

// drift is that of the wind found on a leg.
func (m making) drift(leg Leg, seen legSeen, wind Wind) *float64 {
	track := m.last.Line(leg.Index).TrackTrue
	heading, err := deadreckon.HeadingFor(track, seen.tasKt, air.Wind{FromTrue: wind.FromTrue, SpeedKt: wind.SpeedKt})
	if err != nil {
		return nil
	}
	return finite(angle.Turn(heading.HeadingTrue, track))
}

// headingGiven is the mean of what the program gave to steer on a leg.
func (m making) headingGiven(leg int, from, to time.Time) *float64 {
	var mean meanDirection
	for i, given := range m.known.headings {
		until := to
		if i+1 < len(m.known.headings) && m.known.headings[i+1].at.Before(to) {
			until = m.known.headings[i+1].at
		}
		if given.leg == leg {
			mean.add(given.magnetic, later(given.at, from), until)
		}
	}
	return mean.direction()
}

// headingSteered is the mean of what the pilot said to be steering between two moments.
func (m making) headingSteered(from, to time.Time) *float64 {
	var mean meanDirection
	var heading *float64
	since := from
	for _, r := range m.entries {
		if r.Act != flight.Steering || r.Heading == nil || r.T.Before(from) || r.T.After(to) {
			continue
		}
		if heading != nil {
			mean.add(*heading, since, r.T)
		}
		heading, since = r.Heading, r.T
	}
	if heading == nil {
		return nil
	}
	mean.add(*heading, since, to)
	return mean.direction()
}

// steeredOff is the farthest that a heading which the pilot said to steer, and held for some minutes, was from the one that follows the leg in the wind
// found, else in the plan's; nil where none was said.
func (m making) steeredOff(leg *Leg, from, to time.Time) (farthest *float64) {
	if leg.PlannedHeading == nil {
		return nil
	}
	follows := *leg.PlannedHeading
	if leg.FoundDrift != nil {
		follows = leg.TrackMagnetic - *leg.FoundDrift
	}
	const heldFor = 2 * time.Minute
	judge := func(heading *float64, since, until time.Time) {
		if heading == nil || until.Sub(since) < heldFor {
			return
		}
		if off := angle.Turn(follows, *heading); farthest == nil || math.Abs(off) > math.Abs(*farthest) {
			farthest = finite(off)
		}
	}
	var heading *float64
	since := from
	for _, r := range m.entries {
		if r.Act == flight.Steering && !r.T.Before(from) && r.T.Before(to) {
			judge(heading, since, r.T)
			heading, since = r.Heading, r.T
		}
	}
	judge(heading, since, to)
	return farthest
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// meanDirection is the mean of directions, each for some time.
type meanDirection struct{ north, east float64 }

func (d *meanDirection) add(degrees float64, from, to time.Time) {
	if weight := to.Sub(from).Seconds(); weight > 0 {
		d.north += weight * angle.Cos(degrees)
		d.east += weight * angle.Sin(degrees)
	}
}

// direction is the mean; nil when there was nothing to take it of.
func (d meanDirection) direction() *float64 {
	if d.north == 0 && d.east == 0 {
		return nil
	}
	return finite(angle.Direction(d.north, d.east))
}

// farthestOff is the largest distance off track that was logged on a leg, or that a fix logged there gave, and when.
func (m making) farthestOff(leg int) (farthest *float64, at *time.Time) {
	for i, r := range m.entries {
		off := r.OffTrack
		if off == nil {
			off = m.standing.beside[i+1]
		}
		if off == nil || r.Act != flight.Passing && r.Act != flight.Fix {
			continue
		}
		if flown, known := m.standing.leg[i+1]; !known || flown != leg {
			continue
		}
		if farthest == nil || math.Abs(*off) > math.Abs(*farthest) {
			farthest, at = finite(*off), ref(r.T)
		}
	}
	return farthest, at
}

// winds are the winds after each passing, with the truth where it is known.
func (m making) winds() []Wind {
	winds := append([]Wind{}, m.standing.winds...)
	for i := range winds {
		m.addTruth(&winds[i])
	}
	return winds
}

func (m making) addTruth(w *Wind) {
	if m.log.Truth == nil {
		return
	}
	wind, _ := m.log.Truth.Layers.At(w.AltitudeFt)
	w.TrueFrom, w.TrueKt = ref(wind.FromTrue), ref(wind.SpeedKt)
}

// leastTurnDeg is the turn from which its lateness can be told from the way a heading wanders. Common practice, no source.
const leastTurnDeg = 20.0

// causes fills in why a leg went as it did: when the turn onto it was made and what that cost, what the wind found explains, and how far
// from it the aircraft really was, where that is known.
func (m making) causes(leg *Leg, row flight.RoutePoint, seen legSeen) {
	if seen.StartedAt == nil || row.Actual == nil || leg.Diversion {
		return
	}
	leg.SteeredOff = m.steeredOff(leg, *seen.StartedAt, *row.Actual)
	path := within(m.way, *seen.StartedAt, *row.Actual)
	m.flownOff(leg, path)
	m.held(leg, path)
	if m.inFull() {
		m.airborneWind(leg, seen, path, *row.Actual)
	}
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
	for _, row := range m.route {
		if !row.Checkpoint && row.Leg == leg-1 {
			return row.Actual
		}
	}
	return nil
}

// flownOff is the farthest that the aircraft was from a leg: by the truth of a practice flight, which followed it every few seconds, all the time that it
// was flown by the log; by a feed or a track between its ends. Where there are only lessons to be drawn from it, places are passed over
// that surely are too close to the leg for one: as far off as the last that was looked at, and what was flown since.
func (m making) flownOff(leg *Leg, path []feed.Sample) {
	if m.by == ByTruth {
		for _, off := range m.log.Hidden.OffLegs {
			if off.Leg == leg.Index {
				leg.FlownOffTrackNM, leg.FlownOffTrackAt = finite(off.FarthestNM), ref(off.At)
			}
		}
		return
	}
	line := m.log.Sheet.Route.Legs[leg.Index].Line
	shown := m.inFull() || leg.OffTrackNM != nil
	var looked earth.Position
	offNM := math.Inf(1)
	for _, place := range path {
		if !shown && offNM+earth.AtMostNM(looked, place.At) < worthOffTrackNM {
			continue
		}
		along, right := line.Abeam(place.At)
		looked, offNM = place.At, math.Abs(right)
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
			const leastWayNM = 0.02 // that shows a direction
			if earth.AtMostNM(path[i].At, path[i+1].At) <= leastWayNM {
				continue
			}
			way := earth.Inverse(path[i].At, path[i+1].At)
			if way.DistanceNM > leastWayNM && rounded(way.AzimuthStart, before.TrackTrue, now.TrackTrue) {
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
