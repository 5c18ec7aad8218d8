package flight

import (
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// routeAt is the whole route: the departure, every checkpoint and leg's end in order. The points that a diversion left out stand
// before the diversion.
func (p *progress) routeAt(t time.Time) []RoutePoint {
	first := p.legs[0].line()
	departed := RoutePoint{
		Point: first.From.Ident, Name: first.From.Title(), Leg: -1, AltitudeFt: first.From.ElevationFt,
		Planned: p.sheet.Airborne, Actual: timeOf(p.airborne), Checkpoint: false,
	}
	if departed.Actual == nil {
		departed.Revised = ref(p.anchor.at.Add(p.delay(t)))
	}
	departed.difference()
	rows := []RoutePoint{departed}
	for i := range p.legs {
		if l := &p.legs[i]; !p.takenUp(l) {
			rows = p.legRows(rows, i, l, t)
		}
	}
	p.plainSums(rows)
	return rows
}

func (p *progress) legRows(rows []RoutePoint, index int, l *leg, t time.Time) []RoutePoint {
	line := l.line()
	row := RoutePoint{
		Leg: index, LegDistanceNM: line.DistanceNM, TrackMagnetic: line.TrackMagnetic, AltitudeFt: p.levelFt(index),
		GroundspeedKt: l.plannedKt, Diverted: l.leftOut, HeadingMagnetic: ref(l.plannedHeading),
	}
	if piece, ok := p.ahead.cruisePiece(index); ok && !l.leftOut {
		row.HeadingMagnetic = ref(p.magneticOn(place{index, piece.FromNM}, piece.Heading.HeadingTrue))
	}
	if !l.started.IsZero() && l.actual.After(l.started) {
		row.GroundspeedKt = deadreckon.Groundspeed(line.DistanceNM-l.startedNM, l.actual.Sub(l.started).Minutes())
	}
	for i, checkpoint := range line.Checkpoints {
		checked := row
		checked.Point, checked.Name, checked.Checkpoint, checked.AfterNM = checkpoint.Name, p.pointTitle(checkpoint.Name), true, checkpoint.AfterNM
		p.times(&checked, l.checkpointsPlanned[i], l.checkpointsActual[i], t)
		rows = append(rows, checked)
	}
	row.Point, row.Name, row.AfterNM = line.To.Ident, line.To.Title(), line.DistanceNM
	if l.local == 0 {
		row.Turned = timeOf(l.way.from)
	}
	p.times(&row, l.planned, l.actual, t)
	return append(rows, row)
}

// times fills in when a row was or will be passed.
func (p *progress) times(row *RoutePoint, planned, actual, t time.Time) {
	row.Planned, row.Actual = planned, timeOf(actual)
	at := place{row.Leg, row.AfterNM}
	behind := row.Leg < p.leg || row.Leg == p.leg && at.afterNM < p.lastPassed.afterNM && p.lastPassed.leg == p.leg
	if row.Actual == nil && !row.Diverted && !behind {
		if eta, ok := p.eta(at, t); ok {
			row.Revised = &eta
			row.SigmaSeconds = ref(60 * p.ahead.sigmaMinutes(at))
		}
	}
	row.difference()
}

func (r *RoutePoint) difference() {
	switch {
	case r.Planned.IsZero():
	case r.Actual != nil:
		r.DifferenceSeconds = ref(r.Actual.Sub(r.Planned).Seconds())
	case r.Revised != nil:
		r.DifferenceSeconds = ref(r.Revised.Sub(r.Planned).Seconds())
	}
}

// plainSums fills in the times that a pilot gets by hand from the last two passings: the plan's times later by what the last point
// was late, and the plan's minutes stretched as those between the last two points were.
func (p *progress) plainSums(rows []RoutePoint) {
	var passed []RoutePoint
	for _, row := range rows {
		if row.Actual != nil {
			passed = append(passed, row)
		}
	}
	if len(passed) == 0 || !p.flying() {
		return
	}
	last := passed[len(passed)-1]
	ratio := 0.0
	if len(passed) > 1 {
		before := passed[len(passed)-2]
		if planned := last.Planned.Sub(before.Planned); planned > 0 {
			ratio = float64(last.Actual.Sub(*before.Actual)) / float64(planned)
		}
	}
	for i := range rows {
		if rows[i].Revised == nil || rows[i].Planned.Before(last.Planned) || rows[i].Leg < last.Leg {
			continue
		}
		ahead := rows[i].Planned.Sub(last.Planned)
		rows[i].CarriedOver = ref(last.Actual.Add(ahead))
		if ratio > 0 {
			rows[i].ByRatio = ref(last.Actual.Add(time.Duration(float64(ahead) * ratio)))
		}
	}
}

// nextAt is the next point to be passed: the first on the leg that has neither been passed nor is so long overdue that it must have
// been missed.
func (p *progress) nextAt(t time.Time) *NextPoint {
	if p.complete || !p.landed.IsZero() {
		return nil
	}
	l := &p.legs[p.leg]
	line := l.line()
	for i, checkpoint := range line.Checkpoints {
		at := place{p.leg, checkpoint.AfterNM}
		if !l.checkpointsActual[i].IsZero() || at.afterNM <= p.lastPassed.afterNM && p.lastPassed.leg == p.leg && !p.lastPassed.at.IsZero() {
			continue
		}
		next, ok := p.next(at, l.checkpointsPlanned[i], t)
		if !ok || t.Sub(next.ETA) > missedAfter(next.ETASigmaSeconds) {
			continue
		}
		next.Point, next.Name, next.IsCheckpoint = checkpoint.Name, p.pointTitle(checkpoint.Name), true
		return next
	}
	next, ok := p.next(p.endOfLeg(), l.planned, t)
	if !ok {
		return nil
	}
	next.Point, next.Name = line.To.Ident, line.To.Title()
	return next
}

// missedAfter is how long after its ETA a checkpoint counts as missed.
func missedAfter(sigmaSeconds float64) time.Duration {
	return max(2*time.Minute, time.Duration(3*sigmaSeconds*float64(time.Second)))
}

func (p *progress) next(at place, planned, t time.Time) (*NextPoint, bool) {
	eta, ok := p.eta(at, t)
	if !ok {
		return nil, false
	}
	next := &NextPoint{ETA: eta, ETASigmaSeconds: 60 * p.ahead.sigmaMinutes(at), Planned: planned, ToGoNM: at.afterNM}
	if !planned.IsZero() {
		next.DifferenceSeconds = eta.Sub(planned).Seconds()
	}
	if n, flying := p.here(t); flying {
		next.ToGoNM = max(0, at.afterNM-n.afterNM)
	}
	return next, true
}

func (p *progress) destinationAt(t time.Time) *DestinationNow {
	end := p.destination()
	l := &p.legs[end.leg]
	point := l.line().To
	d := &DestinationNow{Point: point.Ident, Name: point.Title(), Planned: l.planned, ReserveMinutes: p.sheet.Fuel.ReserveMinutes}
	usable := p.countedUsable(p.quantitiesAt(t))
	eta, ok := p.eta(end, t)
	switch {
	case !l.actual.IsZero():
		d.ETA, d.Fuel = l.actual, usable
	case ok:
		d.ETA, d.ETASigmaSeconds = eta, 60*p.ahead.sigmaMinutes(end)
		d.ToGoNM = p.toGoNM(t)
		d.Fuel = usable - p.fuelTo(eta, t) - fuel.Burned(eta.Sub(t).Minutes(), p.excessPerHour())
	default:
		return nil
	}
	d.FuelSigma = p.fuelSigma(usable-d.Fuel, d.ETASigmaSeconds, t)
	d.ReserveHeldMinutes = fuel.EnduranceMinutes(max(0, d.Fuel), p.circlingFlow())
	d.BeforeSunsetMinutes, d.BeforeDarkMinutes = p.daylight(point, d.ETA)
	return d
}

// toGoNM is the way to the destination.
func (p *progress) toGoNM(t time.Time) float64 {
	w := p.legs[p.leg].way
	toGo := w.route.DistanceNM() - w.route.Legs[p.leg-w.first].StartNM
	if n, ok := p.here(t); ok {
		toGo -= n.afterNM
	}
	return toGo
}

// fuelTo is what will be burned from a moment to overhead the destination: what is left of the taxi, the way, and the delay at the
// flow of now.
func (p *progress) fuelTo(eta, t time.Time) float64 {
	a := p.ahead
	flown := max(0, a.minutesOf(t.Add(-p.delay(t))))
	burned := a.trajectory.Fuel() - a.trajectory.FuelTo(flown)
	if p.airborne.IsZero() {
		burned += p.taxiLeft(t)
	}
	return burned
}

// taxiLeft is what the taxi still takes before take-off.
func (p *progress) taxiLeft(t time.Time) float64 {
	taxi := min(p.sheet.Plan.TaxiMinutes, p.ahead.after(0).Add(p.delay(t)).Sub(t).Minutes())
	return fuel.Burned(max(0, taxi), p.sheet.Plan.Aircraft.TaxiFlow)
}

// daylight is how long before the end of the day an arrival is.
func (p *progress) daylight(point plan.Point, arrival time.Time) (beforeSunset, beforeDark *float64) {
	day := p.dayAt(point, arrival)
	before := func(end *time.Time) *float64 {
		if end == nil {
			return nil
		}
		return ref(end.Sub(arrival).Minutes())
	}
	return before(day.Sunset), before(day.CivilTwilightEnd)
}

// dayAt is the end of the day at a point. It is taken from what is known of the day of the planned arrival.
func (p *progress) dayAt(point plan.Point, arrival time.Time) sheet.Daylight {
	const sameDay = 6 * time.Hour
	if day, known := p.days[point.Ident]; known && arrival.Sub(day.Arrival).Abs() < sameDay && !day.SunDown {
		return day
	}
	return sheet.DaylightAt(point, arrival)
}

// cruiseTAS is the true airspeed in cruise: that of the way ahead, else the sheet's.
func (p *progress) cruiseTAS() float64 {
	for _, piece := range p.ahead.trajectory {
		if piece.Phase == sheet.Cruise {
			return piece.TASKt
		}
	}
	return p.sheet.Legs[len(p.sheet.Legs)-1].TASKt + p.belief.mean[tasBias]
}
