package flight

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
)

func (f *fold) tanksAt(t time.Time) TanksNow {
	k, now := &f.tanks, f.tankFiguresAt(t)
	now.LimitAt, now.DryAt = f.waited(k.limitAt, t), f.waited(k.dryAt, t)
	now.Planned = f.changesAt(t)
	now.Trends, now.ReserveTouchedAt, now.LatestDivert = f.fuelTrends(f.cruiseFlow()), f.reserveTouchedAt(t), f.bingoAt(t)
	now.Ahead = f.momentsAhead(t)
	if len(now.Planned) > 0 {
		now.NextChange = &now.Planned[0]
	}
	return now
}

// tankFiguresAt is what is in the tanks and what became of it, without what is to come.
func (f *fold) tankFiguresAt(t time.Time) TanksNow {
	k := &f.tanks
	quantities := f.quantitiesAt(t)
	now := TanksNow{
		Unit: f.system().Unit, Selected: f.system().Tanks[k.selected].Name, SelectedSince: timeOf(k.since),
		Quantities: map[string]float64{}, Imbalance: f.imbalance(quantities), HeavySide: f.heavySide(quantities), Pairs: f.pairsAt(quantities),
		MaxImbalance: f.system().MaxImbalance, Made: k.made[:len(k.made):len(k.made)],
		FlowPerHour: f.flowNow(t), TotalUsable: f.usable(quantities), Endurance: f.enduranceAt(quantities), Burn: f.burnNow(),
		ScheduleProblem: k.problem, GaugeDisagreement: k.evidence.disagreed,
		Readings: k.evidence.told[:len(k.evidence.told):len(k.evidence.told)],
		History:  k.history.points.all(),
	}
	now.EnduranceMinutes = now.Endurance.CountsMinutes
	for i, tank := range f.system().Tanks {
		now.Quantities[tank.Name] = quantities[i]
		now.Tanks = append(now.Tanks, f.tankNow(i, quantities[i]))
	}
	now.MassKg = f.massKg(total(quantities))
	now.PlannedLandingTotal = f.sheet.Fuel.OnBoard - f.sheet.Fuel.Taxi - f.sheet.Fuel.Trip
	return now
}

func (f *fold) tankNow(index int, quantity float64) TankNow {
	tank := f.system().Tanks[index]
	now := TankNow{
		Name: tank.Name, Quantity: quantity, Capacity: tank.Capacity, Unusable: tank.Unusable, Selected: index == f.tanks.selected,
		MassKg: f.massKg(quantity),
	}
	if last := f.tanks.evidence.last[index]; last != nil {
		now.Gauge, now.GaugeAt = &last.read, &last.at
	}
	return now
}

func total(quantities []float64) float64 {
	sum := 0.0
	for _, quantity := range quantities {
		sum += quantity
	}
	return sum
}

// massKg is the mass of a quantity; nil where the aircraft gives no density.
func (f *fold) massKg(quantity float64) *float64 {
	density := f.system().DensityKgPerLitre
	unit, err := fuel.ParseUnit(f.system().Unit)
	if density == nil || err != nil {
		return nil
	}
	return ref(unit.MassKg(quantity, *density))
}

func (f *fold) pairsAt(quantities []float64) []PairNow {
	pairs := make([]PairNow, len(f.tanks.pairs))
	for i, pair := range f.tanks.pairs {
		pairs[i] = PairNow{
			First: f.system().Tanks[pair[0]].Name, Second: f.system().Tanks[pair[1]].Name, Difference: quantities[pair[0]] - quantities[pair[1]],
		}
	}
	return pairs
}

// enduranceAt is how long the usable fuel lasts in cruise, by every witness; the least counts.
func (f *fold) enduranceAt(quantities []float64) Endurance {
	usable, table := f.usable(quantities), f.tableCruiseFlow()
	e := Endurance{PlanMinutes: fuel.EnduranceMinutes(usable, table), By: byPlan}
	e.CountsMinutes = e.PlanMinutes
	if flow, told := f.tanks.flows[sheet.Cruise]; told {
		e.MeterMinutes = ref(fuel.EnduranceMinutes(usable, flow))
		if *e.MeterMinutes < e.CountsMinutes {
			e.CountsMinutes, e.By = *e.MeterMinutes, byMeter
		}
	}
	if x := f.tanks.evidence.excess; x != nil && f.cruiseFlow()+x.perHour > 0 {
		found := f.cruiseFlow() + x.perHour
		e.GaugesMinutes = ref(fuel.EnduranceMinutes(f.countedUsable(quantities), found))
		e.GaugesSigmaMinutes = ref(*e.GaugesMinutes * x.sigma / found)
		if x.good && *e.GaugesMinutes < e.CountsMinutes {
			e.CountsMinutes, e.By = *e.GaugesMinutes, byGauges
		}
	}
	return e
}

