package plan

import (
	"fmt"
	"math"
	"slices"
)

// Flights are of these years: beyond them the place of the sun is not known well enough.
const FirstYear, LastYear = 1900, 2199

// mostInList is how many entries a list of a plan may have that came from elsewhere than its file; points, how many of those.
const mostInList, mostPoints = 1000, 200_000

// Sound refuses what no plan that was read from a file can be. It is for one that comes from elsewhere, a journal say, whose makers know no
// ranges: what a plan file may say in detail is Load's to check.
func (p *Plan) Sound() error {
	s := &soundness{}
	s.holds(p.Version == 1, "version %d", p.Version)
	year := p.OffBlocks.UTC().Year()
	s.holds(year >= FirstYear && year <= LastYear, "the year %d", year)
	s.within("taxi_minutes", p.TaxiMinutes, taxiTime)
	s.withinIfGiven("variation", p.Variation, eastward)
	s.aircraft(p.Aircraft)
	for name, quantity := range p.Fuel.OnBoard {
		s.within("fuel on board", quantity, fuelQuantity)
		s.holds(p.Aircraft.Fuel.TankIndex(name) >= 0, "fuel on board in %q, which is not a tank", name)
	}
	s.holds(p.Aircraft.Fuel.TankIndex(p.Fuel.StartOn) >= 0, "start_on %q, which is not a tank", p.Fuel.StartOn)
	s.within("reserve_minutes", p.Fuel.ReserveMinutes, reserveTime)
	s.within("contingency_percent", p.Fuel.ContingencyPercent, contingency)
	s.conditions(p.Conditions)
	s.points(p.Points)
	s.route(p)
	s.rest(p)
	return s.err
}

// soundness is the first thing that was found wrong.
type soundness struct{ err error }

func (s *soundness) holds(ok bool, format string, arguments ...any) {
	if !ok && s.err == nil {
		s.err = fmt.Errorf(format, arguments...)
	}
}

func (s *soundness) within(name string, value float64, q quantity) {
	s.holds(q.holds(value), "%s %g", name, value)
}

func (s *soundness) withinIfGiven(name string, value *float64, q quantity) {
	if value != nil {
		s.within(name, *value, q)
	}
}

func (s *soundness) few(name string, count int) {
	s.holds(count <= mostInList, "%d %s", count, name)
}

