package fuel

import (
	"fmt"
	"math"
)

// breakingLeast finds a course when not all rules can be kept. The rules give way in the order of their numbers: the
// longest time on one tank, the imbalance limit, the times without changes, and last the usable fuel; each by no more
// than it must. What gives way is only what helps: a weaker rule stands if giving it up alone corrects nothing.
func (p *problem) breakingLeast(solve solver) course {
	if p.lacksFuel(p.line) {
		if p.lasts() == 0 { // there is nothing to choose
			return p.holdOn()
		}
		if c, found := p.withWishes(p.asFarAsFuelLasts(0), solve); found { // most often nothing else has to give way
			return c
		}
	}
	t, ok := p.relaxed(p.terms(), solve)
	if !ok {
		t, ok = p.relaxed(p.asFarAsFuelIsFed(solve), solve)
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
	if p.lacksFuel(t.line) { // whatever else gives way
		return t, false
	}
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
	byTime, byImbalance := !math.IsInf(t.longest, 1), !math.IsInf(t.maxImbalance, 1) // to give up what is no limit changes nothing
	switch {
	case can(t):
	case byTime && can(free(t, true, false)):
		t = p.leastLongest(t, can)
	case byImbalance && can(free(t, false, true)):
		t = p.leastImbalance(t, can)
	case byTime && byImbalance && can(free(t, true, true)):
		least := p.leastImbalance(free(t, true, false), can)
		t.maxImbalance, t.landingLimit = least.maxImbalance, least.landingLimit
		if !can(t) {
			t = p.leastLongest(t, can)
		}
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

// leastLongest finds the smallest longest time on one tank, above the one in the terms, for which there is a course.
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

// lasts is until when all the fuel lasts, in minutes.
func (p *problem) lasts() float64 {
	if usable := p.usableInAll(); usable < p.line.burn {
		return p.line.timeAtBurn(usable)
	}
	return p.line.end
}

// asFarAsFuelLasts are the rules for the part of the flight for which there is fuel, but for some last minutes of it.
func (p *problem) asFarAsFuelLasts(missed float64) terms {
	t := p.terms()
	t.line = p.line.until(p.lasts() - missed)
	return t
}

// asFarAsFuelIsFed are the rules for the longest part of the flight for which the fuel can be fed to the engine, whatever else gives way.
func (p *problem) asFarAsFuelIsFed(solve solver) terms {
	isFed := func(missed float64) bool {
		t := p.asFarAsFuelLasts(missed)
		t.line = t.line.opened(1)
		t = t.withLimit(math.Inf(1))
		t.longest, t.anyCourse = math.Inf(1), true
		_, ok := solve(t)
		return ok
	}
	if isFed(0) {
		return p.asFarAsFuelLasts(0)
	}
	return p.asFarAsFuelLasts(p.least(0, p.lasts(), isFed))
}

// least finds the smallest value from low to high at which something that does not hold at low, but from some value up to high, does hold; with
// two tanks to a millionth of the range, with more, which take longer, to a thousandth. The value returned does hold.
func (p *problem) least(low, high float64, holds func(float64) bool) float64 {
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
