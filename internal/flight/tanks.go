package flight

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// leastFlow is what an engine that runs uses at least, in any unit an hour.
const leastFlow = 0.5

// tanks is the fuel as it is reckoned from what was burned and what was read.
type tanks struct {
	pairs      [][2]int  // that the limit compares
	quantities []float64 // at the time at, by the aircraft's order
	at         time.Time
	running    bool // the engine
	selected   int
	since      time.Time               // selected
	flows      map[sheet.Phase]float64 // told by the pilot, per hour
	made       []TankChangeMade
	history    history
	evidence   tankEvidence

	schedule  fuel.Schedule
	basis     basis     // that it was found for
	plannedAt time.Time // minute 0 of the schedule
	problem   string
	ahead     []TankMoment     // by the schedule
	turns     *found[[]turnBy] // as they were at plannedAt
	limitAt   time.Time        // the imbalance limit is reached if nothing is changed
	dryAt     time.Time        // the selected tank has no usable fuel left if nothing is changed
}

func newTanks(p *plan.Plan) tanks {
	pairs := p.Aircraft.Fuel.TankPairs()
	t := tanks{
		pairs:      pairs,
		history:    history{step: historyStep, pairs: pairs},
		quantities: make([]float64, len(p.Aircraft.Fuel.Tanks)),
		flows:      map[sheet.Phase]float64{},
		made:       []TankChangeMade{},
		selected:   max(0, p.Aircraft.Fuel.TankIndex(p.Fuel.StartOn)),
		at:         p.OffBlocks,
	}
	for i, tank := range p.Aircraft.Fuel.Tanks {
		t.quantities[i] = p.Fuel.OnBoard[tank.Name]
	}
	t.evidence = newTankEvidence(p.Aircraft.Fuel, t.quantities)
	return t
}

func (t *tanks) startEngine(at time.Time) {
	t.running, t.at = true, at
	t.since = at
	t.history.mark(at, t.quantities)
}

// burnUntil takes off the selected tank what was burned up to a time.
func (p *progress) burnUntil(t time.Time) {
	k := &p.tanks
	if !t.After(k.at) {
		return
	}
	p.keepHistory(t)
	if k.running && p.onBlocks.IsZero() {
		k.evidence.feed(k.selected, p.burned(k.at, t), t.Sub(k.at).Minutes())
	}
	k.quantities, k.at = p.quantitiesAt(t), t
}

// quantitiesAt are the quantities at a time not before the last event. A tank can't hold less than nothing.
func (p *progress) quantitiesAt(t time.Time) []float64 {
	quantities := slices.Clone(p.tanks.quantities)
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

// cruiseFlow is the flow in cruise: as told or, where nobody told it, by the aircraft's table.
func (p *progress) cruiseFlow() float64 {
	if flow, told := p.tanks.flows[sheet.Cruise]; told {
		return flow
	}
	return p.tableCruiseFlow()
}

// tableCruiseFlow is the flow in cruise by the aircraft's table.
func (p *progress) tableCruiseFlow() float64 {
	for i, piece := range p.ahead.trajectory {
		if piece.Phase == sheet.Cruise {
			return p.ahead.tableFlow(i)
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

// overrideFlows puts the flows that the pilot told in place of those of the tables, which are kept.
func (p *progress) overrideFlows(a *ahead) {
	if len(p.tanks.flows) == 0 {
		return
	}
	a.tableFlows = make([]float64, len(a.trajectory))
	for i, piece := range a.trajectory {
		a.tableFlows[i] = piece.FlowPerHour
		if flow, told := p.tanks.flows[piece.Phase]; told {
			a.trajectory[i].FlowPerHour = flow
		}
	}
}

// tableFlow is the flow of a piece of the trajectory by the aircraft's tables, whatever the pilot told.
func (a *ahead) tableFlow(piece int) float64 {
	if a.tableFlows != nil {
		return a.tableFlows[piece]
	}
	return a.trajectory[piece].FlowPerHour
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

// imbalance is the largest difference within a pair of tanks that is compared.
func (p *progress) imbalance(quantities []float64) float64 {
	imbalance, _ := fuel.LargestImbalance(quantities, p.tanks.pairs)
	return imbalance
}
