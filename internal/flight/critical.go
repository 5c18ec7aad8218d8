package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// critical are the places on the way ahead at which a way back is decided, in minutes from the anchor; NaN for one that is not ahead.
type critical struct{ equalTime, noReturn float64 }

// criticalSteps halve the way ahead until the place is known to a few seconds.
const criticalSteps = 12

// findCritical finds the point of equal time, from which it is as long on to the destination as back to the departure, and the point
// of no return, from which the departure can be reached with the reserve just kept. Both are searched along the reckoned way, so
// that legs, climb and descent count on the way on; the way back is straight, at cruise and the level of the place.
func (p *progress) findCritical(t time.Time) critical {
	none := critical{math.NaN(), math.NaN()}
	a := p.ahead
	if len(a.trajectory) == 0 || !a.way.from.IsZero() && a.way.route.Destination().Ident == p.departure().Ident { // on is back
		return none
	}
	total := a.trajectory.TotalMinutes()
	n, _ := p.here(t)
	now := n.minutes
	on := func(m float64) float64 { return total - m - p.backMinutes(m) }
	usable := p.countedUsable(p.quantitiesAt(t)) - fuel.Burned(p.sheet.Fuel.ReserveMinutes, p.circlingFlow())
	if p.airborne.IsZero() {
		usable -= p.sheet.Fuel.Taxi
	}
	burnedNow := a.trajectory.FuelTo(now)
	left := func(m float64) float64 {
		return usable - (a.trajectory.FuelTo(m) - burnedNow) - fuel.Burned(p.backMinutes(m), p.cruiseFlow()+p.excessPerHour()) - fuel.Burned(m-now, p.excessPerHour())
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
func (p *progress) backMinutes(minutes float64) float64 {
	at := p.ahead.trajectory.At(minutes)
	from := p.ahead.way.route.PositionAt(at.Leg, at.AfterNM)
	line := earth.Inverse(from, p.departure().At)
	wind, _ := p.ahead.air.Layers.At(at.AltitudeFt)
	heading, err := deadreckon.HeadingFor(meanTrack(line), p.cruiseTAS(), wind)
	if err != nil {
		return math.Inf(1)
	}
	return deadreckon.Minutes(line.DistanceNM, heading.GroundspeedKt)
}

func (p *progress) departure() plan.Point { return p.legs[0].line().From }

func (p *progress) criticalAt(t time.Time) CriticalNow {
	point := func(minutes float64) *CriticalPoint {
		if math.IsNaN(minutes) || !p.landed.IsZero() {
			return nil
		}
		at := p.ahead.trajectory.At(minutes)
		spot := place{p.ahead.way.first + at.Leg, at.AfterNM}
		eta, back := p.ahead.after(minutes).Add(p.delayTo(spot, t)), p.backMinutes(minutes)
		if eta.Before(t) || math.IsInf(back, 1) { // for ever: what ends the way back there is not fuel or time but the wind
			return nil
		}
		return &CriticalPoint{Leg: spot.leg, AfterNM: spot.afterNM, ETA: eta, Back: p.departure().Ident, Minutes: back}
	}
	found := p.critical
	if !p.holding.IsZero() { // the fuel goes while the place stays
		found = p.findCritical(t)
	}
	return CriticalNow{EqualTime: point(found.equalTime), NoReturn: point(found.noReturn)}
}
