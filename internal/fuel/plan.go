package fuel

import (
	"cmp"
	"math"
	"slices"
)

// ShortestStayMinutes is the shortest time between two changes: the first minute after a change is for making sure that
// engine and fuel pressure hold.
const ShortestStayMinutes = 1.0

// Plan finds the best schedule: see the package's documentation for what best means. If a rule can't be kept, the error is
// a *Broken that names the gravest, and the schedule is the one that breaks the rules least, with all that it breaks in
// Schedule.Broken. Any other error is about a request that can't be reckoned with, and then there is no schedule.
func Plan(request Request) (Schedule, error) {
	if err := request.problem(); err != nil {
		return Schedule{}, err
	}
	p := newProblem(request)
	c, ok := p.keepingAllRules(p.solver(fineGridStates))
	if !ok {
		c = p.breakingLeast(p.solver(roughGridStates))
	}
	schedule := p.schedule(c)
	if len(schedule.Broken) == 0 {
		return schedule, nil
	}
	for i := range schedule.Broken {
		schedule.Broken[i].Hint = p.hint(schedule.Broken[i])
	}
	gravest := schedule.Broken[0]
	return schedule, &gravest
}

// terms are what a solver has to keep.
type terms struct {
	line         timeline
	maxImbalance float64 // +Inf: no limit
	landingLimit float64 // the limit at the last change and on landing: maxImbalance unless it has given way there
	longest      float64 // minutes on one tank; +Inf: no limit
	fuelFactor   float64 // no tank runs dry when this multiple of the planned burn is used
	reserve      bool    // the last tank holds the landing reserve
	recover      bool    // as long as a pair is above the limit, nothing but the fuller tank of such a pair is fed
	anyCourse    bool    // the first course found will do: only whether there is one matters
}

// solver finds the best course that keeps terms, if there is one.
type solver func(terms) (course, bool)

// solver chooses one by the number of tanks; with more than two the size of the grid decides how long it takes.
func (p *problem) solver(mostGridStates int) solver {
	switch len(p.usable) {
	case 1:
		return p.solveOneTank
	case 2:
		return newTwoTanks(p).solve
	default:
		return newGrid(p, mostGridStates).solve
	}
}

// terms returns the rules as they are, without the wishes.
func (p *problem) terms() terms {
	t := terms{line: p.line, longest: math.Inf(1), fuelFactor: 1}.withLimit(math.Inf(1))
	if p.request.Rules.MaxImbalance > 0 {
		t = t.withLimit(p.request.Rules.MaxImbalance)
	}
	if p.request.Rules.ChangeEveryMinutes > 0 {
		t.longest = p.request.Rules.ChangeEveryMinutes
	}
	return t
}

// withLimit is the same terms with one imbalance limit all the way.
func (t terms) withLimit(limit float64) terms {
	t.maxImbalance, t.landingLimit = limit, limit
	return t
}

// keepingAllRules finds the best course that keeps the rules.
func (p *problem) keepingAllRules(solve solver) (course, bool) {
	return p.withWishes(p.terms(), solve)
}

// withWishes finds the best course that keeps terms and as much as can be of what is wished for: first that a pair above the limit is
// brought back to it before anything else, then that the last tank holds the landing reserve, then that the fuel in the tanks holds for
// the extra burn too.
func (p *problem) withWishes(t terms, solve solver) (course, bool) {
	if t.recover = p.canRecover(t); t.recover {
		if c, ok := p.withFuelWishes(t, solve); ok {
			return c, true
		}
		t.recover = false
	}
	return p.withFuelWishes(t, solve)
}

// canRecover reports whether there is a pair above the limit at the start, and a tank besides the two of it: two tanks alone have
// no choice but to recover.
func (p *problem) canRecover(t terms) bool {
	return len(p.usable) > 2 && p.highest(p.request.Quantities) > t.maxImbalance+tolerance
}

