package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/fuel"
)

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
func (p *progress) basisOf(request fuel.Request, t time.Time) basis {
	b := basis{at: t, end: t, fed: p.tanks.evidence.fedInAll(), quantity: total(request.Quantities)}
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
func (p *progress) kept(request fuel.Request, last fuel.Schedule, plannedAt, t time.Time) (fuel.Schedule, bool) {
	k := &p.tanks
	quick := len(request.Tanks) <= quickTanks && len(last.Changes) <= quickChanges
	if quick || k.basis.at.IsZero() || !k.basis.same(p.basisOf(request, t)) {
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
