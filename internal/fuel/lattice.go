package fuel

import (
	"math"
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
	s.levelled, s.until = nil, s.until[:0]
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
		if g.within(h) {
			return
		}
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
	moved := s.scratch[into][:0]
	for _, p := range g {
		moved = append(moved, point{p.minutes, p.offset + 2*(slope*p.minutes+constant)})
	}
	g, s.scratch[into] = moved, moved
	found := region{g, 1 - fed, index, level, g.box()}
	if !s.known(&found) {
		s.forget(level, &found)
		start := len(s.slab)
		s.slab = append(s.slab, g...)
		found.polygon = s.slab[start:len(s.slab):len(s.slab)]
		s.levels[level] = append(s.levels[level], found)
		at := foundIn(found.stretch, found.from)
		s.found[at] = append(s.found[at], found)
	}
}

// forget drops the regions with as many changes to come that are part of one that has been found.
func (s *twoTanks) forget(level int, found *region) {
	part := func(r *region) bool {
		return r.level == level && r.stretch == found.stretch && r.from == found.from && r.partOf(found)
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
		if found.partOf(&regions[i]) {
			return true
		}
	}
	return false
}

// gridMinutes are the widths that the grid may have, at the main flow; after them come twice and twice again the last.
var gridMinutes = []float64{1, 2, 3, 5, 6, 10, 15, 20, 30, 60}

// lattice is the grid for one way to begin: a point is the number of steps of equal planned burn that each tank has fed.
type lattice struct {
	terms     terms
	beginning beginning
	reserve   float64
	active    []int // tanks that hold usable fuel, and the one in use at the beginning
	usable    []float64
	base      []float64 // by active tank: burned before the first choice

	steps      int       // from the first choice to the end
	stepBurn   float64   // of each step but the last
	shortBy    float64   // how much less the last step is
	minutes    []float64 // by step
	allowed    []bool    // by step: a change may be made
	lastChange int       // the last step at which one may be made; −1 if there is none
	needed     []int     // by step: changes that are certainly needed after one there

	most    []int // by active tank: steps that it can feed
	atMost  []int // the same, the last step of the flight in addition where that is short
	atOnce  []int // by active tank: steps that it can feed from one change to the next, for the limit
	strides []int
	states  int // a state is a point and the tank just changed to

	pairs          []latticePair
	pairsOf        [mostTanks][]pairSide
	dryFactor      float64 // the extra burn, where that may run a tank dry; else 0
	highestAtStart float64
	highestAllowed float64
}

// latticePair is a pair that the imbalance limit applies to.
type latticePair struct {
	one, other int     // indexes of active tanks, −1 for a tank that isn't
	difference float64 // of the quantities, one less other, at minute 0
	low, high  float64 // what the burn from other less that from one must keep to
	outside    int     // −1, 1: it begins below, above that
	outsideDry int     // the same of the difference with the extra burn, where that may run a tank dry
}

// pairSide is a pair as one of its tanks sees it: feeding that tank moves the shift one way.
type pairSide struct {
	pair int
	way  float64
}

// walk is a tank being fed from one change to the next.
type walk struct {
	counts  [mostTanks]int
	point   int // number of the point, to which the tank changed to is added
	tank    int // index of the active tank
	step    int
	minutes float64
	second  float64
	first   bool // before the first change
}

// newLattice returns nil if the tank in use can't even feed the time before the first choice, or all tanks together not
// the whole of the flight.
func newLattice(p *problem, t terms, b beginning, mostStates int) *lattice {
	l := &lattice{terms: t, beginning: b, reserve: p.request.Rules.LandingReserve, highestAllowed: math.Inf(1), dryFactor: p.dryFactor(t)}
	for tank, usable := range p.usable {
		if usable > tolerance || tank == b.tank {
			l.active = append(l.active, tank)
			l.usable = append(l.usable, usable)
			l.base = append(l.base, 0)
		}
		if tank == b.tank {
			l.base[len(l.base)-1] = b.burned
			if b.burned*t.fuelFactor > usable+tolerance {
				return nil
			}
		}
	}
	l.addPairs(p)
	l.divide(t.line.burn-b.burned, mainFlow(t.line, b.from), mostStates)
	steps := 0
	for _, most := range l.most {
		steps += most
	}
	if l.shortBy > 0 {
		steps++
	}
	if steps < l.steps {
		return nil
	}
	l.placeInTime()
	l.countNeeded()
	return l
}

