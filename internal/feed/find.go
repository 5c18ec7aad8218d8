package feed

import (
	"math"
	"slices"
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
	ClosestNM  float64 // how close the track came to it, after the passing before
}

// Find finds take-off, landing and the passings of a route in a track, which is in order of time and has its groundspeeds.
//
// A leg's end is passed where the distance to it has a minimum, a checkpoint where the track crosses the perpendicular to its leg
// there, in the direction of the leg; both only within the distance given. As a track can come by a point more than once, the
// passings are chosen together: in the order of the route, with the smallest sum of squares of the distances, where a point
// that is left out counts as one passed at hardly more than the full distance. Anything closer than a quarter of a mile is overhead; of equals
// the earliest counts, so that the first time over a beacon is the passing and a hold is not. Where one passing would do for
// either of two legs, as over B on a route from A to B, back and to B again that was given up there, it is the earlier one's. The place where
// the route begins is passed only once it has been left.
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
			found.Missed = append(found.Missed, Missed{target.name, target.leg, target.checkpoint, way.since(found.Passings).closestNM(target.at)})
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
	again      bool // the route has been there before
}

func targetsOf(route *sheet.Route) []target {
	var targets []target
	been := map[string]bool{}
	for i, leg := range route.Legs {
		been[leg.From.Ident] = true
		for _, checkpoint := range leg.Checkpoints {
			targets = append(targets, target{checkpoint.Name, i, true, leg.Line, route.PositionAt(i, checkpoint.AfterNM), checkpoint.AfterNM, false})
		}
		targets = append(targets, target{leg.To.Ident, i, false, leg.Line, leg.To.At, leg.DistanceNM, been[leg.To.Ident]})
	}
	return targets
}

// candidates are the moments at which the target may have been passed, in order of time.
func (t target) candidates(w way, withinNM float64) []candidate {
	if t.checkpoint {
		return w.crossings(t, withinNM)
	}
	return w.approaches(t.at, t.again, withinNM)
}

// overheadNM is how close counts as overhead: closer is not better.
const overheadNM = 0.25

// penalty is the square of a distance, in units so small that nobody could tell them apart and in whole ones, so that sums of the same in another order are equal.
func penalty(distanceNM float64) int64 {
	const unitsPerSquareNM = 1 << 32
	return int64(math.Round(square(max(distanceNM, overheadNM)) * unitsPerSquareNM))
}

// chain chooses at most one candidate of each target, their times in the targets' order, with the smallest sum of squared
// distances; a target left out counts as passed at hardly more than the full distance. Of equal sums the one counts that leaves out the last
// target, and else has it at the earlier time, and then so for the target before. The result has an index for each target, or -1.
//
// It is solved target by target over the times of all candidates: cost[j] is the least sum for the targets so far with none of
// them later than times[j].
func chain(candidates [][]candidate, withinNM float64) []int {
	leftOut := penalty(withinNM) + 1
	times := timesOf(candidates)
	cost := make([]int64, len(times))
	choices := make([][]int32, len(candidates)) // by target and time: the candidate that ends the best chain up to there, or -1
	for k, list := range candidates {
		choice := make([]int32, len(times))
		next := make([]int64, len(times))
		c := 0
		best, bestAt := int64(math.MaxInt64), int32(-1)
		earlier := int64(k) * leftOut // what cost[j-1] is: before all times every target is left out
		for j, at := range times {
			for ; c < len(list) && !list[c].time.After(at); c++ { // candidates at times[j]
				before := cost[j]
				if list[c].apart {
					before = earlier
				}
				if sum := before + penalty(list[c].distanceNM); sum < best {
					best, bestAt = sum, int32(c)
				}
			}
			next[j], choice[j] = cost[j]+leftOut, -1
			if best < next[j] {
				next[j], choice[j] = best, bestAt
			}
			earlier = cost[j]
		}
		cost, choices[k] = next, choice
	}
	return trace(candidates, times, choices)
}

// trace follows the choices back from the last target.
func trace(candidates [][]candidate, times []time.Time, choices [][]int32) []int {
	chosen := make([]int, len(candidates))
	j := len(times) - 1
	for k := len(candidates) - 1; k >= 0; k-- {
		chosen[k] = -1
		if j < 0 || choices[k][j] < 0 {
			continue
		}
		chosen[k] = int(choices[k][j])
		c := candidates[k][chosen[k]]
		if j, _ = slices.BinarySearchFunc(times, c.time, time.Time.Compare); c.apart {
			j--
		}
	}
	return chosen
}

