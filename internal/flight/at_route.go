package flight

import (
	"math"
	"slices"
	"sync"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// routeAt is the whole route: the departure, every checkpoint and leg's end in order. The points that a diversion left out stand
// before the diversion.
func (f *ahead) routeAt(t time.Time) []RoutePoint {
	rows := keep(f.lookAt(t), func(k *kept) *keptPart[time.Duration, []RoutePoint] { return &k.route }, f.delay(t), func() []RoutePoint { return f.makeRoute(t) })
	advised := f.advisedAt(t)
	overdue := func(r RoutePoint) bool { return r.Actual == nil && r.Revised != nil && r.Revised.Before(t) }
	late := f.flying() && !f.complete && slices.ContainsFunc(rows, overdue)
	if advised != nil {
		rows = keep(f.lookAt(t), func(k *kept) *keptPart[advisedRoute, []RoutePoint] { return &k.advised }, advisedRoute{&rows[0], *advised}, func() []RoutePoint {
			rows := slices.Clone(rows)
			for i := range rows {
				if rows[i].Leg == f.leg {
					rows[i].HeadingMagnetic = advised
				}
			}
			return rows
		})
	}
	if late {
		rows = slices.Clone(rows)
		for i := range rows {
			if overdue(rows[i]) { // how late it is at least is another every second
				rows[i].difference(t)
			}
		}
	}
	return rows
}

// advisedRoute is the route as it is kept, and the heading that leads back to it.
type advisedRoute struct {
	route   *RoutePoint
	heading float64
}

// place is where on the legs a row of the route is.
func (r *RoutePoint) place() place { return place{r.Leg, r.AfterNM} }

func (f *ahead) makeRoute(t time.Time) []RoutePoint {
	rows := f.routeRows(t)
	for i := range rows {
		row := &rows[i]
		row.SigmaSeconds = f.sigmaOf(row, t)
		row.difference(time.Time{})
	}
	return rows
}

// routeRows are the points of the route without what is costly or follows: how sure a time is, and how it differs from the plan's.
func (f *ahead) routeRows(t time.Time) []RoutePoint {
	first := f.legs[0].line()
	departed := RoutePoint{
		Point: first.From.Ident, Name: first.From.Title(), Leg: -1, AltitudeFt: first.From.ElevationFt,
		Planned: f.sheet.Airborne, Actual: timeOf(f.airborne), Checkpoint: false,
	}
	if departed.Actual == nil {
		departed.Revised = ref(shown(f.anchor.at.Add(f.delay(t))))
	}
	many := 1
	for i := range f.legs {
		many += 1 + len(f.legs[i].line().Checkpoints)
	}
	rows := append(make([]RoutePoint, 0, many), departed)
	for i := range f.legs {
		if l := &f.legs[i]; !f.takenUp(l) {
			rows = f.legRows(rows, i, l, t)
		}
	}
	f.plainSums(rows, t)
	return rows
}

func (f *ahead) legRows(rows []RoutePoint, index int, l *leg, t time.Time) []RoutePoint {
	line := l.line()
	row := RoutePoint{
		Leg: index, LegDistanceNM: line.DistanceNM, TrackMagnetic: line.TrackMagnetic, AltitudeFt: f.levelFt(index),
		GroundspeedKt: l.plannedKt, Diverted: l.leftOut, HeadingMagnetic: ref(l.plannedHeading),
	}
	if piece, ok := f.outlook.cruisePiece(index); ok && !l.leftOut {
		row.HeadingMagnetic = ref(f.headingOn(piece))
		row.GroundspeedKt = piece.Heading.GroundspeedKt
	}
	if !l.begun.IsZero() && !l.actual.IsZero() && line.DistanceNM > l.begunNM {
		if took, ok := FlownBetween(l.begun, l.actual, f.holds); ok && took > 0 {
			row.GroundspeedKt = deadreckon.Groundspeed(line.DistanceNM-l.begunNM, took.Minutes())
		}
	}
	for i, checkpoint := range line.Checkpoints {
		checked := row
		checked.Point, checked.Name, checked.Checkpoint, checked.AfterNM = checkpoint.Name, f.pointTitle(checkpoint.Name), true, checkpoint.AfterNM
		checked.Boundary = checkpoint.Boundary
		f.times(&checked, l.checkpointsPlanned[i], l.checkpointsActual[i], t)
		rows = append(rows, checked)
	}
	row.Point, row.Name, row.AfterNM, row.Left = line.To.Ident, line.To.Title(), line.DistanceNM, l.left
	if l.local == 0 {
		row.Turned = timeOf(l.way.from)
	}
	f.times(&row, l.planned, l.actual, t)
	return append(rows, row)
}

// times fills in when a row was or will be passed.
func (f *ahead) times(row *RoutePoint, planned, actual, t time.Time) {
	row.Planned, row.Actual = planned, timeOf(actual)
	at := place{row.Leg, row.AfterNM}
	behind := row.Leg < f.leg || row.Leg == f.leg && at.afterNM < f.lastPassed.afterNM && f.lastPassed.leg == f.leg
	if row.Actual == nil && !row.Diverted && !behind {
		if eta, ok := f.eta(at, t); ok {
			row.Revised = &eta
		}
	}
}

// sigmaOf is one standard error of the time at a row that is yet to be passed; nil of another, and of the departure.
func (f *ahead) sigmaOf(row *RoutePoint, t time.Time) *float64 {
	if row.Revised == nil || row.Leg < 0 {
		return nil
	}
	return ref(f.etaSigmaSeconds(row.place(), t))
}

// etaSigmaSeconds is one standard error of a time ahead, as it looks at a moment. Where the route point before it is overdue by more than is
// likely, it was passed and not logged or is still to come: what is not explained is in doubt in full.
func (f *ahead) etaSigmaSeconds(to place, t time.Time) float64 {
	seconds := 60 * f.outlook.sigmaMinutes(to)
	if n, flying := f.here(t); flying && to.leg > f.leg && n.overdue > 0 {
		const likely = 2 // standard errors
		seconds = math.Hypot(seconds, max(0, n.overdue.Seconds()-likely*60*f.outlook.sigmaMinutes(f.endOfLeg())))
	}
	return seconds
}

// difference sets a row's time against the plan's: what is overdue at a moment is as late as it is by then at least, and nobody knows of a
// checkpoint that must have been missed.
func (r *RoutePoint) difference(t time.Time) {
	r.DifferenceSeconds = nil
	switch {
	case r.Planned.IsZero():
	case r.Actual != nil:
		r.DifferenceSeconds = ref(say.Apart(r.Planned, *r.Actual).Seconds())
	case r.Revised == nil, r.Checkpoint && r.SigmaSeconds != nil && t.Sub(*r.Revised) > missedAfter(*r.SigmaSeconds):
	default:
		r.DifferenceSeconds = ref(say.Apart(r.Planned, latest(*r.Revised, t)).Seconds())
	}
}

// plainSums fills in the times that a pilot gets by hand from the last two passings: the plan's times later by what the last point
// was late, and the plan's minutes stretched as those between the last two points were. A hold since the last point delays both, and none has a part in
// what is stretched. No sum reaches across a turn onto a diversion: its times are those reckoned then, or of a plan that went another way.
func (f *ahead) plainSums(rows []RoutePoint, t time.Time) {
	var last, before *RoutePoint // the last two that were passed
	for i := range rows {
		if rows[i].Actual != nil {
			last, before = &rows[i], last
		}
	}
	if last == nil || !f.flying() {
		return
	}
	wayOf := func(row *RoutePoint) *way { return f.legs[max(0, row.Leg)].way }
	ratio := 0.0
	if before != nil && wayOf(before) == wayOf(last) {
		if planned := last.Planned.Sub(before.Planned); planned > 0 {
			if flown, ok := FlownBetween(*before.Actual, *last.Actual, f.holds); ok {
				ratio = float64(flown) / float64(planned)
			}
		}
	}
	from := last.Actual.Add(f.heldSince(*last.Actual, t))
	for i := range rows {
		if rows[i].Revised == nil || rows[i].Planned.Before(last.Planned) || rows[i].Leg < last.Leg || wayOf(&rows[i]) != wayOf(last) {
			continue
		}
		ahead := rows[i].Planned.Sub(last.Planned)
		rows[i].CarriedOver = ref(shown(from.Add(ahead)))
		if ratio > 0 {
			rows[i].ByRatio = ref(shown(from.Add(time.Duration(float64(ahead) * ratio))))
		}
	}
}

// heldSince is how long the aircraft has held since a passing.
func (f *ahead) heldSince(passed, t time.Time) (held time.Duration) {
	for _, hold := range f.holds {
		if !hold.From.Before(passed) {
			held += hold.To.Sub(hold.From)
		}
	}
	if !f.holding.IsZero() {
		held += f.delay(t)
	}
	return held
}

// nextAt is the next point to be passed: the first on the leg that has neither been passed nor is so long overdue that it must have
// been missed.
func (f *ahead) nextAt(t time.Time) *NextPoint {
	if f.complete || !f.landed.IsZero() {
		return nil
	}
	if next := f.nextCheckpoint(t); next != nil {
		return next
	}
	l := &f.legs[f.leg]
	next, ok := f.next(f.endOfLeg(), l.planned, t)
	if !ok {
		return nil
	}
	next.Point, next.Name = l.line().To.Ident, l.line().To.Title()
	return &next
}

// nextCheckpoint is the next point where that is a checkpoint; nil: it is the leg's end.
func (f *ahead) nextCheckpoint(t time.Time) *NextPoint {
	l := &f.legs[f.leg]
	for i, checkpoint := range l.line().Checkpoints {
		at := place{f.leg, checkpoint.AfterNM}
		if !l.checkpointsActual[i].IsZero() || at.afterNM <= f.lastPassed.afterNM && f.lastPassed.leg == f.leg && !f.lastPassed.at.IsZero() {
			continue
		}
		next, ok := f.next(at, l.checkpointsPlanned[i], t)
		if !ok || t.Sub(next.ETA) > missedAfter(next.ETASigmaSeconds) {
			continue
		}
		next.Point, next.Name, next.IsCheckpoint = checkpoint.Name, f.pointTitle(checkpoint.Name), true
		return &next
	}
	return nil
}

// missedAfter is how long after its ETA a checkpoint counts as missed.
func missedAfter(sigmaSeconds float64) time.Duration {
	return max(2*time.Minute, time.Duration(3*sigmaSeconds*float64(time.Second)))
}

func (f *ahead) next(at place, planned, t time.Time) (next NextPoint, ok bool) {
	eta, ok := f.eta(at, t)
	if !ok {
		return next, false
	}
	next = NextPoint{ETA: eta, ETASigmaSeconds: f.etaSigmaSeconds(at, t), Planned: planned, ToGoNM: at.afterNM}
	if !planned.IsZero() {
		next.DifferenceSeconds = say.Apart(planned, latest(eta, t)).Seconds()
	}
	if n, flying := f.here(t); flying {
		if t.After(eta) {
			next.OverdueSeconds = ref(say.Apart(eta, t).Seconds())
		}
		next.ToGoNM = max(0, at.afterNM-n.afterNM)
	}
	return next, true
}

func (f *fuelled) destinationAt(t time.Time) *DestinationNow {
	end := f.destination()
	l := &f.legs[end.leg]
	point := &l.line().To
	room := &struct {
		DestinationNow
		daylight [2]float64
	}{}
	d := &room.DestinationNow
	d.Point, d.Name, d.Planned, d.ReserveMinutes = point.Ident, point.Title(), l.planned, f.finalReserve(t).Minutes
	usable := f.countedUsableAt(t)
	eta, ok := f.eta(end, t)
	switch {
	case !l.actual.IsZero():
		d.ETA, d.Fuel, d.Passed = l.actual, usable, true
	case ok:
		d.ETA, d.ETASigmaSeconds = eta, f.etaSigmaSeconds(end, t)
		d.ToGoNM = f.toGoNM(t)
		d.Fuel = usable - f.fuelTo(eta, t) - fuel.Burned(eta.Sub(t).Minutes(), f.tanks.ExcessPerHour())
	default:
		return nil
	}
	d.FuelSigma = f.fuelSigma(usable-d.Fuel, d.ETASigmaSeconds, t)
	d.ReserveHeldMinutes, d.ExtraFuel, d.ExtraMinutes = f.finalReserve(t).onArrival(d.Fuel, f.arrivalFlow(t))
	d.BeforeSunsetMinutes, d.BeforeDarkMinutes = f.daylight(point, d.ETA, &room.daylight)
	return d
}

// toGoNM is the way to the destination.
func (f *ahead) toGoNM(t time.Time) float64 {
	w := f.legs[f.leg].way
	toGo := w.route.DistanceNM() - w.route.Legs[f.leg-w.first].StartNM
	if n, ok := f.here(t); ok {
		toGo -= n.afterNM
	}
	return toGo
}

// fuelTo is what will be burned from a moment to overhead the destination: what is left of the taxi, the way, and the delay at the
// flow of now.
func (f *ahead) fuelTo(eta, t time.Time) float64 {
	a := f.outlook
	flown := max(0, a.minutesOf(t.Add(-f.delay(t))))
	burned := a.trajectory.Fuel() - a.trajectory.FuelTo(flown)
	if f.airborne.IsZero() {
		burned += f.taxiLeft(t)
	}
	return burned
}

// taxiLeft is what the taxi still takes before take-off.
func (f *ahead) taxiLeft(t time.Time) float64 {
	taxi := min(f.sheet.Plan.TaxiMinutes, f.outlook.after(0).Add(f.delay(t)).Sub(t).Minutes())
	return fuel.Burned(max(0, taxi), f.sheet.Plan.Aircraft.TaxiFlow)
}

// daylight is how long before the end of the day an arrival is. The figures stand in room that it is given.
func (p *ofPlan) daylight(point *plan.Point, arrival time.Time, room *[2]float64) (beforeSunset, beforeDark *float64) {
	day := p.dayAt(point, arrival)
	if day.Sunset != nil {
		room[0], beforeSunset = day.Sunset.Sub(arrival).Minutes(), &room[0]
	}
	if day.CivilTwilightEnd != nil {
		room[1], beforeDark = day.CivilTwilightEnd.Sub(arrival).Minutes(), &room[1]
	}
	return beforeSunset, beforeDark
}

// dayAt is the end of the day at a point. It is taken from what is known of the day of the planned arrival.
func (p *ofPlan) dayAt(point *plan.Point, arrival time.Time) sheet.Daylight {
	const sameDay = 6 * time.Hour
	days := p.days.Get(func() map[string]sheet.Daylight { return daylightOf(p.sheet) })
	if day, known := days[point.Ident]; known && arrival.Sub(day.Arrival).Abs() < sameDay && !day.SunDown {
		return day
	}
	return p.later.dayAt(point, arrival)
}

// laterDays are the ends of the days that were last asked about, at each place, besides that of the planned arrival. Many may ask at the same time.
type laterDays struct {
	lock sync.Mutex
	days map[earth.Position]sheet.Daylight
}

// dayAt has sunset and dusk for an arrival at a point.
func (l *laterDays) dayAt(point *plan.Point, arrival time.Time) sheet.Daylight {
	l.lock.Lock()
	defer l.lock.Unlock()
	day, known := l.days[point.At]
	if !known || !day.EndsAsFor(arrival) {
		if l.days == nil {
			l.days = map[earth.Position]sheet.Daylight{}
		}
		day = sheet.DaylightAt(*point, arrival)
		l.days[point.At] = day
	}
	return day
}

// cruiseTAS is the true airspeed in cruise: that of the way ahead, else the sheet's.
func (f *ahead) cruiseTAS() float64 {
	for _, piece := range f.outlook.trajectory {
		if piece.Phase == sheet.Cruise {
			return piece.TASKt
		}
	}
	return f.sheet.Legs[len(f.sheet.Legs)-1].TASKt + f.belief.mean[tasBias]
}
