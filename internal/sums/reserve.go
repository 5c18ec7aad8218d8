package sums

import (
	"fmt"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

// Reserve asks which published final reserve applies to an arrival. Night is said, or follows from the place and the time.
type Reserve struct {
	At      *earth.Position
	Arrive  time.Time // zero if not given
	Night   *bool     // instead of At and Arrive
	Flow    *say.Fuel // optional: an hour at normal cruise
	Holding *say.Fuel // optional: an hour in the hold, for a rule that counts by it
}

// Sum works out the reserve that the rules ask for.
func (r Reserve) Sum() (Sum, error) {
	s := Sum{
		Name: "reserve", Title: "Which final reserve applies", Given: r.given(),
		Rule:   "of the published minima for the time of arrival the one that asks for most; night is from the end of evening to the beginning of morning civil twilight",
		Source: "14 CFR 91.151(a), 14 CFR 1.1; ICAO Annex 6 Part II 2.2.3.6 (wording from memory); aeroplanes, visual flight rules: local rules may ask for more",
	}
	if err := r.check(); err != nil {
		return Sum{}, err
	}
	var w working
	night := false
	if r.Night != nil {
		night = *r.Night
	} else {
		const civilTwilightDeg = -6
		altitude := earth.SunAltitude(*r.At, r.Arrive)
		night = altitude < civilTwilightDeg
		w.line("height of the sun at %s: %s°, night below %s°", say.Time(r.Arrive), num(altitude), civilTwilightDeg)
	}
	flow := func(at fuel.ReserveFlow) float64 {
		switch {
		case at == fuel.AtHolding && r.Holding != nil:
			return r.Holding.Amount
		case r.Flow != nil:
			return r.Flow.Amount
		}
		return 1
	}
	rules := fuel.PublishedReserves(night)
	applies, quantity := fuel.LargestReserve(rules, flow)
	needed := say.Fuel{Amount: unknown}
	if r.Flow != nil {
		needed = say.Fuel{Amount: quantity, Unit: r.Flow.Unit}
		w.line("fuel: %s × %s / 60 = %s", num(flow(applies.At)), num(applies.Minutes), sayFuel(needed))
	}
	s.Working = w
	s.Answers = []Figure{
		span("final reserve", "final_reserve_minutes", applies.Minutes), fuelFigure("final reserve fuel", "final_reserve_fuel", needed), yes("night", "night", night),
	}
	for i, rule := range rules {
		s.Answers = append(s.Answers, Figure{Label: fmt.Sprintf("rule %d", i+1), Text: rule.Source, Values: []Value{{fmt.Sprintf("rule_%d", i+1), rule.Source}}})
	}
	return s, nil
}

func (r Reserve) check() error {
	byPlace := r.At != nil && !r.Arrive.IsZero()
	switch {
	case (r.Night != nil) == byPlace || r.Night != nil && (r.At != nil || !r.Arrive.IsZero()):
		return unfit("say day or night, or give at 52.7,-1.2 arrive 2026-05-15T20:30:00Z", "whether the arrival is by night is needed, in one way")
	case r.Flow != nil && r.Flow.Amount <= 0:
		return unfit("give the flow an hour, for example 24", "without a flow there is no quantity")
	}
	return oneUnit(r.Flow, r.Holding)
}

func (r Reserve) given() []Figure {
	at := Figure{Label: "position", Values: []Value{{"position", nil}}}
	if r.At != nil {
		at = place("position", "position", *r.At)
	}
	return []Figure{at, moment("arriving", "arrive", r.Arrive), flowFigure("flow", "flow_per_hour", r.Flow), flowFigure("flow holding", "holding_per_hour", r.Holding), fuelUnit(r.Flow, r.Holding)}
}
