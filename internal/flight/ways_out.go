package flight

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/values"
)

// WaysOut are the ways from where the aircraft is straight to every point of the plan. They are reckoned when somebody first reads them: in most
// seconds nobody does.
type WaysOut struct {
	once sync.Once
	ways []AlternateNow
	from *vantage // nil: there is nothing more to be reckoned
}

// WaysOutOf are ways that are known, the quickest first.
func WaysOutOf(ways []AlternateNow) *WaysOut { return &WaysOut{ways: ways} }

// All are the ways, the quickest first. Many may ask at the same time.
func (w *WaysOut) All() []AlternateNow {
	if w == nil {
		return nil
	}
	w.once.Do(func() {
		if w.from != nil {
			w.ways, w.from = w.from.ways(func(*plan.Point) bool { return true }), nil
		}
	})
	return w.ways
}

// MarshalJSON writes the list of them; what HTML would take amiss is left to whoever asked.
func (w *WaysOut) MarshalJSON() ([]byte, error) {
	var list bytes.Buffer
	encoder := json.NewEncoder(&list)
	encoder.SetEscapeHTML(false)
	err := encoder.Encode(w.All())
	return list.Bytes(), err
}

// vantage is what every way out from one place and moment is reckoned with: the cruise and the height of now, or the leg's level
// where that height is none to cruise at. Climb and descent are left out, as they are when fuel for an alternate is planned.
type vantage struct {
	*ofPlan
	at              time.Time
	from            earth.Position
	headingMagnetic float64
	flying          bool // there is a heading
	declination     float64
	wind            air.Wind
	tasKt           float64
	usable          float64
	flowPerHour     float64
	arrivalFlow     float64
	reserve         *FinalReserve
	onPlan          map[string]int  // the points that legs still to be flown end at
	toward          *DestinationNow // that is flown to straight; nil: none is
	steer           Steer           // towards it
}

// vantageAt is where a flight stands at the moment of a Snapshot that has its destination; nil where there is no position, and after the landing.
func (f *fuelled) vantageAt(s *Snapshot) *vantage {
	if s.Position == nil || !f.landed.IsZero() {
		return nil
	}
	t, altitudeFt := s.At, s.Position.AltitudeFt
	if f.airborne.IsZero() || f.complete {
		altitudeFt = f.levelFt(f.leg)
	}
	v := &vantage{
		ofPlan: f.ofPlan, at: t, from: s.Position.Place(), declination: f.declinationAt(place{f.leg, s.Position.AfterNM}),
		tasKt: f.cruiseTAS(), usable: f.countedUsableAt(t), flowPerHour: f.cruiseFlow() + f.tanks.ExcessPerHour(), arrivalFlow: f.arrivalFlow(t), reserve: f.finalReserve(t),
		onPlan: f.aheadOnPlan(),
	}
	v.wind = f.windsAloft(altitudeFt, t).inUse
	if n, flying := f.here(t); flying {
		v.headingMagnetic, v.flying = f.headingMagnetic(n), true
	}
	if f.straightTo() {
		v.toward, v.steer = s.Destination, s.Steer
	}
	return v
}

// straightTo reports whether the leg being flown ends at the destination, so that the way straight to it is the one that is flown.
func (f *flown) straightTo() bool {
	return f.flying() && !f.complete && f.holding.IsZero() && f.legs[f.leg].last()
}

// lookOut puts what is seen from a vantage into a Snapshot: the alternates, and of the other ways out only what somebody reads.
func (s *Snapshot) lookOut(v *vantage) {
	if v == nil {
		s.WaysOut, s.Alternates = WaysOutOf([]AlternateNow{}), []AlternateNow{}
		return
	}
	s.WaysOut = &WaysOut{from: v}
	named := v.sheet.Plan.Route.Alternates
	alternates := v.ways(v.alternate)
	s.Alternates = make([]AlternateNow, 0, len(alternates))
	for _, ident := range named {
		i := slices.IndexFunc(alternates, func(way AlternateNow) bool { return way.Point == ident })
		if i >= 0 && (s.Destination == nil || ident != s.Destination.Point) {
			s.Alternates = append(s.Alternates, alternates[i])
		}
	}
	if best := quickestAlternate(alternates, s.Diversion); best != nil {
		s.SuggestedDiversion = best.Point
		return
	}
	s.SuggestedDiversion = suggestedDiversion(s.WaysOut.All(), s.Diversion)
}

