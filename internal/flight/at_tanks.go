package flight

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/sheet"
)

func (p *progress) tanksAt(t time.Time) TanksNow {
	k, now := &p.tanks, p.tankFiguresAt(t)
	now.LimitAt, now.DryAt = p.waited(k.limitAt, t), p.waited(k.dryAt, t)
	now.Planned = p.changesAt(t)
	now.Trends, now.ReserveTouchedAt, now.LatestDivert = p.fuelTrends(p.cruiseFlow()), p.reserveTouchedAt(t), p.bingoAt(t)
	now.Ahead = p.momentsAhead(t)
	if len(now.Planned) > 0 {
		now.NextChange = &now.Planned[0]
	}
	return now
}

// tankFiguresAt is what is in the tanks and what became of it, without what is to come.
func (p *progress) tankFiguresAt(t time.Time) TanksNow {
	k := &p.tanks
	quantities := p.quantitiesAt(t)
	now := TanksNow{
		Unit: p.system().Unit, Selected: p.system().Tanks[k.selected].Name, SelectedSince: timeOf(k.since),
		Quantities: map[string]float64{}, Imbalance: p.imbalance(quantities), HeavySide: p.heavySide(quantities), Pairs: p.pairsAt(quantities),
		MaxImbalance: p.system().MaxImbalance, Made: k.made[:len(k.made):len(k.made)],
		FlowPerHour: p.flowNow(t), TotalUsable: p.usable(quantities), Endurance: p.enduranceAt(quantities), Burn: p.burnNow(),
		ScheduleProblem: k.problem, GaugeDisagreement: k.evidence.disagreed,
		Readings: k.evidence.told[:len(k.evidence.told):len(k.evidence.told)],
		History:  k.history.points.all(),
	}
	now.EnduranceMinutes = now.Endurance.CountsMinutes
	for i, tank := range p.system().Tanks {
		now.Quantities[tank.Name] = quantities[i]
		now.Tanks = append(now.Tanks, p.tankNow(i, quantities[i]))
	}
	now.MassKg = p.massKg(total(quantities))
	now.PlannedLandingTotal = p.sheet.Fuel.OnBoard - p.sheet.Fuel.Taxi - p.sheet.Fuel.Trip
	return now
}

