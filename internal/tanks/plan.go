package tanks

import (
	"errors"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// planned is what is to be done with the tanks until landing, from the quantities, the flows and the times as they were at a moment.
type planned struct {
	at       time.Time // minute 0 of the schedule
	schedule fuel.Schedule
	basis    basis                   // that it was found for
	problem  *problem                // what is wrong with it; nil: nothing
	moments  *values.Found[[]Moment] // by the schedule; nil where there is none
	limitAt  time.Time
	dryAt    time.Time
}

// Change is a change of tank to come.
type Change struct {
	At         time.Time
	To         string
	Quantities []float64 // then, by the aircraft's order
	Imbalance  float64   // then
}

// KeepOnLanding is what is to be left on landing by the changes that are planned from now on.
func (k *Tanks) KeepOnLanding(reserve float64) { k.reserve = reserve }

// Plan plans the changes to come from a moment on, for what is to be burned until landing.
func (k *Tanks) Plan(t time.Time, burns []fuel.Burn, burn Burn) { k.plan(t, burns, burn, false) }

// PlanFromTakeOff plans the changes to come as long as the engine stands, as they are for a plan: from take-off, after a taxi on the tank selected.
func (k *Tanks) PlanFromTakeOff(takeOff time.Time, taxi time.Duration, taxiFuel float64, burns []fuel.Burn) {
	taxied := *k
	taxied.at = takeOff.Add(-taxi)
	taxied.started, taxied.since = true, taxied.at
	taxied.Plan(takeOff, burns, func(time.Time, time.Time) float64 { return taxiFuel })
	k.planned = taxied.planned
}

// PlanOn plans again when nothing is new but the time: the arrival has moved, or a change is overdue. Where it may still be made, that one stays
// the next as long as it is any good, and those after it are planned as if it were made at once.
func (k *Tanks) PlanOn(t time.Time, burns []fuel.Burn, burn Burn) {
	k.plan(t, burns, burn, k.Overdue(t))
}

func (k *Tanks) plan(t time.Time, burns []fuel.Burn, burn Burn, overdue bool) {
	last := k.planned
	k.PlanNothing(t)
	request, err := k.request(t, burns, burn)
	if err != nil {
		k.planned.problem = unhinted(err)
		return
	}
	schedule, ok := k.kept(request, last, t)
	switch {
	case overdue && len(burns) > 0 && burns[0].ChangeAllowed:
		if schedule, ok = k.foundAtOnce(request, t, last.schedule.Changes[0].To); !ok {
			return
		}
	case ok:
		k.planned.problem = last.problem
	default:
		if schedule, ok = k.found(request, t); !ok {
			return
		}
	}
	k.planned.schedule = schedule
	k.planned.moments = &values.Found[[]Moment]{}
	k.findLimits(request)
	if k.planned.limitAt.Equal(t) { // it is passed already: when is known from the last plan, or not at all
		k.planned.limitAt = time.Time{}
		if last.limitAt.Before(t) {
			k.planned.limitAt = last.limitAt
		}
	}
}

// PlanNothing is the plan of a flight that has landed.
func (k *Tanks) PlanNothing(t time.Time) { k.planned = planned{at: t, basis: k.planned.basis} }

// momentsBetween are the moments between which all quantities go evenly by the schedule. They are found when first read.
func (p *planned) momentsBetween(pairs [][2]int) []Moment {
	if p.moments == nil {
		return nil
	}
	return p.moments.Get(func() (moments []Moment) {
		for _, minutes := range p.schedule.Knots() {
			moments = append(moments, momentOf(plus(p.at, minutes), p.schedule.QuantitiesAt(minutes), pairs))
		}
		return moments
	})
}

// PlannedAt is when the changes to come were planned.
func (k *Tanks) PlannedAt() time.Time { return k.planned.at }

// Problem is what is wrong with the changes to come; empty: nothing.
func (k *Tanks) Problem() string { return k.planned.problem.String() }

// problem is what is wrong with the changes to come. What would mend it takes as long to find as they do, and is found when it is first read.
type problem struct {
	text    string
	broken  fuel.Broken
	request fuel.Request // in which that is broken
	whole   *values.Found[string]
}

// unhinted is a problem that nothing is known to mend.
func unhinted(err error) *problem {
	return &problem{text: err.Error(), whole: &values.Found[string]{}}
}

func (p *problem) String() string {
	if p == nil {
		return ""
	}
	return p.whole.Get(func() string {
		if hint := p.broken.Hinted(p.request); hint != "" {
			return p.text + ": " + hint
		}
		return p.text
	})
}

// LimitAt is when the imbalance limit is reached if nothing is changed; the zero time if it is not.
func (k *Tanks) LimitAt() time.Time { return k.planned.limitAt }

// WithinLimitAt is when by the changes to come all pairs are within the imbalance limit that one of them was above when they were planned; the zero
// time where none was, or that does not come about before landing.
func (k *Tanks) WithinLimitAt() time.Time {
	s := &k.planned.schedule
	if !s.StartsAboveLimit || math.IsInf(s.WithinLimitAtMinutes, 1) {
		return time.Time{}
	}
	return plus(k.planned.at, s.WithinLimitAtMinutes)
}

// DryAt is when the tank in use has no usable fuel left if nothing is changed; the zero time if there is always some.
func (k *Tanks) DryAt() time.Time { return k.planned.dryAt }

// FirstChange is when the first of the changes to come is planned; the zero time where there is none.
func (k *Tanks) FirstChange() time.Time {
	p := &k.planned
	if len(p.schedule.Changes) == 0 {
		return time.Time{}
	}
	return plus(p.at, p.schedule.Changes[0].AtMinutes)
}

// Changes are the changes to come.
func (k *Tanks) Changes() []Change {
	changes := make([]Change, len(k.planned.schedule.Changes))
	for i, change := range k.planned.schedule.Changes {
		changes[i] = Change{
			At: plus(k.planned.at, change.AtMinutes), To: k.system.Tanks[change.To].Name, Quantities: change.Quantities, Imbalance: change.ImbalanceBefore,
		}
	}
	return changes
}

// found is the best schedule, with what is wrong with it; ok is false where there is none.
func (k *Tanks) found(request fuel.Request, t time.Time) (schedule fuel.Schedule, ok bool) {
	k.planned.basis = k.basisOf(request, t)
	request.HintsLater = true
	schedule, err := fuel.Calmly(request)
	var broken *fuel.Broken
	if errors.As(err, &broken) {
		k.planned.problem = &problem{broken.Text, *broken, request, &values.Found[string]{}}
	} else if err != nil {
		k.planned.problem = unhinted(err)
		return schedule, false
	}
	return schedule, true
}

// foundAtOnce is the best schedule that begins with a change at once: to one tank or, where that would break a rule or have to be changed away from
// before long, to the one that a schedule begins with which is free to choose, if that is better.
func (k *Tanks) foundAtOnce(request fuel.Request, t time.Time, to int) (fuel.Schedule, bool) {
	schedule, ok := k.foundAfter(request, t, to)
	faults := func(s fuel.Schedule) int {
		count := 2 * len(s.Broken)
		if len(s.Changes) > 1 && s.Changes[1].AtMinutes < fuel.CalmStayMinutes {
			count++
		}
		return count
	}
	if ok && faults(schedule) == 0 {
		return schedule, true
	}
	otherwise := *k
	free, found := otherwise.found(request, t)
	if !found || len(free.Changes) == 0 || free.Changes[0].To == to {
		return schedule, ok
	}
	if other, found := otherwise.foundAfter(request, t, free.Changes[0].To); found && (!ok || faults(other) < faults(schedule)) {
		k.planned = otherwise.planned
		return other, true
	}
	return schedule, ok
}

// foundAfter is the best schedule that begins with a change at once.
func (k *Tanks) foundAfter(request fuel.Request, t time.Time, to int) (fuel.Schedule, bool) {
	changed := request
	changed.Selected, changed.SinceChangeMinutes = to, 0
	rest, ok := k.found(changed, t)
	if !ok {
		return rest, false
	}
	followed, err := fuel.Follow(request, request.Selected, append([]fuel.Change{{To: to}}, rest.Changes...))
	return followed, err == nil
}

func (k *Tanks) request(t time.Time, burns []fuel.Burn, burn Burn) (fuel.Request, error) {
	quantities := map[string]float64{}
	for i, quantity := range k.QuantitiesAt(t, burn) {
		quantities[k.system.Tanks[i].Name] = quantity
	}
	since := 0.0
	if k.started {
		since = math.Max(0, t.Sub(k.since).Minutes())
	}
	request, err := sheet.TankRequest(*k.system, quantities, k.Selected(), since, burns, k.reserve)
	request.UnderWay = k.started
	return request, err
}

// findLimits finds when a limit is reached, by the planned burn, if the tank in use stays selected.
func (k *Tanks) findLimits(request fuel.Request) {
	limitAt, dryAt, err := fuel.Untouched(request)
	if err != nil {
		return
	}
	if !math.IsInf(limitAt, 1) {
		k.planned.limitAt = plus(k.planned.at, limitAt)
	}
	if !math.IsInf(dryAt, 1) {
		k.planned.dryAt = plus(k.planned.at, dryAt)
	}
}

// LateAt is when a change that is due at a time is late: when the limit is reached or the tank is empty or, where it has a longest time,
// the patience after that, whichever comes first; the patience after it is due where nothing of that comes.
func (k *Tanks) LateAt(due time.Time, patience time.Duration) time.Time {
	var late time.Time
	consider := func(at time.Time) {
		if late.IsZero() || at.Before(late) {
			late = at
		}
	}
	for _, at := range []time.Time{k.planned.limitAt, k.planned.dryAt} {
		if !at.IsZero() {
			consider(at)
		}
	}
	if every := k.system.ChangeEveryMinutes; every != nil && k.started {
		consider(plus(k.since, *every).Add(patience))
	}
	switch {
	case late.IsZero():
		return due.Add(patience)
	case late.Before(due):
		return due
	}
	return late
}

// Ahead is what is planned to be in the tanks, from the last planning to landing, as it looks at a moment: put off by a wait for take-off.
// Where a change is overdue the rest of the plan stands from what is in the tanks now.
func (k *Tanks) Ahead(t time.Time, waiting time.Duration, burn Burn) []Moment {
	p := &k.planned
	overdue := k.Overdue(t)
	if waiting == 0 && !overdue {
		return slices.Clip(p.momentsBetween(k.pairs))
	}
	moved := make([]float64, len(k.quantities))
	if overdue && waiting == 0 {
		moved = k.unplanned(t, burn)
	}
	var later []Moment
	for _, moment := range p.momentsBetween(k.pairs) {
		if waiting == 0 && !moment.At.After(t) {
			continue
		}
		later = append(later, momentOf(moment.At.Add(waiting), together(moment.Quantities, moved), k.pairs))
	}
	return later
}

// Overdue reports whether the first of the changes to come should have been made.
func (k *Tanks) Overdue(t time.Time) bool {
	first := k.FirstChange()
	return !first.IsZero() && t.After(first)
}

// unplanned is how much more there is in each tank than by the plan.
func (k *Tanks) unplanned(t time.Time, burn Burn) []float64 {
	more := k.QuantitiesAt(t, burn)
	for i, planned := range k.planned.schedule.QuantitiesAt(t.Sub(k.planned.at).Minutes()) {
		more[i] -= planned
	}
	return more
}

// together are quantities and what there is more of each, never less than nothing.
func together(quantities, more []float64) []float64 {
	sums := slices.Clone(quantities)
	for i := range sums {
		sums[i] = max(0, sums[i]+more[i])
	}
	return sums
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

// basis is what a schedule was found for.
type basis struct {
	at, end             time.Time
	burn, fed, quantity float64
}

// basisOf is what a schedule is found for at a time.
func (k *Tanks) basisOf(request fuel.Request, t time.Time) basis {
	b := basis{at: t, end: t, fed: k.evidence.fedInAll()}
	for _, quantity := range request.Quantities {
		b.quantity += quantity
	}
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
func (k *Tanks) kept(request fuel.Request, last planned, t time.Time) (fuel.Schedule, bool) {
	quick := len(request.Tanks) <= quickTanks && len(last.schedule.Changes) <= quickChanges
	if quick || last.basis.at.IsZero() || !last.basis.same(k.basisOf(request, t)) {
		return fuel.Schedule{}, false
	}
	elapsed := t.Sub(last.at).Minutes()
	changes := last.schedule.Changes
	if request.Selected != last.schedule.StartOn { // a change was made: was it that one?
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
	sameRule := func(a, b fuel.Broken) bool { return a.Rule == b.Rule }
	if err != nil || !slices.EqualFunc(followed.Broken, last.schedule.Broken, sameRule) ||
		followed.HoldsExtraBurn != last.schedule.HoldsExtraBurn || followed.LandsWithReserve != last.schedule.LandsWithReserve {
		return fuel.Schedule{}, false
	}
	return followed, true
}