// alternate reports whether the plan lists a point as an alternate.
func (p *ofPlan) alternate(point *plan.Point) bool {
	return slices.Contains(p.sheet.Plan.Route.Alternates, point.Ident)
}

// ways are the ways to some points of the plan, the quickest first.
func (v *vantage) ways(to func(*plan.Point) bool) []AlternateNow {
	points, many := v.sheet.Plan.Points, 0
	for i := range points {
		if to(&points[i]) {
			many++
		}
	}
	ways, room := make([]AlternateNow, 0, many), make([]wayOutRoom, many)
	for i := range points {
		if point := &points[i]; to(point) {
			n := len(ways)
			ways = append(ways, AlternateNow{})
			v.wayOut(&ways[n], point, &room[n])
		}
	}
	slices.SortStableFunc(ways, func(a, b AlternateNow) int {
		if unreachable := compareBool(a.Minutes == 0 && a.Problem != "", b.Minutes == 0 && b.Problem != ""); unreachable != 0 {
			return unreachable
		}
		return cmp.Compare(a.Minutes, b.Minutes)
	})
	return ways
}

// compareBool puts false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// quickestAlternate is the first of the ways that goes to an alternate which can be reached well; nil where there is none.
func quickestAlternate(ways []AlternateNow, going *DiversionNow) *AlternateNow {
	for i := range ways {
		if way := &ways[i]; way.Alternate && way.Problem == "" && way.leadsAway(going) {
			return way
		}
	}
	return nil
}

// leadsAway reports whether one can land at the end of a way and neither is there nor going there already.
func (a *AlternateNow) leadsAway(going *DiversionNow) bool {
	return a.Aerodrome() && a.DistanceNM >= NearNM && (going == nil || going.To != a.Point)
}

// suggestedDiversion is what Snapshot.SuggestedDiversion says. Where the aircraft is, or is going already, is no way out.
func suggestedDiversion(ways []AlternateNow, going *DiversionNow) string {
	var aerodrome, fullest *AlternateNow
	for i := range ways {
		way := &ways[i]
		if !way.leadsAway(going) {
			continue
		}
		if way.Problem == "" && aerodrome == nil {
			aerodrome = way
		}
		if fullest == nil || way.Fuel > fullest.Fuel {
			fullest = way
		}
	}
	if best := cmp.Or(quickestAlternate(ways, going), aerodrome, fullest); best != nil {
		return best.Point
	}
	return ""
}

// wayOutRoom is where the figures of a way out stand that it may lack. That of all ways is made at once, as it is every second.
type wayOutRoom struct {
	turn     float64
	daylight [2]float64
	rejoin   int
}

// wayOut is the way straight to a point.
func (v *vantage) wayOut(a *AlternateNow, point *plan.Point, room *wayOutRoom) {
	a.Point, a.Name, a.Kind, a.Alternate = point.Ident, point.Title(), string(point.Kind), v.alternate(point)
	if leg, found := v.onPlan[point.Ident]; found {
		room.rejoin, a.Rejoin = leg, &room.rejoin
	}
	v.straight(a, point, room)
	if v.toward != nil && a.Point == v.toward.Point { // as it is flown
		a.ETA, a.Minutes, a.Fuel = v.toward.ETA, v.toward.ETA.Sub(v.at).Minutes(), v.toward.Fuel
		a.ReserveHeldMinutes, a.ExtraFuel, a.ExtraMinutes = v.toward.ReserveHeldMinutes, v.toward.ExtraFuel, v.toward.ExtraMinutes
		a.Problem = v.wayOutProblem(a)
		if heading, track := v.steer.HeadingMagnetic, v.steer.TrackMagnetic; heading != nil && track != nil {
			a.HeadingMagnetic, a.TrackMagnetic = *heading, *track
			room.turn, a.Turn = angle.Turn(v.headingMagnetic, *heading), &room.turn
		}
	}
}

