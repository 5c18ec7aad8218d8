package flight

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
)

// planTanks plans the changes to come from the quantities, the flows and the times as they are now.
func (f *fold) planTanks(t time.Time) {
	k := &f.tanks
	last, lastAt, lastProblem := k.schedule, k.plannedAt, k.problem
	k.schedule, k.plannedAt, k.problem, k.limitAt, k.dryAt = fuel.Schedule{}, t, "", time.Time{}, time.Time{}
	k.ahead, k.turns = nil, &found[[]turnBy]{}
	if !f.landed.IsZero() || !f.onBlocks.IsZero() {
		return
	}
	request, err := f.tankRequest(t)
	if err != nil {
		k.problem = err.Error()
		return
	}
	schedule, ok := f.kept(request, last, lastAt, t)
	if ok {
		k.problem = lastProblem
	} else if schedule, ok = f.found(request, t); !ok {
		return
	}
	k.schedule = schedule
	for _, minutes := range schedule.Knots() {
		k.ahead = append(k.ahead, momentOf(plus(t, minutes), schedule.QuantitiesAt(minutes), k.pairs))
	}
	f.unchanged(request)
}

// found is the best schedule, with what is wrong with it; ok is false where there is none.
func (f *fold) found(request fuel.Request, t time.Time) (schedule fuel.Schedule, ok bool) {
	k := &f.tanks
	k.basis = f.basisOf(request, t)
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

func (f *fold) tankRequest(t time.Time) (fuel.Request, error) {
	quantities := map[string]float64{}
	for i, quantity := range f.quantitiesAt(t) {
		quantities[f.system().Tanks[i].Name] = quantity
	}
	since := 0.0
	if f.tanks.running {
		since = math.Max(0, t.Sub(f.tanks.since).Minutes())
	}
	return sheet.TankRequest(f.system(), quantities, f.system().Tanks[f.tanks.selected].Name, since, f.burnsFrom(t), f.sheet.Fuel.Reserve)
}

// plannedHold is how long a hold is taken to go on, for the changes of tank in it: common practice, no source. Leaving it plans again.
const plannedHold = 30 * time.Minute

// burnsFrom is the flow from a time to landing: what is left of the taxi, a hold, then the reckoned way, with what gauges show to be
// burned more.
func (f *fold) burnsFrom(t time.Time) []fuel.Burn {
	if len(f.outlook.trajectory) == 0 {
		return nil
	}
	burns := f.outlook.way.route.Burns(f.outlook.trajectory)
	for i := range burns {
		burns[i].FlowPerHour += f.excessPerHour()
	}
	if n, flying := f.here(t); flying {
		rest := cutFront(burns, n.minutes)
		if f.holding.IsZero() {
			return rest
		}
		hold := fuel.Burn{Minutes: plannedHold.Minutes(), FlowPerHour: f.circlingFlow() + f.excessPerHour(), ChangeAllowed: true, Phase: "hold"}
		return append([]fuel.Burn{hold}, rest...)
	}
	taxi := math.Min(f.sheet.Plan.TaxiMinutes, -f.outlook.minutesOf(t))
	if taxi <= 0 {
		return burns
	}
	return append([]fuel.Burn{{Minutes: taxi, FlowPerHour: f.sheet.Plan.Aircraft.TaxiFlow, Phase: "taxi"}}, burns...)
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
func (f *fold) unchanged(request fuel.Request) {
	request.Rules.ExtraBurnFraction = 0
	request.Rules.ChangeEveryMinutes = 0
	still, err := fuel.Follow(request, request.Selected, nil)
	if err != nil {
		return
	}
	for _, broken := range still.Broken {
		at := plus(f.tanks.plannedAt, broken.AtMinutes)
		switch broken.Rule {
		case fuel.RuleImbalance:
			f.tanks.limitAt = at
		case fuel.RuleUsableFuel:
			f.tanks.dryAt = at
		}
	}
}

// tankLateAt is when the next change is late: when the limit is reached or the tank is empty or, where it has a longest time, some
// minutes after that, whichever comes first; some minutes after it is due where nothing of that comes.
func (f *fold) tankLateAt(due time.Time) time.Time {
	k := &f.tanks
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
	if every := f.system().ChangeEveryMinutes; every != nil && k.running {
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

// With more than two tanks, or many changes, a schedule takes so long to find that a long journal would take minutes to read. What is
// left of the last one is kept then as long as the flight ahead is about the one that it was found for, and it still keeps the rules.

const (
	quickTanks    = 2               // with so many and
	quickChanges  = 3               // no more than so many changes to come a schedule is found at once
	sameBurn      = 0.02            // of what was to be burned
	sameArrival   = 3 * time.Minute // of the end of the flight
	sameQuantity  = 1e-6            // in all
	changedAsSaid = 5 * time.Minute // about its time
)

// basis is what the last schedule was found for.
type basis struct {
	at                  time.Time
	end                 time.Time
	burn, fed, quantity float64
}

// basisOf is what a schedule is found for at a time.
func (f *fold) basisOf(request fuel.Request, t time.Time) basis {
	b := basis{at: t, end: t, fed: f.tanks.evidence.fedInAll(), quantity: total(request.Quantities)}
	for _, burn := range request.Burns {
		b.burn += fuel.Burned(burn.Minutes, burn.FlowPerHour)
		b.end = plus(b.end, burn.Minutes)
	}
	return b
}

// same reports whether the flight ahead is still about the one that a schedule was found for.
func (b basis) same(now basis) bool {
	burned := now.fed - b.fed
	return now.end.Sub(b.end).Abs() <= sameArrival && math.Abs(b.burn-burned-now.burn) <= sameBurn*b.burn &&
		math.Abs(b.quantity-burned-now.quantity) <= sameQuantity
}

// kept is what is left of the last schedule, if that will do.
func (f *fold) kept(request fuel.Request, last fuel.Schedule, plannedAt, t time.Time) (fuel.Schedule, bool) {
	k := &f.tanks
	quick := len(request.Tanks) <= quickTanks && len(last.Changes) <= quickChanges
	if quick || k.basis.at.IsZero() || !k.basis.same(f.basisOf(request, t)) {
		return fuel.Schedule{}, false
	}
	elapsed := t.Sub(plannedAt).Minutes()
	changes := last.Changes
	if request.Selected != last.StartOn { // a change was made: was it that one?
		if len(changes) == 0 || changes[0].To != request.Selected || math.Abs(changes[0].AtMinutes-elapsed) > changedAsSaid.Minutes() {
			return fuel.Schedule{}, false
		}
		changes = changes[1:]
	}
	left := make([]fuel.Change, len(changes))
	for i, change := range changes {
		left[i] = fuel.Change{AtMinutes: math.Max(0, change.AtMinutes-elapsed), To: change.To}
	}
	followed, err := fuel.Follow(request, request.Selected, left)
	if err != nil || len(followed.Broken) != len(last.Broken) || followed.HoldsExtraBurn != last.HoldsExtraBurn ||
		followed.LandsWithReserve != last.LandsWithReserve {
		return fuel.Schedule{}, false
	}
	for i, broken := range followed.Broken {
		if broken.Rule != last.Broken[i].Rule {
			return fuel.Schedule{}, false
		}
	}
	return followed, true
}

// confirmAfter is how long after a tank change engine and fuel pressure are to be confirmed: common practice, no source.
const confirmAfter = time.Minute

// promptTanks asks for the tank changes to come, and for the check after the last one.
func (f *fold) promptTanks() {
	k := &f.tanks
	for i, change := range k.schedule.Changes {
		due := plus(k.plannedAt, change.AtMinutes)
		to := f.system().Tanks[change.To].Name
		prompt := Prompt{
			ID: fmt.Sprintf("tank-%d", len(k.made)+1+i), Kind: PromptTank, Text: "tank to " + to, Due: due,
			Detail: append(f.tankLines(change.Quantities, change.ImbalanceBefore), f.system().ChangeSteps...),
			Answer: Answer{Act: TankChange, Tank: to},
		}
		if i == 0 {
			prompt.LateAt = ref(f.tankLateAt(due))
		}
		f.add(pending{Prompt: prompt, at: f.beforeTakeOff(), again: i > 0})
	}
	if c := f.prompts.confirm; c.number > 0 && f.onBlocks.IsZero() {
		f.add(pending{Prompt: Prompt{
			ID: fmt.Sprintf("confirm-%d", c.number), Kind: PromptConfirm, Text: "engine and fuel pressure on " + c.tank, Due: c.at.Add(confirmAfter),
			Detail: []string{"as steady as before the change, pressure where it belongs", "if not: back to " + c.from},
		}})
	}
}

// tankAsOfNow puts what is in the tanks in place of what was to be in them when the change was due.
func (f *fold) tankAsOfNow(prompt *Prompt, t time.Time) {
	quantities := f.quantitiesAt(t)
	lines := f.tankLines(quantities, f.imbalance(quantities))
	prompt.Detail = append(lines, prompt.Detail[len(lines):]...)
}

// beforeTakeOff is the place that times move with until take-off; nil once it is past, when they stand.
func (f *fold) beforeTakeOff() *place {
	if f.airborne.IsZero() {
		return &place{}
	}
	return nil
}

// tankLines say what will be in the tanks.
func (f *fold) tankLines(quantities []float64, imbalance float64) []string {
	parts := make([]string, len(quantities))
	for i, tank := range f.system().Tanks {
		parts[i] = fmt.Sprintf("%s %.1f", tank.Name, quantities[i])
	}
	line := strings.Join(parts, " · ")
	if limit := f.system().MaxImbalance; limit != nil {
		line += fmt.Sprintf(", imbalance %.1f of %g", imbalance, *limit)
	}
	return []string{line}
}