// mainFlow is the flow at which most is burned after a time; 0 if nothing is.
func mainFlow(line timeline, from float64) float64 {
	burned := map[float64]float64{}
	var main float64
	for _, s := range line.stretches {
		if s.end <= from {
			continue
		}
		burned[s.flowPerMinute] += s.flowPerMinute * (s.end - max(from, s.start))
		if burned[s.flowPerMinute] > burned[main] {
			main = s.flowPerMinute
		}
	}
	return main
}

// divide lays the grid over what is still to be burned, as fine as so many states allow.
func (l *lattice) divide(rest, mainFlow float64, mostStates int) {
	width := 0.0
	for i := 0; i == 0 || l.states > mostStates; i++ {
		if i < len(gridMinutes) {
			width = gridMinutes[i]
		} else {
			width *= 2
		}
		l.divideBy(rest, width*mainFlow)
	}
}

func (l *lattice) divideBy(rest, stepBurn float64) {
	l.steps, l.stepBurn, l.shortBy = 0, stepBurn, 0
	if rest > tolerance && stepBurn > 0 {
		l.steps = int(math.Ceil(rest/stepBurn - tolerance))
		l.shortBy = max(0, stepBurn*float64(l.steps)-rest)
	}
	l.states = len(l.active)
	l.most, l.strides = l.most[:0], l.strides[:0]
	for i, usable := range l.usable {
		most := 0
		if l.steps > 0 {
			most = int(min(float64(l.steps), max(0, math.Floor((usable/l.terms.fuelFactor-l.base[i])/stepBurn+tolerance))))
		}
		l.most = append(l.most, most)
		l.strides = append(l.strides, l.states)
		l.states = min(l.states*(most+1), math.MaxInt32)
	}
}

// placeInTime finds when each step begins and whether a tank may be changed then.
func (l *lattice) placeInTime() {
	l.minutes, l.allowed, l.lastChange = make([]float64, l.steps+1), make([]bool, l.steps+1), -1
	for step := range l.minutes {
		switch step {
		case 0:
			l.minutes[step] = l.beginning.from
		case l.steps:
			l.minutes[step] = l.terms.line.end
		default:
			l.minutes[step] = l.terms.line.timeAtBurn(l.beginning.burned + float64(step)*l.stepBurn)
		}
		if l.allowed[step] = l.terms.line.allowsChange(l.minutes[step]); l.allowed[step] {
			l.lastChange = step
		}
	}
}

// countNeeded works out how many changes are certainly needed after one, from the most that a tank can feed at a time.
func (l *lattice) countNeeded() {
	l.needed = make([]int, l.steps+1)
	if l.steps == 0 {
		return
	}
	mostBurn := l.stepBurn
	for tank, usable := range l.usable {
		feeds := usable
		for _, side := range l.pairsOf[tank] {
			if p := l.pairs[side.pair]; p.outside == 0 {
				feeds = min(feeds, p.high-p.low)
			}
		}
		mostBurn = max(mostBurn, feeds)
	}
	inTime := l.stepsInTime()
	for tank, most := range l.most {
		if l.shortBy > 0 {
			most++
		}
		atOnce := min(most, inTime)
		for _, side := range l.pairsOf[tank] {
			if p := l.pairs[side.pair]; p.outside == 0 {
				atOnce = min(atOnce, int((p.high-p.low+l.shortBy)/l.stepBurn+tolerance))
			}
		}
		l.atMost, l.atOnce = append(l.atMost, most), append(l.atOnce, max(1, atOnce))
	}
	mostMinutes := l.terms.longest
	if l.lastChange >= 0 { // nothing can be done about the time after it
		mostMinutes = max(mostMinutes, l.terms.line.end-l.minutes[l.lastChange])
	}
	for step := range l.needed {
		byBurn := (float64(l.steps-step)*l.stepBurn - l.shortBy) / mostBurn
		byMinutes := (l.terms.line.end - l.minutes[step]) / mostMinutes
		l.needed[step] = int(min(max(0, math.Ceil(max(byBurn, byMinutes)-tolerance)-1), mostChanges))
	}
}

// stepsInTime is the most steps that fit into the longest time on one tank. Nothing can be done about the time after the last change.
func (l *lattice) stepsInTime() int {
	most, from := l.steps-max(0, l.lastChange), 0
	for step, minutes := range l.minutes {
		for minutes > l.minutes[from]+l.terms.longest+tolerance {
			from++
		}
		most = max(most, step-from)
	}
	return most
}