func (s *soundness) aircraft(a Aircraft) {
	s.within("taxi_flow", a.TaxiFlow, taxiFlow)
	s.few("tanks", len(a.Fuel.Tanks))
	s.holds(len(a.Fuel.Tanks) > 0, "no tanks")
	for i, tank := range a.Fuel.Tanks {
		s.within("capacity", tank.Capacity, someFuel)
		s.within("unusable", tank.Unusable, quantity{low: 0, high: tank.Capacity})
		s.holds(tank.Name != "" && a.Fuel.TankIndex(tank.Name) == i, "two tanks %q", tank.Name)
	}
	s.holds(slices.Contains(Units(), a.Fuel.Unit), "unit %q", a.Fuel.Unit)
	s.withinIfGiven("max_imbalance", a.Fuel.MaxImbalance, someFuel)
	s.withinIfGiven("change_every", a.Fuel.ChangeEveryMinutes, changeInterval)
	s.within("quiet_below", a.Fuel.QuietBelowFt, quietBelow)
	s.within("quiet_before_landing", a.Fuel.QuietBeforeLandingMinutes, quietBefore)
	s.withinIfGiven("density", a.Fuel.DensityKgPerLitre, density)
	s.few("pairs", len(a.Fuel.Pairs))
	for _, pair := range a.Fuel.Pairs {
		s.holds(a.Fuel.TankIndex(pair[0]) >= 0 && a.Fuel.TankIndex(pair[1]) >= 0 && pair[0] != pair[1], "a pair of tanks %q", pair)
	}
	s.few("receivers", len(a.Receivers))

	s.within("climb.ias", a.Climb.IASKt, airspeed)
	s.few("rows of climb", len(a.Climb.Table))
	s.holds(len(a.Climb.Table) > 0, "no climb table")
	below := math.Inf(-1)
	for _, row := range a.Climb.Table {
		s.within("altitude", row.AltitudeFt, pressureAltitude)
		s.within("rate", row.RateFtMin, verticalSpeed)
		s.within("flow", row.FlowPerHour, flow)
		s.holds(row.AltitudeFt > below, "a climb table that goes down")
		below = row.AltitudeFt
	}
	s.within("cruise.power", a.Cruise.Power, power)
	s.few("rows of cruise", len(a.Cruise.Table))
	s.holds(len(a.Cruise.Table) > 0, "no cruise table")
	for _, row := range a.Cruise.Table {
		s.within("altitude", row.AltitudeFt, pressureAltitude)
		s.within("power", row.Power, power)
		s.within("rpm", row.RPM, quantity{low: 0, high: rpm.high})
		s.within("tas", row.TASKt, airspeed)
		s.within("flow", row.FlowPerHour, flow)
	}
	s.within("descent.ias", a.Descent.IASKt, airspeed)
	s.within("descent.rate", a.Descent.RateFtMin, verticalSpeed)
	s.within("descent.flow", a.Descent.FlowPerHour, flow)
	s.within("descent.power", a.Descent.Power, quantity{low: 0, high: power.high})
	s.within("descent.rpm", a.Descent.RPM, quantity{low: 0, high: rpm.high})
	if a.Holding != nil {
		s.within("holding.ias", a.Holding.IASKt, airspeed)
		s.within("holding.flow", a.Holding.FlowPerHour, flow)
	}
	s.few("rows of position error", len(a.PositionError))
	below = math.Inf(-1)
	for _, row := range a.PositionError {
		s.within("ias", row.IndicatedKt, quantity{low: 0, high: airspeed.high})
		s.within("cas", row.CalibratedKt, quantity{low: 0, high: airspeed.high})
		s.holds(row.IndicatedKt > below, "a table of position error that goes down")
		below = row.IndicatedKt
	}
	s.few("rows of deviation", len(a.Deviation))
	below = math.Inf(-1)
	for _, row := range a.Deviation {
		s.within("heading", row.HeadingMagnetic, direction)
		s.within("compass", row.Compass, direction)
		s.holds(row.HeadingMagnetic > below, "a card of deviation that goes down")
		below = row.HeadingMagnetic
	}
	s.few("cards", len(a.PreDeparture)+len(a.Cards.Lost)+len(a.Cards.RadioFailure)+len(a.Cards.LowFuel)+len(a.Cards.Weather)+len(a.Fuel.ChangeSteps))
}

func (s *soundness) conditions(c Conditions) {
	s.within("qnh", c.QNH, qnh)
	s.within("isa_deviation", c.ISADeviation, isaDeviation)
	s.within("wind_error", c.WindErrorKt, windError)
	s.few("winds", len(c.Winds))
	s.holds(len(c.Winds) > 0, "no winds")
	below := math.Inf(-1)
	for _, wind := range c.Winds {
		s.within("altitude", wind.AltitudeFt, windAltitude)
		s.within("from", wind.FromTrue, direction)
		s.within("speed", wind.SpeedKt, windSpeed)
		s.withinIfGiven("temperature", wind.TemperatureC, airTemperature)
		s.holds(wind.AltitudeFt > below, "winds that go down")
		below = wind.AltitudeFt
	}
}

