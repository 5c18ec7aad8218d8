package sheet

import (
	"fmt"
	"time"

	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// FinalReserve is the fuel that is to be in the tanks after landing.
type FinalReserve struct {
	Minutes float64
	Fuel    float64 // in the aircraft's unit
	Source  string  // the rule, or plan.ReserveFromPlan
	Rule    string  // the same in words, with the flow that its minutes are at: "45 min at the flow of holding, by the plan"
}

// FinalReserve is what is kept for an arrival by day or by night: what the plan asks for or, where it asks for none, the published minimum.
func (s *Sheet) FinalReserve(byNight bool) FinalReserve {
	if s.Plan.Fuel.ReserveSource != plan.ReserveFromPlan {
		return s.publishedReserve(byNight)
	}
	minutes, flow := s.Plan.Fuel.ReserveMinutes, "cruise"
	if s.Plan.Aircraft.Holding != nil {
		flow = "holding"
	}
	return FinalReserve{
		Minutes: minutes, Fuel: fuel.Burned(minutes, s.Route.ReserveFlow()), Source: plan.ReserveFromPlan,
		Rule: fmt.Sprintf("%g min at the flow of %s, by the plan", minutes, flow),
	}
}

// publishedReserve is the published minimum for an arrival by day or by night that asks for the largest quantity.
func (s *Sheet) publishedReserve(byNight bool) FinalReserve {
	rule, quantity := fuel.LargestReserve(fuel.PublishedReserves(byNight), func(at fuel.ReserveFlow) float64 {
		if holding := s.Plan.Aircraft.Holding; at == fuel.AtHolding && holding != nil {
			return holding.FlowPerHour
		}
		return s.Fuel.CruiseFlow
	})
	return FinalReserve{Minutes: rule.Minutes, Fuel: quantity, Source: rule.Source, Rule: rule.Source}
}

// leastQuantity is what a reserve may be short of a published one before a word is said.
const leastQuantity = 0.05

// ReserveTooShort says of a reserve that the plan gives that it is less than the published minimum for an arrival at a time, by day or by night;
// empty where it is not.
func (s *Sheet) ReserveTooShort(byNight bool, arrival time.Time) string {
	kept, published := s.FinalReserve(byNight), s.publishedReserve(byNight)
	if kept.Fuel >= published.Fuel-leastQuantity {
		return ""
	}
	amount := func(quantity float64) string { return say.AmountIn(quantity, s.Plan.Aircraft.Fuel.Unit) }
	return fmt.Sprintf("the final reserve of %s, %s, is less than the published minimum for the arrival at %s: %s, %s",
		kept.Rule, amount(kept.Fuel), say.Minute(arrival), published.Rule, amount(published.Fuel))
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