func (p *progress) tankNow(index int, quantity float64) TankNow {
	tank := p.system().Tanks[index]
	now := TankNow{
		Name: tank.Name, Quantity: quantity, Capacity: tank.Capacity, Unusable: tank.Unusable, Selected: index == p.tanks.selected,
		MassKg: p.massKg(quantity),
	}
	if last := p.tanks.evidence.last[index]; last != nil {
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
func (p *progress) massKg(quantity float64) *float64 {
	density := p.system().DensityKgPerLitre
	unit, err := fuel.ParseUnit(p.system().Unit)
	if density == nil || err != nil {
		return nil
	}
	return ref(unit.MassKg(quantity, *density))
}

func (p *progress) pairsAt(quantities []float64) []PairNow {
	pairs := make([]PairNow, len(p.tanks.pairs))
	for i, pair := range p.tanks.pairs {
		pairs[i] = PairNow{
			First: p.system().Tanks[pair[0]].Name, Second: p.system().Tanks[pair[1]].Name, Difference: quantities[pair[0]] - quantities[pair[1]],
		}
	}
	return pairs
}

// enduranceAt is how long the usable fuel lasts in cruise, by every witness; the least counts.
func (p *progress) enduranceAt(quantities []float64) Endurance {
	usable, table := p.usable(quantities), p.tableCruiseFlow()
	e := Endurance{PlanMinutes: fuel.EnduranceMinutes(usable, table), By: byPlan}
	e.CountsMinutes = e.PlanMinutes
	if flow, told := p.tanks.flows[sheet.Cruise]; told {
		e.MeterMinutes = ref(fuel.EnduranceMinutes(usable, flow))
		if *e.MeterMinutes < e.CountsMinutes {
			e.CountsMinutes, e.By = *e.MeterMinutes, byMeter
		}
	}
	if x := p.tanks.evidence.excess; x != nil && p.cruiseFlow()+x.perHour > 0 {
		found := p.cruiseFlow() + x.perHour
		e.GaugesMinutes = ref(fuel.EnduranceMinutes(p.countedUsable(quantities), found))
		e.GaugesSigmaMinutes = ref(*e.GaugesMinutes * x.sigma / found)
		if x.good && *e.GaugesMinutes < e.CountsMinutes {
			e.CountsMinutes, e.By = *e.GaugesMinutes, byGauges
		}
	}
	return e
}

// burnNow is the burn that gauges show; nil as long as they do not tell.
func (p *progress) burnNow() *BurnNow {
	x := p.tanks.evidence.excess
	if x == nil {
		return nil
	}
	return &BurnNow{FlowPerHour: p.cruiseFlow() + x.perHour, ReckonedPerHour: p.cruiseFlow(), SigmaPerHour: x.sigma, Readings: x.readings, Counts: x.good}
}

// fuelSigma is one standard error of what is left after some fuel is burned and a time that has an error of its own.
func (p *progress) fuelSigma(toBurn, etaSigmaSeconds float64, t time.Time) float64 {
	flow := p.flowError() * max(0, toBurn)
	late := fuel.Burned(etaSigmaSeconds/60, p.flowNow(t))
	return math.Hypot(p.quantitySigma()+flow, late)
}

// momentsAhead is what is planned to be in the tanks, from the last planning to landing. Where a change is overdue the rest of the
// plan stands from what is in the tanks now.
func (p *progress) momentsAhead(t time.Time) []TankMoment {
	planned := p.tanks.ahead
	waiting := p.waiting(t)
	overdue := len(p.tanks.schedule.Changes) > 0 && t.After(plus(p.tanks.plannedAt, p.tanks.schedule.Changes[0].AtMinutes))
	if waiting == 0 && !overdue {
		return planned[:len(planned):len(planned)]
	}
	moved := make([]float64, len(p.tanks.quantities))
	if overdue && waiting == 0 {
		then := p.tanks.schedule.QuantitiesAt(t.Sub(p.tanks.plannedAt).Minutes())
		for i, quantity := range p.quantitiesAt(t) {
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
		later = append(later, momentOf(moment.At.Add(waiting), quantities, p.tanks.pairs))
	}
	return later
}

// changesAt are the planned changes, with the due time that the prompt has.
func (p *progress) changesAt(t time.Time) []TankChangeNow {
	changes := []TankChangeNow{}
	waiting := p.waiting(t)
	for i, change := range p.tanks.schedule.Changes {
		planned := TankChangeNow{
			At: plus(p.tanks.plannedAt, change.AtMinutes), To: p.system().Tanks[change.To].Name, ImbalanceThen: change.ImbalanceBefore,
			HeavyThen: p.heavySide(change.Quantities),
		}
		if i == 0 {
			planned.At = p.prompts.dueOf(PromptTank, planned.At)
		}
		planned.At = planned.At.Add(waiting)
		changes = append(changes, planned)
	}
	return changes
}

// waited is a time of the tanks put off as take-off is; nil when there is none.
func (p *progress) waited(at, t time.Time) *time.Time {
	if at.IsZero() {
		return nil
	}
	return ref(at.Add(p.waiting(t)))
}

// waiting is by how much the tanks' times are put off because take-off is behind its time.
func (p *progress) waiting(t time.Time) time.Duration {
	if !p.airborne.IsZero() {
		return 0
	}
	return p.delay(t)
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
func (p *progress) heavySide(quantities []float64) string {
	if _, fuller := fuel.LargestImbalance(quantities, p.tanks.pairs); fuller >= 0 {
		return p.system().Tanks[fuller].Name
	}
	return ""
}
