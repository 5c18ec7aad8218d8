package flight

import (
	"fmt"
	"math"
	"slices"
	"strings"
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
func (f *fold) burnUntil(t time.Time) {
	k := &f.tanks
	if !t.After(k.at) {
		return
	}
	f.keepHistory(t)
	if k.running && f.onBlocks.IsZero() {
		k.evidence.feed(k.selected, f.burned(k.at, t), t.Sub(k.at).Minutes())
	}
	k.quantities, k.at = f.quantitiesAt(t), t
}

// quantitiesAt are the quantities at a time not before the last event. A tank can't hold less than nothing.
func (f *fold) quantitiesAt(t time.Time) []float64 {
	quantities := slices.Clone(f.tanks.quantities)
	if t.After(f.tanks.at) {
		left := quantities[f.tanks.selected] - f.burned(f.tanks.at, t)
		quantities[f.tanks.selected] = math.Max(0, left)
	}
	return quantities
}

// burned is what the engine uses from one time to another, with no event between them.
func (f *fold) burned(from, to time.Time) float64 {
	minutes := to.Sub(from).Minutes()
	switch {
	case !f.tanks.running || !f.onBlocks.IsZero() || minutes <= 0:
		return 0
	case !f.flying():
		return fuel.Burned(minutes, f.sheet.Plan.Aircraft.TaxiFlow)
	case !f.holding.IsZero() || len(f.outlook.trajectory) == 0:
		return fuel.Burned(minutes, f.circlingFlow())
	}
	a := f.outlook
	start, end := a.minutesOf(from), a.minutesOf(to)
	limit, _ := a.minutesTo(f.endOfLeg())
	burned := a.trajectory.FuelTo(math.Min(end, limit)) - a.trajectory.FuelTo(math.Min(start, limit))
	if beyond := end - math.Max(start, limit); beyond > 0 {
		burned += fuel.Burned(beyond, f.flowAt(limit))
	}
	return burned
}

// flowAt is the flow on the trajectory, minutes from the anchor.
func (f *fold) flowAt(minutes float64) float64 {
	return f.outlook.trajectory[f.outlook.trajectory.At(minutes).Piece].FlowPerHour
}

// circlingFlow is the flow in a hold and in the circuit: holding or, where the aircraft gives none, cruise.
func (f *fold) circlingFlow() float64 { return f.sheet.Route.ReserveFlow() }

// flowNow is the flow at a moment; 0 when the engine stands.
func (f *fold) flowNow(t time.Time) float64 {
	switch {
	case !f.tanks.running || !f.onBlocks.IsZero():
		return 0
	case !f.flying():
		return f.sheet.Plan.Aircraft.TaxiFlow
	}
	if n, ok := f.here(t); ok && f.holding.IsZero() {
		return f.outlook.trajectory[n.point.Piece].FlowPerHour
	}
	return f.circlingFlow()
}

// cruiseFlow is the flow in cruise: as told or, where nobody told it, by the aircraft's table.
func (f *fold) cruiseFlow() float64 {
	if flow, told := f.tanks.flows[sheet.Cruise]; told {
		return flow
	}
	return f.tableCruiseFlow()
}

// tableCruiseFlow is the flow in cruise by the aircraft's table.
func (f *fold) tableCruiseFlow() float64 {
	for i, piece := range f.outlook.trajectory {
		if piece.Phase == sheet.Cruise {
			return f.outlook.tableFlow(i)
		}
	}
	return f.plannedCruiseFlow()
}

// plannedCruiseFlow is the flow of the sheet's last cruise; without one, that of holding.
func (f *fold) plannedCruiseFlow() float64 {
	for i := len(f.sheet.Trajectory) - 1; i >= 0; i-- {
		if piece := f.sheet.Trajectory[i]; piece.Phase == sheet.Cruise {
			return piece.FlowPerHour
		}
	}
	return f.circlingFlow()
}

// overrideFlows puts the flows that the pilot told in place of those of the tables, which are kept.
func (f *fold) overrideFlows(a *outlook) {
	if len(f.tanks.flows) == 0 {
		return
	}
	a.tableFlows = make([]float64, len(a.trajectory))
	for i, piece := range a.trajectory {
		a.tableFlows[i] = piece.FlowPerHour
		if flow, told := f.tanks.flows[piece.Phase]; told {
			a.trajectory[i].FlowPerHour = flow
		}
	}
}

// tableFlow is the flow of a piece of the trajectory by the aircraft's tables, whatever the pilot told.
func (o *outlook) tableFlow(piece int) float64 {
	if o.tableFlows != nil {
		return o.tableFlows[piece]
	}
	return o.trajectory[piece].FlowPerHour
}

// usable is the total of a list of quantities that can be fed to the engine.
func (f *fold) usable(quantities []float64) float64 {
	total := 0.0
	for i, tank := range f.system().Tanks {
		total += fuel.Usable(quantities[i], tank.Unusable)
	}
	return total
}

// unit is the unit of fuel as it stands behind a figure.
func (f *fold) unit() string {
	unit, err := fuel.ParseUnit(f.system().Unit)
	if err != nil {
		return f.system().Unit
	}
	return unit.Short()
}

func (f *fold) system() plan.FuelSystem { return f.sheet.Plan.Aircraft.Fuel }

// imbalance is the largest difference within a pair of tanks that is compared.
func (f *fold) imbalance(quantities []float64) float64 {
	imbalance, _ := fuel.LargestImbalance(quantities, f.tanks.pairs)
	return imbalance
}

func (f *fold) foldTank(e Event) bool {
	to := f.system().TankIndex(e.Tank)
	if to < 0 {
		return false
	}
	f.burnUntil(e.T)
	if to != f.tanks.selected && f.tanks.running {
		f.tanks.made = added(f.tanks.made, TankChangeMade{At: e.T, To: e.Tank, ImbalanceBefore: f.imbalance(f.tanks.quantities)})
		f.prompts.confirm = confirmation{
			number: len(f.tanks.made), at: e.T, tank: e.Tank, from: f.system().Tanks[f.tanks.selected].Name,
		}
	}
	if to != f.tanks.selected {
		f.tanks.evidence.selected = replaced(f.tanks.evidence.selected, to, f.tanks.evidence.selected[to]+1)
		f.tanks.history.mark(e.T, f.tanks.quantities)
	}
	f.tanks.selected, f.tanks.since = to, e.T
	return true
}

// foldGauges sets the reckoned quantities by what was read. Where a reading and the reckoning differ by more than a gauge may be
// out, the lower counts and it is said; where they agree the reckoning stays, for it is the finer of the two.
func (f *fold) foldGauges(e Event) bool {
	f.burnUntil(e.T)
	k := &f.tanks
	k.history.mark(e.T, k.quantities)
	k.quantities = slices.Clone(k.quantities)
	var disagreements []string
	for i, tank := range f.system().Tanks {
		reading, read := e.Tanks[tank.Name]
		if !read {
			continue
		}
		k.evidence.read(e.T, i, tank.Name, reading, k.running && i == k.selected)
		check := fuel.CheckGauge(k.quantities[i], reading, gaugeErrorFraction*tank.Capacity)
		if !check.Disagrees {
			continue
		}
		counts := "the reading counts"
		if check.Difference > 0 {
			counts = "the reckoning counts"
		}
		disagreements = append(disagreements, fmt.Sprintf("%s gauge reads %.0f, calculated %.0f: %s", tank.Name, reading, k.quantities[i], counts))
		k.quantities[i] = check.Counts
		if check.Difference < 0 {
			k.evidence.corrected = replaced(k.evidence.corrected, i, k.evidence.fedFor[i])
		}
	}
	k.evidence.disagreed = strings.Join(disagreements, "; ")
	k.history.mark(e.T, k.quantities)
	k.evidence.judge(f.system(), f.flowNow(e.T))
	return true
}

func (f *fold) foldFlow(e Event) bool {
	if e.Flow == nil || *e.Flow < leastFlow {
		return false
	}
	f.burnUntil(e.T)
	phase := sheet.Cruise
	if n, ok := f.here(e.T); ok {
		phase = n.point.Phase
	}
	flows := map[sheet.Phase]float64{phase: *e.Flow}
	for other, flow := range f.tanks.flows {
		if other != phase {
			flows[other] = flow
		}
	}
	f.tanks.flows = flows
	return true
}

// checkTank refuses a tank that the aircraft does not have.
func (s *State) checkTank(e Event) error {
	system := s.fold.system()
	if system.TankIndex(e.Tank) >= 0 {
		return nil
	}
	names := make([]string, len(system.Tanks))
	for i, tank := range system.Tanks {
		names[i] = tank.Name
	}
	return refuse("the aircraft has "+strings.Join(names, ", "), "there is no tank %q", e.Tank)
}

// checkGauges refuses readings that no tank can have.
func (s *State) checkGauges(e Event) error {
	system := s.fold.system()
	for _, name := range sortedNames(e.Tanks) {
		if err := s.checkTank(Event{Tank: name}); err != nil {
			return err
		}
		capacity := system.Tanks[system.TankIndex(name)].Capacity
		switch reading := e.Tanks[name]; {
		case reading > capacity:
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.fold.unit()), "%s can't hold %g", name, reading)
		case !(reading >= 0):
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.fold.unit()), "%s can't read %g", name, reading)
		}
	}
	return nil
}