// stillNeeded is how many changes are certainly needed after one to a tank at a step, with so many steps fed by each: from what is left in
// the tanks, and the most that each can feed at a time.
func (l *lattice) stillNeeded(counts *[mostTanks]int, tank, step int) int {
	rest := l.steps - step
	if rest == 0 {
		return 0
	}
	var left [mostTanks]int // by active tank: steps
	for i, most := range l.atMost {
		left[i] = most - counts[i]
	}
	for needed := 0; ; needed++ {
		fed := min(left[tank], l.atOnce[tank])
		left[tank] -= fed
		if rest -= fed; rest <= 0 {
			return needed
		}
		tank = 0
		for other := range l.atMost {
			if min(left[other], l.atOnce[other]) > min(left[tank], l.atOnce[tank]) {
				tank = other
			}
		}
		if left[tank] <= 0 {
			return mostChanges + 1 // the fuel does not last
		}
	}
}

func (l *lattice) addPairs(p *problem) {
	if math.IsInf(l.terms.maxImbalance, 1) {
		return
	}
	for _, pair := range p.pairs {
		lp := latticePair{one: l.activeIndex(pair[0]), other: l.activeIndex(pair[1])}
		lp.difference = p.request.Quantities[pair[0]] - p.request.Quantities[pair[1]]
		factors := p.factors
		if l.dryFactor > 0 {
			factors = factors[:1]
		}
		lp.low, lp.high = p.band(pair, l.terms.maxImbalance, factors)
		lp.low, lp.high = lp.low-lineSlack, lp.high+lineSlack
		shift := l.shift(&lp, &[mostTanks]int{})
		lp.outside = outside(shift, lp.low, lp.high)
		if l.dryFactor > 0 {
			limit := l.terms.maxImbalance + lineSlack
			lp.outsideDry = outside(l.dryDifference(&lp, &[mostTanks]int{}, -1, 0), -limit, limit)
		}
		l.highestAtStart = max(l.highestAtStart, max(math.Abs(lp.difference), math.Abs(lp.difference+shift)))
		if lp.one >= 0 {
			l.pairsOf[lp.one] = append(l.pairsOf[lp.one], pairSide{len(l.pairs), -1})
		}
		if lp.other >= 0 {
			l.pairsOf[lp.other] = append(l.pairsOf[lp.other], pairSide{len(l.pairs), 1})
		}
		l.pairs = append(l.pairs, lp)
	}
}

// outside is on which side a figure is of a range.
func outside(figure, low, high float64) int {
	switch {
	case figure < low:
		return -1
	case figure > high:
		return 1
	}
	return 0
}

// dryDifference is the difference of a pair, one less other, with the extra burn as far as each tank's fuel goes. The tank in use
// has fed that much less of the last step.
func (l *lattice) dryDifference(p *latticePair, counts *[mostTanks]int, inUse int, short float64) float64 {
	fed := func(tank int) float64 {
		if tank < 0 {
			return 0
		}
		burned := l.burned(tank, counts)
		if tank == inUse {
			burned -= short
		}
		return min(l.dryFactor*burned, l.usable[tank])
	}
	return p.difference + fed(p.other) - fed(p.one)
}

func (l *lattice) activeIndex(tank int) int {
	for i, active := range l.active {
		if active == tank {
			return i
		}
	}
	return -1
}

// burned is what an active tank has fed, without allowance for a short last step.
func (l *lattice) burned(tank int, counts *[mostTanks]int) float64 {
	if tank < 0 {
		return 0
	}
	return l.base[tank] + float64(counts[tank])*l.stepBurn
}

// shift is the burn from the other tank of a pair less that from the one.
func (l *lattice) shift(p *latticePair, counts *[mostTanks]int) float64 {
	return l.burned(p.other, counts) - l.burned(p.one, counts)
}

// walkFrom begins to feed the tank of a state; state −1 is the start.
func (l *lattice) walkFrom(state int32) walk {
	if state < 0 {
		return walk{tank: l.activeIndex(l.beginning.tank), minutes: l.beginning.from, first: true}
	}
	w := walk{tank: int(state) % len(l.active)}
	w.point = int(state) - w.tank
	rest := int(state) / len(l.active)
	for i, most := range l.most {
		w.counts[i] = rest % (most + 1)
		w.step += w.counts[i]
		rest /= most + 1
	}
	w.minutes = l.minutes[w.step]
	return w
}

