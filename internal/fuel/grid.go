package fuel

import (
	"math"
	"slices"
)

const (
	// mostTanks is how many tanks a schedule can be planned for.
	mostTanks = 8
	// fineGridStates bounds the size of the grid and with it the time that a plan takes.
	fineGridStates = 1 << 20
	// roughGridStates does the same while it is being found out which rules can't be kept, which takes many plans.
	roughGridStates = 1 << 16
)

// grid finds the best course for more than two tanks with changes on a grid of burn. The package's documentation explains
// how.
type grid struct {
	*problem
	mostStates int
	nodes      paged[node]  // of the last search; the first is none
	noted      int          // nodes
	known      paged[int32] // by state, of which most are never seen: its node, unseen or hopeless
	ahead      outlook
}

// node is a state that a search has come to.
type node struct {
	second  float64 // what is least among the ways there with so few changes
	state   int32   // −1 for the start
	parent  int32   // the node it was reached from
	next    int32   // in its queue
	changes uint8   // made to get there
}

// In place of a node.
const (
	unseen   = 0
	hopeless = -1 // a state from which the flight takes more changes than may be made
)

func newGrid(p *problem, mostStates int) *grid { return &grid{problem: p, mostStates: mostStates} }

func (g *grid) solve(t terms) (course, bool) {
	t.line = t.line.merged()
	var best found
	var bestCourse course
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
		if bestLattice == nil || f.changes < best.changes || f.changes == best.changes && (f.fullest && !best.fullest || f.fullest == best.fullest && f.imbalance < best.imbalance-tolerance) {
			best, bestCourse, bestLattice = f, g.course(l, f), l
		}
	}
	if bestLattice == nil {
		return course{}, false
	}
	if len(bestLattice.pairs) > 0 {
		bestLattice.highestAllowed = best.imbalance + lineSlack
		bestLattice.findTurns()
		if f, ok := g.search(bestLattice, byLateness, best.changes); ok {
			bestCourse = g.course(bestLattice, f)
		}
	}
	return bestCourse, true
}

// course goes back from the last change to the start.
func (g *grid) course(l *lattice, f found) course {
	c := course{start: l.beginning.tank}
	for n := g.nodes.at(int(f.node)); n.state >= 0; n = g.nodes.at(int(n.parent)) {
		w := l.walkFrom(n.state)
		c.stops = append(c.stops, stop{l.minutes[w.step], l.active[w.tank]})
	}
	slices.Reverse(c.stops)
	return c
}

// aim says what to make least among the ways with the fewest changes.
type aim int

const (
	byHighestImbalance aim = iota
	byLateness
)

// found is a way to the end of the flight.
type found struct {
	changes   int
	fullest   bool    // it lands on the fullest tank
	second    float64 // what was to be made least
	imbalance float64 // the highest, where that was to be made least
	node      int32   // the last change, or the start
}

// fewest finds the way with the fewest changes and, of these, the lowest imbalance; where no pair is compared, which leaves nothing to be
// lowered, the latest. Most often it takes few more than are certainly needed, and a search that may make no more leaves out what can't end in time.
func (g *grid) fewest(l *lattice) (found, bool) {
	const few = 3
	aim := byHighestImbalance
	if len(l.pairs) == 0 && !l.terms.anyCourse {
		aim = byLateness
	}
	g.ahead.over(l, mostChanges)
	g.ahead.look(&[mostTanks]int{}, 0)
	inUse, least := l.activeIndex(l.beginning.tank), l.needed[0]
	if !g.ahead.canEnd(inUse, mostChanges) {
		return found{}, false
	}
	for least < mostChanges && !g.ahead.canEnd(inUse, least) {
		least++
	}
	for most := least; most < min(least+few, mostChanges); most++ {
		if f, ok := g.search(l, aim, most); ok {
			return f, ok
		}
	}
	return g.search(l, aim, mostChanges)
}

// search is one look over a lattice for the way with the fewest changes, at most a given number. States are followed in the order of the
// changes made to get there and at least needed from there, and within that of the changes made, so that all the ways to a state
// with the fewest changes have been seen before it is followed. No others count: what comes after a state doesn't depend
// on how it was reached.
//
// A state from which the flight certainly takes more changes is left out (see [outlook]). That changes nothing of what is found, not even which of two
// ways that are as good: no way to the end leads through such a state, and where one leads through a state, one leads through every state
// from which it was reached with as few changes. So those that matter are found from the same ones, in the same order.
type search struct {
	*grid
	*lattice
	aim   aim
	most  int                                     // changes
	queue [mostChanges + 1][mostChanges + 1]queue // by changes in all and changes made
	from  int32                                   // the node that is followed
	made  int
	best  found
	done  bool
}

