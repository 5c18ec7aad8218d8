package fuel

import (
	"math"
	"slices"
)

const (
	// roundingSlack is the distance within which two points are one.
	roundingSlack = 1e-12
	// lineSlack is the distance within which a point is on a line; when a course is chosen limits are widened by as much.
	lineSlack = 1e-9
	// looseSlack is what limits are widened by when changes are counted: a course that was planned to the very limit, and
	// is planned again on the way, isn't to need one more change because of rounding.
	looseSlack = 5e-7
	// followSlack is the distance within which a course that is known to be there meets the next region: more than
	// lineSlack, which many steps add up.
	followSlack = 1e-7
	// imbalanceStep is how closely the lowest possible highest imbalance is found, in the unit of quantity.
	imbalanceStep = 1e-7
	// imbalanceMargin is how much above that a course may go, so that it needn't use up the slack in the other limits.
	imbalanceMargin = 5e-7
	// manyRegions is how many regions with as many changes to come a stretch has at most, on an average, that are kept apart by rounding alone. A short
	// side of a region is turned by rounding so far that a corner a long way from it seems to lie beyond it, and regions that are the same but for their
	// last digits are kept beside each other. Of a few that is as well; but where the band has several pieces there come to be that many times more
	// with each change.
	manyRegions = 6
	// shortSideRounding is by how much of the size of a flight, in minutes and in fuel, and of the distance from a side the rounding of the side's ends tells.
	shortSideRounding = 0x1p-46
	// mostChanges is where looking for a schedule ends: nobody changes tanks more often in a flight.
	mostChanges = 60
)

// twoTanks finds the best course for two tanks, exactly. The package's documentation explains how.
type twoTanks struct {
	*problem
	terms      terms
	slack      float64
	stretches  []stretch // in which a change is allowed
	beginnings []beginning
	band            // that the shift must keep at every change but the last
	landing    band // that it must keep at the last, and on landing
	fullest    bool // the last tank is to be the fullest on landing
	ends       [2][2]float64
	until      []float64   // by the number of changes still to come: minutes until which one is in reach; beyond its end: always
	levels     [][]region  // by the number of changes still to come
	found      [][]region  // the same by stretch and tank: see foundIn
	levelled   *[2]float64 // the band that the levels were found in by addLevels; nil: by something else
	starting   []start     // room for those that the reach is found from
	choice     float64     // minutes from the earliest to the latest time of the change that was last found
	askew      float64     // see manyRegions
	slab       []point
	scratch    [10]polygon
}

func newTwoTanks(p *problem) *twoTanks { return &twoTanks{problem: p} }

// shiftOf is how feeding a tank moves the shift, which is the burn from tank 1 less that from tank 0.
func shiftOf(tank int) float64 { return float64(2*tank - 1) }

func (s *twoTanks) solve(t terms) (course, bool) {
	if !s.prepare(t) {
		return course{}, false
	}
	s.widen(looseSlack)
	changes, ok := s.fewest()
	if !ok {
		return course{}, false
	}
	for _, fullest := range []bool{true, false} {
		s.fullest = fullest
		if t.anyCourse {
			s.fullest = false
		} else if fullest && !s.canLandOnFullest(changes) {
			continue
		}
		for _, slack := range []float64{lineSlack, looseSlack} {
			s.widen(slack)
			if !t.anyCourse && !math.IsInf(t.maxImbalance, 1) && t.landingLimit == t.maxImbalance {
				s.lowestImbalance(changes)
			}
			if c, ok := s.latest(changes); ok {
				return c, true
			}
		}
	}
	s.widen(looseSlack) // rounding has undone the narrowing
	return s.latest(changes)
}

// canLandOnFullest reports whether a course with so many changes can land on the fullest tank.
func (s *twoTanks) canLandOnFullest(changes int) bool {
	s.widen(lineSlack)
	s.addLevels(changes)
	_, _, ok := s.reach(s.starts(), changes, lineSlack)
	return ok
}