func timesOf(candidates [][]candidate) []time.Time {
	var times []time.Time
	for _, list := range candidates {
		for _, c := range list {
			times = append(times, c.time)
		}
	}
	slices.SortFunc(times, time.Time.Compare)
	return slices.CompactFunc(times, time.Time.Equal)
}

func square(x float64) float64 { return x * x }

// What tells flight from ground in a light single; common practice, no source.
const (
	flyingKt      = 40               // over the ground: faster than any taxi, slower than any lift-off without a strong wind
	taxiKt        = 20               // in a strong wind a lift-off may be slower than flyingKt, but not than this
	groundFt      = 50               // heights up to this above the lowest are those of the ground, give or take the receiver
	climbedFt     = 200              // what a take-off gains
	climbedWithin = 3 * time.Minute  // in this time
	fastFor       = 60 * time.Second // without heights: how long it must stay fast
	movedNM       = 0.03             // 55 m: it has left its place
	standingNM    = 0.015            // 28 m: it stands, give or take the receiver
	standingFor   = 30 * time.Second
)

// ground finds where a track leaves and meets the ground.
type ground struct {
	samples []Sample
	heights bool // there are altitudes, and they tell flight from ground
}

func newGround(samples []Sample) ground {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range samples {
		if s.AltitudeFt != nil {
			low, high = min(low, *s.AltitudeFt), max(high, *s.AltitudeFt)
		}
	}
	return ground{samples, high-low > climbedFt} // a recorder without altitudes may write 0 for all
}

// find fills in the times of the flight and returns the first and the last sample in the air.
func (g ground) find(found *Found) (first, last int) {
	first, last = 0, len(g.samples)-1
	switch i := g.takeOff(); {
	case g.speed(0) >= flyingKt:
		found.BeginsInFlight = true
	case i < 0: // never in the air, or too short to tell
		return first, last
	default:
		found.Airborne, first = g.leaves(i)
		found.OffBlocks = g.movesOff(first)
	}
	if i := g.landing(first); i < 0 {
		found.EndsInFlight = true
	} else {
		found.Landed, last = g.meets(i)
		found.OnBlocks = g.stands(last)
	}
	return first, last
}

// speed is the groundspeed at a sample; not a number if it is not known.
func (g ground) speed(i int) float64 {
	if g.samples[i].GroundspeedKt == nil {
		return math.NaN()
	}
	return *g.samples[i].GroundspeedKt
}

// takeOff is the first sample of a flight: fast, after one that was not, and soon high above the ground, or fast for long.
func (g ground) takeOff() int {
	lowest := math.Inf(1)
	for i := range g.samples {
		if altitude := g.samples[i].AltitudeFt; altitude != nil {
			lowest = min(lowest, *altitude)
		}
		if i > 0 && g.speed(i-1) < flyingKt && g.speed(i) >= flyingKt && g.flies(i, lowest) {
			return i
		}
	}
	return -1
}

func (g ground) flies(from int, lowestFt float64) bool {
	for i := from; i < len(g.samples); i++ {
		since, altitude := g.samples[i].Time.Sub(g.samples[from].Time), g.samples[i].AltitudeFt
		switch {
		case g.heights && altitude != nil && *altitude > lowestFt+climbedFt, !g.heights && since >= fastFor:
			return true
		case g.heights && (since > climbedWithin || g.speed(i) < taxiKt), !g.heights && g.speed(i) < flyingKt:
			return false
		}
	}
	return false
}

// leaves is the moment of a take-off whose first fast sample is i, and the first sample from there on. Where a strong wind lets the
// aircraft lift off before it is fast over the ground, its height tells.
func (g ground) leaves(i int) (time.Time, int) {
	lowest := g.lowest(0, i)
	back := i
	for back > 0 && g.above(back-1, lowest) && g.speed(back-1) >= taxiKt {
		back--
	}
	if back < i {
		return g.samples[back].Time, back
	}
	return g.crossed(i), i
}

