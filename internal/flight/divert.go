package flight

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
)

func (p *progress) foldHold(e Event) {
	if !p.flying() || !p.holding.IsZero() {
		return
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
	p.revise(e.T)
}

func (p *progress) foldUnhold(e Event) {
	if p.holding.IsZero() {
		return
	}
	p.burnUntil(e.T)
	p.holding = time.Time{}
	p.anchor.at = e.T
	p.revise(e.T)
}

// spoil says that the time to the next passing tells nothing of the wind.
func (p *progress) spoil() {
	p.evidence = nil
	p.spoiled = true
}

func (p *progress) foldDivert(e Event) {
	n, ok := p.here(e.T)
	if !ok {
		return
	}
	target, level, err := DiversionTarget(p.sheet.Plan, e, n.point.AltitudeFt)
	if err != nil {
		return
	}
	current := p.legs[n.leg]
	route, err := current.way.route.Direct(current.way.route.PositionAt(current.local, n.afterNM), n.point.AltitudeFt, target, level)
	if err != nil {
		return
	}
	p.burnUntil(e.T)
	sigma := p.ahead.sigmaMinutes(n.place)
	for _, l := range p.legs[p.leg:] {
		l.leftOut = l.actual.IsZero()
	}
	diversion := &way{route: route, first: len(p.legs), from: e.T}
	for i := range route.Legs {
		p.legs = append(p.legs, &leg{way: diversion, local: i, checkpointsActual: make([]time.Time, len(route.Legs[i].Checkpoints))})
	}
	p.leg = diversion.first
	p.anchor = anchor{
		place: place{leg: p.leg}, at: e.T, altitudeFt: n.point.AltitudeFt, by: p.anchor.by, variance: sigma * sigma,
	}
	p.holding, p.descended, p.offTrack = time.Time{}, time.Time{}, nil
	delete(p.prompts.opened, "descent")
	p.startLeg(mark{place: p.anchor.place, at: e.T, name: route.Legs[0].From.Ident})
	p.evidence = nil
	p.revise(e.T)
	p.planDiversion(diversion)
	p.makePrompts(e.T)
}

// planDiversion takes the first reckoning of a diversion for its plan.
func (p *progress) planDiversion(w *way) {
	start := w.from
	for _, l := range p.legs[w.first:] {
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
