package fuel

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The tests in this file hold the planner against a second, dumb implementation: every choice of tank for every minute is
// tried. The requests are small and in whole minutes.

// verdict is what one choice of tanks is worth.
type verdict struct {
	dry, quiet        bool
	above, tooLong    float64 // imbalance above what is allowed, minutes above the longest time
	recovers          bool    // a pair that begins above the limit is brought back before anything else
	holdsExtra, lands bool
	fullest           bool
	changes           int
	highest           float64
	closest           float64 // minutes between the two changes that are closest together
}

func (v verdict) keepsRules() bool {
	return !v.dry && !v.quiet && v.above <= tolerance && v.tooLong <= tolerance
}

// better is the order of preference among choices that keep the rules.
func (v verdict) better(other verdict) bool {
	if v.recovers != other.recovers {
		return v.recovers
	}
	if v.lands != other.lands {
		return v.lands
	}
	if v.holdsExtra != other.holdsExtra {
		return v.holdsExtra
	}
	if v.changes != other.changes {
		return v.changes < other.changes
	}
	if v.fullest != other.fullest {
		return v.fullest
	}
	return v.highest < other.highest-tolerance
}

// choices is a request laid out by the minute.
type choices struct {
	Request
	flows     []float64 // burned in each minute
	allowedAt []bool    // by minute, from 0 to the end: a change may be made
}

func choicesOf(r Request) *choices {
	c := &choices{Request: r, allowedAt: []bool{false}}
	for _, burn := range r.Burns {
		for range int(burn.Minutes) {
			c.flows = append(c.flows, burn.FlowPerHour/60)
			c.allowedAt[len(c.allowedAt)-1] = c.allowedAt[len(c.allowedAt)-1] || burn.ChangeAllowed
			c.allowedAt = append(c.allowedAt, burn.ChangeAllowed)
		}
	}
	return c
}

// judge tries one choice: the tank in use before the first minute and in each.
func (c *choices) judge(start int, tanks []int) verdict {
	v := verdict{holdsExtra: true, recovers: true, closest: math.Inf(1)}
	inUse, since := start, 0.0
	if c.Selected == start {
		since = -c.SinceChangeMinutes
	}
	for minute, tank := range tanks {
		if tank != inUse {
			if v.changes > 0 {
				v.closest = math.Min(v.closest, float64(minute)-since)
			}
			v.changes++
			v.quiet = v.quiet || !c.allowedAt[minute]
			v.tooLong = math.Max(v.tooLong, c.tooLong(since, float64(minute)))
			inUse, since = tank, float64(minute)
		}
	}
	v.tooLong = math.Max(v.tooLong, c.tooLong(since, float64(len(tanks))))
	c.burn(&v, tanks, 1)
	if c.Rules.ExtraBurnFraction > 0 {
		c.burn(&v, tanks, 1+c.Rules.ExtraBurnFraction)
	}
	return v
}

func (c *choices) burn(v *verdict, tanks []int, factor float64) {
	var quantities, lowest [4]float64 // by tank; by pair, of the imbalance so far
	copy(quantities[:], c.Quantities)
	planned := factor == 1
	for i, pair := range c.pairs() {
		lowest[i] = math.Abs(quantities[pair[0]] - quantities[pair[1]])
		if planned {
			v.highest = math.Max(v.highest, lowest[i])
		}
	}
	chosen := false
	for minute, tank := range tanks {
		chosen = chosen || c.allowedAt[minute]
		if planned && chosen && !c.recovering(quantities[:], tank) {
			v.recovers = false
		}
		before := quantities
		wanted := c.flows[minute] * factor
		if !planned { // the extra burn takes no more than there is
			wanted = math.Min(wanted, Usable(quantities[tank], c.Tanks[tank].Unusable))
			v.holdsExtra = v.holdsExtra && wanted > c.flows[minute]*factor-tolerance
		}
		quantities[tank] -= wanted
		if planned && c.flows[minute] > 0 && quantities[tank] < c.Tanks[tank].Unusable-tolerance {
			v.dry = true
			v.holdsExtra = false
		}
		for i, pair := range c.pairs() {
			d0, d1 := before[pair[0]]-before[pair[1]], quantities[pair[0]]-quantities[pair[1]]
			if planned {
				v.highest = math.Max(v.highest, math.Abs(d1))
			}
			if c.Rules.MaxImbalance > 0 {
				v.above = math.Max(v.above, c.above(&lowest[i], d0, d1))
				if math.Abs(d0) > c.Rules.MaxImbalance+tolerance && (d0 > 0) == (tank == pair[1]) && (d0 < 0) == (tank == pair[0]) {
					v.above = math.Max(v.above, 2*tolerance) // the emptier one isn't fed then, not even without flow
				}
			}
		}
	}
	if planned {
		last := tanks[len(tanks)-1]
		v.fullest = true
		for tank := range c.Tanks {
			v.fullest = v.fullest && quantities[tank]-c.Tanks[tank].Unusable <= math.Max(0, quantities[last]-c.Tanks[last].Unusable)+tolerance
		}
		v.lands = quantities[last] >= c.Tanks[last].Unusable+c.Rules.LandingReserve-tolerance
	}
}

