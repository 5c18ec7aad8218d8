package fuel

import "math"

// point is a moment at which a tank may be changed, in the coordinates in which feeding one tank is a horizontal line:
// the time, and the offset that stays the same while that tank is fed (see twoTanks).
type point struct{ minutes, offset float64 }

// polygon is a convex set of points, anticlockwise; it may have shrunk to a line or a point.
type polygon []point

// halfPlane holds the points for which minutes·perMinute + offset·perOffset ≤ most.
type halfPlane struct{ perMinute, perOffset, most float64 }

func (h halfPlane) beyond(p point) float64 {
	return p.minutes*h.perMinute + p.offset*h.perOffset - h.most
}

// clip appends to dst the part of the polygon within the half-plane.
func (g polygon) clip(dst polygon, h halfPlane) polygon {
	if len(g) == 0 {
		return dst
	}
	previous := g[len(g)-1]
	previousBeyond := h.beyond(previous)
	for _, p := range g {
		beyond := h.beyond(p)
		if (beyond > 0) != (previousBeyond > 0) {
			share := previousBeyond / (previousBeyond - beyond)
			dst = dst.with(point{
				previous.minutes + share*(p.minutes-previous.minutes),
				previous.offset + share*(p.offset-previous.offset),
			})
		}
		if beyond <= 0 {
			dst = dst.with(p)
		}
		previous, previousBeyond = p, beyond
	}
	return dst
}

// with appends a point unless it is the last one again.
func (g polygon) with(p point) polygon {
	if last := len(g) - 1; last >= 0 &&
		math.Abs(g[last].minutes-p.minutes) < roundingSlack && math.Abs(g[last].offset-p.offset) < roundingSlack {
		return g
	}
	return append(g, p)
}

// earlier appends to dst the points from which a point of the polygon is reached by waiting for at least shortest and at
// most longest minutes.
func (g polygon) earlier(dst polygon, shortest, longest float64) polygon {
	bottom, top := 0, 0
	for i, p := range g {
		if p.offset < g[bottom].offset {
			bottom = i
		}
		if p.offset > g[top].offset {
			top = i
		}
	}
	side := func(from, to int, wait float64) {
		for i := from; ; i = (i + 1) % len(g) {
			dst = dst.with(point{g[i].minutes - wait, g[i].offset})
			if i == to {
				return
			}
		}
	}
	side(bottom, top, shortest) // going anticlockwise the right-hand side leads up
	side(top, bottom, longest)
	return dst
}

// minutesAt returns the first and last time of the polygon at an offset; ok is false if it doesn't come within slack of it.
func (g polygon) minutesAt(offset, slack float64) (first, last float64, ok bool) {
	first, last = math.Inf(1), math.Inf(-1)
	for i, a := range g {
		b := g[(i+1)%len(g)]
		if min(a.offset, b.offset) > offset+slack || max(a.offset, b.offset) < offset-slack {
			continue
		}
		if math.Abs(a.offset-b.offset) < slack {
			first = min(first, min(a.minutes, b.minutes))
			last = max(last, max(a.minutes, b.minutes))
			continue
		}
		share := max(0, min(1, (offset-a.offset)/(b.offset-a.offset)))
		minutes := a.minutes + share*(b.minutes-a.minutes)
		first, last = min(first, minutes), max(last, minutes)
	}
	return first, last, first <= last
}

// within reports whether the polygon lies within a region, give or take rounding.
func (g polygon) within(b box, other region) bool {
	if !b.within(other.box) {
		return false
	}
	for i, from := range other.polygon {
		to := other.polygon[(i+1)%len(other.polygon)]
		dm, do := to.minutes-from.minutes, to.offset-from.offset
		slack := -lineSlack * (math.Abs(dm) + math.Abs(do))
		for _, p := range g {
			if dm*(p.offset-from.offset)-do*(p.minutes-from.minutes) < slack {
				return false
			}
		}
	}
	return true
}

// box is the smallest upright rectangle around a polygon.
type box struct{ low, high point }

func (g polygon) box() box {
	b := box{g[0], g[0]}
	for _, p := range g[1:] {
		b.low.minutes, b.high.minutes = min(b.low.minutes, p.minutes), max(b.high.minutes, p.minutes)
		b.low.offset, b.high.offset = min(b.low.offset, p.offset), max(b.high.offset, p.offset)
	}
	return b
}

func (b box) within(other box) bool {
	return b.low.minutes >= other.low.minutes-lineSlack && b.high.minutes <= other.high.minutes+lineSlack &&
		b.low.offset >= other.low.offset-lineSlack && b.high.offset <= other.high.offset+lineSlack
}
