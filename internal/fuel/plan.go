package fuel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
)

// ShortestStayMinutes is the shortest time between two changes: the first minute after a change is for making sure that
// engine and fuel pressure hold.
const ShortestStayMinutes = 1.0

// CalmStayMinutes is the shortest time between two changes that nobody is hurried by: common practice, no source.
const CalmStayMinutes = 5.0

// Calmly plans as Plan does, but with no two changes closer together than CalmStayMinutes where a schedule can be had that keeps every
// rule so, or that exceeds the longest time on one tank by less than that and nothing else: nobody changes twice in a minute to keep it.
func Calmly(request Request) (Schedule, error) {
	schedule, err := Plan(request)
	if err != nil || !schedule.crowded() {
		return schedule, err
	}
	calm := request
	calm.Rules.ShortestStayMinutes = CalmStayMinutes
	if calmer, err := Plan(calm); err == nil {
		return calmer, nil
	}
	if calm.Rules.ChangeEveryMinutes == 0 {
		return schedule, nil
	}
	calm.Rules.ChangeEveryMinutes += CalmStayMinutes
	calmer, err := Plan(calm)
	if err != nil {
		return schedule, nil // the crowded one keeps every rule
	}
	calmer, err = Follow(request, calmer.StartOn, calmer.Changes)
	if err != nil || len(calmer.Broken) == 0 {
		return calmer, err
	}
	return calmer, &calmer.Broken[0]
}

// crowded reports whether two changes are closer together than is calm.
func (s Schedule) crowded() bool {
	for i := 1; i < len(s.Changes); i++ {
		if s.Changes[i].AtMinutes-s.Changes[i-1].AtMinutes < CalmStayMinutes-tolerance {
			return true
		}
	}
	return false
}

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
		if schedule.Broken[i].unhinted = request.HintsLater; !request.HintsLater {
			schedule.Broken[i].Hint = p.hint(schedule.Broken[i])
		}
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
	stay         float64 // minutes between two changes
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
		if p.two == nil {
			p.two = newTwoTanks(p)
		}
		return p.two.solve
	default:
		return newGrid(p, mostGridStates).solve
	}
}

// terms returns the rules as they are, without the wishes.
func (p *problem) terms() terms {
	t := terms{line: p.line, longest: math.Inf(1), stay: max(ShortestStayMinutes, p.request.Rules.ShortestStayMinutes), fuelFactor: 1}.withLimit(math.Inf(1))
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
	if p.lacksFuel(p.line) {
		return course{}, false
	}
	return p.withWishes(p.terms(), solve)
}

// outOfTolerance is more fuel than any course might make up for by its tolerances.
const outOfTolerance = 1e-3

// lacksFuel reports whether a flight burns more than is usable in all tanks.
func (p *problem) lacksFuel(line timeline) bool {
	return p.usableInAll() < line.burn-outOfTolerance
}

// lacksFuelFor reports whether there is less in all tanks than terms ask for.
func (p *problem) lacksFuelFor(t terms) bool {
	wanted := t.line.burn * t.fuelFactor
	if t.reserve {
		wanted = max(wanted, t.line.burn+p.request.Rules.LandingReserve)
	}
	return p.usableInAll() < wanted-outOfTolerance
}

