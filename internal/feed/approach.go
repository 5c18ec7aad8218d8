package feed

import (
	"math"
	"time"

	"example.com/legclock/internal/earth"
)

// candidate is a moment at which a point may have been passed.
type candidate struct {
	time       time.Time
	at         earth.Position
	distanceNM float64
	spacing    time.Duration
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

// approaches are the minima of the distance to a place, no further than within.
func (w way) approaches(place earth.Position, withinNM float64) []candidate {
	var out []candidate
	there := vectorOf(place)
	low, high, lowest := math.Inf(1), math.Inf(-1), -1
	take := func() {
		if lowest >= 0 {
			if c := w.closestAround(lowest, place); c.distanceNM <= withinNM {
				out = append(out, c)
			}
		}
		lowest = -1
	}
	closing := true
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
