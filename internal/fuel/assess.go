package fuel

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// tolerance is the difference, in minutes or in the unit of quantity, below which two figures are the same. It is far
// below what anybody could read off a gauge or a clock.
const tolerance = 1e-6

// course is a choice of tanks.
type course struct {
	start int
	stops []stop
}

// stop is a change within a course.
type stop struct {
	at float64 // minutes
	to int
}

// problem is a request made ready for reckoning.
type problem struct {
	request Request
	line    timeline
	usable  []float64 // by tank, now
	pairs   [][2]int
	factors []float64 // the least and the largest burn that the rules must hold for, as multiples of the planned
	two     *twoTanks // what solves it with two tanks; nil until it is asked
}

func newProblem(request Request) *problem {
	request.Quantities = slices.Clone(request.Quantities)
	p := &problem{request: request, line: newTimeline(request.Burns), pairs: request.pairs(), factors: make([]float64, 1, 2), usable: make([]float64, 0, len(request.Tanks))}
	p.factors[0] = 1
	for i, tank := range request.Tanks {
		p.usable = append(p.usable, Usable(request.Quantities[i], tank.Unusable))
	}
	if extra := request.Rules.ExtraBurnFraction; extra > 0 {
		p.factors = append(p.factors, 1+extra)
	}
	return p
}

// trace is what a course comes to with some multiple of the planned burn.
type trace struct {
	knots   []knot
	slab    []float64 // of which the knots' quantities are made
	dryTank int       // the first tank that was in use without usable fuel
	dryAt   float64   // minutes; +Inf if none was
	missing float64   // burn that the tanks in use couldn't feed
}

// landing is the last knot.
func (t *trace) landing() knot { return t.knots[len(t.knots)-1] }

// feed burns from the tank in use up to a time, as far as its usable fuel goes.
func (t *trace) feed(minutes, flowPerMinute float64, tanks []Tank) {
	from := t.landing()
	usable := Usable(from.quantities[from.fed], tanks[from.fed].Unusable)
	burn := (minutes - from.minutes) * flowPerMinute
	if burn > usable+tolerance {
		at := from.minutes + usable/flowPerMinute
		if math.IsInf(t.dryAt, 1) {
			t.dryAt, t.dryTank = at, from.fed
		}
		t.missing += burn - usable
		if usable > 0 {
			t.append(at, usable)
		}
		burn = 0
	}
	t.append(minutes, burn)
}

func (t *trace) append(minutes, burn float64) {
	from := t.landing()
	start := len(t.slab)
	t.slab = append(t.slab, from.quantities...)
	quantities := t.slab[start:len(t.slab):len(t.slab)]
	quantities[from.fed] = max(0, quantities[from.fed]-burn)
	t.knots = append(t.knots, knot{minutes, quantities, from.fed})
}

// reckon follows a course with a multiple of the planned burn.
func (p *problem) reckon(c course, factor float64) trace {
	most := 2 + len(p.line.stretches) + len(c.stops)
	t := trace{knots: make([]knot, 1, most), slab: make([]float64, 0, most*len(p.usable)), dryAt: math.Inf(1)}
	t.knots[0] = knot{0, p.request.Quantities, c.start}
	next := 0
	for _, s := range p.line.stretches {
		for ; next < len(c.stops) && c.stops[next].at < s.end; next++ {
			t.feed(c.stops[next].at, s.flowPerMinute*factor, p.request.Tanks)
			t.knots[len(t.knots)-1].fed = c.stops[next].to
		}
		t.feed(s.end, s.flowPerMinute*factor, p.request.Tanks)
	}
	for ; next < len(c.stops); next++ { // at the very end
		t.knots[len(t.knots)-1].fed = c.stops[next].to
	}
	return t
}