// A reading or a flow looks wrong if it lies further from what is reckoned than anything but a leak, an error or a slip would take it.
const (
	oddGauges = 3.0 // times what a gauge may be out, below what is reckoned
	oddFlow   = 1.6 // times the flow of the table, or that part of it
)

// doubtGauges doubts readings above what was there at the last reading or at off-blocks, for fuel is not gained in flight, and those
// far below what is reckoned.
func (s *State) doubtGauges(e Event) error {
	p := &s.fold
	quantities := p.quantitiesAt(e.T)
	for i, tank := range p.system().Tanks {
		reading, read := e.Tanks[tank.Name]
		if !read {
			continue
		}
		before, what := p.sheet.Plan.Fuel.OnBoard[tank.Name], "at off-blocks"
		if last := p.tanks.evidence.last[i]; last != nil {
			before, what = last.read, "at the last reading"
		}
		slack := gaugeErrorFraction * tank.Capacity
		switch {
		case reading > before+slack:
			return doubt("%s had %g %s: %g would be more", tank.Name, before, what, reading)
		case reading < quantities[i]-oddGauges*slack:
			return doubt("%s reads %g, calculated %.0f", tank.Name, reading, quantities[i])
		}
	}
	return nil
}

// doubtFlow doubts a flow that is far from the table's.
func (s *State) doubtFlow(e Event) error {
	p := &s.fold
	n, flying := p.here(e.T)
	if e.Flow == nil || !flying {
		return nil
	}
	if table := p.outlook.tableFlow(n.point.Piece); *e.Flow > oddFlow*table || *e.Flow < table/oddFlow {
		return doubt("a flow of %g where the table has %.1f %s/h", *e.Flow, table, p.unit())
	}
	return nil
}