// recovering reports whether a tank is the fuller of a pair above the limit, or there is no such pair.
func (c *choices) recovering(quantities []float64, tank int) bool {
	above := false
	for _, pair := range c.pairs() {
		fuller := pair[0]
		if quantities[pair[1]] > quantities[pair[0]] {
			fuller = pair[1]
		}
		if c.Rules.MaxImbalance > 0 && math.Abs(quantities[pair[0]]-quantities[pair[1]]) > c.Rules.MaxImbalance+tolerance {
			if tank == fuller {
				return true
			}
			above = true
		}
	}
	return !above
}

func (c *choices) tooLong(since, until float64) float64 {
	if c.Rules.ChangeEveryMinutes == 0 || until == 0 {
		return 0
	}
	return until - since - c.Rules.ChangeEveryMinutes
}

// above is how far a difference is above what is allowed a minute after another: the limit, or what has been reached on
// the way down to it.
func (c *choices) above(lowest *float64, before, now float64) float64 {
	if before*now < 0 {
		*lowest = 0
	}
	above := math.Abs(now) - math.Max(c.Rules.MaxImbalance, *lowest)
	*lowest = math.Min(*lowest, math.Abs(now))
	return above
}

// all tries every choice of tanks in whole minutes.
func (c *choices) all(try func(v verdict)) {
	tanks := make([]int, len(c.flows))
	for start := range c.Tanks {
		if c.Selected != FreeToChoose && c.Selected != start {
			continue
		}
		var choose func(minute int)
		choose = func(minute int) {
			if minute == len(tanks) {
				try(c.judge(start, tanks))
				return
			}
			for tank := range c.Tanks {
				tanks[minute] = tank
				choose(minute + 1)
			}
		}
		choose(0)
	}
}

func differences(r Request, quantities []float64) []float64 {
	var out []float64
	for _, pair := range r.pairs() {
		out = append(out, quantities[pair[0]]-quantities[pair[1]])
	}
	return out
}

// fliesBySeconds follows a schedule second by second and checks every rule, knowing nothing of how it was found. Within a
// second everything may be off by what is burned in it.
func fliesBySeconds(t *rapid.T, r Request, s Schedule) {
	flows := choicesOf(r).flows
	var mostFlow float64
	for _, flow := range flows {
		mostFlow = math.Max(mostFlow, flow)
	}
	rounding := 2*mostFlow*1.1/60 + tolerance
	for _, factor := range []float64{1, 1 + r.Rules.ExtraBurnFraction} {
		quantities := append([]float64(nil), r.Quantities...)
		lowest := differences(r, quantities)
		for second := range 60 * len(flows) {
			tank := s.TankAt(float64(second) / 60)
			wanted := flows[second/60] / 60 * factor
			if factor > 1 && !s.HoldsExtraBurn { // no more than there is
				wanted = math.Min(wanted, Usable(quantities[tank], r.Tanks[tank].Unusable))
			}
			quantities[tank] -= wanted
			if flows[second/60] > 0 && (factor == 1 || s.HoldsExtraBurn) &&
				quantities[tank] < math.Min(r.Quantities[tank], r.Tanks[tank].Unusable)-float64(1+len(s.Changes))*rounding {
				t.Fatalf("tank %d holds %v at second %d, burning %v times the plan", tank, quantities[tank], second, factor)
			}
			for i, d := range differences(r, quantities) {
				limit := math.Max(r.Rules.MaxImbalance, math.Abs(lowest[i])) + float64(1+len(s.Changes))*rounding
				if r.Rules.MaxImbalance > 0 && math.Abs(d) > limit {
					t.Fatalf("imbalance %v at second %d, burning %v times the plan", d, second, factor)
				}
				if math.Abs(d) < math.Abs(lowest[i]) || d*lowest[i] < 0 {
					lowest[i] = math.Min(math.Abs(d), math.Abs(lowest[i]))
				}
			}
		}
		if factor == 1 {
			for tank := range quantities {
				require.InDelta(t, quantities[tank], s.Remaining[tank], float64(1+len(s.Changes))*rounding, "tank %d on landing", tank)
			}
		}
	}
	changesAreGood(t, r, s)
}

