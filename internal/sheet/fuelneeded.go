package sheet

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// fuel reckons what is needed and what is on board, and with it the daylight: the published reserve depends on whether the
// arrival is by night.
func (s *Sheet) fuel() error {
	p := s.Plan
	last := s.Route.Legs[len(s.Route.Legs)-1]
	_, cruiseFlow, err := s.Route.performance.cruiseAt(last.Level.PressureAltitudeFt(s.Air.QNH))
	if err != nil {
		return &LegError{Leg: len(s.Route.Legs) - 1, From: last.From.Ident, To: last.To.Ident, Err: err}
	}
	s.alternates(cruiseFlow)
	needed := FuelNeeded{Unit: p.Aircraft.Fuel.Unit, Trip: s.Trajectory.Fuel()}
	needed.Taxi = fuel.Burned(p.TaxiMinutes, p.Aircraft.TaxiFlow)
	needed.Contingency = needed.Trip * p.Fuel.ContingencyPercent / 100
	needed.CruiseFlow = cruiseFlow
	rule, published := s.publishedReserve(cruiseFlow)
	needed.ReserveMinutes, needed.ReserveSource, needed.Reserve = rule.Minutes, rule.Source, published
	if p.Fuel.ReserveSource == plan.ReserveFromPlan {
		needed.ReserveMinutes, needed.ReserveSource = p.Fuel.ReserveMinutes, p.Fuel.ReserveSource
		needed.Reserve = fuel.Burned(needed.ReserveMinutes, s.Route.ReserveFlow())
	}
	for _, tank := range p.Aircraft.Fuel.Tanks {
		needed.OnBoard += p.Fuel.OnBoard[tank.Name]
		needed.Unusable += min(tank.Unusable, p.Fuel.OnBoard[tank.Name])
	}
	needed.EnduranceMinutes = fuel.EnduranceMinutes(needed.OnBoard-needed.Unusable, cruiseFlow)
	if alternate, ok := p.Point(s.alternate()); ok {
		way, err := s.alternateWay(alternate)
		if err != nil {
			s.add(plan.Caution, "fuel.alternate", "name another alternate", "no fuel is planned for the alternate: %v", err)
		}
		needed.AlternateMinutes, needed.Alternate = way.Minutes, fuel.Burned(way.Minutes, cruiseFlow)
	}
	needed.Required = needed.Taxi + needed.Trip + needed.Contingency + needed.Alternate + needed.Reserve
	needed.Extra = needed.OnBoard - needed.Unusable - needed.Required
	needed.OnArrival = needed.OnBoard - needed.Unusable - needed.Taxi - needed.Trip
	needed.Mass = massOf(p.Aircraft.Fuel, needed)
	s.Fuel = needed
	return nil
}

// publishedReserve is the published minimum that asks for the largest quantity at the planned time of arrival.
func (s *Sheet) publishedReserve(cruiseFlow float64) (fuel.Reserve, float64) {
	return fuel.LargestReserve(fuel.PublishedReserves(s.Daylight[0].Night), func(at fuel.ReserveFlow) float64 {
		if holding := s.Plan.Aircraft.Holding; at == fuel.AtHolding && holding != nil {
			return holding.FlowPerHour
		}
		return cruiseFlow
	})
}

// FuelMass is the mass of the fuel on board, in kilograms.
type FuelMass struct {
	OnBoardKg, TakeOffKg, LandingKg float64
}

// massOf is nil where the aircraft gives no density.
func massOf(system plan.FuelSystem, needed FuelNeeded) *FuelMass {
	unit, err := fuel.ParseUnit(system.Unit)
	if system.DensityKgPerLitre == nil || err != nil {
		return nil
	}
	kg := func(quantity float64) float64 { return unit.MassKg(max(0, quantity), *system.DensityKgPerLitre) }
	return &FuelMass{
		OnBoardKg: kg(needed.OnBoard), TakeOffKg: kg(needed.OnBoard - needed.Taxi), LandingKg: kg(needed.OnBoard - needed.Taxi - needed.Trip),
	}
}

// ReserveFlow is the flow that the minutes of the final reserve are counted at: holding where the plan gives them, or that of the
// cruise on the last leg where the aircraft gives no flow for holding or the reserve is a published minimum, all of which name
// normal cruise.
func (r *Route) ReserveFlow() float64 {
	if holding := r.Plan.Aircraft.Holding; holding != nil && r.Plan.Fuel.ReserveSource == plan.ReserveFromPlan {
		return holding.FlowPerHour
	}
	_, flow, _ := r.performance.cruiseAt(r.Legs[len(r.Legs)-1].Level.PressureAltitudeFt(r.Plan.Conditions.QNH))
	return flow
}

// FastestTAS is the highest true airspeed of the cruise table at an altitude, at whatever power; 0 outside the table.
func (r *Route) FastestTAS(altitudeFt, qnh float64) float64 {
	fastest := 0.0
	for _, column := range r.performance.cruise {
		if tasKt, _, ok := column.lines.at(air.PressureAltitudeFt(altitudeFt, qnh)); ok {
			fastest = max(fastest, tasKt)
		}
	}
	return fastest
}
