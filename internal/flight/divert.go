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

func (p *progress) foldHold(e Event) bool {
	if !p.flying() || !p.holding.IsZero() {
		return false
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	p.anchor.at = e.T
	if s, ok := p.onLeg(p.leg, e.Point); ok {
		p.anchor.place = p.onThisLeg(s.afterNM)
	} else if p.legs[p.leg].line().From.Ident == e.Point {
		p.anchor.place = place{leg: p.leg}
	}
	p.holding, p.holdPoint = e.T, e.Point
	p.spoil()
	return true
}

func (p *progress) foldUnhold(e Event) bool {
	if p.holding.IsZero() {
		return false
	}
	p.burnUntil(e.T)
	p.predict(e.T)
	p.holding = time.Time{}
	p.anchor.at = e.T
	return true
}

// holdingAt puts the hold being flown into a Snapshot that has its destination and crossing: the fuel that it takes, and when it must
// end.
func (p *progress) holdingAt(s *Snapshot) {
	if p.holding.IsZero() {
		return
	}
	s.Holding = &HoldingNow{Point: p.holdPoint, Since: p.holding, Fuel: fuel.Burned(s.At.Sub(p.holding).Minutes(), p.circlingFlow())}
	if d := s.Destination; d != nil && d.ReserveHeldMinutes > d.ReserveMinutes {
		s.Holding.LeaveBy = ref(plus(s.At, d.ReserveHeldMinutes-d.ReserveMinutes))
	}
	if c := s.Crossing; c != nil && c.Hold != nil {
		s.Holding.Leave = &c.Hold.Leave
	}
}

// spoil says that the time to the next passing tells nothing of the wind.
func (p *progress) spoil() {
	p.evidence = nil
	p.spoiled = true
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
func (p *progress) diversion(e Event) (route *sheet.Route, from *PositionNow, err error) {
	if from = p.positionAt(e.T); from == nil {
		return nil, nil, errors.New("the way ahead can't be reckoned")
	}
	levelFt := from.AltitudeFt
	if p.complete {
		levelFt = p.levelFt(p.leg)
	}
	if e.Altitude == nil {
		e.Altitude = &levelFt
	}
	route, err = DiversionRoute(p.sheet.Route, e, from.Place(), from.AltitudeFt)
	return route, from, err
}

func (p *progress) foldDivert(e Event) bool {
	if !p.flying() {
		return false
	}
	route, from, err := p.diversion(e)
	if err != nil {
		return false
	}
	p.burnUntil(e.T)
	p.predict(e.T)
	p.belief = p.supposed(p.belief, nil, 0).turned(angle.Turn(p.legs[p.leg].line().TrackTrue, route.Legs[0].TrackTrue), 1)
	p.belief.mean[alongNM], p.belief.mean[acrossNM] = 0, 0
	p.legs = slices.Clone(p.legs)
	for i, l := range p.legs[p.leg:] {
		l.leftOut = l.actual.IsZero()
		p.legs[p.leg+i] = l
	}
	w := &way{route: route, first: len(p.legs), from: e.T, rejoins: e.Rejoin != nil}
	for i := range route.Legs {
		planLeg := -1
		if e.Rejoin != nil {
			planLeg = *e.Rejoin + i
		}
		p.legs = append(p.legs, leg{way: w, local: i, planLeg: planLeg, checkpointsActual: make([]time.Time, len(route.Legs[i].Checkpoints))})
	}
	p.leg, p.complete = w.first, false
	p.anchor = anchor{place: place{leg: p.leg}, at: e.T, altitudeFt: from.AltitudeFt, by: p.anchor.by}
	p.holding, p.descended, p.offTrack = time.Time{}, time.Time{}, nil
	p.startLeg(mark{place: p.anchor.place, at: e.T, name: route.Legs[0].From.Ident})
	p.evidence = nil
	return true
}

// settleDiversion takes the first reckoning of a diversion for its plan; what was to be said of the old way is overtaken.
func (p *progress) settleDiversion(e Event) {
	p.planDiversion(p.legs[p.leg].way)
	p.prompts.report.next = false
	p.makePrompts(e.T)
}

// diverting reports whether the flight is on its way away from the plan: to another destination, or to where it takes the plan up again.
func (p *progress) diverting() bool {
	l := &p.legs[p.leg]
	return !l.way.from.IsZero() && (!l.way.rejoins || l.local == 0)
}

func (p *progress) diversionNow() *DiversionNow {
	if !p.diverting() || !p.landed.IsZero() {
		return nil
	}
	w := p.legs[p.leg].way
	to := w.route.Legs[0].To
	return &DiversionNow{To: to.Ident, Name: to.Title(), Since: w.from, Rejoins: w.rejoins}
}

// takenUp reports whether a leg that a diversion left out has been taken up again on a later way.
func (p *progress) takenUp(l *leg) bool {
	if !l.leftOut || l.planLeg < 0 {
		return false
	}
	for i := range p.legs {
		if other := &p.legs[i]; other.planLeg == l.planLeg && !other.leftOut {
			return true
		}
	}
	return false
}

// planDiversion takes the first reckoning of a diversion for its plan.
func (p *progress) planDiversion(w *way) {
	start := w.from
	p.legs = slices.Clone(p.legs)
	for i := w.first; i < len(p.legs); i++ {
		l := &p.legs[i]
		l.planned, _ = p.ahead.eta(place{w.first + l.local, l.line().DistanceNM})
		l.plannedMinutes = l.planned.Sub(start).Minutes()
		for _, checkpoint := range l.line().Checkpoints {
			at, _ := p.ahead.eta(place{w.first + l.local, checkpoint.AfterNM})
			l.checkpointsPlanned = append(l.checkpointsPlanned, at)
		}
		if piece, ok := p.ahead.cruisePiece(w.first + l.local); ok {
			l.plannedHeading = p.magneticOn(place{w.first + l.local, 0}, piece.Heading.HeadingTrue)
			l.plannedKt = piece.Heading.GroundspeedKt
		}
		start = l.planned
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