// queue is the nodes from first to last, each with the next.
type queue struct{ first, last int32 }

func (g *grid) search(l *lattice, aim aim, most int) (found, bool) {
	g.known.clear()
	g.ahead.over(l, most)
	g.noted = 1
	s := search{grid: g, lattice: l, aim: aim, most: most, best: found{second: math.Inf(1)}}
	start := node{state: -1}
	if aim == byHighestImbalance {
		start.second = l.highestAtStart
	}
	s.add(start, l.needed[0])
	for all := 0; all <= most && !s.done; all++ {
		for s.made = 0; s.made <= all; s.made++ {
			for s.from = s.queue[all][s.made].first; s.from != 0; s.from = g.nodes.at(int(s.from)).next {
				s.follow()
				if s.done && l.terms.anyCourse {
					return s.best, true
				}
			}
		}
	}
	return s.best, s.done
}

// add queues a new node.
func (s *search) add(n node, all int) (added int32) {
	added, queue := int32(s.noted), &s.queue[all][n.changes]
	s.noted++
	*s.nodes.at(int(added)) = n
	if queue.first == 0 {
		queue.first = added
	} else {
		s.nodes.at(int(queue.last)).next = added
	}
	queue.last = added
	return added
}

// follow feeds the tank of a node for as long as the terms allow, and notes every tank that can be changed to on the way, and whether the
// flight can be ended so.
func (s *search) follow() {
	l := s.lattice
	n := s.nodes.at(int(s.from))
	w := l.walkFrom(n.state)
	w.second = n.second
	since := w.minutes
	latest := since + l.terms.longest
	if w.first {
		latest = l.beginning.deadline
	}
	forced := w.step >= l.lastChange // nothing can be done about how long the rest is
	for w.minutes <= latest+tolerance || forced {
		if w.step == l.steps {
			if l.landsWell(&w) {
				s.finish(&w)
			}
			return
		}
		if l.allowed[w.step] && (w.first || w.minutes >= since+l.terms.stay-tolerance) {
			s.change(&w)
		}
		if !l.feedStep(&w, s.aim) {
			return
		}
	}
}

// change notes the tanks that can be changed to where a walk is.
func (s *search) change(w *walk) {
	made := s.made + 1
	all := made + s.needed[w.step]
	if all > s.most {
		return
	}
	second := w.second
	if s.aim == byLateness {
		second -= w.minutes
	}
	looked := false
	for tank, most := range s.lattice.most {
		if tank == w.tank || w.counts[tank] >= most {
			continue
		}
		state := w.point + tank
		switch known := s.known.at(state); {
		case *known == hopeless: // whoever else comes here has made as many changes, or more
		case *known == unseen:
			if !looked {
				s.ahead.look(&w.counts, w.step)
				looked = true
			}
			if !s.ahead.canEnd(tank, s.most-made) {
				*known = hopeless
				continue
			}
			*known = s.add(node{second, int32(state), s.from, 0, uint8(made)}, all)
		default:
			if n := s.nodes.at(int(*known)); int(n.changes) == made && second < n.second {
				n.second, n.parent = second, s.from
			}
		}
	}
}

// finish notes that the flight can be ended where a walk is.
func (s *search) finish(w *walk) {
	s.done = true
	fullest := s.landsOnFullest(w)
	if fullest && !s.best.fullest || fullest == s.best.fullest && w.second < s.best.second {
		s.best = found{changes: s.made, fullest: fullest, second: w.second, node: s.from}
		if s.aim == byHighestImbalance {
			s.best.imbalance = w.second
		}
	}
}

// paged is a list with no end of which only the parts that are used take memory.
type paged[T any] struct{ pages []*[pageSize]T }

const pageSize = 512

// at is an entry, which is the zero value until it is set.
func (p *paged[T]) at(i int) *T {
	if page := uint(i) / pageSize; page < uint(len(p.pages)) && p.pages[page] != nil {
		return &p.pages[page][uint(i)%pageSize]
	}
	return p.opened(i)
}

func (p *paged[T]) opened(i int) *T {
	page := i / pageSize
	if missing := page + 1 - len(p.pages); missing > 0 {
		p.pages = append(p.pages, make([]*[pageSize]T, missing)...)
	}
	p.pages[page] = new([pageSize]T)
	return &p.pages[page][i%pageSize]
}

// clear sets all entries to the zero value.
func (p *paged[T]) clear() {
	for _, page := range p.pages {
		if page != nil {
			clear(page[:])
		}
	}
}
