package practice

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
)

// When a way is a detour, and how exact the figures of a log are, one standard error. Common practice, no source.
const (
	detourShare    = 1.08 // of the straight distance: the turn onto a leg is none
	passingSigma   = 5 * time.Second
	placeSigmaNM   = 0.1
	tasSigmaKt     = 2
	widestShare    = 0.10 // a figure that is less sure than that is not asked for
	heldHeadingDeg = 3    // a heading changed by less is still held
)

// node is where the log has the aircraft at a moment, on the leg of a stretch.
type node struct {
	at               time.Time
	alongNM, rightNM float64
}

// flownWay is the way between two passings as the log tells it: from place to place, fixes among them, and between two places along the
// headings that were steered.
type flownWay struct {
	straightNM float64 // from end to end
	distanceNM float64 // as flown
	share      float64 // one standard error of distance over time, as a share of it
	held       bool    // one heading throughout
	rightNM    float64 // off track at its end
}

func (w flownWay) detour() bool { return w.distanceNM > detourShare*w.straightNM }

// wayOf is the way of a stretch; ok is false where the log does not tell it: a hold or a diversion came between.
func (x *exam) wayOf(f *Flight, s flight.Snapshot, on onLeg) (way flownWay, ok bool) {
	first, second := *on.before.Actual, *on.here.Actual
	nodes := []node{{at: first, alongNM: on.beforeNM}, {at: second, alongNM: on.here.AfterNM}}
	var steering []flight.Event
	for _, entry := range s.Entries {
		e := entry.Event
		between := e.T.After(first) && e.T.Before(second)
		switch {
		case entry.Voided:
		case e.Act == flight.Steering && e.Heading != nil && e.T.Before(second):
			steering = append(steering, *e)
		case between && (e.Act == flight.Hold || e.Act == flight.Unhold || e.Act == flight.Divert):
			return way, false
		case e.Act == flight.Fix && e.OffTrack != nil && e.T.Equal(second) && on.here.Point == "":
			nodes[1].rightNM = *e.OffTrack
		case between && e.Act == flight.Fix:
			if n, known := x.fixes[e.N]; known && n.alongNM > on.beforeNM && n.alongNM < on.here.AfterNM {
				nodes = append(nodes, n)
			}
		case e.Act == flight.Passing && e.OffTrack != nil && e.T.Equal(second) && e.Point == on.here.Point:
			nodes[1].rightNM = *e.OffTrack
		case e.Act == flight.Passing && e.OffTrack != nil && e.T.Equal(first) && e.Point == on.before.Point:
			across := on.before.TrackMagnetic + 90 - on.here.TrackMagnetic // the leg before may have ended here
			nodes[0].alongNM += *e.OffTrack * angle.Cos(across)
			nodes[0].rightNM = *e.OffTrack * angle.Sin(across)
		}
	}
	slices.SortStableFunc(steering, func(a, b flight.Event) int { return a.T.Compare(b.T) })
	for i := len(steering) - 1; i > 0; i-- { // half-way through a turn the new heading is taken to begin
		lag := math.Abs(angle.Turn(*steering[i-1].Heading, *steering[i].Heading)) / 2 / turnPerSecondDeg
		steering[i].T = steering[i].T.Add(time.Duration(lag * float64(time.Second)))
	}
	slices.SortStableFunc(nodes, func(a, b node) int { return a.at.Compare(b.at) })

	along := func(tasKt float64) (distanceNM float64) {
		for i := range nodes[1:] {
			distanceNM += between(steering, nodes[i], nodes[i+1], on.here.TrackMagnetic, tasKt)
		}
		return distanceNM
	}
	a, b := nodes[0], nodes[len(nodes)-1]
	way.straightNM, way.rightNM = math.Hypot(b.alongNM-a.alongNM, b.rightNM-a.rightNM), b.rightNM
	way.distanceNM = along(on.tasKt)
	if way.straightNM <= 0 {
		return way, false
	}
	byAirspeed := along(on.tasKt+tasSigmaKt) - way.distanceNM
	way.share = math.Hypot(math.Sqrt2*passingSigma.Seconds()/second.Sub(first).Seconds(), math.Hypot(math.Sqrt2*placeSigmaNM, byAirspeed)/way.distanceNM)
	way.held = heldBetween(steering, first, second)
	return way, way.share <= widestShare
}

// between is how long the way between two places was, by the headings steered: the drift that the air alone does not explain is that of a
// wind, the same all the time, which closes the polygon. Without headings it is the straight line.
func between(steering []flight.Event, a, b node, trackMagnetic, tasKt float64) float64 {
	type piece struct{ hours, north, east float64 } // through the air
	var pieces []piece
	var hours, movedNorth, movedEast float64
	for i, e := range steering {
		until := b.at
		if i+1 < len(steering) && steering[i+1].T.Before(b.at) {
			until = steering[i+1].T
		}
		if p := (piece{until.Sub(later(e.T, a.at)).Hours(), tasKt * angle.Cos(*e.Heading), tasKt * angle.Sin(*e.Heading)}); p.hours > 0 {
			pieces = append(pieces, p)
			hours, movedNorth, movedEast = hours+p.hours, movedNorth+p.hours*p.north, movedEast+p.hours*p.east
		}
	}
	along, right := b.alongNM-a.alongNM, b.rightNM-a.rightNM
	if hours == 0 {
		return math.Hypot(along, right)
	}
	windNorth := (along*angle.Cos(trackMagnetic) - right*angle.Sin(trackMagnetic) - movedNorth) / hours
	windEast := (along*angle.Sin(trackMagnetic) + right*angle.Cos(trackMagnetic) - movedEast) / hours
	length := 0.0
	for _, p := range pieces {
		length += p.hours * math.Hypot(p.north+windNorth, p.east+windEast)
	}
	return length
}

// heldBetween reports whether one heading was held, but for small corrections, from shortly after a moment until another.
func heldBetween(steering []flight.Event, from, to time.Time) bool {
	const turning = 90 * time.Second // onto the leg's heading
	low, high := math.Inf(1), math.Inf(-1)
	first := 0.0
	for i, e := range steering {
		if i+1 < len(steering) && !steering[i+1].T.After(from.Add(turning)) || !e.T.Before(to) {
			continue
		}
		if math.IsInf(low, 1) {
			first = *e.Heading
		}
		off := angle.Turn(first, *e.Heading)
		low, high = min(low, off), max(high, off)
	}
	return high-low <= heldHeadingDeg || math.IsInf(low, 1)
}