// straight fills in what it takes straight to a point.
func (v *vantage) straight(a *AlternateNow, point *plan.Point, room *wayOutRoom) {
	line := earth.Inverse(v.from, point.At)
	trackTrue := meanTrack(line)
	a.DistanceNM, a.TrackMagnetic = line.DistanceNM, deadreckon.MagneticFromTrue(trackTrue, v.declination)
	heading, err := deadreckon.HeadingFor(trackTrue, v.tasKt, v.wind)
	if err != nil {
		a.Problem = err.Error()
		return
	}
	a.HeadingMagnetic = deadreckon.MagneticFromTrue(heading.HeadingTrue, v.declination)
	if v.flying {
		room.turn, a.Turn = angle.Turn(v.headingMagnetic, a.HeadingMagnetic), &room.turn
	}
	a.Minutes = deadreckon.Minutes(a.DistanceNM, heading.GroundspeedKt)
	a.ETA = shown(plus(v.at, a.Minutes))
	a.Fuel = v.usable - fuel.Burned(a.Minutes, v.flowPerHour)
	a.ReserveHeldMinutes, a.ExtraFuel, a.ExtraMinutes = v.reserve.onArrival(a.Fuel, v.arrivalFlow)
	a.BeforeSunsetMinutes, a.BeforeDarkMinutes = v.daylight(point, a.ETA, &room.daylight)
	a.Problem = v.wayOutProblem(a)
}

// meanTrack is the mean of a geodesic's azimuths, which over a few hundred miles is that at its middle.
func meanTrack(line earth.Geodesic) float64 {
	return angle.Wrap360(line.AzimuthStart + angle.Turn(line.AzimuthStart, line.AzimuthEnd)/2)
}

func (p *ofPlan) wayOutProblem(a *AlternateNow) string {
	switch {
	case a.Fuel <= 0:
		return "not reachable: no fuel on arrival"
	case a.BelowReserve():
		return fmt.Sprintf("below final reserve: %s short", say.Shortage(-a.ExtraFuel, say.Unit(p.system().Unit)))
	case a.BeforeDarkMinutes != nil && *a.BeforeDarkMinutes < 0:
		return "by night: " + say.Minutes(-*a.BeforeDarkMinutes) + " after civil twilight"
	}
	return ""
}

// aheadOnPlan are the points that legs of the plan still to be flown end at, each with the first such leg.
func (f *flown) aheadOnPlan() map[string]int {
	return keep(f.look, func(k *kept) *keptPart[struct{}, map[string]int] { return &k.onPlan }, struct{}{}, f.findOnPlan)
}

func (f *flown) findOnPlan() map[string]int {
	from := 0
	for _, l := range f.legs {
		if !l.actual.IsZero() && l.planLeg >= from {
			from = l.planLeg + 1
		}
	}
	from = max(from, f.legs[f.leg].planLeg)
	ahead := map[string]int{}
	for leg := len(f.sheet.Route.Legs) - 1; leg >= from; leg-- {
		ahead[f.sheet.Route.Legs[leg].To.Ident] = leg
	}
	return ahead
}

// turnBy is where on the reckoned way the last moment is at which an alternate can be turned to with the reserve kept.
type turnBy struct {
	point   plan.Point
	minutes float64 // from the anchor; NaN where it is not on the way: see left
	left    float64 // above the reserve at the alternate: when turned to now or, where it is reached from all the way on, at its end
	all     bool    // it is reached from all the way on
	air     bool    // it can't be reached in this wind
}

const (
	latestDivertLooks  = 24 // along the way, to find where the fuel first becomes too little
	latestDivertHalves = 10 // to find that place more closely
)

// latestDivertAt is, for each alternate, the time by which it has to be turned to. The way there is straight, at cruise and the height of the
// place, as it is when fuel for an alternate is planned.
func (f *fuelled) latestDivertAt(t time.Time) []LatestDivertNow {
	list := []LatestDivertNow{}
	if !f.landed.IsZero() || !f.onBlocks.IsZero() {
		return list
	}
	if f.standing() {
		return f.latestDivertStanding(t)
	}
	if len(f.outlook.trajectory) == 0 {
		return list
	}
	say := func(turns []turnBy) []LatestDivertNow {
		for _, turn := range turns {
			list = append(list, f.latestDivert(turn, t))
		}
		return list
	}
	delay, reserve := f.delay(t), f.finalReserve(t).Fuel
	if f.flying() && delay > 0 {
		return say(f.turns(t, reserve))
	}
	// as it was after the last act: what is burned until now is reckoned already
	return keep(f.lookAt(t), func(k *kept) *keptPart[time.Duration, []LatestDivertNow] { return &k.latestDivert }, delay, func() []LatestDivertNow {
		return say(f.latestTurns.Get(f.arrivesByNight(t), func() []turnBy { return f.turns(f.tanks.PlannedAt(), reserve) }))
	})
}

