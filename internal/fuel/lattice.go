package fuel

import (
	"math"
)

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
	atOnce  []int // by active tank: steps that it can feed from one change to the next, for the limits
	ifLast  []int // by active tank: whole steps that it can feed in all if it is the last, and is to hold the reserve; −1 where it can't be
	couples []couple
	loose   []int // active tanks in no couple
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
	l.findTurns()
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
