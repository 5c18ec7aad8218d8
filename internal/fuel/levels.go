package fuel

import (
	"slices"
	"sort"
)

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
	s.levelled = nil
	s.slab = s.slab[:0]
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
		for _, r := range s.levels[level-1] {
			s.scratch[0] = r.earlier(s.scratch[0][:0], ShortestStayMinutes-s.slack, longest)
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
	first := sort.Search(len(s.stretches), func(i int) bool { return s.stretches[i].end >= reach.low.minutes })
	for i := first; i < len(s.stretches) && s.stretches[i].start <= reach.high.minutes; i++ {
		for _, limits := range within.pieces {
			s.addRegion(level, fed, i, within, limits)
		}
	}
}

// addRegion adds the region in one stretch within one convex set of limits.
func (s *twoTanks) addRegion(level, fed, index int, within *band, limits []burnLimit) {
	// Within the stretch the shift is offset + slope·minutes + constant.
	stretch, way := s.stretches[index], shiftOf(fed)
	slope := way * stretch.flowPerMinute
	constant := way * stretch.burnAt(0)
	g := s.scratch[0]
	into := 1
	clip := func(h halfPlane) {
		g = g.clip(s.scratch[into][:0], h)
		s.scratch[into] = g
		into = 3 - into
	}
	clip(halfPlane{1, 0, stretch.end})
	clip(halfPlane{-1, 0, -stretch.start})
	clip(halfPlane{slope, 1, within.high - constant})
	clip(halfPlane{-slope, -1, constant - within.low})
	for _, l := range limits {
		clip(halfPlane{
			l.perBurn*stretch.flowPerMinute + l.perShift*slope, l.perShift, l.most - l.perBurn*stretch.burnAt(0) - l.perShift*constant,
		})
	}
	if len(g) == 0 {
		return
	}
	for j := range g {
		g[j].offset += 2 * (slope*g[j].minutes + constant)
	}
	found := region{g, 1 - fed, index, level, g.box()}
	if !s.known(found) {
		s.forget(level, found)
		start := len(s.slab)
		s.slab = append(s.slab, g...)
		found.polygon = s.slab[start:len(s.slab):len(s.slab)]
		s.levels[level] = append(s.levels[level], found)
		at := foundIn(found.stretch, found.from)
		s.found[at] = append(s.found[at], found)
	}
}

// forget drops the regions with as many changes to come that are part of one that has been found.
func (s *twoTanks) forget(level int, found region) {
	part := func(r region) bool {
		return r.stretch == found.stretch && r.from == found.from && r.level == level && r.within(r.box, found)
	}
	at := foundIn(found.stretch, found.from)
	if before := len(s.found[at]); before > 0 {
		if s.found[at] = slices.DeleteFunc(s.found[at], part); len(s.found[at]) < before {
			s.levels[level] = slices.DeleteFunc(s.levels[level], part)
		}
	}
}

// known reports whether a region is part of one that has been found with as many changes to come or fewer: then it can't
// lead to anything better.
func (s *twoTanks) known(found region) bool {
	regions := s.found[foundIn(found.stretch, found.from)]
	for i := range regions {
		if found.within(found.box, regions[i]) {
			return true
		}
	}
	return false
}
