package fuel

import (
	"math"
	"slices"
	"sort"
)

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

// within reports whether the polygon lies within a half-plane, so that a clip leaves it as it is.
func (g polygon) within(h halfPlane) bool {
	for _, p := range g {
		if h.beyond(p) > 0 {
			return false
		}
	}
	return true
}

// partOf reports whether a region lies within another, give or take rounding: askew is by how much of a corner's distance a side may point past it.
func (r *region) partOf(other *region, askew float64) bool {
	if !r.box.within(&other.box) {
		return false
	}
	if slices.Equal(r.polygon, other.polygon) { // though rounding may have left it not quite convex
		return true
	}
	for i, from := range other.polygon {
		to := other.polygon[(i+1)%len(other.polygon)]
		dm, do := to.minutes-from.minutes, to.offset-from.offset
		slack := lineSlack * (math.Abs(dm) + math.Abs(do))
		for _, p := range r.polygon {
			minutes, offset := p.minutes-from.minutes, p.offset-from.offset
			if do*minutes-dm*offset > slack+askew*(math.Abs(minutes)+math.Abs(offset)) {
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

func (b *box) within(other *box) bool {
	return b.low.minutes >= other.low.minutes-lineSlack && b.high.minutes <= other.high.minutes+lineSlack &&
		b.low.offset >= other.low.offset-lineSlack && b.high.offset <= other.high.offset+lineSlack
}

// region is a set of moments at which a change may be made with a given number still to come, this one included, and
// the rest of the flight kept within the terms.
type region struct {
	polygon
	from    int // the tank changed from: its feed keeps the polygon's offset
	stretch int
	level   int // changes to come
	box     box
}

func (s *twoTanks) reset() {
	s.levelled, s.until = nil, s.until[:0]
	s.slab = s.slab[:0]
	s.askew = 0
	if s.levels == nil {
		s.levels = [][]region{nil}
	}
	s.levels = s.levels[:1]
	for i := range s.found {
		s.found[i] = s.found[i][:0]
	}
	if missing := 2*len(s.stretches) - len(s.found); missing > 0 {
		s.found = append(s.found, make([][]region, missing)...)
	}
}

// foundIn is where the regions of a stretch from a tank are kept together.
func foundIn(stretch, from int) int { return 2*stretch + from }

// addLevel finds the regions with one more change to come.
func (s *twoTanks) addLevel() {
	level := len(s.levels)
	if cap(s.levels) > level {
		s.levels = s.levels[:level+1]
		s.levels[level] = s.levels[level][:0]
	} else {
		s.levels = append(s.levels, nil)
	}
	longest := min(s.terms.longest, s.terms.line.end) + s.slack
	if level > 1 {
		if longest < s.terms.stay-s.slack {
			return // two changes can't be so close together
		}
		for _, r := range s.levels[level-1] {
			s.scratch[0] = r.earlier(s.scratch[0][:0], s.terms.stay-s.slack, longest)
			s.addRegions(level, r.from, &s.band)
		}
		return
	}
	line := s.terms.line
	longest = max(longest, line.end-line.lastChange()) // nothing can be done about the end
	for last := range s.ends {
		for _, limits := range s.landing.pieces {
			low, high := shifts(limits, line.burn, max(s.landing.low, s.ends[last][0]), min(s.landing.high, s.ends[last][1]))
			if low > high {
				continue
			}
			burned := shiftOf(last) * line.burn
			landing := polygon{{line.end, low - burned}, {line.end, high - burned}}
			s.scratch[0] = landing.earlier(s.scratch[0][:0], 0, longest)
			s.addRegions(level, last, &s.landing)
		}
	}
}

// addRegions adds to a level the regions, one in each stretch, from which feeding a tank leads to a change in the polygon
// in scratch[0], with the change itself within a band.
func (s *twoTanks) addRegions(level, fed int, within *band) {
	reach := s.scratch[0].box()
	until := reach.high.minutes
	if level < len(s.until) {
		until = min(until, s.until[level])
	}
	first := sort.Search(len(s.stretches), func(i int) bool { return s.stretches[i].end >= reach.low.minutes })
	for i := first; i < len(s.stretches) && s.stretches[i].start <= until; i++ {
		// Within the stretch the shift is offset + slope·minutes + constant.
		stretch, way := s.stretches[i], shiftOf(fed)
		slope, constant := way*stretch.flowPerMinute, way*stretch.burnAt(0)
		g := s.clipped(s.scratch[0], 1, halfPlane{1, 0, stretch.end})
		g = s.clipped(g, 2, halfPlane{-1, 0, -stretch.start})
		g = s.clipped(g, 3, halfPlane{slope, 1, within.high - constant})
		g = s.clipped(g, 4, halfPlane{-slope, -1, constant - within.low})
		if len(g) == 0 {
			continue
		}
		for _, limits := range within.pieces {
			piece := g
			for n, l := range limits {
				piece = s.clipped(piece, 5+n, halfPlane{
					l.perBurn*stretch.flowPerMinute + l.perShift*slope, l.perShift, l.most - l.perBurn*stretch.burnAt(0) - l.perShift*constant,
				})
			}
			s.addRegion(level, fed, i, slope, constant, piece)
		}
	}
}

// clipped is the part of a polygon within a half-plane, in some of the scratch room if that is not all of it.
func (s *twoTanks) clipped(g polygon, into int, h halfPlane) polygon {
	if g.within(h) {
		return g
	}
	s.scratch[into] = g.clip(s.scratch[into][:0], h)
	return s.scratch[into]
}

// addRegion adds the region of changes in a stretch from which feeding a tank, which moves the shift by a slope from a constant, leads to a polygon.
func (s *twoTanks) addRegion(level, fed, index int, slope, constant float64, g polygon) {
	if len(g) == 0 {
		return
	}
	moved := s.scratch[len(s.scratch)-1][:0]
	for _, p := range g {
		moved = append(moved, point{p.minutes, p.offset + 2*(slope*p.minutes+constant)})
	}
	s.scratch[len(s.scratch)-1] = moved
	found := region{moved, 1 - fed, index, level, moved.box()}
	if !s.known(&found) {
		s.forget(level, &found)
		start := len(s.slab)
		s.slab = append(s.slab, moved...)
		found.polygon = s.slab[start:len(s.slab):len(s.slab)]
		s.levels[level] = append(s.levels[level], found)
		if len(s.levels[level]) > manyRegions*len(s.stretches) {
			s.askew = shortSideRounding * (s.terms.line.end + s.terms.line.burn)
		}
		at := foundIn(found.stretch, found.from)
		s.found[at] = append(s.found[at], found)
	}
}

// forget drops the regions with as many changes to come that are part of one that has been found.
func (s *twoTanks) forget(level int, found *region) {
	part := func(r *region) bool {
		return r.level == level && r.stretch == found.stretch && r.from == found.from && r.partOf(found, s.askew)
	}
	at := foundIn(found.stretch, found.from)
	for i := range s.found[at] {
		if part(&s.found[at][i]) {
			is := func(r region) bool { return part(&r) }
			s.found[at], s.levels[level] = slices.DeleteFunc(s.found[at], is), slices.DeleteFunc(s.levels[level], is)
			return
		}
	}
}

// known reports whether a region is part of one that has been found with as many changes to come or fewer: then it can't
// lead to anything better.
func (s *twoTanks) known(found *region) bool {
	regions := s.found[foundIn(found.stretch, found.from)]
	for i := range regions {
		if found.partOf(&regions[i], s.askew) {
			return true
		}
	}
	return false
}