// standing reports whether the aircraft stays where it is, in a hold or overhead the destination.
func (f *flown) standing() bool { return f.flying() && (!f.holding.IsZero() || f.complete) }

// latestDivertStanding is for an aircraft that stays where it is: by when it has to leave.
func (f *fuelled) latestDivertStanding(t time.Time) []LatestDivertNow {
	list := []LatestDivertNow{}
	from := f.positionAt(t)
	if from == nil {
		return list
	}
	for _, point := range f.alternatePoints() {
		left := f.above(f.finalReserve(t).Fuel, t) - f.fuelStraight(from.Place(), from.AltitudeFt, point.At)
		turn := turnBy{point: point, minutes: math.NaN(), left: left, air: math.IsInf(left, -1)}
		if left < 0 {
			list = append(list, f.latestDivert(turn, t))
			continue
		}
		at := shown(plus(t, fuel.EnduranceMinutes(left, f.circlingFlow()+f.tanks.ExcessPerHour())))
		list = append(list, LatestDivertNow{Point: point.Ident, Name: point.Title(), At: &at, Text: fmt.Sprintf("divert to %s by %s", point.Title(), say.Time(at))})
	}
	return list
}

// alternatePoints are the alternates but the one that is being flown to.
func (f *flown) alternatePoints() []plan.Point {
	var points []plan.Point
	destination := f.legs[f.destination().leg].line().To.Ident
	for _, ident := range f.sheet.Plan.Route.Alternates {
		if point, ok := f.sheet.Plan.Point(ident); ok && ident != destination {
			points = append(points, point)
		}
	}
	return points
}

// above is the usable fuel at a moment without a reserve; before take-off without what the taxi still takes, too.
func (f *fuelled) above(reserve float64, t time.Time) float64 {
	left := f.countedUsableAt(t) - reserve
	if f.airborne.IsZero() {
		left -= f.taxiLeft(t)
	}
	return left
}

// fuelStraight is what it takes straight to a place at cruise; endless where the wind forbids it.
func (f *fuelled) fuelStraight(from earth.Position, altitudeFt float64, to earth.Position) float64 {
	line := earth.Inverse(from, to)
	if line.DistanceNM == 0 {
		return 0
	}
	wind, _ := f.outlook.air.Layers.At(altitudeFt)
	_, trackTrue := earth.NewLine(from, to).At(line.DistanceNM / 2)
	heading, err := deadreckon.HeadingFor(trackTrue, f.cruiseTAS(), wind)
	if err != nil {
		return math.Inf(1)
	}
	return fuel.Burned(deadreckon.Minutes(line.DistanceNM, heading.GroundspeedKt), f.cruiseFlow()+f.tanks.ExcessPerHour())
}

// turns finds where each alternate has to be turned to for a reserve to be kept there.
func (f *fuelled) turns(t time.Time, reserve float64) []turnBy {
	a := f.outlook
	n, _ := f.here(t)
	now, total := n.minutes, a.trajectory.TotalMinutes()
	above, burnedNow := f.above(reserve, t), a.trajectory.FuelTo(now)
	turns := []turnBy{}
	for _, point := range f.alternatePoints() {
		left := func(m float64) float64 {
			at := a.trajectory.At(m)
			burned := a.trajectory.FuelTo(m) - burnedNow + fuel.Burned(m-now, f.tanks.ExcessPerHour())
			return above - burned - f.fuelStraight(a.way.route.PositionAt(at.Leg, at.AfterNM), at.AltitudeFt, point.At)
		}
		turns = append(turns, turnWhere(point, left, now, total))
	}
	return turns
}