func changesAreGood(t *rapid.T, r Request, s Schedule) {
	inUse, since := s.StartOn, 0.0
	if r.Selected == s.StartOn {
		since = -r.SinceChangeMinutes
	}
	end := 0.0
	for _, burn := range r.Burns {
		end += burn.Minutes
	}
	for i, change := range s.Changes {
		require.NotEqual(t, inUse, change.To)
		allowed, begins := false, 0.0
		for _, burn := range r.Burns {
			allowed = allowed || burn.ChangeAllowed && change.AtMinutes > begins-1e-6 && change.AtMinutes < begins+burn.Minutes+1e-6
			begins += burn.Minutes
		}
		require.True(t, allowed, "change %d at minute %v", i, change.AtMinutes)
		if i > 0 {
			require.GreaterOrEqual(t, change.AtMinutes-since, ShortestStayMinutes-1e-6)
		}
		if r.Rules.ChangeEveryMinutes > 0 && change.AtMinutes > 1e-6 {
			require.LessOrEqual(t, change.AtMinutes-since, r.Rules.ChangeEveryMinutes+1e-6)
		}
		inUse, since = change.To, change.AtMinutes
	}
	if r.Rules.ChangeEveryMinutes > 0 {
		require.LessOrEqual(t, end-since, r.Rules.ChangeEveryMinutes+1e-6)
	}
	require.Equal(t, inUse, s.LandsOn)
}

// drawRequest makes a small request in whole minutes.
func drawRequest(t *rapid.T, tanks, mostMinutes int, flows []float64) Request {
	r := Request{Selected: rapid.IntRange(FreeToChoose, tanks-1).Draw(t, "selected")}
	for i := range tanks {
		r.Tanks = append(r.Tanks, Tank{Name: string(rune('A' + i)), Unusable: float64(rapid.IntRange(0, 2).Draw(t, "unusable"))})
		r.Quantities = append(r.Quantities, float64(rapid.IntRange(0, 24).Draw(t, "quantity")))
	}
	for minutes := 0; minutes < mostMinutes; {
		burn := Burn{
			Minutes:       float64(min(rapid.IntRange(1, 6).Draw(t, "minutes"), mostMinutes-minutes)),
			FlowPerHour:   rapid.SampledFrom(flows).Draw(t, "flow"),
			ChangeAllowed: rapid.IntRange(0, 3).Draw(t, "allowed") > 0,
		}
		minutes += int(burn.Minutes)
		r.Burns = append(r.Burns, burn)
	}
	r.SinceChangeMinutes = float64(rapid.IntRange(0, 4).Draw(t, "since"))
	r.Rules = Rules{
		MaxImbalance:       float64(rapid.SampledFrom([]int{0, 2, 3, 4, 5, 6, 8, 10}).Draw(t, "limit")),
		ChangeEveryMinutes: float64(rapid.SampledFrom([]int{0, 0, 2, 3, 4, 6, 8}).Draw(t, "every")),
		ExtraBurnFraction:  rapid.SampledFrom([]float64{0, 0.1}).Draw(t, "extra"),
		LandingReserve:     float64(rapid.IntRange(0, 6).Draw(t, "reserve")),
	}
	return r
}