func (s *soundness) points(points []Point) {
	s.holds(len(points) <= mostPoints, "%d points", len(points))
	seen := make(map[string]bool, len(points))
	for _, point := range points {
		s.holds(point.Ident != "" && !seen[point.Ident], "two points %q", point.Ident)
		seen[point.Ident] = true
		s.holds(slices.Contains(kindNames, string(point.Kind)), "a point of the kind %q", point.Kind)
		s.holds(point.At.Valid(), "position %g, %g", point.At.Lat, point.At.Lon)
		s.within("elevation", point.ElevationFt, elevation)
		s.within("circuit", point.CircuitFt, quantity{low: 0, high: circuit.high})
		s.within("frequency", point.Frequency, quantity{low: 0, high: frequency.high})
		s.withinIfGiven("declination", point.Declination, eastward)
		s.within("range", point.RangeNM, quantity{low: 0, high: beaconRange.high})
		s.withinIfGiven("radial", point.Radial, direction)
		s.within("distance", point.DistanceNM, quantity{low: 0, high: fixDistance.high})
	}
}

func (s *soundness) route(p *Plan) {
	known := func(ident, what string) Point {
		point, ok := p.Point(ident)
		s.holds(ok, "%s %q, which is not a point of it", what, ident)
		return point
	}
	s.few("legs", len(p.Route.Legs))
	s.holds(len(p.Route.Legs) > 0, "no legs")
	from := known(p.Route.From, "a departure")
	for _, leg := range p.Route.Legs {
		to := known(leg.To, "a leg to")
		s.holds(from.Ident != to.Ident && from.At != to.At, "a leg from %s to itself", from.Ident)
		from = to
		s.within("altitude", leg.Level.AltitudeFt, altitude)
		s.within("flight_level", float64(leg.Level.FlightLevel), quantity{low: 0, high: 300})
		s.holds((leg.Level.AltitudeFt > 0) != (leg.Level.FlightLevel > 0), "a leg with both an altitude and a flight level, or neither")
		s.withinIfGiven("safe_altitude", leg.SafeAltitudeFt, altitude)
		s.withinIfGiven("variation", leg.Variation, eastward)
		s.few("checkpoints", len(leg.Checkpoints))
		for _, checkpoint := range leg.Checkpoints {
			s.withinIfGiven("after", checkpoint.AfterNM, distance)
			s.holds(checkpoint.AfterNM != nil || checkpoint.Point != "", "a checkpoint that is nowhere")
			if checkpoint.Point != "" {
				known(checkpoint.Point, "a checkpoint")
			}
		}
		s.few("radio steps", len(leg.Radio))
		for _, step := range leg.Radio {
			known(step.Beacon, "a beacon")
			s.withinIfGiven("course", step.CourseMagnetic, direction)
			s.withinIfGiven("after", step.AfterNM, distance)
			s.withinIfGiven("before", step.BeforeNM, distance)
			s.holds(step.Course != Given || step.CourseMagnetic != nil, "a course that is not given")
		}
	}
	s.few("alternates", len(p.Route.Alternates))
	for _, alternate := range p.Route.Alternates {
		known(alternate, "an alternate")
	}
	if p.Fuel.Alternate != "" {
		known(p.Fuel.Alternate, "fuel for the alternate")
	}
	s.withinIfGiven("join_altitude", p.Route.JoinAltitudeFt, altitude)
	s.withinIfGiven("level_before", p.Route.LevelBeforeNM, levelBefore)
}

func (s *soundness) rest(p *Plan) {
	s.few("checks", len(p.Checks))
	for _, check := range p.Checks {
		s.withinIfGiven("every", check.EveryMinutes, checkInterval)
		s.withinIfGiven("climbing_through", check.ClimbingThroughFt, altitude)
		s.withinIfGiven("descending_through", check.DescendingThroughFt, altitude)
		s.within("minutes", check.Minutes, checkBefore)
	}
	s.few("contacts", len(p.Contacts))
	for _, contact := range p.Contacts {
		s.within("frequency", contact.FrequencyMHz, voiceFrequency)
		s.withinIfGiven("before", contact.BeforeNM, distance)
	}
	s.few("remarks", len(p.Remarks))
}
