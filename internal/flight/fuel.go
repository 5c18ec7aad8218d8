package flight

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/tanks"
	"example.com/legclock/internal/values"
)

// leastFlow is what an engine that runs uses at least, in any unit an hour.
const leastFlow = 0.5

// engineUses is what a running engine uses from one time to a later one, with no event between them: a tanks.Burn.
func (f *ahead) engineUses(from, to time.Time) float64 {
	minutes := to.Sub(from).Minutes()
	switch {
	case minutes <= 0:
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
		burned += fuel.Burned(beyond, a.trajectory[f.pointOnLeg(limit).Piece].FlowPerHour)
	}
	return burned
}

// burnUntil takes what was burned up to a time off the tanks.
func (f *fuelled) burnUntil(t time.Time) { f.tanks.BurnUntil(t, f.engineUses) }

// quantitiesAt are the quantities at a moment, by the aircraft's order, for somebody who does not change them.
func (f *fuelled) quantitiesAt(t time.Time) []float64 {
	return reckoned(f.lookAt(t), func(l *look) *lookPart[[]float64] { return &l.quantities }, func() []float64 { return f.tanks.QuantitiesAt(t, f.engineUses) })
}

// countedUsableAt is the usable fuel that counts at a moment.
func (f *fuelled) countedUsableAt(t time.Time) float64 {
	return reckoned(f.lookAt(t), func(l *look) *lookPart[float64] { return &l.usable }, func() float64 {
		return max(0, f.tanks.CountedUsable(f.quantitiesAt(t))-f.tanks.ElsewhereAt(t, f.engineUses))
	})
}

// holding is the part of a flight that its trajectory does not have: a hold, and circling overhead the destination.
const holding sheet.Phase = "holding"

// circling is the flow in a hold and in the circuit: of holding or, where the aircraft gives none, of cruise; and as it was told.
func (f *believed) circling() tanks.Flow {
	table, set := f.sheet.Fuel.CruiseFlow, f.sheet.Plan.Aircraft.Holding
	if set != nil {
		table = set.FlowPerHour
	}
	flow := f.flowIn(holding, table)
	if set == nil && flow.Told == nil {
		flow.At = tanks.InCruise
	}
	return flow
}

// flowIn is the flow of a part of the flight: by a table, and as it was told.
func (f *believed) flowIn(phase sheet.Phase, table float64) tanks.Flow {
	flow := tanks.Flow{At: string(phase), Table: table}
	if told, given := f.flows[phase]; given {
		flow.Told = ref(told)
	}
	return flow
}

// circlingFlow is the flow in a hold and in the circuit that is reckoned with.
func (f *believed) circlingFlow() float64 { return f.circling().Used() }

// flowNow is the flow at a moment; 0 when the engine stands.
func (f *fuelled) flowNow(t time.Time) float64 { return f.engineFlow(f.presentFlow(t)) }

// engineFlow is the flow of the engine, by the flow of the part of the flight being flown.
func (f *fuelled) engineFlow(present tanks.Flow) float64 {
	switch {
	case !f.tanks.Running():
		return 0
	case !f.flying():
		return f.sheet.Plan.Aircraft.TaxiFlow
	}
	return present.Used()
}

// presentFlow is the flow that the endurance is reckoned at: that of the part of the flight being flown, on the ground that of cruise.
func (f *ahead) presentFlow(t time.Time) tanks.Flow {
	if !f.flying() || !f.onBlocks.IsZero() {
		return f.cruise()
	}
	n, ok := f.here(t)
	if !ok || !f.holding.IsZero() {
		return f.circling()
	}
	return f.flowIn(f.outlook.trajectory[n.point.Piece].Phase, f.outlook.tableFlow(n.point.Piece))
}

// cruise is the flow in cruise: by the table of the way ahead, else of the sheet's last cruise, else that of holding; and as it was told.
func (f *ahead) cruise() tanks.Flow {
	return reckoned(f.look, func(l *look) *lookPart[tanks.Flow] { return &l.cruise }, f.findCruise)
}

func (f *ahead) findCruise() tanks.Flow {
	c := f.flowIn(sheet.Cruise, f.sheet.Fuel.CruiseFlow)
	if first, ok := f.outlook.trajectory.FirstCruise(); ok {
		c.Table = f.outlook.tableFlow(first)
		return c
	}
	for i := len(f.sheet.Trajectory) - 1; i >= 0; i-- {
		if piece := f.sheet.Trajectory[i]; piece.Phase == sheet.Cruise {
			c.Table = piece.FlowPerHour
			return c
		}
	}
	return c
}

