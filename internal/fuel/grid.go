package fuel

import (
	"fmt"
	"math"
	"slices"
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

// partOf reports whether a region lies within another, give or take rounding.
func (r *region) partOf(other *region) bool {
	if !r.box.within(&other.box) {
		return false
	}
	for i, from := range other.polygon {
		to := other.polygon[(i+1)%len(other.polygon)]
		dm, do := to.minutes-from.minutes, to.offset-from.offset
		slack := -lineSlack * (math.Abs(dm) + math.Abs(do))
		for _, p := range r.polygon {
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

func (b *box) within(other *box) bool {
	return b.low.minutes >= other.low.minutes-lineSlack && b.high.minutes <= other.high.minutes+lineSlack &&
		b.low.offset >= other.low.offset-lineSlack && b.high.offset <= other.high.offset+lineSlack
}

const (
	// mostTanks is how many tanks a schedule can be planned for.
	mostTanks = 8
	// fineGridStates bounds the size of the grid and with it the time that a plan takes.
	fineGridStates = 1 << 20
	// roughGridStates does the same while it is being found out which rules can't be kept, which takes many plans.
	roughGridStates = 1 << 16
	// hopeless, in place of the changes made, marks a state from which the flight takes more changes than may be made.
	hopeless = math.MaxUint8
)

// grid finds the best course for more than two tanks with changes on a grid of burn. The package's documentation explains
// how.
type grid struct {
	*problem
	mostStates int
	reached    []reached // by state
	searches   uint16    // so far
	leftOut    bool      // by the last search: a state from which the flight takes too many changes
}

// reached is how a search has come to a state: those of one point lie side by side, so that the memory is fetched once.
type reached struct {
	second  float64 // what is least among the ways there with so few changes
	parent  int32   // the state it was reached from; −1 for the start
	search  uint16  // by which; it has not been seen in any other
	changes uint8   // made to get there
}

func newGrid(p *problem, mostStates int) *grid { return &grid{problem: p, mostStates: mostStates} }

func (g *grid) solve(t terms) (course, bool) {
	t.line = t.line.merged()
	var best found
	var bestLattice *lattice
	for _, b := range g.beginnings(t) {
		l := newLattice(g.problem, t, b, g.mostStates)
		if l == nil {
			continue
		}
		f, ok := g.fewest(l)
		if !ok {
			continue
		}
		if t.anyCourse {
			return g.course(l, f), true
		}
		if bestLattice == nil || f.changes < best.changes || f.changes == best.changes && (f.fullest && !best.fullest || f.fullest == best.fullest && f.second < best.second-tolerance) {
			best, bestLattice = f, l
		}
	}
	if bestLattice == nil {
		return course{}, false
	}
	bestLattice.highestAllowed = best.second + lineSlack
	if f, ok := g.search(bestLattice, byLateness, best.changes); ok {
		best = f
	}
	return g.course(bestLattice, best), true
}

// course goes back from the last change to the start.
func (g *grid) course(l *lattice, f found) course {
	c := course{start: l.beginning.tank}
	for state := f.state; state >= 0; state = g.reached[state].parent {
		w := l.walkFrom(state)
		c.stops = append(c.stops, stop{l.minutes[w.step], l.active[w.tank]})
	}
	slices.Reverse(c.stops)
	return c
}

// unsee makes all of so many states unseen.
func (g *grid) unsee(states int) {
	if g.searches++; len(g.reached) < states || g.searches == math.MaxUint16 {
		g.reached, g.searches = make([]reached, states), 1
	}
}

// aim says what to make least among the ways with the fewest changes.
type aim int

const (
	byHighestImbalance aim = iota
	byLateness
)

// found is a way to the end of the flight.
type found struct {
	changes int
	fullest bool // it lands on the fullest tank
	second  float64
	state   int32 // the last change; −1 if there is none
}

// fewest finds the way with the fewest changes and, of these, the lowest imbalance. Most often it takes few more than are certainly needed,
// and a search that may make no more leaves out what can't end in time.
func (g *grid) fewest(l *lattice) (found, bool) {
	const few = 3
	least := max(l.needed[0], l.stillNeeded(&[mostTanks]int{}, l.activeIndex(l.beginning.tank), 0))
	for most := least; most < min(least+few, mostChanges); most++ {
		if f, ok := g.search(l, byHighestImbalance, most); ok || !g.leftOut {
			return f, ok
		}
	}
	return g.search(l, byHighestImbalance, mostChanges)
}

// search is one look over a lattice for the way with the fewest changes, at most a given number. A state from which the flight certainly takes
// more is left out, which changes nothing of the ways that don't go through it. States are followed in the order of the changes
// made to get there and at least needed from there, and within that of the changes made, so that all the ways to a state
// with the fewest changes have been seen before it is followed. No others count: what comes after a state doesn't depend
// on how it was reached.
type search struct {
	*grid
	*lattice
	aim   aim
	most  int                                       // changes
	queue [mostChanges + 1][mostChanges + 1][]int32 // by changes in all and changes made
	made  int
	from  int32
	walk  walk
	best  found
	done  bool
}

func (g *grid) search(l *lattice, aim aim, most int) (found, bool) {
	g.unsee(l.states)
	g.leftOut = false
	s := search{grid: g, lattice: l, aim: aim, most: most, best: found{state: -1, second: math.Inf(1)}}
	s.queue[l.needed[0]][0] = []int32{-1}
	for all := 0; all <= most && !s.done; all++ {
		for s.made = 0; s.made <= all; s.made++ {
			for _, s.from = range s.queue[all][s.made] {
				s.follow()
				if s.done && l.terms.anyCourse {
					return s.best, true
				}
			}
		}
	}
	return s.best, s.done
}

// follow goes on from a state.
func (s *search) follow() {
	s.walk = s.walkFrom(s.from)
	switch {
	case s.from >= 0:
		s.walk.second = s.reached[s.from].second
	case s.aim == byHighestImbalance:
		s.walk.second = s.highestAtStart
	}
	s.lattice.follow(&s.walk, s.aim, s.change, s.finish)
}

// change notes that a tank can be changed to where the walk is.
func (s *search) change(tank int) {
	all := s.made + 1 + s.needed[s.walk.step]
	if all > s.most {
		s.leftOut = true
		return
	}
	to, second, changes := s.walk.point+tank, s.walk.second, uint8(s.made+1)
	if s.aim == byLateness {
		second -= s.walk.minutes
	}
	state := &s.reached[to]
	switch unseen := state.search != s.searches; {
	case unseen && s.made+1+s.stillNeeded(&s.walk.counts, tank, s.walk.step) > s.most:
		*state = reached{search: s.searches, changes: hopeless} // whoever else comes here has made as many changes, or more
		s.leftOut = true
		return
	case unseen:
		s.queue[all][changes] = append(s.queue[all][changes], int32(to))
	case state.changes != changes || state.second <= second:
		return
	}
	*state = reached{second, s.from, s.searches, changes}
}

// finish notes that the flight can be ended where the walk is.
func (s *search) finish() {
	s.done = true
	fullest := s.landsOnFullest(&s.walk)
	if fullest && !s.best.fullest || fullest == s.best.fullest && s.walk.second < s.best.second {
		s.best = found{s.made, fullest, s.walk.second, s.from}
	}
}

// breakingLeast finds a course when not all rules can be kept. The rules give way in the order of their numbers: the
// longest time on one tank, the imbalance limit, the times without changes, and last the usable fuel; each by no more
// than it must. What gives way is only what helps: a weaker rule stands if giving it up alone corrects nothing.
func (p *problem) breakingLeast(solve solver) course {
	t, ok := p.relaxed(p.terms(), solve)
	if !ok {
		t, ok = p.asFarAsFuelLasts(solve)
	}
	if ok {
		if c, found := p.withWishes(t, solve); found {
			return c
		}
		t.anyCourse = true
		if c, found := solve(t); found {
			return c
		}
	}
	return p.holdOn()
}

// relaxed weakens terms until there is a course that keeps them.
func (p *problem) relaxed(t terms, solve solver) (terms, bool) {
	t.anyCourse = true
	can := func(t terms) bool { _, ok := solve(t); return ok }
	free := func(t terms, longest, imbalance bool) terms {
		if longest {
			t.longest = math.Inf(1)
		}
		if imbalance {
			t = t.withLimit(math.Inf(1))
		}
		return t
	}
	switch {
	case can(t):
	case can(free(t, true, false)):
		t = p.leastLongest(t, can)
	case can(free(t, false, true)):
		t = p.leastImbalance(t, can)
	case can(free(t, true, true)):
		least := p.leastImbalance(free(t, true, false), can)
		t.maxImbalance, t.landingLimit = least.maxImbalance, least.landingLimit
		t = p.leastLongest(t, can)
	default:
		opened := func(share float64) terms {
			t := free(t, true, true)
			t.line = t.line.opened(share)
			return t
		}
		if !can(opened(1)) {
			return t, false
		}
		t.line = opened(p.least(0, 1, func(share float64) bool { return can(opened(share)) })).line
		return p.relaxed(t, solve)
	}
	t.anyCourse = false
	return t, true
}

// leastLongest finds the smallest longest time on one tank, not below the one in the terms, for which there is a course.
func (p *problem) leastLongest(t terms, can func(terms) bool) terms {
	t.longest = p.least(t.longest, t.line.end+p.request.SinceChangeMinutes, func(longest float64) bool {
		try := t
		try.longest = longest
		return can(try)
	})
	return t
}

// leastImbalance does the same for the imbalance limit. Where it need give way at the last change and on landing only, for what is
// burned between them, it does so there only: what can't be kept at the end is no leave to go as far all the way.
func (p *problem) leastImbalance(t terms, can func(terms) bool) terms {
	var most float64
	for _, quantity := range p.request.Quantities {
		most += quantity
	}
	limit := p.least(t.maxImbalance, max(t.maxImbalance, most*p.factors[len(p.factors)-1]), func(limit float64) bool { return can(t.withLimit(limit)) })
	if onlyAtLanding := t; p.line.lastChange() < p.line.end { // most often it is the burn after the last change that is too much
		if onlyAtLanding.landingLimit = limit; can(onlyAtLanding) {
			return onlyAtLanding
		}
	}
	return t.withLimit(limit)
}

// asFarAsFuelLasts plans for the longest part of the flight for which the fuel can be fed to the engine at all.
func (p *problem) asFarAsFuelLasts(solve solver) (terms, bool) {
	var usable float64
	for _, quantity := range p.usable {
		usable += quantity
	}
	lasts := p.line.end
	if usable < p.line.burn {
		lasts = p.line.timeAtBurn(usable)
	}
	cut := func(missed float64) terms {
		t := p.terms()
		t.line = p.line.until(lasts - missed)
		return t
	}
	reachable := func(missed float64) bool {
		t := cut(missed)
		t.line = t.line.opened(1)
		t = t.withLimit(math.Inf(1))
		t.longest, t.anyCourse = math.Inf(1), true
		_, ok := solve(t)
		return ok
	}
	if !reachable(lasts) {
		return terms{}, false
	}
	return p.relaxed(cut(p.least(0, lasts, reachable)), solve)
}

// least finds the smallest value from low to high at which something that holds from some value up to high does hold; with
// two tanks to a millionth of the range, with more, which take longer, to a thousandth. The value returned does hold.
func (p *problem) least(low, high float64, holds func(float64) bool) float64 {
	if holds(low) {
		return low
	}
	enough := (high - low) * 1e-6
	if len(p.usable) > 2 {
		enough = (high - low) * 1e-3
	}
	for high-low > enough {
		if middle := (low + high) / 2; holds(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// hint says what would let a broken rule be kept, as far as that can be told.
func (p *problem) hint(b Broken) string {
	switch b.Rule {
	case RuleUsableFuel:
		return p.amount(b.By) + " more is needed to land"
	case RuleLongestTime:
		return p.hintByTrial(fmt.Sprintf("%.0f minutes more on one tank are needed", b.By))
	case RuleImbalance:
		return p.hintByTrial("a limit higher by " + p.amount(b.By) + " is needed")
	default:
		return p.hintByTrial("more fuel is needed in the tank used before it")
	}
}

// hintByTrial tries what could be done otherwise, the easiest first.
func (p *problem) hintByTrial(otherwise string) string {
	keeps := func(request Request) (course, bool) {
		other := newProblem(request)
		t := other.terms()
		t.anyCourse = true
		c, ok := other.solver(roughGridStates)(t)
		return c, ok && len(other.schedule(c).Broken) == 0
	}
	request := p.request
	if request.Selected != FreeToChoose {
		request.Selected = FreeToChoose
		if c, ok := keeps(request); ok {
			when := " in use from the start would keep it"
			if request.UnderWay {
				when = " in use now would keep it"
			}
			return p.name(c.start) + when
		}
	}
	request = p.request
	request.Burns = openedBurns(request.Burns)
	if _, ok := keeps(request); ok {
		return "a change where none is allowed now would keep it"
	}
	if len(p.usable) == 2 && !p.request.UnderWay {
		request = p.request
		level := (request.Quantities[0] + request.Quantities[1]) / 2
		request.Quantities = []float64{level, level}
		if _, ok := keeps(request); ok {
			return p.amount(level) + " in each at the start would keep it"
		}
	}
	return otherwise
}

// openedBurns are the same burns with a change allowed in all.
func openedBurns(burns []Burn) []Burn {
	out := make([]Burn, len(burns))
	for i, burn := range burns {
		burn.ChangeAllowed = true
		out[i] = burn
	}
	return out
}