// turnWhere finds the first place on the way from which what is left at the alternate is less than nought.
func turnWhere(point plan.Point, left func(minutes float64) float64, now, total float64) turnBy {
	turn := turnBy{point: point, minutes: math.NaN(), left: left(now)}
	if turn.left < 0 {
		turn.air = math.IsInf(turn.left, -1)
		return turn
	}
	from := now
	for i := 1; i <= latestDivertLooks; i++ {
		to := now + (total-now)*float64(i)/latestDivertLooks
		if left(to) >= 0 {
			from = to
			continue
		}
		for range latestDivertHalves {
			if middle := (from + to) / 2; left(middle) >= 0 {
				from = middle
			} else {
				to = middle
			}
		}
		turn.minutes = from
		return turn
	}
	turn.left, turn.all = left(total), true
	return turn
}

// latestDivert says in words by when an alternate has to be turned to.
func (f *fuelled) latestDivert(turn turnBy, t time.Time) LatestDivertNow {
	b := LatestDivertNow{Point: turn.point.Ident, Name: turn.point.Title()}
	switch {
	case turn.all:
		end := f.outlook.after(f.outlook.trajectory.TotalMinutes()).Add(f.delay(t))
		b.At = ref(shown(plus(end, fuel.EnduranceMinutes(turn.left, f.circlingFlow()+f.tanks.ExcessPerHour()))))
		b.AfterArrival = true
		b.Text = fmt.Sprintf("from %s, divert to %s by %s", f.legs[f.destination().leg].line().To.Title(), b.Name, say.Time(*b.At))
	case !math.IsNaN(turn.minutes):
		b.At = ref(shown(f.outlook.after(turn.minutes).Add(f.delay(t))))
		b.Text = fmt.Sprintf("divert to %s by %s", b.Name, say.Time(*b.At))
	case turn.air:
		b.TooLate, b.Text = true, fmt.Sprintf("%s is not reachable in this wind", b.Name)
	default:
		b.TooLate, b.Short = true, -turn.left
		b.Text = fmt.Sprintf("too late for %s: %s short of the final reserve there", b.Name, say.Shortage(b.Short, f.tanks.Unit()))
	}
	return b
}

// reserveTouchedAt is when, on the way and then circling at its end, nothing but the reserve is left; the zero time after landing.
func (f *fuelled) reserveTouchedAt(t time.Time) time.Time {
	if !f.landed.IsZero() || !f.onBlocks.IsZero() {
		return time.Time{}
	}
	above, extra := f.above(f.finalReserve(t).Fuel, t), f.tanks.ExcessPerHour()
	if above <= 0 {
		return shown(t)
	}
	a := f.outlook
	if f.complete || len(a.trajectory) == 0 {
		return shown(plus(t, fuel.EnduranceMinutes(above, f.circlingFlow()+extra)))
	}
	n, flying := f.here(t)
	burned := func(m float64) float64 {
		return a.trajectory.FuelTo(m) - a.trajectory.FuelTo(n.minutes) + fuel.Burned(m-n.minutes, extra)
	}
	start := t
	if !flying {
		start = a.after(0).Add(f.delay(t))
	}
	total := a.trajectory.TotalMinutes()
	if rest := above - burned(total); rest >= 0 {
		return shown(plus(start, total-n.minutes+fuel.EnduranceMinutes(rest, f.circlingFlow()+extra)))
	}
	from, to := n.minutes, total
	for range 20 {
		if middle := (from + to) / 2; burned(middle) < above {
			from = middle
		} else {
			to = middle
		}
	}
	return shown(plus(start, to-n.minutes))
}

// critical are the places on the way ahead at which a way back is decided, in minutes from the anchor; NaN for one that is not ahead.
type critical struct{ equalTime, noReturn float64 }

// criticalAhead is them as they were when the way ahead was last reckoned, at a true airspeed in cruise: they are looked for when first asked
// for, which a fold never does.
type criticalAhead struct {
	at    time.Time
	tasKt float64
	found *values.Finds[bool, critical] // by whether the arrival is by night, which the reserve hangs on
}

// criticalSteps halve the way ahead until the place is known to a few seconds.
const criticalSteps = 12