// prepare takes what follows from terms as they are. It reports whether any shift at all leaves enough in the tanks on landing: else no
// course has to be looked for.
func (s *twoTanks) prepare(t terms) bool {
	t.line = t.line.merged()
	s.terms, s.fullest = t, false
	s.findEnds(looseSlack)
	if s.ends[0][0] > s.ends[0][1] && s.ends[1][0] > s.ends[1][1] {
		return false
	}
	if s.slab == nil {
		s.makeRoom()
	}
	s.stretches = s.stretches[:0]
	for _, stretch := range t.line.stretches {
		if stretch.changeAllowed {
			s.stretches = append(s.stretches, stretch)
		}
	}
	s.beginnings = s.problem.beginnings(t)
	return true
}

// makeRoom makes room for as many polygons as most flights have, which is cheaper at once than bit by bit.
func (s *twoTanks) makeRoom() {
	const corners = 10
	s.slab = make([]point, 0, 8*corners)
	room := make([]point, len(s.scratch)*corners)
	for i := range s.scratch {
		s.scratch[i] = room[i*corners : i*corners : (i+1)*corners]
	}
}

// widen turns the terms, widened by a slack, into what the shift has to keep.
func (s *twoTanks) widen(slack float64) {
	t := &s.terms
	s.slack, s.levelled = slack, nil
	s.band = s.bandOf(t, t.maxImbalance, slack)
	s.landing = s.band
	if t.landingLimit != t.maxImbalance {
		s.landing = s.bandOf(t, t.landingLimit, slack)
	}
	s.findEnds(slack)
}

// findEnds finds between which the shift must be on landing, by the last tank, for what must be left in the tanks.
func (s *twoTanks) findEnds(slack float64) {
	t := &s.terms
	surplus := s.usable[0] - s.usable[1]
	for last := range s.ends {
		used := [2]float64{s.usable[0] / t.fuelFactor, s.usable[1] / t.fuelFactor}
		if t.reserve {
			used[last] = min(used[last], s.usable[last]-s.request.Rules.LandingReserve)
		}
		if used[last] < -slack {
			s.ends[last] = [2]float64{math.Inf(1), math.Inf(-1)}
			continue
		}
		s.ends[last] = [2]float64{t.line.burn - 2*used[0] - slack, 2*used[1] - t.line.burn + slack}
		switch {
		case s.fullest && last == 0:
			s.ends[last][0] = max(s.ends[last][0], -surplus-slack)
		case s.fullest:
			s.ends[last][1] = min(s.ends[last][1], -surplus+slack)
		}
	}
}

// start is a beginning in the solver's terms.
type start struct {
	beginning
	tank    int // in use after the first choice
	shift   float64
	changes int // made as the first choice
	outside bool
}

// starts are the ways to begin. From outside the band, a course that leads further away is only good if it is changed at
// once.
func (s *twoTanks) starts() []start { return s.startsIn(make([]start, 0, 2*len(s.beginnings))) }

// startsIn adds them to a list.
func (s *twoTanks) startsIn(all []start) []start {
	for _, b := range s.beginnings {
		st := start{beginning: b, tank: b.tank, shift: shiftOf(b.tank) * b.burned}
		st.outside = st.shift < s.low || st.shift > s.high || !s.keepsDry(0, b.burned, st.shift) || !s.keepsDry(1, b.burned, st.shift)
		all = append(all, st)
		if st.outside && len(s.stretches) > 0 {
			st.tank, st.changes, st.deadline = 1-b.tank, 1, b.from+s.terms.longest
			all = append(all, st)
		}
	}
	return all
}

// fewest finds the smallest number of changes that keeps the terms.
func (s *twoTanks) fewest() (int, bool) {
	starts := s.starts()
	s.reset()
	for changes := 0; changes <= mostChanges; changes++ {
		if changes > 0 {
			s.addLevel()
		}
		if _, _, ok := s.reach(starts, changes, lineSlack); ok {
			return changes, true
		}
		if changes > 1 && len(s.levels[changes]) == 0 && len(s.levels[changes-1]) == 0 {
			break
		}
	}
	return 0, false
}