// recovers judges a schedule minute by minute.
func recovers(r Request, s Schedule) bool {
	c := choicesOf(r)
	chosen := false
	for minute := range c.flows {
		chosen = chosen || c.allowedAt[minute]
		if at := float64(minute) + 1e-3; chosen && c.flows[minute] > 0 && !c.recovering(s.QuantitiesAt(at-1e-3), s.TankAt(at)) {
			return false
		}
	}
	return true
}

// requireNoWorse checks a schedule against the best of all choices in whole minutes. It may be better, since its changes
// needn't be in whole minutes; then the flight second by second shows that it is real.
func requireNoWorse(t *rapid.T, r Request, s Schedule, err error) {
	var best *verdict
	leastAbove, leastTooLong := math.Inf(1), math.Inf(1)
	choicesOf(r).all(func(v verdict) {
		if v.keepsRules() && (best == nil || v.better(*best)) {
			best = &v
		}
		if !v.dry && !v.quiet {
			if v.tooLong <= tolerance {
				leastAbove = math.Min(leastAbove, v.above)
			}
			if v.above <= tolerance {
				leastTooLong = math.Min(leastTooLong, v.tooLong)
			}
		}
	})
	var broken *Broken
	if errors.As(err, &broken) {
		require.Nil(t, best, "it can be kept: %v", err)
		require.NotEmpty(t, s.Broken)
		if len(s.Broken) == 1 && broken.Rule == RuleImbalance && !s.StartsAboveLimit {
			require.LessOrEqual(t, broken.By, leastAbove+1e-4)
		}
		if len(s.Broken) == 1 && broken.Rule == RuleLongestTime {
			require.LessOrEqual(t, broken.By, leastTooLong+1e-3)
		}
		return
	}
	require.NoError(t, err)
	require.Empty(t, s.Broken)
	followed, err := Follow(r, s.StartOn, s.Changes)
	require.NoError(t, err)
	require.Equal(t, s, followed)
	fliesBySeconds(t, r, s)
	if best == nil {
		return
	}
	got := verdict{recovers: recovers(r, s), holdsExtra: s.HoldsExtraBurn, lands: s.LandsWithReserve, fullest: s.LandsOnFullest, changes: len(s.Changes), highest: s.HighestImbalance}
	if r.Rules.MaxImbalance == 0 {
		got.highest = best.highest
	}
	require.False(t, best.better(got), "whole minutes give %+v, planned %+v", *best, got)
}

func TestTwoTanksAreNoWorseThanEveryChoiceInWholeMinutes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, 2, 11, []float64{0, 60, 90, 120, 180})
		s, err := Plan(r)
		requireNoWorse(t, r, s, err)
	})
}

// No schedule has two changes close together where a choice in whole minutes that keeps the rules has none; nor does it have them to spare
// a few minutes on one tank.
func TestNoTwoChangesCloseTogetherWhereThatCanBe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, 2, 14, []float64{0, 60, 90, 120})
		s, err := Calmly(r)
		if err == nil {
			changesAreGood(t, r, s)
		}
		if !s.crowded() || err != nil {
			return
		}
		choicesOf(r).all(func(v verdict) {
			spared := v
			if r.Rules.ChangeEveryMinutes > 0 {
				spared.tooLong -= CalmStayMinutes
			}
			require.False(t, spared.keepsRules() && v.closest >= CalmStayMinutes, "whole minutes give %+v, planned %v", v, s.Changes)
		})
	})
}

// requireSame checks a schedule whose changes are on the very grid of whole minutes: it is one of the choices.
func requireSame(t *rapid.T, r Request, s Schedule, err error) {
	requireNoWorse(t, r, s, err)
	if err != nil {
		return
	}
	same := false
	got := verdict{recovers: recovers(r, s), holdsExtra: s.HoldsExtraBurn, lands: s.LandsWithReserve, fullest: s.LandsOnFullest, changes: len(s.Changes), highest: s.HighestImbalance}
	choicesOf(r).all(func(v verdict) {
		if r.Rules.MaxImbalance == 0 {
			v.highest = got.highest
		}
		same = same || v.keepsRules() && !got.better(v) && !v.better(got)
	})
	require.True(t, same, "no choice in whole minutes is as good as %+v", got)
}