// cruiseFlow is the flow in cruise that is reckoned with.
func (f *ahead) cruiseFlow() float64 { return f.cruise().Used() }

// overrideFlows puts the flows that the pilot told in place of those of the tables, which are kept.
func (o *outlook) overrideFlows(told map[sheet.Phase]float64) {
	if len(told) == 0 {
		return
	}
	o.tableFlows = make([]float64, len(o.trajectory))
	for i, piece := range o.trajectory {
		o.tableFlows[i] = piece.FlowPerHour
		if flow, given := told[piece.Phase]; given {
			o.trajectory[i].FlowPerHour = flow
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

func (p *ofPlan) system() *plan.FuelSystem { return &p.sheet.Plan.Aircraft.Fuel }

// holdPlanned is how long a hold is taken to go on, for the changes of tank: as for every time ahead it may be left at once, and while it goes
// on the changes are planned again as often. So they are while a route point or a change of tank is overdue.
const holdPlanned = time.Minute

// replanning is a moment at which the changes of tank are planned again though nothing was logged, as the arrival moves, a change is overdue or a heading
// leads off the way ahead, and whether the entry before it, of which was learnt later, was known to whoever looks: what it teaches is not due before it was learnt.
type replanning struct {
	at     time.Time
	since  time.Time // the first of them would be
	taught bool
}

// replanning is the last up to a moment; due is false where the changes stand as they are.
func (f *fold) replanning(t time.Time) (last replanning, due bool) {
	if !f.flying() || !f.onBlocks.IsZero() {
		return last, false
	}
	since, every := f.holding, holdPlanned
	if since.IsZero() {
		if n, _ := f.here(t); n.overdue > 0 {
			since = t.Add(-n.overdue)
		}
	}
	if told, _, astray := f.astray(); astray && !told.After(t) {
		since, every = told, astrayAnew
	}
	if change := f.tanks.FirstChange(); since.IsZero() && !change.IsZero() && change.Before(t) {
		since = change
	}
	if since.IsZero() {
		return last, false
	}
	last.at, last.since = since.Add(t.Sub(since).Truncate(every)), since
	return last.lookedAt(t, f), last.at.After(f.tanks.PlannedAt()) && last.at.After(since)
}

// lookedAt is a replanning for whoever looks at a moment.
func (r replanning) lookedAt(t time.Time, f *fold) replanning {
	r.taught = r.at.Before(f.prompts.learnt.at) && !t.Before(f.prompts.learnt.at)
	return r
}

// mostReplanned is how often the changes are planned again one after the other; a longer hole in the log is passed over.
const mostReplanned = 240

// replannedBefore is the flight of which the changes of tank are planned again the last time up to a moment. Until one is due they are planned each
// time from what was planned the time before, so that what comes to be due stays due when it was; then the last time counts alone.
func (f *fold) replannedBefore(last replanning, t time.Time) fold {
	before := *f
	for range mostReplanned {
		next, planned := last, max(0, before.tanks.PlannedAt().Sub(last.since))
		next.at = last.since.Add(planned.Truncate(holdPlanned) + holdPlanned)
		due := before.tanks.FirstChange()
		if !next.at.Before(last.at) || !due.IsZero() && !due.After(next.at) {
			break
		}
		before = before.planAgain(next.lookedAt(t, &before))
	}
	return before
}

// replanUntil plans the changes of tank again up to a moment.
func (f *fold) replanUntil(t time.Time) {
	if again, due := f.replanning(t); due {
		before := f.replannedBefore(again, t)
		*f = before.planAgain(again)
	}
}

// planAgain is the flight with the changes of tank planned again and, where a heading leads off the way ahead, with that made anew; the changes then each minute
// only, so that one that has come to be due stays due.
func (f *fold) planAgain(again replanning) fold {
	later, at := *f, again.at
	if !again.taught {
		later.prompts.learnt = learnt{}
	}
	later.prompts.were = later.queueAt(at)
	later.keepOpened(at)
	if _, _, astray := later.astray(); astray {
		later.burnUntil(at)
		later.predict(at)
		later.reviseWay(at)
	}
	if at.Sub(again.since)%holdPlanned == 0 {
		later.tanks.KeepOnLanding(later.finalReserve(at).Fuel)
		later.tanks.PlanOn(at, later.burnsFrom(at), later.engineUses)
	}
	later.makePrompts(at)
	later.prompts.were = queueBefore{}
	later.latestTurns = &values.Finds[bool, []turnBy]{} // they are as of that moment
	return later
}

// planTanks plans the changes of tank to come from the quantities, the flows and the times as they are now. Until take-off they are planned
// from its time on, by which waiting puts them off.
func (f *fuelled) planTanks(t time.Time) {
	f.tanks.KeepOnLanding(f.finalReserve(t).Fuel)
	switch {
	case !f.landed.IsZero() || !f.onBlocks.IsZero():
		f.tanks.PlanNothing(t)
		return
	case !f.airborne.IsZero():
	case f.offBlocks.IsZero():
		taxi := f.sheet.Plan.TaxiMinutes
		f.tanks.PlanFromTakeOff(f.anchor.at, f.taxi(), fuel.Burned(taxi, f.sheet.Plan.Aircraft.TaxiFlow), f.burnsFrom(f.anchor.at))
		return
	default:
		t = f.anchor.at
	}
	f.tanks.Plan(t, f.burnsFrom(t), f.engineUses)
}

// burnsFrom is the flow from a time, take-off at the earliest, to landing: a hold, then the reckoned way, with what gauges show to be burned more.
func (f *fuelled) burnsFrom(t time.Time) []fuel.Burn {
	if len(f.outlook.trajectory) == 0 {
		return nil
	}
	burns := f.outlook.way.route.Burns(f.outlook.trajectory)
	for i := range burns {
		burns[i].FlowPerHour += f.tanks.ExcessPerHour()
	}
	if n, flying := f.here(t); flying {
		burns = cutFront(burns, n.minutes)
		if !f.holding.IsZero() {
			hold := fuel.Burn{Minutes: holdPlanned.Minutes(), FlowPerHour: f.circlingFlow() + f.tanks.ExcessPerHour(), ChangeAllowed: true, Phase: "hold"}
			burns = append([]fuel.Burn{hold}, burns...)
		}
	}
	if skipped := f.told.tankSkipped; !skipped.IsZero() {
		burns = unchanged(burns, skipped.Add(patient).Sub(t).Minutes())
	}
	return burns
}

// unchanged allows no change of tank in the first minutes.
func unchanged(burns []fuel.Burn, minutes float64) []fuel.Burn {
	parts := make([]fuel.Burn, 0, len(burns)+1)
	for _, burn := range burns {
		if first := min(minutes, burn.Minutes); first > 0 {
			before := burn
			before.Minutes, before.ChangeAllowed = first, false
			parts = append(parts, before)
			minutes -= first
			burn.Minutes -= first
		}
		if burn.Minutes > 0 {
			parts = append(parts, burn)
		}
	}
	return parts
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

func (f *fold) foldTank(e Event) bool {
	to := f.system().TankIndex(e.Tank)
	if to < 0 {
		return false
	}
	f.burnUntil(e.T)
	if from, changed := f.tanks.Select(to, e.T); changed {
		f.prompts.confirm = confirmation{number: len(f.tanks.Made()), at: e.T, tank: e.Tank, from: from}
		f.told.tankSkipped = time.Time{}
	}
	return true
}

func (f *fuelled) foldGauges(e Event) bool {
	f.burnUntil(e.T)
	f.tanks.Read(e.T, e.Tanks, f.flowNow(e.T))
	return true
}

func (f *fuelled) foldFlow(e Event) bool {
	if e.Flow == nil || *e.Flow < leastFlow {
		return false
	}
	f.burnUntil(e.T)
	phase := sheet.Cruise
	switch n, ok := f.here(e.T); {
	case f.standing():
		phase = holding
	case ok:
		phase = n.point.Phase
	}
	flows := map[sheet.Phase]float64{}
	maps.Copy(flows, f.flows)
	flows[phase] = *e.Flow
	f.flows = flows
	return true
}

// settleFlow sets a flow that was told, once the way ahead is reckoned with it, beside that of the table.
func (f *fuelled) settleFlow(e Event) {
	n, flying := f.here(e.T)
	if !flying || !f.holding.IsZero() {
		f.tanks.NoFlow()
		return
	}
	f.tanks.TellFlow(f.outlook.trajectory[n.point.Piece].FlowPerHour, f.outlook.tableFlow(n.point.Piece))
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
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.fold.tanks.Unit()), "%s can't hold %g", name, reading)
		case !(reading >= 0):
			return refuse(fmt.Sprintf("it is from 0 to %g %s", capacity, s.fold.tanks.Unit()), "%s can't read %g", name, reading)
		}
	}
	return nil
}