func (p *problem) usableInAll() float64 {
	total := 0.0
	for _, usable := range p.usable {
		total += usable
	}
	return total
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
		for _, fuelFactor := range slices.Backward(p.factors) {
			t.fuelFactor, t.reserve = fuelFactor, reserve
			if p.lacksFuelFor(t) {
				continue
			}
			if c, ok := solve(t); ok {
				return c, true
			}
		}
	}
	return course{}, false
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
	tanks, since := []int{p.request.Selected}, p.request.SinceChangeMinutes
	if p.request.Selected == FreeToChoose {
		tanks, since = p.fullerFirst(), 0
	}
	from := t.line.firstChange()
	all := make([]beginning, 0, len(tanks))
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
	knots := []knot{{quantities: p.request.Quantities}, {minutes: b.from, quantities: slices.Clone(p.request.Quantities)}}
	for _, factor := range p.factors {
		knots[1].quantities[b.tank] = p.request.Quantities[b.tank] - min(factor*b.burned, p.usable[b.tank])
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

// Tank is one of the tanks that the selector can feed the engine from. Quantities are in the aircraft's unit.
type Tank struct {
	Name     string
	Capacity float64 // when full; 0: not said
	Unusable float64 // what stays in the tank when the engine starves
}

// Burn is a piece of the flight to come with a constant flow.
type Burn struct {
	Minutes       float64 // how long it lasts
	FlowPerHour   float64 // planned
	ChangeAllowed bool    // a tank may be changed from its first to its last minute, both included
	Phase         string  // what is said of it in messages: "climb", "cruise", "the last 10 minutes"
}

// Rules are what a schedule has to keep. The zero value asks for nothing but usable fuel.
type Rules struct {
	// MaxImbalance is the largest difference of quantities within each of Pairs; 0 means that there is no limit.
	MaxImbalance float64
	// Pairs are the indexes of the tanks that the limit compares. With two tanks they may be left out; with more they
	// must be named if there is a limit.
	Pairs [][2]int
	// ChangeEveryMinutes is the longest time on one tank, counted from the last change; 0 means none.
	ChangeEveryMinutes float64
	// ShortestStayMinutes is the shortest time between two changes; less than the constant of that name counts as that.
	ShortestStayMinutes float64
	// ExtraBurnFraction is how much more than planned may be burned, from now to landing, with every rule still kept:
	// 0.10 for 10 % more. The times of the changes stay the same.
	ExtraBurnFraction float64
	// LandingReserve is the quantity above unusable that the tank in use should hold on landing, by the planned burn.
	LandingReserve float64
}

// FreeToChoose as Request.Selected lets the schedule choose the tank to start on.
const FreeToChoose = -1

// Request is everything that a schedule is planned from. Minutes count from a zero of the caller's, at which the first
// Burn begins.
type Request struct {
	UnitName           string // of all quantities, as messages should say it (Unit.Short); empty: not said
	Tanks              []Tank
	Quantities         []float64 // now, by tank
	Selected           int       // the tank now in use, or FreeToChoose
	SinceChangeMinutes float64   // how long it has been in use
	Burns              []Burn
	Rules              Rules
	UnderWay           bool // the engines run: what was in the tanks at the start can't be put right any more
	HintsLater         bool // what would let a broken rule be kept takes long to find, and is left to Broken.Hinted
}

// problem says what is wrong with a request that can't be reckoned with at all, or nil.
func (r Request) problem() error {
	if len(r.Tanks) == 0 {
		return fmt.Errorf("no tanks: at least one is needed")
	}
	if len(r.Tanks) > mostTanks {
		return fmt.Errorf("%d tanks: at most %d can be scheduled", len(r.Tanks), mostTanks)
	}
	if len(r.Quantities) != len(r.Tanks) {
		return fmt.Errorf("%d tanks but %d quantities: one for each tank is needed", len(r.Tanks), len(r.Quantities))
	}
	for i, tank := range r.Tanks {
		if !counts(tank.Unusable) {
			return fmt.Errorf("tank %q: unusable quantity %v: it must be 0 or more", tank.Name, tank.Unusable)
		}
		if !counts(r.Quantities[i]) {
			return fmt.Errorf("tank %q: quantity %v: it must be 0 or more", tank.Name, r.Quantities[i])
		}
	}
	if r.Selected != FreeToChoose && (r.Selected < 0 || r.Selected >= len(r.Tanks)) {
		return fmt.Errorf("selected tank %d: it must be from 0 to %d, or FreeToChoose", r.Selected, len(r.Tanks)-1)
	}
	for i, burn := range r.Burns {
		if !counts(burn.Minutes) || !counts(burn.FlowPerHour) {
			return fmt.Errorf("burn %d (%s): %v minutes at %v an hour: both must be 0 or more", i, burn.Phase, burn.Minutes, burn.FlowPerHour)
		}
	}
	if !counts(r.SinceChangeMinutes) {
		return fmt.Errorf("%v minutes since the last change: it must be 0 or more", r.SinceChangeMinutes)
	}
	return r.Rules.problem(len(r.Tanks))
}

func (r Rules) problem(tanks int) error {
	for _, figure := range []struct {
		name  string
		value float64
	}{
		{"largest imbalance", r.MaxImbalance},
		{"longest time on one tank", r.ChangeEveryMinutes},
		{"extra burn", r.ExtraBurnFraction},
		{"landing reserve", r.LandingReserve},
	} {
		if !counts(figure.value) {
			return fmt.Errorf("%s %v: it must be 0 or more", figure.name, figure.value)
		}
	}
	for _, pair := range r.Pairs {
		for _, tank := range pair {
			if tank < 0 || tank >= tanks {
				return fmt.Errorf("pair %v: there is no tank %d", pair, tank)
			}
		}
		if pair[0] == pair[1] {
			return fmt.Errorf("pair %v: a tank can't be compared with itself", pair)
		}
	}
	if r.MaxImbalance > 0 && len(r.Pairs) == 0 && tanks > 2 {
		return fmt.Errorf("a largest imbalance with %d tanks: the pairs it applies to must be named", tanks)
	}
	return nil
}

// counts reports whether a figure is a finite number not below 0.
func counts(figure float64) bool { return figure >= 0 && !math.IsInf(figure, 1) }

// pairs are the pairs of tanks whose imbalance is reckoned.
func (r Request) pairs() [][2]int {
	if len(r.Rules.Pairs) > 0 {
		return r.Rules.Pairs
	}
	if len(r.Tanks) == 2 {
		return [][2]int{{0, 1}}
	}
	return nil
}

// Change is a change of the tank in use.
type Change struct {
	AtMinutes       float64
	To              int       // index of the tank changed to
	ImbalanceBefore float64   // just then, by the planned burn
	Quantities      []float64 // just then, by the planned burn
}

// Schedule says which tank feeds the engine when, and what comes of it. Quantities and imbalances are by the planned burn
// unless they say extra.
type Schedule struct {
	StartOn int // tank in use at minute 0, before any change at minute 0
	Changes []Change
	LandsOn int // tank in use on landing

	HighestImbalance      float64 // from minute 0 to landing
	HighestImbalanceExtra float64 // the same with the extra burn
	ImbalanceAtStart      float64
	StartsAboveLimit      bool
	WithinLimitAtMinutes  float64 // when an imbalance above the limit at the start has fallen to it; +Inf if not before landing

	Remaining        []float64 // on landing
	LandsOnFullest   bool      // no tank holds more usable fuel on landing than the one in use
	LandsWithReserve bool      // the tank in use on landing holds the landing reserve above its unusable quantity
	HoldsExtraBurn   bool      // with the extra burn too no tank is fed below its unusable quantity
	Broken           []Broken  // rules that it doesn't keep, the gravest first

	pairs [][2]int
	track []knot
}

// knot is a time at which the flow or the tank changes; between two knots all quantities are linear.
type knot struct {
	minutes    float64
	quantities []float64
	fed        int // the tank in use from here on
}

// QuantitiesAt returns the quantity in each tank at a time, by the planned burn: before minute 0 those at the start, after
// landing those on landing. A tank in use without usable fuel keeps what is unusable in it.
func (s Schedule) QuantitiesAt(minutes float64) []float64 {
	after := sort.Search(len(s.track), func(i int) bool { return s.track[i].minutes >= minutes })
	switch {
	case len(s.track) == 0:
		return nil
	case after == len(s.track):
		return slices.Clone(s.Remaining)
	case after == 0:
		return slices.Clone(s.track[0].quantities)
	}
	a, b := s.track[after-1], s.track[after]
	share := (minutes - a.minutes) / (b.minutes - a.minutes)
	quantities := make([]float64, len(a.quantities))
	for i := range quantities {
		quantities[i] = a.quantities[i] + share*(b.quantities[i]-a.quantities[i])
	}
	return quantities
}

// Knots are the times at which the flow or the tank in use changes, from minute 0 to landing: between two of them all quantities
// go evenly.
func (s Schedule) Knots() []float64 {
	minutes := make([]float64, len(s.track))
	for i, k := range s.track {
		minutes[i] = k.minutes
	}
	return minutes
}

// ImbalanceAt returns the largest imbalance within a pair at a time, by the planned burn. Two tanks are a pair; of more,
// only those named in the rules.
func (s Schedule) ImbalanceAt(minutes float64) float64 {
	imbalance, _ := LargestImbalance(s.QuantitiesAt(minutes), s.pairs)
	return imbalance
}

// TankAt returns the index of the tank in use at a time; at the time of a change, the tank changed to.
func (s Schedule) TankAt(minutes float64) int {
	tank := s.StartOn
	for _, change := range s.Changes {
		if change.AtMinutes <= minutes {
			tank = change.To
		}
	}
	return tank
}

// Follow reckons a schedule that somebody else made: which rules of the request it breaks, and the figures that come of
// it. Of the changes only the times, which must not run backwards, and the tanks count. The error is about a request or
// changes that can't be reckoned with; broken rules are in the Schedule.
func Follow(request Request, startOn int, changes []Change) (Schedule, error) {
	if err := request.problem(); err != nil {
		return Schedule{}, err
	}
	if startOn < 0 || startOn >= len(request.Tanks) {
		return Schedule{}, fmt.Errorf("start on tank %d: it must be from 0 to %d", startOn, len(request.Tanks)-1)
	}
	p := newProblem(request)
	c := course{start: startOn}
	last := 0.0
	for i, change := range changes {
		if !(change.AtMinutes >= last) || change.AtMinutes > p.line.end {
			return Schedule{}, fmt.Errorf("change %d at minute %v: it must be from minute %v to %v", i+1, change.AtMinutes, last, p.line.end)
		}
		if change.To < 0 || change.To >= len(request.Tanks) {
			return Schedule{}, fmt.Errorf("change %d to tank %d: it must be from 0 to %d", i+1, change.To, len(request.Tanks)-1)
		}
		last = change.AtMinutes
		c.stops = append(c.stops, stop{change.AtMinutes, change.To})
	}
	return p.schedule(c), nil
}

// Untouched reckons with the planned burn when, in minutes, the tank in use comes to a limit if no tank is changed: that of the imbalance, and the end of
// its usable fuel; +Inf where it doesn't. The error is about a request that can't be reckoned with or says of no tank that it is in use.
func Untouched(request Request) (limitAt, dryAt float64, err error) {
	if err := request.problem(); err != nil {
		return 0, 0, err
	}
	if request.Selected == FreeToChoose {
		return 0, 0, fmt.Errorf("no tank is in use")
	}
	p := newProblem(request)
	planned := p.reckon(course{start: request.Selected}, 1)
	limitAt = math.Inf(1)
	if limit := request.Rules.MaxImbalance; limit > 0 {
		for _, pair := range p.pairs {
			if at, by := aboveEnvelope(planned.knots, pair, limit); by > tolerance {
				limitAt = min(limitAt, at)
			}
		}
	}
	return limitAt, planned.dryAt, nil
}

// Rule is one of the rules that a schedule has to keep.
type Rule int

// The rules, from the one that is given up first to the one that is given up last.
const (
	RuleLongestTime Rule = iota // the longest time on one tank
	RuleImbalance               // the largest imbalance within a pair
	RuleQuietTime               // no change where none is allowed
	RuleUsableFuel              // no tank fed below its unusable quantity
)

// String names the rule.
func (r Rule) String() string {
	switch r {
	case RuleLongestTime:
		return "longest time on one tank"
	case RuleImbalance:
		return "largest imbalance"
	case RuleQuietTime:
		return "no change"
	case RuleUsableFuel:
		return "usable fuel"
	}
	return fmt.Sprintf("Rule(%d)", int(r))
}

// Broken is a rule that can't be kept: an error when Plan returns it, though the schedule beside it is the best there is.
type Broken struct {
	Rule      Rule
	AtMinutes float64 // when it is first broken
	By        float64 // how far: a quantity above the limit or missing, or minutes too long; 0 for RuleQuietTime
	Text      string  // what is wrong, with the tank and the part of the flight; no times, which are the caller's to word
	Hint      string  // what would make it right

	unhinted bool // see Request.HintsLater
}

// Hinted is what would let the rule be kept, for a request that left it to be found later: that request is to be given.
func (b Broken) Hinted(request Request) string {
	if !b.unhinted {
		return b.Hint
	}
	return newProblem(request).hint(b)
}

// Error is the text, the minute and the hint in one line.
func (b *Broken) Error() string {
	text := fmt.Sprintf("minute %.0f: %s", b.AtMinutes, b.Text)
	if b.Hint != "" {
		text += "; " + b.Hint
	}
	return text
}
