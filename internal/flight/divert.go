package flight

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

func (f *fuelled) foldHold(e Event) bool {
	if !f.flying() || !f.holding.IsZero() {
		return false
	}
	if f.comesTo(e.Point, e.T) { // until then the leg goes on
		f.holdAt = e.Point
		return true
	}
	f.beginHold(e)
	return true
}

// comesTo reports whether a point lies ahead, farther than where the aircraft is as far as anybody knows.
func (f *ahead) comesTo(point string, t time.Time) bool {
	s, behind, ok := f.find(point)
	n, flying := f.here(t)
	const hereNM = 1.0
	return ok && !behind && flying && (s.leg > f.leg || s.afterNM-n.afterNM > hereNM)
}

func (f *fuelled) beginHold(e Event) {
	f.burnUntil(e.T)
	f.reanchor(e.T)
	f.anchor.at, f.holdAt = e.T, ""
	f.holding, f.holdPoint, f.untimed = e.T, e.Point, true
	f.placeInHold()
}

// placeInHold takes the aircraft to be where the hold is that it flies, give or take the hold.
func (f *ahead) placeInHold() {
	f.line = nil
	f.belief = f.withinHold(f.belief)
	if s, ok := f.onLeg(f.leg, f.holdPoint); ok {
		f.anchor.place = f.onThisLeg(s.afterNM)
	} else if f.legs[f.leg].line().From.Ident == f.holdPoint {
		f.anchor.place = place{leg: f.leg}
	} else {
		return
	}
	f.belief = f.belief.told(alongNM, 0, holdReachNM)
}

func (f *fuelled) foldUnhold(e Event) bool {
	if f.holding.IsZero() {
		intended := f.holdAt != ""
		f.holdAt = ""
		return intended
	}
	f.burnUntil(e.T)
	f.predict(e.T)
	f.placeInHold()
	f.endHold(e.T, true)
	f.anchor.at = e.T
	f.onLegs(f.leg, func(l *leg) { l.started, l.startedNM = e.T, f.anchor.afterNM }) // the leg's clock starts anew
	return true
}

// endHold keeps a hold that is over; left: and of which is known when it was.
func (f *fuelled) endHold(t time.Time, left bool) {
	if !f.holding.IsZero() {
		f.holds = append(slices.Clip(f.holds), HoldFlown{
			Point: f.holdPoint, Leg: f.leg, AfterNM: f.anchor.afterNM, From: f.holding, To: t, Fuel: fuel.Burned(t.Sub(f.holding).Minutes(), f.circlingFlow()),
			left: left,
		})
	}
	f.holding = time.Time{}
}

// holdingAt puts the hold being flown into a Snapshot that has its destination and crossing: the fuel that it takes, and when it must
// end.
func (f *fuelled) holdingAt(s *Snapshot) {
	s.HoldAt = f.holdAt
	if f.holding.IsZero() {
		return
	}
	s.Holding = &HoldingNow{Point: f.holdPoint, Since: f.holding, Fuel: fuel.Burned(s.At.Sub(f.holding).Minutes(), f.circlingFlow())}
	if d := s.Destination; d != nil && d.ExtraFuel > 0 {
		s.Holding.LeaveBy = ref(shown(plus(s.At, fuel.EnduranceMinutes(d.ExtraFuel, f.circlingFlow()+f.tanks.ExcessPerHour()))))
	}
	if c := s.Crossing; c != nil && c.Hold != nil {
		s.Holding.Leave = &c.Hold.Leave
	}
}

// withinHold is a belief in a hold, where the aircraft may be anywhere in it whatever was known of its place before, and as it leaves it; out of a
// hold it stays as it is.
func (f *flown) withinHold(b belief) belief {
	if f.holding.IsZero() {
		return b
	}
	const reach = holdReachNM * holdReachNM
	return b.uncorrelated(alongNM, max(b.covariance[alongNM][alongNM], reach)).uncorrelated(acrossNM, max(b.covariance[acrossNM][acrossNM], reach))
}

