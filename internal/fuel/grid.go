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
	// unseen marks a state that hasn't been reached.
	unseen = math.MaxUint8
)

// grid finds the best course for more than two tanks with changes on a grid of burn. The package's documentation explains
// how.
type grid struct {
	*problem
	mostStates int
	changes    []uint8   // by state: changes made to get there; unseen
	second     []float64 // by state: what is least among the ways there with so few changes
	parent     []int32   // by state: where it was reached from; −1 for the start
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
		f, ok := g.search(l, byHighestImbalance)
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
	if f, ok := g.search(bestLattice, byLateness); ok {
		best = f
	}
	return g.course(bestLattice, best), true
}

// course goes back from the last change to the start.
func (g *grid) course(l *lattice, f found) course {
	c := course{start: l.beginning.tank}
	for state := f.state; state >= 0; state = g.parent[state] {
		w := l.walkFrom(state)
		c.stops = append(c.stops, stop{l.minutes[w.step], l.active[w.tank]})
	}
	slices.Reverse(c.stops)
	return c
}

func (g *grid) clear(states int) {
	if cap(g.changes) < states {
		g.changes, g.second, g.parent = make([]uint8, states), make([]float64, states), make([]int32, states)
	}
	g.changes, g.second, g.parent = g.changes[:states], g.second[:states], g.parent[:states]
	for i := range g.changes {
		g.changes[i] = unseen
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

// search is one look over a lattice for the way with the fewest changes. States are followed in the order of the changes
// made to get there and at least needed from there, and within that of the changes made, so that all the ways to a state
// with the fewest changes have been seen before it is followed. No others count: what comes after a state doesn't depend
// on how it was reached.
type search struct {
	*grid
	*lattice
	aim   aim
	queue [mostChanges + 1][mostChanges + 1][]int32 // by changes in all and changes made
	made  int
	from  int32
	walk  walk
	best  found
	done  bool
}

func (g *grid) search(l *lattice, aim aim) (found, bool) {
	g.clear(l.states)
	s := search{grid: g, lattice: l, aim: aim, best: found{state: -1, second: math.Inf(1)}}
	s.queue[l.needed[0]][0] = []int32{-1}
	for all := 0; all <= mostChanges && !s.done; all++ {
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
		s.walk.second = s.second[s.from]
	case s.aim == byHighestImbalance:
		s.walk.second = s.highestAtStart
	}
	s.lattice.follow(&s.walk, s.aim, s.change, s.finish)
}

// change notes that a tank can be changed to where the walk is.
func (s *search) change(tank int) {
	all := s.made + 1 + s.needed[s.walk.step]
	if all > mostChanges {
		return
	}
	to, second, changes := s.walk.point+tank, s.walk.second, uint8(s.made+1)
	if s.aim == byLateness {
		second -= s.walk.minutes
	}
	switch {
	case s.changes[to] == unseen:
		s.changes[to] = changes
		s.queue[all][changes] = append(s.queue[all][changes], int32(to))
	case s.changes[to] != changes || s.second[to] <= second:
		return
	}
	s.second[to], s.parent[to] = second, s.from
}

// finish notes that the flight can be ended where the walk is.
func (s *search) finish() {
	s.done = true
	fullest := s.landsOnFullest(&s.walk)
	if fullest && !s.best.fullest || fullest == s.best.fullest && s.walk.second < s.best.second {
		s.best = found{s.made, fullest, s.walk.second, s.from}
	}
}
