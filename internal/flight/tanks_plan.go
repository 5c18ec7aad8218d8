package flight

import (
	"errors"
	"math"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
)

// planTanks plans the changes to come from the quantities, the flows and the times as they are now.
func (p *progress) planTanks(t time.Time) {
	k := &p.tanks
	last, lastAt, lastProblem := k.schedule, k.plannedAt, k.problem
	k.schedule, k.plannedAt, k.problem, k.limitAt, k.dryAt = fuel.Schedule{}, t, "", time.Time{}, time.Time{}
	k.ahead, k.turns = nil, &found[[]turnBy]{}
	if !p.landed.IsZero() || !p.onBlocks.IsZero() {
		return
	}
	request, err := p.tankRequest(t)
	if err != nil {
		k.problem = err.Error()
		return
	}
	schedule, ok := p.kept(request, last, lastAt, t)
	if ok {
		k.problem = lastProblem
	} else if schedule, ok = p.found(request, t); !ok {
		return
	}
	k.schedule = schedule
	for _, minutes := range schedule.Knots() {
		k.ahead = append(k.ahead, momentOf(plus(t, minutes), schedule.QuantitiesAt(minutes), k.pairs))
	}
	p.unchanged(request)
}

// found is the best schedule, with what is wrong with it; ok is false where there is none.
func (p *progress) found(request fuel.Request, t time.Time) (schedule fuel.Schedule, ok bool) {
	k := &p.tanks
	k.basis = p.basisOf(request, t)
	schedule, err := fuel.Plan(request)
	var broken *fuel.Broken
	if errors.As(err, &broken) {
		k.problem = broken.Text
		if broken.Hint != "" {
			k.problem += ": " + broken.Hint
		}
	} else if err != nil {
		k.problem = err.Error()
		return schedule, false
	}
	return schedule, true
}

func (p *progress) tankRequest(t time.Time) (fuel.Request, error) {
	quantities := map[string]float64{}
	for i, quantity := range p.quantitiesAt(t) {
		quantities[p.system().Tanks[i].Name] = quantity
	}
	since := 0.0
	if p.tanks.running {
		since = math.Max(0, t.Sub(p.tanks.since).Minutes())
	}
	return sheet.TankRequest(p.system(), quantities, p.system().Tanks[p.tanks.selected].Name, since, p.burnsFrom(t), p.sheet.Fuel.Reserve)
}

// plannedHold is how long a hold is taken to go on, for the changes of tank in it: common practice, no source. Leaving it plans again.
const plannedHold = 30 * time.Minute

// burnsFrom is the flow from a time to landing: what is left of the taxi, a hold, then the reckoned way, with what gauges show to be
// burned more.
func (p *progress) burnsFrom(t time.Time) []fuel.Burn {
	if len(p.ahead.trajectory) == 0 {
		return nil
	}
	burns := p.ahead.way.route.Burns(p.ahead.trajectory)
	for i := range burns {
		burns[i].FlowPerHour += p.excessPerHour()
	}
	if n, flying := p.here(t); flying {
		rest := cutFront(burns, n.minutes)
		if p.holding.IsZero() {
			return rest
		}
		hold := fuel.Burn{Minutes: plannedHold.Minutes(), FlowPerHour: p.circlingFlow() + p.excessPerHour(), ChangeAllowed: true, Phase: "hold"}
		return append([]fuel.Burn{hold}, rest...)
	}
	taxi := math.Min(p.sheet.Plan.TaxiMinutes, -p.ahead.minutesOf(t))
	if taxi <= 0 {
		return burns
	}
	return append([]fuel.Burn{{Minutes: taxi, FlowPerHour: p.sheet.Plan.Aircraft.TaxiFlow, Phase: "taxi"}}, burns...)
}

// cutFront takes some minutes off the front.
func cutFront(burns []fuel.Burn, minutes float64) []fuel.Burn {
	for i, burn := range burns {
		if burn.Minutes > minutes {
			rest := append([]fuel.Burn(nil), burns[i:]...)
			rest[0].Minutes -= math.Max(0, minutes)
			return rest
		}
		minutes -= burn.Minutes
	}
	return nil
}

// unchanged finds when a limit is reached, by the planned burn, if the tank in use stays selected.
func (p *progress) unchanged(request fuel.Request) {
	request.Rules.ExtraBurnFraction = 0
	request.Rules.ChangeEveryMinutes = 0
	still, err := fuel.Follow(request, request.Selected, nil)
	if err != nil {
		return
	}
	for _, broken := range still.Broken {
		at := plus(p.tanks.plannedAt, broken.AtMinutes)
		switch broken.Rule {
		case fuel.RuleImbalance:
			p.tanks.limitAt = at
		case fuel.RuleUsableFuel:
			p.tanks.dryAt = at
		}
	}
}

// tankLateAt is when the next change is late: when the limit is reached or the tank is empty or, where it has a longest time, some
// minutes after that, whichever comes first; some minutes after it is due where nothing of that comes.
func (p *progress) tankLateAt(due time.Time) time.Time {
	k := &p.tanks
	var late time.Time
	consider := func(at time.Time) {
		if late.IsZero() || at.Before(late) {
			late = at
		}
	}
	for _, at := range []time.Time{k.limitAt, k.dryAt} {
		if !at.IsZero() {
			consider(at)
		}
	}
	if every := p.system().ChangeEveryMinutes; every != nil && k.running {
		consider(plus(k.since, *every).Add(patient))
	}
	switch {
	case late.IsZero():
		return due.Add(patient)
	case late.Before(due):
		return due
	}
	return late
}