// landing is the first slow sample after the last fast one; -1 if the track ends fast.
func (g ground) landing(first int) int {
	for i := len(g.samples) - 1; i > first; i-- {
		if g.speed(i) >= flyingKt {
			if i+1 == len(g.samples) {
				return -1
			}
			return i + 1
		}
	}
	return -1
}

// meets is the moment of a landing whose first slow sample is i, and the last sample up to there.
func (g ground) meets(i int) (time.Time, int) {
	lowest := g.lowest(i, len(g.samples)-1)
	ahead := i
	for ahead+1 < len(g.samples) && g.above(ahead, lowest) && g.speed(ahead) >= taxiKt {
		ahead++
	}
	if ahead > i {
		return g.samples[ahead].Time, ahead
	}
	return g.crossed(i), i
}

// crossed is when the speed went through flyingKt before sample i.
func (g ground) crossed(i int) time.Time {
	before, after := g.speed(i-1), g.speed(i)
	if before == after || math.IsNaN(before) {
		return g.samples[i].Time
	}
	share := (flyingKt - before) / (after - before)
	return g.samples[i-1].Time.Add(time.Duration(share * float64(g.samples[i].Time.Sub(g.samples[i-1].Time))))
}

// lowest is the lowest altitude from one sample to another; +∞ without any.
func (g ground) lowest(from, to int) float64 {
	lowest := math.Inf(1)
	for _, s := range g.samples[from : to+1] {
		if s.AltitudeFt != nil {
			lowest = min(lowest, *s.AltitudeFt)
		}
	}
	return lowest
}

func (g ground) above(i int, lowestFt float64) bool {
	return g.heights && g.samples[i].AltitudeFt != nil && *g.samples[i].AltitudeFt > lowestFt+groundFt
}

// movesOff is when the aircraft left the place where the track begins, at the latest.
func (g ground) movesOff(airborne int) time.Time {
	off, begin := 0, g.place(0)
	for i := range g.samples[:airborne] {
		distance := begin.distanceNM(g.place(i))
		if distance <= standingNM {
			off = i
		}
		if distance > movedNM {
			break
		}
	}
	return g.samples[off].Time
}

// stands is when the aircraft came to the place where the track ends; zero if it does not stand there for a while.
func (g ground) stands(landed int) time.Time {
	end := len(g.samples) - 1
	on, there := end, g.place(end)
	for i := end; i > landed && there.distanceNM(g.place(i)) <= movedNM; i-- {
		on = i
	}
	if g.samples[end].Time.Sub(g.samples[on].Time) < standingFor {
		return time.Time{}
	}
	return g.samples[on].Time
}

// place is the mean of the positions within some seconds of a sample: the noise of a receiver that stands is no movement.
func (g ground) place(i int) vector {
	var sum vector
	n := 0.0
	add := func(k int) bool {
		if g.samples[k].Time.Sub(g.samples[i].Time).Abs() > motionReach {
			return false
		}
		v := vectorOf(g.samples[k].At)
		sum, n = vector{sum.x + v.x, sum.y + v.y, sum.z + v.z}, n+1
		return true
	}
	for k := i; k >= 0 && add(k); k-- {
	}
	for k := i + 1; k < len(g.samples) && add(k); k++ {
	}
	return vector{sum.x / n, sum.y / n, sum.z / n}
}

// candidate is a moment at which a point may have been passed.
type candidate struct {
	time       time.Time
	at         earth.Position
	distanceNM float64
	spacing    time.Duration
	apart      bool // it comes after the passing before it, not with it
}

// way is a track between take-off and landing, flown in a straight line at a steady speed from each sample to the next.
type way []spot

func newWay(samples []Sample) way {
	w := make(way, len(samples))
	for i, s := range samples {
		w[i] = spot{s, vectorOf(s.At)}
	}
	return w
}

// roughNM is the distance of a place from the piece between two samples, good to half a per cent.
func (w way) roughNM(piece int, place vector) float64 {
	a, b := w[piece].vector, w[piece+1].vector
	along := vector{b.x - a.x, b.y - a.y, b.z - a.z}
	length := along.x*along.x + along.y*along.y + along.z*along.z
	if length == 0 {
		return place.distanceNM(a)
	}
	share := ((place.x-a.x)*along.x + (place.y-a.y)*along.y + (place.z-a.z)*along.z) / length
	return place.distanceNM(a.towards(b, min(max(share, 0), 1)))
}

