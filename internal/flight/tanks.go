package flight

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// gaugeErrorFraction of a tank's capacity is how far a gauge of a light aircraft may be out: common practice, no source.
const gaugeErrorFraction = 0.08

// leastFlow is what an engine that runs uses at least, in any unit an hour.
const leastFlow = 0.5

// tanks is the fuel as it is reckoned from what was burned and what was read.
type tanks struct {
	pairs      [][2]int  // that the limit compares
	quantities []float64 // at the time at, by the aircraft's order
	at         time.Time
	running    bool // the engine
	selected   int
	since      time.Time // selected
	gauges     []*float64
	flows      map[sheet.Phase]float64 // told by the pilot, per hour
	made       []TankChangeMade
	disagreed  string // of the last gauge reading

	schedule  fuel.Schedule
	plannedAt time.Time // minute 0 of the schedule
	problem   string
	limitAt   time.Time // the imbalance limit is reached if nothing is changed
	dryAt     time.Time // the selected tank has no usable fuel left if nothing is changed
}

func newTanks(p *plan.Plan) tanks {
	t := tanks{
		pairs:      p.Aircraft.Fuel.TankPairs(),
		quantities: make([]float64, len(p.Aircraft.Fuel.Tanks)),
		gauges:     make([]*float64, len(p.Aircraft.Fuel.Tanks)),
		flows:      map[sheet.Phase]float64{},
		made:       []TankChangeMade{},
		selected:   max(0, p.Aircraft.Fuel.TankIndex(p.Fuel.StartOn)),
		at:         p.OffBlocks,
	}
	for i, tank := range p.Aircraft.Fuel.Tanks {
		t.quantities[i] = p.Fuel.OnBoard[tank.Name]
	}
	return t
}

func (t *tanks) startEngine(at time.Time) {
	t.running, t.at = true, at
	t.since = at
}

// burnUntil takes off the selected tank what was burned up to a time.
func (p *progress) burnUntil(t time.Time) {
	p.tanks.quantities = p.quantitiesAt(t)
	if t.After(p.tanks.at) {
		p.tanks.at = t
	}
}

// quantitiesAt are the quantities at a time not before the last event. A tank can't hold less than nothing.
func (p *progress) quantitiesAt(t time.Time) []float64 {
	quantities := append([]float64(nil), p.tanks.quantities...)
	if t.After(p.tanks.at) {
		left := quantities[p.tanks.selected] - p.burned(p.tanks.at, t)
		quantities[p.tanks.selected] = math.Max(0, left)
	}
	return quantities
}

// burned is what the engine uses from one time to another, with no event between them.
func (p *progress) burned(from, to time.Time) float64 {
	minutes := to.Sub(from).Minutes()
	switch {
	case !p.tanks.running || !p.onBlocks.IsZero() || minutes <= 0:
		return 0
	case !p.flying():
		return fuel.Burned(minutes, p.sheet.Plan.Aircraft.TaxiFlow)
	case !p.holding.IsZero() || len(p.ahead.trajectory) == 0:
		return fuel.Burned(minutes, p.circlingFlow())
	}
	a := p.ahead
	start, end := a.minutesOf(from), a.minutesOf(to)
	limit, _ := a.minutesTo(p.endOfLeg())
	burned := a.trajectory.FuelTo(math.Min(end, limit)) - a.trajectory.FuelTo(math.Min(start, limit))
	if beyond := end - math.Max(start, limit); beyond > 0 {
		burned += fuel.Burned(beyond, p.flowAt(limit))
	}
	return burned
}

// flowAt is the flow on the trajectory, minutes from the anchor.
func (p *progress) flowAt(minutes float64) float64 {
	return p.ahead.trajectory[p.ahead.trajectory.At(minutes).Piece].FlowPerHour
}

// circlingFlow is the flow in a hold and in the circuit: holding or, where the aircraft gives none, cruise.
func (p *progress) circlingFlow() float64 { return p.sheet.Route.ReserveFlow() }

// flowNow is the flow at a moment; 0 when the engine stands.
func (p *progress) flowNow(t time.Time) float64 {
	switch {
	case !p.tanks.running || !p.onBlocks.IsZero():
		return 0
	case !p.flying():
		return p.sheet.Plan.Aircraft.TaxiFlow
	}
	if n, ok := p.here(t); ok && p.holding.IsZero() {
		return p.ahead.trajectory[n.point.Piece].FlowPerHour
	}
	return p.circlingFlow()
}

// cruiseFlow is the flow that endurance is counted at.
func (p *progress) cruiseFlow() float64 {
	if flow, told := p.tanks.flows[sheet.Cruise]; told {
		return flow
	}
	for _, piece := range p.ahead.trajectory {
		if piece.Phase == sheet.Cruise {
			return piece.FlowPerHour
		}
	}
	return p.plannedCruiseFlow()
}

// plannedCruiseFlow is the flow of the sheet's last cruise; without one, that of holding.
func (p *progress) plannedCruiseFlow() float64 {
	for i := len(p.sheet.Trajectory) - 1; i >= 0; i-- {
		if piece := p.sheet.Trajectory[i]; piece.Phase == sheet.Cruise {
			return piece.FlowPerHour
		}
	}
	return p.circlingFlow()
}

