package feed

import (
	"math"
	"time"
)

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