func (p *problem) withFuelWishes(t terms, solve solver) (course, bool) {
	for _, reserve := range []bool{true, false} {
		if reserve && p.request.Rules.LandingReserve == 0 {
			continue
		}
		for _, fuelFactor := range backwards(p.factors) {
			t.fuelFactor, t.reserve = fuelFactor, reserve
			if c, ok := solve(t); ok {
				return c, true
			}
		}
	}
	return course{}, false
}

func backwards(factors []float64) []float64 {
	out := slices.Clone(factors)
	slices.Reverse(out)
	return out
}

// holdOn is the course of last resort: no change at all.
func (p *problem) holdOn() course {
	if p.request.Selected != FreeToChoose {
		return course{start: p.request.Selected}
	}
	return course{start: p.fullerFirst()[0]}
}

func (p *problem) solveOneTank(t terms) (course, bool) {
	c := p.holdOn()
	wanted := t.line.burn * t.fuelFactor
	held := p.usable[0] >= wanted-tolerance && t.line.end+p.request.SinceChangeMinutes <= t.longest+tolerance
	if t.reserve {
		held = held && p.usable[0]-t.line.burn >= p.request.Rules.LandingReserve-tolerance
	}
	return c, held
}

// fullerFirst returns the indexes of the tanks, the fuller first.
func (p *problem) fullerFirst() []int {
	order := make([]int, len(p.usable))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(p.request.Quantities[b], p.request.Quantities[a])
	})
	return order
}

// beginning is a way to begin a course: nothing can be chosen before the first time that a change is allowed.
type beginning struct {
	tank     int
	from     float64 // minutes: when the first choice comes
	burned   float64 // planned, from this tank, until then
	deadline float64 // minutes: when the first change is due at the latest
	breach   float64 // how far the imbalance goes beyond what is allowed before the first choice
}

// beginnings returns the ways to begin that break the imbalance limit least before the first choice comes, the fuller
// tank first.
func (p *problem) beginnings(t terms) []beginning {
	tanks := p.fullerFirst()
	since := 0.0
	if p.request.Selected != FreeToChoose {
		tanks = []int{p.request.Selected}
		since = p.request.SinceChangeMinutes
	}
	from := t.line.firstChange()
	var all []beginning
	least := math.Inf(1)
	for _, tank := range tanks {
		b := beginning{tank: tank, from: from, burned: t.line.burnAt(from), deadline: max(t.longest-since, from)}
		b.breach = p.breachBefore(b, t.maxImbalance)
		least = min(least, b.breach)
		all = append(all, b)
	}
	return slices.DeleteFunc(all, func(b beginning) bool { return b.breach > least+tolerance })
}

// breachBefore is how far a beginning goes beyond the imbalance that is allowed before its first choice.
func (p *problem) breachBefore(b beginning, limit float64) float64 {
	if math.IsInf(limit, 1) {
		return 0
	}
	var breach float64
	for _, factor := range p.factors {
		knots := []knot{{quantities: p.request.Quantities}, {minutes: b.from, quantities: slices.Clone(p.request.Quantities)}}
		knots[1].quantities[b.tank] -= min(factor*b.burned, p.usable[b.tank])
		for _, pair := range p.pairs {
			_, by := aboveEnvelope(knots, pair, limit)
			breach = max(breach, by)
		}
	}
	return breach
}

// band is the range of the burn from the second tank of a pair less that from the first, planned, within which the
// imbalance keeps a limit for every burn from the least to the largest of the factors. With infinite limits it has no ends.
func (p *problem) band(pair [2]int, limit float64, factors []float64) (low, high float64) {
	difference := p.request.Quantities[pair[0]] - p.request.Quantities[pair[1]]
	low, high = math.Inf(-1), math.Inf(1)
	for _, factor := range factors {
		low = max(low, (-limit-difference)/factor)
		high = min(high, (limit-difference)/factor)
	}
	if low > high { // only if the difference is many times the limit: then the planned burn counts
		return -limit - difference, limit - difference
	}
	return low, high
}
