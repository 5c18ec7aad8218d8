package flight

import (
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
)

func (p *progress) tanksAt(t time.Time) TanksNow {
	k := &p.tanks
	quantities := p.quantitiesAt(t)
	now := TanksNow{
		Unit: p.system().Unit, Selected: p.system().Tanks[k.selected].Name, SelectedSince: timeOf(k.since),
		Quantities: map[string]float64{}, Imbalance: p.imbalance(quantities), HeavySide: p.heavySide(quantities),
		MaxImbalance: p.system().MaxImbalance, LimitAt: p.limitAt(t), Planned: p.changesAt(t), Made: k.made[:len(k.made):len(k.made)],
		FlowPerHour: p.flowNow(t), EnduranceMinutes: p.enduranceMinutes(t), TotalUsable: p.usable(quantities),
		ScheduleProblem: k.problem, GaugeDisagreement: k.disagreed,
	}
	for i, tank := range p.system().Tanks {
		now.Quantities[tank.Name] = quantities[i]
		now.Tanks = append(now.Tanks, TankNow{
			Name: tank.Name, Quantity: quantities[i], Capacity: tank.Capacity, Unusable: tank.Unusable, Gauge: k.gauges[i], Selected: i == k.selected,
		})
	}
	if len(now.Planned) > 0 {
		now.NextChange = &now.Planned[0]
	}
	now.PlannedLandingTotal = p.sheet.Fuel.OnBoard - p.sheet.Fuel.Taxi - p.sheet.Fuel.Trip
	return now
}

// changesAt are the planned changes, with the due time that the prompt has.
func (p *progress) changesAt(t time.Time) []TankChangeNow {
	changes := []TankChangeNow{}
	waiting := p.waiting(t)
	for i, change := range p.tanks.schedule.Changes {
		planned := TankChangeNow{
			At: plus(p.tanks.plannedAt, change.AtMinutes), To: p.system().Tanks[change.To].Name, ImbalanceThen: change.ImbalanceBefore,
		}
		if i == 0 {
			planned.At = p.prompts.dueOf(PromptTank, planned.At)
		}
		planned.At = planned.At.Add(waiting)
		changes = append(changes, planned)
	}
	return changes
}

// limitAt is when the limit is reached if nothing is changed; nil when it is not.
func (p *progress) limitAt(t time.Time) *time.Time {
	if p.tanks.limitAt.IsZero() {
		return nil
	}
	return ref(p.tanks.limitAt.Add(p.waiting(t)))
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

// enduranceMinutes is how long the usable fuel lasts at cruise flow.
func (p *progress) enduranceMinutes(t time.Time) float64 {
	return fuel.EnduranceMinutes(p.usable(p.quantitiesAt(t)), p.cruiseFlow())
}

func (p *progress) radioAt(t time.Time) []ReceiverNow {
	position := p.positionAt(t)
	n, flying := p.here(t)
	list := make([]ReceiverNow, 0, len(p.sheet.Plan.Aircraft.Receivers))
	for _, name := range p.sheet.Plan.Aircraft.Receivers {
		now := ReceiverNow{Receiver: name, Next: p.nextBeacon(name, t)}
		if set := p.receivers[name]; set != nil {
			now.Identified = set.identified
			now.Tuned = p.beaconNow(set, position, n, flying, t)
		}
		list = append(list, now)
	}
	return list
}

// beaconNow is what a tuned beacon should show; without a position only what it is.
func (p *progress) beaconNow(set *receiver, position *PositionNow, n now, flying bool, t time.Time) *BeaconNow {
	b := &BeaconNow{
		Beacon: set.beacon.Ident, Name: set.beacon.Title(), Kind: string(set.beacon.Kind), Frequency: set.beacon.Frequency,
		Morse: morse(set.beacon.Ident), Course: set.course,
	}
	if position == nil {
		return b
	}
	reading := p.expectAt(position.Place(), position.AltitudeFt, set.beacon, set.course)
	b.InRange = reading.inRange
	if set.beacon.Kind.HasRadials() {
		b.Radial = &reading.radial
		if set.course != nil {
			b.Sense, b.NeedleDeg = &reading.sense, &reading.needle
		}
	}
	if set.beacon.Kind.HasDistance() {
		b.DME = &reading.dmeNM
	}
	if set.beacon.Kind == plan.NDB && flying {
		qdm := deadreckon.MagneticFromTrue(earth.Inverse(position.Place(), set.beacon.At).AzimuthStart, p.declinationAt(n.place))
		b.QDM, b.Relative = &qdm, ref(radio.RelativeBearing(p.headingMagnetic(n), qdm))
	}
	if flying && p.legs[p.leg].line().To.Ident == set.beacon.Ident {
		if eta, ok := p.eta(p.endOfLeg(), t); ok {
			b.OverheadSeconds = ref(eta.Sub(t).Seconds())
		}
	}
	return b
}

// nextBeacon is the first open radio step of a receiver.
func (p *progress) nextBeacon(receiver string, t time.Time) *BeaconNext {
	for _, open := range p.prompts.made {
		if open.step == nil || open.step.Receiver != receiver {
			continue
		}
		step := open.step
		next := &BeaconNext{
			Beacon: step.Beacon.Ident, Name: step.Beacon.Title(), Frequency: step.Beacon.Frequency, Morse: morse(step.Beacon.Ident),
			Course: step.CourseMagnetic, AfterNM: step.AfterNM, Leg: step.Leg, Due: ref(open.Due),
		}
		if open.at != nil {
			next.Leg = open.at.leg
			next.Due = ref(open.Due.Add(p.delayTo(*open.at, t)))
		}
		return next
	}
	return nil
}
