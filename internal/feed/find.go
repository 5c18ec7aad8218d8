package feed

import (
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
)

// DefaultWithinNM is how close a track must come to a point to have passed it, where the caller has no other wish.
const DefaultWithinNM = 3

// Found is what a track says of a flight along a route. A zero time was not found.
type Found struct {
	OffBlocks, Airborne, Landed, OnBlocks time.Time
	BeginsInFlight, EndsInFlight          bool
	Passings                              []Passing // in order of the route, and of time
	Missed                                []Missed
}

// Passing is the moment at which a point of the route was passed: closest to a leg's end, abeam a checkpoint.
type Passing struct {
	Point      string // ident, or a checkpoint's name
	Leg        int    // the leg that ends there, or that the checkpoint lies on
	Checkpoint bool
	Time       time.Time
	At         earth.Position // where the aircraft was
	DistanceNM float64        // from a leg's end; of a checkpoint, from the leg's line
	OffTrackNM float64        // right of the leg
	// Spacing is the time between the positions on either side: the passing itself is interpolated.
	Spacing time.Duration
}

// Missed is a point that the track did not pass.
type Missed struct {
	Point      string
	Leg        int
	Checkpoint bool
	ClosestNM  float64 // how close the track came to it, at whatever time
}

// Find finds take-off, landing and the passings of a route in a track, which is in order of time and has its groundspeeds.
//
// A leg's end is passed where the distance to it has a minimum, a checkpoint where the track crosses the perpendicular to its leg
// there, in the direction of the leg; both only within the distance given. As a track can come by a point more than once, the
// passings are chosen together: in the order of the route, with the smallest sum of squares of the distances, where a point
// that is left out counts as one passed at the full distance. Anything closer than a quarter of a mile is overhead; of equals
// the earliest counts, so that the first time over a beacon is the passing and a hold is not.
func Find(route *sheet.Route, samples []Sample, withinNM float64) Found {
	found := Found{}
	if len(samples) == 0 {
		return found
	}
	first, last := newGround(samples).find(&found)
	way := newWay(samples[first : last+1])
	targets := targetsOf(route)
	candidates := make([][]candidate, len(targets))
	for i, target := range targets {
		candidates[i] = target.candidates(way, withinNM)
	}
	for i, chosen := range chain(candidates, withinNM) {
		target := targets[i]
		if chosen < 0 {
			found.Missed = append(found.Missed, Missed{target.name, target.leg, target.checkpoint, way.closestNM(target.at)})
			continue
		}
		c := candidates[i][chosen]
		_, right := target.line.Abeam(c.at)
		found.Passings = append(found.Passings, Passing{
			Point: target.name, Leg: target.leg, Checkpoint: target.checkpoint,
			Time: c.time.Round(exact), At: c.at, DistanceNM: c.distanceNM, OffTrackNM: right, Spacing: c.spacing,
		})
	}
	for _, at := range []*time.Time{&found.OffBlocks, &found.Airborne, &found.Landed, &found.OnBlocks} {
		*at = at.Round(exact)
	}
	return found
}

// exact is to what a passing can be told from a track; what is reported of one and what is written of it are the same.
const exact = 100 * time.Millisecond

// target is a place of the route to be passed.
type target struct {
	name       string
	leg        int
	checkpoint bool
	line       earth.Line
	at         earth.Position // on the leg
	afterNM    float64
}

func targetsOf(route *sheet.Route) []target {
	var targets []target
	for i, leg := range route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			targets = append(targets, target{checkpoint.Name, i, true, leg.Line, route.PositionAt(i, checkpoint.AfterNM), checkpoint.AfterNM})
		}
		targets = append(targets, target{leg.To.Ident, i, false, leg.Line, leg.To.At, leg.DistanceNM})
	}
	return targets
}

// candidates are the moments at which the target may have been passed, in order of time.
func (t target) candidates(w way, withinNM float64) []candidate {
	if t.checkpoint {
		return w.crossings(t, withinNM)
	}
	return w.approaches(t.at, withinNM)
}