// riseNM is by how much a distance must grow again before its minimum counts as one: more than a receiver's noise.
const riseNM = 0.2

// approaches are the minima of the distance to a place, no further than within. A place that is come to again is not
// approached where the way begins, and nothing is passed at the same moment before it.
func (w way) approaches(place earth.Position, again bool, withinNM float64) []candidate {
	var out []candidate
	there := vectorOf(place)
	low, high, lowest := math.Inf(1), math.Inf(-1), -1
	take := func() {
		if lowest >= 0 {
			if c := w.closestAround(lowest, place); c.distanceNM <= withinNM {
				c.apart = again
				out = append(out, c)
			}
		}
		lowest = -1
	}
	closing := !again
	for piece := range len(w) - 1 {
		distance := w.roughNM(piece, there)
		switch {
		case closing && distance < low:
			low, lowest = distance, piece
		case closing && distance > low+riseNM:
			take()
			closing, high = false, distance
		case !closing && distance > high:
			high = distance
		case !closing && distance < high-riseNM:
			closing, low, lowest = true, distance, piece
		}
	}
	take()
	return out
}

// closestAround is the closest approach near a piece that is the closest by the rough distance.
func (w way) closestAround(piece int, place earth.Position) candidate {
	best := w.closest(piece, place)
	for _, step := range []int{-1, 1} {
		for next := piece + step; next >= 0 && next < len(w)-1; next += step {
			c := w.closest(next, place)
			if c.distanceNM >= best.distanceNM {
				break
			}
			best = c
		}
	}
	return best
}

// closest is the closest approach on a piece, along the geodesic.
func (w way) closest(piece int, place earth.Position) candidate {
	a, b := w[piece], w[piece+1]
	line := earth.NewLine(a.At, b.At)
	share := 0.0
	if length := line.DistanceNM(); length > 0 {
		along, _ := line.Abeam(place)
		share = min(max(along/length, 0), 1)
	}
	c := w.between(piece, share)
	c.distanceNM = earth.Inverse(place, c.at).DistanceNM
	return c
}

// between is where and when a share of a piece has been flown.
func (w way) between(piece int, share float64) candidate {
	a, b := w[piece], w[piece+1]
	line := earth.NewLine(a.At, b.At)
	at, _ := line.At(share * line.DistanceNM())
	took := b.Time.Sub(a.Time)
	return candidate{time: a.Time.Add(time.Duration(share * float64(took))), at: at, spacing: took}
}

// crossings are the moments at which the way crosses the perpendicular to a leg at a checkpoint, forwards along the leg and no
// further than within from it.
func (w way) crossings(t target, withinNM float64) []candidate {
	const slack = 1.02 // for the rough distance
	var out []candidate
	there := vectorOf(t.at)
	for piece := range len(w) - 1 {
		if w.roughNM(piece, there) > slack*withinNM {
			continue
		}
		before, _ := t.line.Abeam(w[piece].At)
		after, _ := t.line.Abeam(w[piece+1].At)
		if before >= t.afterNM || after < t.afterNM {
			continue
		}
		c := w.between(piece, (t.afterNM-before)/(after-before))
		_, right := t.line.Abeam(c.at)
		if c.distanceNM = math.Abs(right); c.distanceNM <= withinNM {
			out = append(out, c)
		}
	}
	return out
}

// since is the way after the last of passings.
func (w way) since(passings []Passing) way {
	if len(passings) == 0 {
		return w
	}
	last := passings[len(passings)-1].Time
	after := slices.IndexFunc(w, func(s spot) bool { return s.Time.After(last) })
	if after < 1 { // the track ends there
		return w[len(w)-1:]
	}
	return w[after-1:]
}

// closestNM is how close the way comes to a place.
func (w way) closestNM(place earth.Position) float64 {
	there := vectorOf(place)
	nearest, lowest := -1, math.Inf(1)
	for piece := range len(w) - 1 {
		if distance := w.roughNM(piece, there); distance < lowest {
			nearest, lowest = piece, distance
		}
	}
	if nearest < 0 {
		return earth.Inverse(w[0].At, place).DistanceNM
	}
	return w.closestAround(nearest, place).distanceNM
}