// follow feeds the walk's tank for as long as the terms allow. It calls change for every tank that may be changed to on
// the way, and finish if the flight can be ended so.
func (l *lattice) follow(w *walk, aim aim, change func(tank int), finish func()) {
	since := w.minutes
	latest := since + l.terms.longest
	if w.first {
		latest = l.beginning.deadline
	}
	forced := w.step >= l.lastChange // nothing can be done about how long the rest is
	for w.minutes <= latest+tolerance || forced {
		if w.step == l.steps {
			if l.landsWell(w) {
				finish()
			}
			return
		}
		if l.allowed[w.step] && (w.first || w.minutes >= since+l.terms.stay-tolerance) {
			for tank := range l.active {
				if tank != w.tank && w.counts[tank] < l.most[tank] {
					change(tank)
				}
			}
		}
		if !l.feedStep(w, aim) {
			return
		}
	}
}

// feedStep burns one more step from the walk's tank, unless that breaks the terms.
func (l *lattice) feedStep(w *walk, aim aim) bool {
	if l.terms.recover && !l.recovers(w) {
		return false
	}
	w.counts[w.tank]++
	w.point += l.strides[w.tank]
	w.step++
	w.minutes = l.minutes[w.step]
	var short float64
	if w.step == l.steps {
		short = l.shortBy
	}
	if w.counts[w.tank] > l.most[w.tank] &&
		(short == 0 || (l.burned(w.tank, &w.counts)-short)*l.terms.fuelFactor > l.usable[w.tank]+tolerance) {
		return false
	}
	for _, side := range l.pairsOf[w.tank] {
		p := &l.pairs[side.pair]
		shift := l.shift(p, &w.counts) - side.way*short
		if !p.keeps(shift, &w.counts) || l.dryFactor > 0 && !l.keepsDry(p, w, short) {
			return false
		}
		imbalance := math.Abs(p.difference + shift)
		if aim == byHighestImbalance {
			w.second = max(w.second, imbalance)
		} else if imbalance > l.highestAllowed {
			return false
		}
	}
	return true
}

// keeps reports whether a shift is within the band or, for a pair that began outside it, on the way there.
func (p *latticePair) keeps(shift float64, counts *[mostTanks]int) bool {
	side := outside(shift, p.low, p.high)
	return side == 0 || side == p.outside && p.onTheWay(side, counts)
}

// onTheWay reports whether a pair that began outside on a side has moved towards the other only: the emptier tank has not been fed.
func (p *latticePair) onTheWay(side int, counts *[mostTanks]int) bool {
	emptier := p.one
	if side > 0 {
		emptier = p.other
	}
	return emptier < 0 || counts[emptier] == 0
}

// keepsDry does what keeps does for the extra burn, where that may run a tank dry.
func (l *lattice) keepsDry(p *latticePair, w *walk, short float64) bool {
	limit := l.terms.maxImbalance + lineSlack
	side := outside(l.dryDifference(p, &w.counts, w.tank, short), -limit, limit)
	return side == 0 || side == p.outsideDry && p.onTheWay(side, &w.counts)
}

// recovers reports whether feeding the walk's tank brings a pair back that is above the limit, or there is none.
func (l *lattice) recovers(w *walk) bool {
	recovered := true
	for i := range l.pairs {
		p := &l.pairs[i]
		fuller := p.one
		difference := p.difference + l.shift(p, &w.counts)
		if difference < 0 {
			fuller = p.other
		}
		if math.Abs(difference) <= l.terms.maxImbalance+tolerance {
			continue
		}
		if fuller == w.tank {
			return true
		}
		recovered = false
	}
	return recovered
}

// landsOnFullest reports whether no tank holds more usable fuel than the one in use.
func (l *lattice) landsOnFullest(w *walk) bool {
	left := func(tank int) float64 { return l.usable[tank] - l.burned(tank, &w.counts) }
	inUse := left(w.tank)
	if w.step > 0 {
		inUse += l.shortBy
	}
	for tank := range l.active {
		if tank != w.tank && left(tank) > inUse+tolerance {
			return false
		}
	}
	return true
}

// landsWell reports whether the tank in use on landing holds the reserve, if that is asked for.
func (l *lattice) landsWell(w *walk) bool {
	if !l.terms.reserve {
		return true
	}
	burned := l.burned(w.tank, &w.counts)
	if w.step > 0 {
		burned -= l.shortBy
	}
	return l.usable[w.tank]-burned >= l.reserve-tolerance
}