// schedule works out what comes of a course, and which rules it breaks.
func (p *problem) schedule(c course) Schedule {
	planned := p.reckon(c, 1)
	extra := planned
	if len(p.factors) > 1 {
		extra = p.reckon(c, p.factors[1])
	}
	landing := planned.landing()
	usableOnLanding := Usable(landing.quantities[landing.fed], p.request.Tanks[landing.fed].Unusable)
	s := Schedule{
		StartOn: c.start, LandsOn: landing.fed,
		ImbalanceAtStart:      p.highest(p.request.Quantities),
		HighestImbalance:      p.highestOf(planned.knots),
		HighestImbalanceExtra: p.highestOf(extra.knots),
		Remaining:             slices.Clone(landing.quantities),
		LandsOnFullest:        p.isFullest(landing.fed, landing.quantities),
		LandsWithReserve:      usableOnLanding >= p.request.Rules.LandingReserve-tolerance && planned.missing == 0,
		HoldsExtraBurn:        extra.missing == 0,
		pairs:                 p.pairs, track: planned.knots,
	}
	if len(c.stops) > 0 {
		s.Changes = make([]Change, 0, len(c.stops))
	}
	for _, st := range c.stops {
		quantities := s.QuantitiesAt(st.at)
		s.Changes = append(s.Changes, Change{st.at, st.to, p.highest(quantities), quantities})
	}
	s.StartsAboveLimit, s.WithinLimitAtMinutes = p.aboveLimitAtStart(planned.knots)
	for _, b := range []*Broken{
		p.fuelBroken(planned), p.quietBroken(c), p.imbalanceBroken(planned.knots, extra.knots), p.longestBroken(c),
	} {
		if b != nil {
			s.Broken = append(s.Broken, *b)
		}
	}
	return s
}

// isFullest reports whether no tank holds more usable fuel than one.
func (p *problem) isFullest(one int, quantities []float64) bool {
	for i, tank := range p.request.Tanks {
		if Usable(quantities[i], tank.Unusable) > Usable(quantities[one], p.request.Tanks[one].Unusable)+tolerance {
			return false
		}
	}
	return true
}

// highest is the highest imbalance within a pair.
func (p *problem) highest(quantities []float64) float64 {
	imbalance, _ := LargestImbalance(quantities, p.pairs)
	return imbalance
}

// highestOf is the highest imbalance within a pair at any of the knots, and so at any time.
func (p *problem) highestOf(knots []knot) float64 {
	var highest float64
	for _, k := range knots {
		highest = max(highest, p.highest(k.quantities))
	}
	return highest
}

// fuelBroken tells of the first tank that is in use without usable fuel.
func (p *problem) fuelBroken(t trace) *Broken {
	if t.missing == 0 {
		return nil
	}
	return &Broken{
		Rule: RuleUsableFuel, AtMinutes: t.dryAt, By: t.missing,
		Text: p.name(t.dryTank) + " has no usable fuel left" + p.during(t.dryAt),
	}
}

// quietBroken finds the first change where none is allowed.
func (p *problem) quietBroken(c course) *Broken {
	for _, st := range c.stops {
		if !p.line.allowsChange(st.at) {
			return &Broken{
				Rule: RuleQuietTime, AtMinutes: st.at,
				Text: fmt.Sprintf("the change to %s falls where no change should be made%s", p.name(st.to), p.during(st.at)),
			}
		}
	}
	return nil
}

// longestBroken finds the first tank that is in use for too long.
func (p *problem) longestBroken(c course) *Broken {
	longest := p.request.Rules.ChangeEveryMinutes
	if longest == 0 {
		return nil
	}
	tank, since := c.start, 0.0
	if p.request.Selected == c.start {
		since = -p.request.SinceChangeMinutes
	}
	for i := 0; i <= len(c.stops); i++ {
		until, to := p.line.end, tank
		if i < len(c.stops) {
			until, to = c.stops[i].at, c.stops[i].to
		}
		// A tank that has been in use for too long already is right when it is changed at once.
		if over := until - since - longest; over > tolerance && until > tolerance {
			at := max(0, since+longest)
			return &Broken{
				Rule: RuleLongestTime, AtMinutes: at, By: over,
				Text: p.name(tank) + " is in use for " + whole(until-since) + " minutes, longest " + whole(longest) + p.during(at),
			}
		}
		tank, since = to, until
	}
	return nil
}