// doubtGauges doubts readings above what was there before, and those far below what is reckoned.
func (s *State) doubtGauges(e Event) error {
	if wrong := s.fold.tanks.Doubt(e.Tanks, s.fold.quantitiesAt(e.T)); wrong != "" {
		return doubt("%s", wrong)
	}
	return nil
}

// doubtFlow doubts a flow that is far from the table's.
func (s *State) doubtFlow(e Event) error {
	const odd = 1.6 // times the flow of the table, or that part of it
	p := &s.fold
	n, flying := p.here(e.T)
	if e.Flow == nil || !flying && !p.standing() {
		return nil
	}
	table := p.circling().Table
	if !p.standing() {
		table = p.outlook.tableFlow(n.point.Piece)
	}
	if *e.Flow > odd*table || *e.Flow < table/odd {
		return doubt("a flow of %g where the table has %.1f %s/h", *e.Flow, table, p.tanks.Unit())
	}
	return nil
}

// doubtTank doubts a change to a tank that can't feed the engine.
func (s *State) doubtTank(e Event) error {
	p := &s.fold
	i := p.system().TankIndex(e.Tank)
	if quantity := p.quantitiesAt(e.T)[i]; quantity <= p.system().Tanks[i].Unusable {
		return doubt("%s has no usable fuel: %.1f %s, %g of it unusable", e.Tank, quantity, p.tanks.Unit(), p.system().Tanks[i].Unusable)
	}
	return nil
}