// doubtTank doubts a change to a tank that can't feed the engine.
func (s *State) doubtTank(e Event) error {
	p := &s.fold
	i := p.system().TankIndex(e.Tank)
	if quantity := p.quantitiesAt(e.T)[i]; quantity <= p.system().Tanks[i].Unusable {
		return doubt("%s has no usable fuel: %.1f %s, %g of it unusable", e.Tank, quantity, p.unit(), p.system().Tanks[i].Unusable)
	}
	return nil
}

const (
	// mostHistory bounds what is kept of the quantities: when there are as many, every second is dropped.
	mostHistory = 512
	// historyStep is how far apart in time they are kept at first.
	historyStep = time.Minute
)

// history is what was in the tanks since the engine was started, as it was reckoned at the time. Its points are never changed, so that Snapshots may share them.
type history struct {
	points list[TankMoment]
	step   time.Duration
	pairs  [][2]int
}

// keepHistory keeps the quantities between the last event that counts for the tanks and the next, at t.
func (f *fold) keepHistory(t time.Time) {
	h := &f.tanks.history
	if !f.tanks.running {
		return
	}
	for t.Sub(h.points.items[len(h.points.items)-1].At) > mostHistory*h.step { // a hole in the log: what came between is worth no more than the rest
		h.step *= 2
	}
	for at := h.points.items[len(h.points.items)-1].At.Add(h.step); !at.After(t); at = at.Add(h.step) {
		if at.After(f.tanks.at) {
			h.mark(at, f.quantitiesAt(at))
		}
	}
}

// mark keeps the quantities at a time. Two marks at one time show what a reading changed.
func (h *history) mark(at time.Time, quantities []float64) {
	if len(h.points.items) >= mostHistory {
		h.thin()
	}
	h.points = h.points.with(momentOf(at, quantities, h.pairs))
}

func (h *history) thin() {
	thinned := make([]TankMoment, 0, mostHistory)
	for i := 0; i < len(h.points.items); i += 2 {
		thinned = append(thinned, h.points.items[i])
	}
	h.points, h.step = listOf(thinned), 2*h.step
}

// momentOf is what is in the tanks at a time.
func momentOf(at time.Time, quantities []float64, pairs [][2]int) TankMoment {
	m := TankMoment{At: at, Quantities: slices.Clone(quantities), Differences: make([]float64, len(pairs))}
	for i, pair := range pairs {
		m.Differences[i] = quantities[pair[0]] - quantities[pair[1]]
	}
	return m
}