// DiversionRoute is the way that a diversion takes from a position at an altitude: straight to its target or, where it rejoins the plan,
// straight to the end of a leg of the plan's route and on from there. The error says why there is no such way.
func DiversionRoute(planned *sheet.Route, e Event, from earth.Position, altitudeFt float64) (*sheet.Route, error) {
	target, level, err := DiversionTarget(planned.Plan, e, altitudeFt)
	if err != nil {
		return nil, err
	}
	if e.Rejoin == nil {
		return planned.Direct(from, altitudeFt, target, level)
	}
	if leg := *e.Rejoin; leg >= 0 && leg < len(planned.Legs) && planned.Legs[leg].To.Ident != e.To {
		return nil, fmt.Errorf("leg %d of the plan ends at %s, not at %s", leg+1, planned.Legs[leg].To.Ident, e.To)
	}
	return planned.Rejoin(from, altitudeFt, *e.Rejoin, level)
}

// diversion is the way that a diversion would take, and where from. After the last leg it is flown at that leg's level again.
func (f *ahead) diversion(e Event) (route *sheet.Route, from *PositionNow, err error) {
	if from = f.positionAt(e.T); from == nil {
		return nil, nil, errors.New("the way ahead can't be calculated")
	}
	levelFt := from.AltitudeFt
	if f.complete {
		levelFt = f.levelFt(f.leg)
	}
	if e.Altitude == nil {
		e.Altitude = &levelFt
	}
	route, err = DiversionRoute(f.sheet.Route, e, from.Place(), from.AltitudeFt)
	return route, from, err
}

func (f *fuelled) foldDivert(e Event) bool {
	if !f.flying() {
		return false
	}
	route, from, err := f.diversion(e)
	if err != nil {
		return false
	}
	f.burnUntil(e.T)
	f.predict(e.T)
	f.belief = f.supposed(f.belief, nil, 0).turned(angle.Turn(f.legs[f.leg].line().TrackTrue, route.Legs[0].TrackTrue), 1)
	if f.complete { // it has circled since
		f.belief = f.belief.lost(holdReachNM * holdReachNM)
	}
	f.belief.mean[alongNM], f.belief.mean[acrossNM] = 0, 0
	flownNM := from.AfterNM
	f.endHold(e.T, true)
	f.legs = slices.Clone(f.legs)
	if l := &f.legs[f.leg]; l.actual.IsZero() && e.T.After(l.begun) && !l.begun.IsZero() {
		l.left = &LegLeft{From: l.begun, To: e.T, AfterNM: flownNM, DistanceNM: earth.Inverse(l.line().From.At, from.Place()).DistanceNM}
	}
	for i, l := range f.legs[f.leg:] {
		l.leftOut = l.actual.IsZero()
		f.legs[f.leg+i] = l
	}
	w := &way{route: route, first: len(f.legs), from: e.T, rejoins: e.Rejoin != nil}
	for i := range route.Legs {
		planLeg := -1
		if e.Rejoin != nil {
			planLeg = *e.Rejoin + i
		}
		f.legs = append(f.legs, leg{way: w, local: i, asked: askedOf(len(f.legs), &route.Legs[i], f.sheet.Plan.Aircraft.Receivers), planLeg: planLeg, checkpointsActual: make([]time.Time, len(route.Legs[i].Checkpoints))})
	}
	f.leg, f.complete = w.first, false
	f.anchor = anchor{place: place{leg: f.leg}, at: e.T, altitudeFt: from.AltitudeFt, by: f.anchor.by}
	f.holdAt, f.descended, f.offTrack = "", time.Time{}, nil
	f.startLeg(mark{place: f.anchor.place, at: e.T, name: route.Legs[0].From.Ident})
	f.untimed = true
	return true
}

// settleDiversion takes the first reckoning of a diversion for its plan; what was to be said of the old way is overtaken.
func (f *fold) settleDiversion(e Event) {
	f.planDiversion(f.legs[f.leg].way)
	f.prompts.report.next = false
	f.makePrompts(e.T)
}

// diverting reports whether the flight is on its way away from the plan: to another destination, or to where it takes the plan up again.
func (f *flown) diverting() bool {
	l := &f.legs[f.leg]
	return !l.way.from.IsZero() && (!l.way.rejoins || l.local == 0)
}