// TestExtraBurnThatIsNotThere is a flight whose only choice empties a tank: a tenth more can't be burned, and does no harm.
func TestExtraBurnThatIsNotThere(t *testing.T) {
	r := Request{
		Selected: FreeToChoose, Tanks: []Tank{{Name: "A"}, {Name: "B"}, {Name: "C"}, {Name: "D"}}, Quantities: []float64{0, 0, 2, 6},
		Burns: []Burn{{Minutes: 4, FlowPerHour: 90}},
		Rules: Rules{MaxImbalance: 2, ExtraBurnFraction: 0.1, Pairs: [][2]int{{0, 1}, {2, 3}}},
	}
	s, err := Plan(r)
	require.NoError(t, err)
	require.Equal(t, 3, s.StartOn)
	require.Empty(t, s.Changes)
	require.False(t, s.HoldsExtraBurn)
}

func TestMoreTanksAreAsGoodAsEveryChoiceOnTheGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tanks := rapid.IntRange(3, 4).Draw(t, "tanks")
		r := drawRequest(t, tanks, 15-3*tanks+tanks/4, []float64{rapid.SampledFrom([]float64{60, 90, 120, 180}).Draw(t, "flow")})
		r.Rules.Pairs = [][2]int{{0, 1}}
		if tanks == 4 {
			r.Rules.Pairs = append(r.Rules.Pairs, [2]int{2, 3})
		}
		s, err := Plan(r)
		requireSame(t, r, s, err)
	})
}

// What a search leaves out because it can't end in time is on no way to the end: one that may make as many changes as there can be finds the
// same, and of ways that are as good the same one.
func TestWhatIsLeftOutOfASearchChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tanks := rapid.IntRange(3, 4).Draw(t, "tanks")
		r := drawRequest(t, tanks, rapid.SampledFrom([]int{60, 30, 8, 2}).Draw(t, "most minutes"), []float64{rapid.SampledFrom([]float64{20, 30, 45}).Draw(t, "flow"), 30})
		r.Rules.Pairs = rapid.SampledFrom([][][2]int{{{0, 1}}, {{1, 0}, {0, tanks - 1}}, {{0, 1}, {1, 2}}, {{0, tanks - 2}, {1, tanks - 1}}}).Draw(t, "pairs")
		p := newProblem(r)
		terms := p.terms()
		terms.reserve = rapid.Bool().Draw(t, "reserve")
		terms.fuelFactor = rapid.SampledFrom(p.factors).Draw(t, "factor")
		g := newGrid(p, roughGridStates)
		for _, b := range p.beginnings(terms) {
			l := newLattice(p, terms, b, roughGridStates)
			if l == nil {
				continue
			}
			search := func(aim aim, most int) (f found, c course, ok bool) {
				if f, ok = g.search(l, aim, most); ok {
					c = g.course(l, f)
				}
				f.node = 0
				return f, c, ok
			}
			best, ok := g.fewest(l)
			for _, aim := range []aim{byHighestImbalance, byLateness} {
				whole, wholeCourse, found := search(aim, mostChanges)
				require.Equal(t, found, ok)
				if ok {
					within, course, _ := search(aim, best.changes)
					require.Equal(t, whole, within)
					require.Equal(t, wholeCourse, course)
					l.highestAllowed = within.imbalance + lineSlack // for the second search
					l.findTurns()
				}
			}
		}
	})
}

func TestMoreTanksKeepTheRulesWithAnyFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, 3, 60, []float64{12, 20, 30, 45})
		r.Rules.Pairs = [][2]int{{0, 1}}
		s, err := Plan(r)
		if err == nil {
			fliesBySeconds(t, r, s)
		}
	})
}

func TestTwoTanksAreNoWorseThanTheGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, 2, 60, []float64{12, 20, 30, 45})
		p := newProblem(r)
		onGrid, ok := p.keepingAllRules(newGrid(p, fineGridStates).solve)
		if !ok {
			return
		}
		grid := p.schedule(onGrid)
		if len(grid.Broken) > 0 { // what no choice could have kept
			return
		}
		exact, err := Plan(r)
		require.NoError(t, err)
		fliesBySeconds(t, r, grid)
		value := func(s Schedule) verdict {
			v := verdict{recovers: recovers(r, s), holdsExtra: s.HoldsExtraBurn, lands: s.LandsWithReserve, fullest: s.LandsOnFullest, changes: len(s.Changes), highest: s.HighestImbalance}
			if r.Rules.MaxImbalance == 0 {
				v.highest = 0
			}
			return v
		}
		require.False(t, value(grid).better(value(exact)), "grid %+v, exact %+v", value(grid), value(exact))
	})
}