// overrideFlows puts the flows that the pilot told in place of those of the tables.
func (p *progress) overrideFlows(trajectory sheet.Trajectory) {
	for i := range trajectory {
		if flow, told := p.tanks.flows[trajectory[i].Phase]; told {
			trajectory[i].FlowPerHour = flow
		}
	}
}

// usable is the total of a list of quantities that can be fed to the engine.
func (p *progress) usable(quantities []float64) float64 {
	total := 0.0
	for i, tank := range p.system().Tanks {
		total += fuel.Usable(quantities[i], tank.Unusable)
	}
	return total
}

// unit is the unit of fuel as it stands behind a figure.
func (p *progress) unit() string {
	unit, err := fuel.ParseUnit(p.system().Unit)
	if err != nil {
		return p.system().Unit
	}
	return unit.Short()
}

func (p *progress) system() plan.FuelSystem { return p.sheet.Plan.Aircraft.Fuel }

func (p *progress) foldTank(e Event) {
	to := p.system().TankIndex(e.Tank)
	if to < 0 {
		return
	}
	p.burnUntil(e.T)
	if to != p.tanks.selected && p.tanks.running {
		p.tanks.made = append(p.tanks.made, TankChangeMade{At: e.T, To: e.Tank, ImbalanceBefore: p.imbalance(p.tanks.quantities)})
		p.prompts.confirm = confirmation{number: len(p.tanks.made), at: e.T, tank: e.Tank}
	}
	p.tanks.selected, p.tanks.since = to, e.T
	p.revise(e.T)
}

// foldGauges sets the reckoned quantities by what was read. Where a reading and the reckoning differ by more than a gauge may be
// out, the lower counts and it is said; where they agree the reckoning stays, for it is the finer of the two.
func (p *progress) foldGauges(e Event) {
	p.burnUntil(e.T)
	var disagreements []string
	for i, tank := range p.system().Tanks {
		reading, read := e.Tanks[tank.Name]
		if !read {
			continue
		}
		p.tanks.gauges[i] = &reading
		check := fuel.CheckGauge(p.tanks.quantities[i], reading, gaugeErrorFraction*tank.Capacity)
		if !check.Disagrees {
			continue
		}
		counts := "the reading counts"
		if check.Difference > 0 {
			counts = "the reckoning counts"
		}
		disagreements = append(disagreements, fmt.Sprintf("%s gauge reads %.0f, reckoned %.0f: %s", tank.Name, reading, p.tanks.quantities[i], counts))
		p.tanks.quantities[i] = check.Counts
	}
	p.tanks.disagreed = strings.Join(disagreements, "; ")
	p.revise(e.T)
}

func (p *progress) foldFlow(e Event) {
	if e.Flow == nil || *e.Flow < leastFlow {
		return
	}
	p.burnUntil(e.T)
	phase := sheet.Cruise
	if n, ok := p.here(e.T); ok {
		phase = n.point.Phase
	}
	flows := map[sheet.Phase]float64{phase: *e.Flow}
	for other, flow := range p.tanks.flows {
		if other != phase {
			flows[other] = flow
		}
	}
	p.tanks.flows = flows
	p.revise(e.T)
}

// imbalance is the largest difference within a pair of tanks that is compared.
func (p *progress) imbalance(quantities []float64) float64 {
	imbalance, _ := fuel.LargestImbalance(quantities, p.tanks.pairs)
	return imbalance
}

// planTanks plans the changes to come from the quantities, the flows and the times as they are now.
func (p *progress) planTanks(t time.Time) {
	k := &p.tanks
	k.schedule, k.plannedAt, k.problem, k.limitAt, k.dryAt = fuel.Schedule{}, t, "", time.Time{}, time.Time{}
	if !p.landed.IsZero() || !p.onBlocks.IsZero() {
		return
	}
	request, err := p.tankRequest(t)
	if err != nil {
		k.problem = err.Error()
		return
	}
	schedule, err := fuel.Plan(request)
	var broken *fuel.Broken
	if errors.As(err, &broken) {
		k.problem = broken.Text
		if broken.Mend != "" {
			k.problem += ": " + broken.Mend
		}
	} else if err != nil {
		k.problem = err.Error()
		return
	}
	k.schedule = schedule
	p.unchanged(request)
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

// burnsFrom is the flow from a time to landing: what is left of the taxi, then the reckoned way.
func (p *progress) burnsFrom(t time.Time) []fuel.Burn {
	if len(p.ahead.trajectory) == 0 {
		return nil
	}
	burns := p.ahead.way.route.Burns(p.ahead.trajectory)
	if n, flying := p.here(t); flying {
		return cutFront(burns, n.minutes)
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

// tankLateAt is when the next change is late: the limit is reached or the tank is empty, whichever comes first. A change that is due
// only for the time on one tank is late some minutes after.
func (p *progress) tankLateAt(due time.Time) time.Time {
	const patience = 5 * time.Minute
	late := due.Add(patience)
	first := true
	for _, at := range []time.Time{p.tanks.limitAt, p.tanks.dryAt} {
		if !at.IsZero() && (first || at.Before(late)) {
			late, first = at, false
		}
	}
	if late.Before(due) {
		return due
	}
	return late
}