// imbalanceBroken finds the first time that the imbalance of a pair is above the limit when it isn't on its way down from
// an imbalance that was there at the start.
func (p *problem) imbalanceBroken(planned, extra []knot) *Broken {
	limit := p.request.Rules.MaxImbalance
	if limit == 0 {
		return nil
	}
	var worst *Broken
	for i, knots := range [][]knot{planned, extra} {
		for _, pair := range p.pairs {
			at, by := aboveEnvelope(knots, pair, limit)
			if by <= tolerance {
				continue
			}
			if worst == nil {
				worst = &Broken{Rule: RuleImbalance, AtMinutes: at}
			}
			worst.AtMinutes = min(worst.AtMinutes, at)
			if by > worst.By {
				burn := "by the planned burn"
				if i > 0 {
					burn = fmt.Sprintf("when %.0f %% more is burned", 100*p.request.Rules.ExtraBurnFraction)
				}
				worst.By = by
				how := fmt.Sprintf("goes %s above the limit of %g", p.amount(by), limit)
				start := Imbalance(p.request.Quantities[pair[0]], p.request.Quantities[pair[1]])
				if _, within := p.aboveLimitAtStart(planned); start > limit+tolerance && worst.AtMinutes < within {
					when := "at the start"
					if p.request.UnderWay {
						when = "now"
					}
					how = fmt.Sprintf("is above the limit of %g %s and rises again by %s", limit, when, p.amount(by))
				}
				worst.Text = fmt.Sprintf("the imbalance of %s and %s %s%s %s", p.name(pair[0]), p.name(pair[1]), how, p.during(at), burn)
			}
		}
	}
	return worst
}

// aboveEnvelope follows the imbalance of a pair. It may be no higher than the limit or, while it has been above that from
// the start, than the lowest it has been yet. Returned are the first time it is, and by how much at most.
func aboveEnvelope(knots []knot, pair [2]int, limit float64) (at, by float64) {
	difference := func(k knot) float64 { return k.quantities[pair[0]] - k.quantities[pair[1]] }
	from := difference(knots[0])
	lowest := math.Abs(from)
	for i := 1; i < len(knots); i++ {
		to := difference(knots[i])
		if from*to < 0 {
			lowest = 0
		}
		allowed := max(limit, lowest)
		if over := math.Abs(to) - allowed; over > by {
			if by <= tolerance {
				share := (math.Copysign(allowed, to) - from) / (to - from)
				at = knots[i-1].minutes + share*(knots[i].minutes-knots[i-1].minutes)
			}
			by = over
		}
		lowest = min(lowest, math.Abs(to))
		from = to
	}
	return at, by
}

// aboveLimitAtStart reports whether a pair starts above the limit, and when all pairs have come down to it.
func (p *problem) aboveLimitAtStart(knots []knot) (above bool, within float64) {
	limit := p.request.Rules.MaxImbalance
	if limit == 0 || p.highest(knots[0].quantities) <= limit+tolerance {
		return false, 0
	}
	for i := 1; i < len(knots); i++ {
		a, b := knots[i-1], knots[i]
		from, to := p.highest(a.quantities), p.highest(b.quantities)
		if to <= limit+tolerance {
			return true, a.minutes + (b.minutes-a.minutes)*p.shareUntilWithin(a, b, limit, from)
		}
	}
	return true, math.Inf(1)
}

// shareUntilWithin is the share of the time between two knots after which no pair is above the limit.
func (p *problem) shareUntilWithin(a, b knot, limit, highest float64) float64 {
	if highest <= limit {
		return 0
	}
	var share float64
	for _, pair := range p.pairs {
		from := a.quantities[pair[0]] - a.quantities[pair[1]]
		to := b.quantities[pair[0]] - b.quantities[pair[1]]
		if math.Abs(from) > limit && from != to {
			share = max(share, (from-math.Copysign(limit, from))/(from-to))
		}
	}
	return min(1, share)
}

// whole words minutes, to the nearest.
func whole(minutes float64) string { return strconv.FormatFloat(minutes, 'f', 0, 64) }

// amount words a quantity.
func (p *problem) amount(quantity float64) string {
	if p.request.UnitName == "" {
		return fmt.Sprintf("%.1f", quantity)
	}
	return fmt.Sprintf("%.1f %s", quantity, p.request.UnitName)
}

func (p *problem) name(tank int) string { return p.request.Tanks[tank].Name }

// during words the part of the flight at a time.
func (p *problem) during(minutes float64) string {
	if phase := p.line.phaseAt(minutes); phase != "" {
		return " (" + phase + ")"
	}
	return ""
}