// Whatever the figures, there is a schedule: its changes are in order, it accounts for all the fuel, and what it says of
// itself is what following it gives.
func TestEveryRequestGetsASchedule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Request{Selected: FreeToChoose}
		for range rapid.IntRange(1, 3).Draw(t, "tanks") {
			r.Tanks = append(r.Tanks, Tank{Name: "tank", Unusable: rapid.Float64Range(0, 3).Draw(t, "unusable")})
			r.Quantities = append(r.Quantities, rapid.Float64Range(0, 60).Draw(t, "quantity"))
		}
		r.Selected = rapid.IntRange(FreeToChoose, len(r.Tanks)-1).Draw(t, "selected")
		r.SinceChangeMinutes = rapid.Float64Range(0, 60).Draw(t, "since")
		for range rapid.IntRange(0, 6).Draw(t, "burns") {
			r.Burns = append(r.Burns, Burn{
				Minutes:       rapid.Float64Range(0, 60).Draw(t, "minutes"),
				FlowPerHour:   rapid.Float64Range(0, 40).Draw(t, "flow"),
				ChangeAllowed: rapid.Bool().Draw(t, "allowed"),
			})
		}
		r.Rules = Rules{
			MaxImbalance:       rapid.Float64Range(0, 30).Draw(t, "limit"),
			Pairs:              [][2]int{{0, 1}},
			ChangeEveryMinutes: rapid.SampledFrom([]float64{0, 0, 17.5, 30}).Draw(t, "every"),
			ExtraBurnFraction:  rapid.Float64Range(0, 0.2).Draw(t, "extra"),
			LandingReserve:     rapid.Float64Range(0, 15).Draw(t, "reserve"),
		}
		if len(r.Tanks) == 1 {
			r.Rules.Pairs = nil
		}
		s, err := Plan(r)
		var broken *Broken
		require.True(t, err == nil || errors.As(err, &broken), "%v", err)
		require.Equal(t, err == nil, len(s.Broken) == 0)
		followed, err := Follow(r, s.StartOn, s.Changes)
		require.NoError(t, err)
		for i := range s.Broken {
			require.NotEmpty(t, s.Broken[i].Text)
			require.NotEmpty(t, s.Broken[i].Hint)
			s.Broken[i].Hint = ""
		}
		require.Equal(t, s, followed)
		if r.Selected != FreeToChoose {
			require.Equal(t, r.Selected, s.StartOn)
		}
		left := 0.0
		for i, quantity := range r.Quantities {
			left += quantity - s.Remaining[i]
		}
		for _, burn := range r.Burns {
			left -= Burned(burn.Minutes, burn.FlowPerHour)
		}
		if broken != nil && broken.Rule == RuleUsableFuel {
			left += broken.By
		}
		require.InDelta(t, 0, left, 1e-4)
	})
}

// What an untouched selector comes to is what following a schedule without changes breaks.
func TestUntouchedIsWhatNoChangeBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t, rapid.IntRange(2, 4).Draw(t, "tanks"), 40, []float64{0, 20, 45, 90})
		r.Selected, r.Rules.Pairs = max(0, r.Selected), [][2]int{{1, 0}}
		limitAt, dryAt, err := Untouched(r)
		require.NoError(t, err)

		r.Rules.ExtraBurnFraction, r.Rules.ChangeEveryMinutes = 0, 0
		followed, err := Follow(r, r.Selected, nil)
		require.NoError(t, err)
		broken := map[Rule]float64{RuleImbalance: math.Inf(1), RuleUsableFuel: math.Inf(1)}
		for _, b := range followed.Broken {
			broken[b.Rule] = b.AtMinutes
		}
		require.Equal(t, broken, map[Rule]float64{RuleImbalance: limitAt, RuleUsableFuel: dryAt})
	})
}