// findCritical finds the point of equal time, from which it is as long on to the destination as back to the departure, and the point
// of no return, from which the departure can be reached with a reserve just kept. Both are searched along the reckoned way, so
// that legs, climb and descent count on the way on; the way back is straight, at cruise and the level of the place.
func (f *fuelled) findCritical(t time.Time, tasKt, reserve float64) critical {
	none := critical{math.NaN(), math.NaN()}
	a := f.outlook
	if len(a.trajectory) == 0 || !a.way.from.IsZero() && a.way.route.Destination().Ident == f.departure().Ident { // on is back
		return none
	}
	total := a.trajectory.TotalMinutes()
	n, _ := f.here(t)
	now := n.minutes
	on := func(m float64) float64 { return total - m - f.backMinutes(m, tasKt) }
	usable := f.countedUsableAt(t) - reserve
	if f.airborne.IsZero() {
		usable -= f.sheet.Fuel.Taxi
	}
	burnedNow := a.trajectory.FuelTo(now)
	left := func(m float64) float64 {
		return usable - (a.trajectory.FuelTo(m) - burnedNow) - fuel.Burned(f.backMinutes(m, tasKt), f.cruiseFlow()+f.tanks.ExcessPerHour()) - fuel.Burned(m-now, f.tanks.ExcessPerHour())
	}
	return critical{equalTime: fallsToNought(on, now, total), noReturn: fallsToNought(left, now, total)}
}

// fallsToNought finds where a quantity that falls becomes nought; NaN where it is not above nought at the start or still is at the end.
func fallsToNought(quantity func(float64) float64, from, to float64) float64 {
	if !(quantity(from) > 0) || !(quantity(to) <= 0) {
		return math.NaN()
	}
	for range criticalSteps {
		if middle := (from + to) / 2; quantity(middle) > 0 {
			from = middle
		} else {
			to = middle
		}
	}
	return (from + to) / 2
}

// backMinutes is how long it is straight back to the departure from a place on the way ahead; for ever where the wind forbids it.
func (f *ahead) backMinutes(minutes, tasKt float64) float64 {
	at := f.outlook.trajectory.At(minutes)
	from := f.outlook.way.route.PositionAt(at.Leg, at.AfterNM)
	line := earth.Inverse(from, f.departure().At)
	wind, _ := f.outlook.air.Layers.At(at.AltitudeFt)
	heading, err := deadreckon.HeadingFor(meanTrack(line), tasKt, wind)
	if err != nil {
		return math.Inf(1)
	}
	return deadreckon.Minutes(line.DistanceNM, heading.GroundspeedKt)
}

func (f *flown) departure() plan.Point { return f.legs[0].line().From }

func (f *fuelled) criticalAt(t time.Time) CriticalNow {
	if !f.landed.IsZero() {
		return CriticalNow{}
	}
	l := f.lookAt(t)
	reserve := f.finalReserve(t).Fuel
	found := f.critical.found.Get(f.arrivesByNight(t), func() critical { return f.findCritical(f.critical.at, f.critical.tasKt, reserve) })
	if !f.holding.IsZero() { // the fuel goes while the place stays
		found, l = f.findCritical(t, f.cruiseTAS(), reserve), nil
	}
	etas := [2]time.Time{f.criticalETA(found.equalTime, t), f.criticalETA(found.noReturn, t)}
	return keep(l, func(k *kept) *keptPart[[2]time.Time, CriticalNow] { return &k.critical }, etas, func() CriticalNow {
		return CriticalNow{EqualTime: f.criticalPoint(found.equalTime, etas[0]), NoReturn: f.criticalPoint(found.noReturn, etas[1])}
	})
}

// criticalETA is when a place is passed, minutes from the anchor; the zero time where it is not ahead at a moment.
func (f *ahead) criticalETA(minutes float64, t time.Time) time.Time {
	if math.IsNaN(minutes) {
		return time.Time{}
	}
	spot := place{f.outlook.way.first + f.outlook.trajectory.At(minutes).Leg, 0}
	if eta := shown(f.outlook.after(minutes).Add(f.delayTo(spot, t))); !eta.Before(t) {
		return eta
	}
	return time.Time{}
}

func (f *ahead) criticalPoint(minutes float64, eta time.Time) *CriticalPoint {
	if eta.IsZero() {
		return nil
	}
	back := f.backMinutes(minutes, f.cruiseTAS())
	if math.IsInf(back, 1) { // for ever: what ends the way back there is not fuel or time but the wind
		return nil
	}
	at := f.outlook.trajectory.At(minutes)
	return &CriticalPoint{Leg: f.outlook.way.first + at.Leg, AfterNM: at.AfterNM, ETA: eta, Back: f.departure().Ident, Minutes: back}
}
