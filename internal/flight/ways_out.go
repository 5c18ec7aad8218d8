package flight

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// vantage is what every way out from one place and moment is reckoned with: the cruise and the height of now, or the leg's level
// where that height is none to cruise at. Climb and descent are left out, as they are when fuel for an alternate is planned.
type vantage struct {
	at              time.Time
	from            earth.Position
	headingMagnetic *float64
	declination     float64
	wind            air.Wind
	tasKt           float64
	usable          float64
	flowPerHour     float64
}

// vantageAt is ok in flight and before it, where there is a position.
func (p *progress) vantageAt(t time.Time) (v vantage, ok bool) {
	position := p.positionAt(t)
	if position == nil || !p.landed.IsZero() {
		return v, false
	}
	altitudeFt := position.AltitudeFt
	if p.airborne.IsZero() || p.complete {
		altitudeFt = p.levelFt(p.leg)
	}
	v = vantage{
		at: t, from: position.Place(), declination: p.declinationAt(place{p.leg, position.AfterNM}),
		tasKt: p.cruiseTAS(), usable: p.countedUsable(p.quantitiesAt(t)), flowPerHour: p.cruiseFlow() + p.excessPerHour(),
	}
	v.wind, _ = p.ahead.air.Layers.At(altitudeFt)
	if n, flying := p.here(t); flying {
		v.headingMagnetic = ref(p.headingMagnetic(n))
	}
	return v, true
}

// waysOutAt are the ways from where the aircraft is straight to every point of the plan, the quickest first.
func (p *progress) waysOutAt(t time.Time) []AlternateNow {
	v, ok := p.vantageAt(t)
	if !ok {
		return []AlternateNow{}
	}
	ahead := p.aheadOnPlan()
	ways := make([]AlternateNow, 0, len(p.sheet.Plan.Points))
	for _, point := range p.sheet.Plan.Points {
		way := p.wayOut(point, v)
		way.Alternate = slices.Contains(p.sheet.Plan.Route.Alternates, point.Ident)
		if leg, found := ahead[point.Ident]; found {
			way.Rejoin = ref(leg)
		}
		ways = append(ways, way)
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

// alternatesAmong are the alternates of the plan in its order.
func (p *progress) alternatesAmong(ways []AlternateNow) []AlternateNow {
	list := make([]AlternateNow, 0, len(p.sheet.Plan.Route.Alternates))
	for _, ident := range p.sheet.Plan.Route.Alternates {
		if i := slices.IndexFunc(ways, func(way AlternateNow) bool { return way.Point == ident }); i >= 0 {
			list = append(list, ways[i])
		}
	}
	return list
}

// wayOut is the way straight to a point.
func (p *progress) wayOut(point plan.Point, v vantage) AlternateNow {
	line := earth.Inverse(v.from, point.At)
	trackTrue := meanTrack(line)
	a := AlternateNow{Point: point.Ident, Name: point.Title(), Kind: string(point.Kind), DistanceNM: line.DistanceNM}
	a.TrackMagnetic = deadreckon.MagneticFromTrue(trackTrue, v.declination)
	heading, err := deadreckon.HeadingFor(trackTrue, v.tasKt, v.wind)
	if err != nil {
		a.Problem = err.Error()
		return a
	}
	a.HeadingMagnetic = deadreckon.MagneticFromTrue(heading.HeadingTrue, v.declination)
	if v.headingMagnetic != nil {
		a.Turn = ref(angle.Turn(*v.headingMagnetic, a.HeadingMagnetic))
	}
	a.Minutes = deadreckon.Minutes(a.DistanceNM, heading.GroundspeedKt)
	a.ETA = plus(v.at, a.Minutes)
	a.Fuel = v.usable - fuel.Burned(a.Minutes, v.flowPerHour)
	a.ReserveHeldMinutes = fuel.EnduranceMinutes(max(0, a.Fuel), p.circlingFlow())
	a.BeforeSunsetMinutes, a.BeforeDarkMinutes = p.daylight(point, a.ETA)
	a.Problem = p.wayOutProblem(a)
	return a
}

// meanTrack is the mean of a geodesic's azimuths, which over a few hundred miles is that at its middle.
func meanTrack(line earth.Geodesic) float64 {
	return angle.Wrap360(line.AzimuthStart + angle.Turn(line.AzimuthStart, line.AzimuthEnd)/2)
}

func (p *progress) wayOutProblem(a AlternateNow) string {
	switch {
	case a.Fuel <= 0:
		return "out of reach: no fuel left there"
	case a.ReserveHeldMinutes < p.sheet.Fuel.ReserveMinutes:
		return fmt.Sprintf("reserve: %.0f of %.0f minutes", a.ReserveHeldMinutes, p.sheet.Fuel.ReserveMinutes)
	case a.BeforeDarkMinutes != nil && *a.BeforeDarkMinutes < 0:
		return fmt.Sprintf("%.0f minutes after dark", -*a.BeforeDarkMinutes)
	}
	return ""
}

// aheadOnPlan are the points that legs of the plan still to be flown end at, each with the first such leg.
func (p *progress) aheadOnPlan() map[string]int {
	from := 0
	for _, l := range p.legs {
		if !l.actual.IsZero() && l.planLeg >= from {
			from = l.planLeg + 1
		}
	}
	from = max(from, p.legs[p.leg].planLeg)
	ahead := map[string]int{}
	for leg := len(p.sheet.Route.Legs) - 1; leg >= from; leg-- {
		ahead[p.sheet.Route.Legs[leg].To.Ident] = leg
	}
	return ahead
}