// lowestImbalance narrows the band as far as a course with so many changes allows. The imbalance before the first choice
// is a floor: less than that gains nothing.
func (s *twoTanks) lowestImbalance(changes int) {
	difference := s.request.Quantities[0] - s.request.Quantities[1]
	low, high := s.low, s.high
	narrowed := func(limit float64) bool {
		s.narrow(max(low, -limit-difference-lineSlack), min(high, limit-difference+lineSlack))
		starts := slices.DeleteFunc(s.starts(), func(st start) bool { return st.outside })
		if len(starts) == 0 {
			return false
		}
		s.addLevels(changes)
		_, _, ok := s.reach(starts, changes, lineSlack)
		return ok
	}
	floor, least, best := math.Inf(1), math.Inf(1), max(math.Abs(difference+low), math.Abs(difference+high))
	for _, st := range s.starts() {
		if !st.outside {
			floor = min(floor, max(math.Abs(difference), math.Abs(difference+st.shift)))
			least = min(least, s.evenSwings(st, difference, changes))
		}
	}
	if floor = max(floor, least); floor > best {
		return // it begins outside the band, and the imbalance then is the highest; or there is no such course
	}
	if narrowed(floor + imbalanceMargin) {
		return // usually
	}
	if !narrowed(best) {
		s.narrow(low, high)
		return
	}
	narrowed(s.halved(floor, best, narrowed) + imbalanceMargin)
}

// halved halves the way between a limit with which there is no course and one with which there has just been found one, to the lowest.
//
// All that is kept is linear, and so is, near the lowest limit, the time that there is for the next change. Two limits tell where it comes to nothing, and if
// one just below that will not do and one just above it will, halving asks for none beyond them.
func (s *twoTanks) halved(floor, best float64, narrowed func(limit float64) bool) float64 {
	const near = imbalanceStep / 8
	doesNot, does := floor, best
	try := func(limit float64) bool {
		switch {
		case limit <= doesNot:
			return false
		case limit >= does:
			return true
		case narrowed(limit):
			does = limit
			return true
		}
		doesNot = limit
		return false
	}
	above, time := best, s.choice
	for floor+imbalanceStep < best {
		middle := (floor + best) / 2
		if !try(middle) {
			floor = middle
			continue
		}
		best = middle
		if s.choice >= 0 && s.choice < time {
			lowest := best - s.choice*(above-best)/(time-s.choice)
			above, time = best, s.choice
			try(lowest - near)
			try(lowest + near)
		}
	}
	return best
}

// narrow sets the ends of the band, on landing too.
func (s *twoTanks) narrow(low, high float64) {
	s.low, s.high = low, high
	s.landing.low, s.landing.high = low, high
}

// evenSwings is the highest imbalance of a course that goes from its beginning to the edge of the band, with each change to the other
// edge, and lands on one or, to land on the fullest tank, half-way to it. No course with as many changes has a lower one, for then less
// is burned in each of its parts.
func (s *twoTanks) evenSwings(st start, difference float64, changes int) float64 {
	left := s.terms.line.burn - s.terms.line.burnAt(st.from)
	swings := 2*(changes-st.changes) + 1
	if s.fullest && swings > 1 && s.request.Tanks[0].Unusable == s.request.Tanks[1].Unusable {
		swings--
	}
	return (left + shiftOf(st.tank)*(difference+st.shift)) / float64(swings)
}

// latest finds the course with so many changes that makes each, the first before the second and so on, as late as the
// terms allow.
func (s *twoTanks) latest(changes int) (course, bool) {
	starts := s.starts()
	s.addLevels(changes)
	st, at, ok := s.reach(starts, changes, followSlack)
	if !ok {
		return course{}, false
	}
	c := course{start: st.beginning.tank}
	if st.changes > 0 {
		c.stops = append(c.stops, stop{st.from, st.tank})
	}
	tank, shift, time := st.tank, st.shift, st.from
	for level := changes - st.changes; level > 0; level-- {
		shift += shiftOf(tank) * (s.terms.line.burnAt(at) - s.terms.line.burnAt(time))
		time, tank = at, 1-tank
		c.stops = append(c.stops, stop{time, tank})
		if level > 1 {
			at, ok = s.latestIn(level-1, tank, shift, time, time+s.terms.stay, time+s.terms.longest, followSlack)
			if !ok {
				return course{}, false
			}
		}
	}
	return c, true
}