// confirmAfter is how long after a tank change engine and fuel pressure are to be confirmed: common practice, no source.
const confirmAfter = time.Minute

// promptTanks asks for the tank changes to come, and for the check after the last one.
func (f *fold) promptTanks() {
	k := &f.tanks
	number := len(k.Made())
	for i, change := range k.Changes() {
		number++
		for f.prompts.closed.Has(tankPrompt(number)) { // skipped: what is planned instead is another
			number++
		}
		open := pending{due: change.At, at: f.beforeTakeOff(), again: i > 0, change: i, told: &values.Found[words]{}, task: newTask(task{
			ID: tankPrompt(number), Kind: PromptTank, Answer: Answer{Act: TankChange, Tank: change.To}, order: i,
		})}
		if i == 0 {
			open.late = k.LateAt(change.At, patient)
		}
		f.add(open)
	}
	if c := f.prompts.confirm; c.number > 0 && f.onBlocks.IsZero() {
		f.add(pending{due: c.at.Add(confirmAfter), task: newTask(task{
			ID: "confirm-" + strconv.Itoa(c.number), Kind: PromptConfirm, Text: "engine and fuel pressure on " + c.tank,
			Detail: []string{"as steady as before the change, pressure where it belongs", "if not: back to " + c.from},
		})})
	}
}

// tankPrompt names the prompt of a change by its number in the flight, from 1.
func tankPrompt(number int) string { return "tank-" + strconv.Itoa(number) }

// tankWords say which tank is changed to, and what is in the tanks then.
func (f *fold) tankWords(change int) words {
	c := f.tanks.Changes()[change]
	return words{text: "tank to " + c.To, detail: append(f.tankLines(c.Quantities, c.Imbalance), f.system().ChangeSteps...)}
}

// tankAsOfNow puts what is in the tanks in place of what was to be in them when the change was due.
func (f *fuelled) tankAsOfNow(prompt *Prompt, t time.Time) {
	quantities := f.quantitiesAt(t)
	lines := f.tankLines(quantities, f.tanks.Imbalance(quantities))
	prompt.Detail = append(lines, prompt.Detail[len(lines):]...)
}

// beforeTakeOff is the place that times move with until take-off; nil once it is past, when they stand.
func (f *flown) beforeTakeOff() *place {
	if f.airborne.IsZero() {
		return &place{}
	}
	return nil
}