// burnNow is the burn that gauges show; nil as long as they do not tell.
func (f *fold) burnNow() *BurnNow {
	x := f.tanks.evidence.excess
	if x == nil {
		return nil
	}
	return &BurnNow{FlowPerHour: f.cruiseFlow() + x.perHour, ReckonedPerHour: f.cruiseFlow(), SigmaPerHour: x.sigma, Readings: x.readings, Counts: x.good}
}

// fuelSigma is one standard error of what is left after some fuel is burned and a time that has an error of its own.
func (f *fold) fuelSigma(toBurn, etaSigmaSeconds float64, t time.Time) float64 {
	flow := f.flowError() * max(0, toBurn)
	late := fuel.Burned(etaSigmaSeconds/60, f.flowNow(t))
	return math.Hypot(f.quantitySigma()+flow, late)
}

// momentsAhead is what is planned to be in the tanks, from the last planning to landing. Where a change is overdue the rest of the
// plan stands from what is in the tanks now.
func (f *fold) momentsAhead(t time.Time) []TankMoment {
	planned := f.tanks.ahead
	waiting := f.waiting(t)
	overdue := len(f.tanks.schedule.Changes) > 0 && t.After(plus(f.tanks.plannedAt, f.tanks.schedule.Changes[0].AtMinutes))
	if waiting == 0 && !overdue {
		return planned[:len(planned):len(planned)]
	}
	moved := make([]float64, len(f.tanks.quantities))
	if overdue && waiting == 0 {
		then := f.tanks.schedule.QuantitiesAt(t.Sub(f.tanks.plannedAt).Minutes())
		for i, quantity := range f.quantitiesAt(t) {
			moved[i] = quantity - then[i]
		}
	}
	var later []TankMoment
	for _, moment := range planned {
		if waiting == 0 && !moment.At.After(t) {
			continue
		}
		quantities := slices.Clone(moment.Quantities)
		for i := range quantities {
			quantities[i] = max(0, quantities[i]+moved[i])
		}
		later = append(later, momentOf(moment.At.Add(waiting), quantities, f.tanks.pairs))
	}
	return later
}

// changesAt are the planned changes, with the due time that the prompt has.
func (f *fold) changesAt(t time.Time) []TankChangeNow {
	changes := []TankChangeNow{}
	waiting := f.waiting(t)
	for i, change := range f.tanks.schedule.Changes {
		planned := TankChangeNow{
			At: plus(f.tanks.plannedAt, change.AtMinutes), To: f.system().Tanks[change.To].Name, ImbalanceThen: change.ImbalanceBefore,
			HeavyThen: f.heavySide(change.Quantities),
		}
		if i == 0 {
			planned.At = f.prompts.dueOf(PromptTank, planned.At)
		}
		planned.At = shown(planned.At.Add(waiting))
		changes = append(changes, planned)
	}
	return changes
}

// waited is a time of the tanks put off as take-off is; nil when there is none.
func (f *fold) waited(at, t time.Time) *time.Time {
	if at.IsZero() {
		return nil
	}
	return ref(shown(at.Add(f.waiting(t))))
}

// waiting is by how much the tanks' times are put off because take-off is behind its time.
func (f *fold) waiting(t time.Time) time.Duration {
	if !f.airborne.IsZero() {
		return 0
	}
	return f.delay(t)
}

// dueOf is the due time of the first prompt of a kind.
func (q *prompts) dueOf(kind PromptKind, otherwise time.Time) time.Time {
	for _, open := range q.made {
		if open.Kind == kind {
			return open.Due
		}
	}
	return otherwise
}

// heavySide is the fuller tank of the pair with the largest imbalance; empty when they are level.
func (f *fold) heavySide(quantities []float64) string {
	if _, fuller := fuel.LargestImbalance(quantities, f.tanks.pairs); fuller >= 0 {
		return f.system().Tanks[fuller].Name
	}
	return ""
}