// reach finds the first of the starts from which a course with so many changes keeps the terms, and the latest time of
// its next change, give or take a slack.
func (s *twoTanks) reach(starts []start, changes int, slack float64) (start, float64, bool) {
	for _, st := range starts {
		level := changes - st.changes
		switch {
		case level < 0:
		case level == 0:
			if s.keepsWithoutChange(st) {
				return st, s.terms.line.end, true
			}
		default:
			earliest := st.from
			if st.changes > 0 {
				earliest += s.terms.stay
			}
			if at, ok := s.latestIn(level, st.tank, st.shift, st.from, earliest, st.deadline, slack); ok {
				return st, at, true
			}
		}
	}
	return start{}, 0, false
}

// keepsWithoutChange reports whether the flight can be finished on the tank in use. From outside the band the shift may
// end short of it.
func (s *twoTanks) keepsWithoutChange(st start) bool {
	line := s.terms.line
	end := st.shift + shiftOf(st.tank)*(line.burn-line.burnAt(st.from))
	if end < s.ends[st.tank][0] || end > s.ends[st.tank][1] {
		return false
	}
	if len(s.stretches) == 0 { // there is no choice
		return true
	}
	if line.end > st.deadline+s.slack {
		return false
	}
	if st.tank == 0 { // the shift falls, and the second tank comes to be the fuller
		return end >= s.landing.low && s.landing.keepsDry(1, line.burn, end)
	}
	return end <= s.landing.high && s.landing.keepsDry(0, line.burn, end)
}

// latestIn finds the latest time, from earliest to latest, at which feeding a tank from a given shift and time comes to a
// change with so many still to come.
func (s *twoTanks) latestIn(level, tank int, shift, time, earliest, latest, slack float64) (float64, bool) {
	offset := shift - shiftOf(tank)*s.terms.line.burnAt(time)
	earlier, best, found := math.Inf(1), math.Inf(-1), false
	for _, r := range s.levels[level] {
		if r.from != tank || offset < r.box.low.offset-slack || offset > r.box.high.offset+slack {
			continue
		}
		first, last, ok := r.minutesAt(offset, slack)
		if !ok {
			continue
		}
		first, last = max(first, earliest-s.slack), min(last, latest)
		if first > last+s.slack+slack {
			continue
		}
		if first > last+followSlack { // it takes the slack to get there
			last = first
		}
		earlier = min(earlier, first)
		if last > best {
			best, found = last, true
		}
	}
	s.choice = best - earlier
	return best, found
}

// addLevels finds the regions with up to so many changes to come, unless the levels are those of this band already.
func (s *twoTanks) addLevels(changes int) {
	band := [2]float64{s.low, s.high}
	if s.levelled != nil && *s.levelled == band && len(s.levels) == changes+1 {
		return
	}
	s.reset()
	s.findReach(changes)
	for range changes {
		s.addLevel()
	}
	s.levelled = &band
}

// findReach finds until when a change can be made with so many still to come, of a given number in all: from one to the next no more can be
// burned than the shift has room for in the band, and no longer be waited than the longest time on a tank. Regions after that are left out; no
// course from a start leads to one.
func (s *twoTanks) findReach(changes int) {
	const margin = 1e-3 // of fuel and of minutes: more than all slacks come to
	s.until = append(s.until[:0], make([]float64, changes+1)...)
	low, high := min(s.low, s.landing.low), max(s.high, s.landing.high)
	s.starting = s.startsIn(s.starting[:0])
	for _, st := range s.starting {
		room := high - st.shift
		if st.tank == 0 {
			room = st.shift - low
		}
		burned, until := st.burned+max(0, room)+margin, st.deadline+margin
		for level := changes - st.changes; level >= 0; level-- {
			s.until[level] = max(s.until[level], min(until, s.terms.line.timeAtBurn(burned)))
			burned, until = burned+high-low, until+s.terms.longest
		}
	}
}