// tankLines say what will be in the tanks.
func (f *flown) tankLines(quantities []float64, imbalance float64) []string {
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

// tanksAt is the fuel as it will be, beside what it is and was.
func (f *fold) tanksAt(t time.Time) TanksNow {
	k, now, waiting := &f.tanks, TanksNow{TankFigures: f.tankFiguresAt(t)}, f.waiting(t)
	limits := &[...]time.Time{k.LimitAt(), k.DryAt(), k.WithinLimitAt(), f.reserveTouchedAt(t)}
	for i, at := range [...]**time.Time{&now.LimitAt, &now.DryAt, &now.WithinLimitAt, &now.ReserveTouchedAt} {
		if !limits[i].IsZero() {
			*at = &limits[i]
		}
	}
	for i := range limits[:3] {
		limits[i] = shown(limits[i].Add(waiting))
	}
	now.Planned = slices.Clip(f.changesAt(t))
	now.Trends = []FuelTrend{}
	for _, trend := range k.Trends(f.cruiseFlow()) {
		severity := Caution
		if trend.Grave {
			severity = Alarm
		}
		now.Trends = append(now.Trends, FuelTrend{severity, trend.Text})
	}
	now.LatestDivert = f.latestDivertAt(t)
	now.Ahead = k.Ahead(t, waiting, f.engineUses)
	if len(now.Planned) > 0 {
		now.NextChange = &now.Planned[0]
	}
	return now
}

// changesAt are the planned changes: those that are asked for, or are once the one before is made, with the times and the quantities that their prompts have.
func (f *fold) changesAt(t time.Time) []TankChangeNow {
	l := f.lookAt(t)
	if l == nil {
		_, changes := f.makeChanges(t)
		return changes
	}
	delay := f.delay(t)
	holds := func(stays queueStays) bool { return stays.delay == delay && stays.has(t) }
	return keepWhile(l, func(k *kept) *keptPart[queueStays, []TankChangeNow] { return &k.changes }, holds, func() (queueStays, []TankChangeNow) {
		stay, changes := f.makeChanges(t)
		return queueStays{stay, delay}, changes
	})
}

// makeChanges are the planned changes at a moment, and the time in which they stay so by the same delay.
func (f *fold) makeChanges(t time.Time) (stay meanwhile, changes []TankChangeNow) {
	at, planned := moment{t: t}, f.tanks.Changes()
	changes = []TankChangeNow{}
	for i := range f.prompts.made {
		open := &f.prompts.made[i]
		if open.Kind != PromptTank {
			continue
		}
		delay := f.delayOf(open, t)
		stands := f.prompts.standing(open, &at, delay)
		change := planned[open.change]
		if stands.ofNow { // another every second
			change.Quantities = f.quantitiesAt(t)
			change.Imbalance = f.tanks.Imbalance(change.Quantities)
			at.stay = meanwhile{t, t}
		}
		changes = append(changes, TankChangeNow{
			At: shown(open.due.Add(delay)), To: change.To, ImbalanceThen: change.Imbalance, HeavyThen: f.tanks.HeavySide(change.Quantities),
		})
	}
	return at.stay, changes
}

// waiting is by how much the tanks' times are put off because take-off is behind its time.
func (f *ahead) waiting(t time.Time) time.Duration {
	if !f.airborne.IsZero() {
		return 0
	}
	return f.delay(t)
}

// tankFiguresAt is what is in the tanks and what became of it.
func (f *fuelled) tankFiguresAt(t time.Time) TankFigures {
	k := &f.tanks
	quantities, present := f.quantitiesAt(t), f.presentFlow(t)
	now := TankFigures{
		Unit: f.system().Unit, Selected: k.Selected(), SelectedSince: timeOf(k.Since()),
		Quantities: map[string]float64{}, Imbalance: k.Imbalance(quantities), HeavySide: k.HeavySide(quantities), Pairs: k.PairsOf(quantities),
		MaxImbalance: f.system().MaxImbalance, Made: k.Made(),
		FlowPerHour: f.engineFlow(present), TotalUsable: k.Usable(quantities), Endurance: k.EnduranceOf(quantities, present), Burn: k.BurnFound(f.cruiseFlow()),
		ScheduleProblem: k.Problem(), GaugeDisagreement: k.Disagreement(),
		Readings: k.Readings(), History: k.History(),
	}
	now.EnduranceMinutes = now.Endurance.CountsMinutes
	now.Tanks = make([]TankNow, 0, len(quantities))
	total := 0.0
	for i, tank := range f.system().Tanks {
		one := TankNow{
			Name: tank.Name, Quantity: quantities[i], Capacity: tank.Capacity, Unusable: tank.Unusable, Selected: k.Feeds(i), MassKg: k.MassKg(quantities[i]),
		}
		if read, at, ok := k.LastReading(i); ok {
			one.Gauge, one.GaugeAt = ref(read), ref(at)
		}
		now.Quantities[tank.Name] = quantities[i]
		now.Tanks = append(now.Tanks, one)
		total += quantities[i]
	}
	now.MassKg = k.MassKg(total)
	now.PlannedLandingTotal = f.sheet.Fuel.Block - f.sheet.Fuel.Taxi - f.sheet.Fuel.Trip
	return now
}

// fuelSigma is one standard error of what is left after some fuel is burned and a time that has an error of its own.
func (f *fuelled) fuelSigma(toBurn, etaSigmaSeconds float64, t time.Time) float64 {
	return math.Hypot(f.tanks.Sigma(toBurn, f.cruise()), fuel.Burned(etaSigmaSeconds/60, f.flowNow(t)))
}