func (f *flown) diversionNow() *DiversionNow {
	if !f.diverting() || !f.landed.IsZero() {
		return nil
	}
	w := f.legs[f.leg].way
	to := w.route.Legs[0].To
	return &DiversionNow{To: to.Ident, Name: to.Title(), Since: w.from, Rejoins: w.rejoins}
}

// takenUp reports whether a leg that a diversion left out has been taken up again on a later way.
func (f *flown) takenUp(l *leg) bool {
	if !l.leftOut || l.planLeg < 0 {
		return false
	}
	for i := range f.legs {
		if other := &f.legs[i]; other.planLeg == l.planLeg && !other.leftOut {
			return true
		}
	}
	return false
}

// planDiversion takes the first reckoning of a diversion for its plan.
func (f *ahead) planDiversion(w *way) {
	start := w.from
	f.legs = slices.Clone(f.legs)
	for i := w.first; i < len(f.legs); i++ {
		l := &f.legs[i]
		end, _ := f.outlook.eta(place{w.first + l.local, l.line().DistanceNM})
		l.planned = shown(end)
		l.plannedMinutes, start = l.planned.Sub(start).Minutes(), l.planned
		for _, checkpoint := range l.line().Checkpoints {
			at, _ := f.outlook.eta(place{w.first + l.local, checkpoint.AfterNM})
			l.checkpointsPlanned = append(l.checkpointsPlanned, shown(at))
		}
		if l.planLeg >= 0 { // on the plan again: late and early are measured against it
			l.planned, l.checkpointsPlanned = f.legs[l.planLeg].planned, f.legs[l.planLeg].checkpointsPlanned[:len(l.line().Checkpoints)]
		}
		if piece, ok := f.outlook.cruisePiece(w.first + l.local); ok {
			l.plannedHeading = f.headingOn(piece)
			l.plannedKt = piece.Heading.GroundspeedKt
		}
	}
}

// DiversionTarget is the point and the level that a diversion means: a point of the plan by its ident, or a place. It is flown to
// at the altitude now, or the one told, as far as the cruise table reaches; an aerodrome's circuit comes at its end.
func DiversionTarget(p *plan.Plan, e Event, altitudeFt float64) (plan.Point, plan.Level, error) {
	if e.Altitude != nil {
		altitudeFt = *e.Altitude
	}
	lowestFt, highestFt := cruiseReach(p)
	level := plan.Level{AltitudeFt: max(lowestFt, min(altitudeFt, highestFt))}
	if e.At != nil {
		name := e.To
		if name == "" {
			name = "diversion"
		}
		return plan.Point{Ident: name, Kind: plan.Fix, At: *e.At}, level, nil
	}
	point, ok := p.Point(e.To)
	if !ok {
		return point, level, fmt.Errorf("%q is not a point of the plan", e.To)
	}
	return point, level, nil
}

// cruiseReach is the lowest and the highest altitude, by the plan's QNH, that the cruise table covers at the plan's power: what the
// columns of the powers next to it have in common.
func cruiseReach(p *plan.Plan) (lowestFt, highestFt float64) {
	const insideFt = 1 // of the table, against rounding
	below, above := math.Inf(-1), math.Inf(1)
	for _, row := range p.Aircraft.Cruise.Table {
		if row.Power <= p.Aircraft.Cruise.Power {
			below = max(below, row.Power)
		}
		if row.Power >= p.Aircraft.Cruise.Power {
			above = min(above, row.Power)
		}
	}
	lowestFt, highestFt = math.Inf(-1), math.Inf(1)
	for _, power := range []float64{below, above} {
		low, high := math.Inf(1), math.Inf(-1)
		for _, row := range p.Aircraft.Cruise.Table {
			if row.Power == power {
				low, high = min(low, row.AltitudeFt), max(high, row.AltitudeFt)
			}
		}
		lowestFt, highestFt = max(lowestFt, low), min(highestFt, high)
	}
	return air.AltitudeFt(lowestFt, p.Conditions.QNH) + insideFt, air.AltitudeFt(highestFt, p.Conditions.QNH) - insideFt
}
