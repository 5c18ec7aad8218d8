package flight

import (
	"fmt"
	"strings"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// The states of fuel that are declared: ICAO Annex 6 Part I, 4.3.7.2, and Doc 4444, 15.5.4.
const (
	MinimumFuel = "MINIMUM FUEL"
	MaydayFuel  = "MAYDAY FUEL"
)

// FuelState is one that is to be declared now. It stays until the prediction changes.
type FuelState struct {
	Name      string  `json:"name"`  // MinimumFuel or MaydayFuel
	Point     string  `json:"point"` // the aerodrome that is landed at
	PointName string  `json:"point_name"`
	Fuel      float64 `json:"fuel"`       // usable, on arrival there
	ExtraFuel float64 `json:"extra_fuel"` // over the final reserve; negative: below it
	Why       string  `json:"why"`
	Say       string  `json:"say"` // to be read out
}

// minimumFuelMinutes is the delay that an aircraft must be able to bear, once it is committed to an aerodrome, for its fuel not to be at its
// minimum: one turn in a hold and an approach flown again. Common practice, no source.
const minimumFuelMinutes = 10

// FuelSaid is the fuel on arrival in words, with one standard error or, where that is 0, without.
func (d *DestinationNow) FuelSaid(s *Snapshot, sigma float64) string {
	return say.FuelOnArrival{Usable: d.Fuel, Sigma: sigma, Reserve: s.FinalReserve.Fuel, ExtraMinutes: d.ExtraMinutes, Unit: s.Tanks.Unit, Passed: d.Passed}.String()
}

// FuelSaid is the fuel on arrival in words.
func (a *AlternateNow) FuelSaid(s *Snapshot) string {
	return say.FuelOnArrival{Usable: a.Fuel, Reserve: s.FinalReserve.Fuel, ExtraMinutes: a.ExtraMinutes, Unit: s.Tanks.Unit}.String()
}

// landing is an aerodrome within reach of the fuel.
type landing struct {
	there       bool // there is one
	point, name string
	fuel, extra float64
}

// landings are the aerodromes that can be landed at: where the way ends and those straight from here, the one with most fuel on arrival first.
func landings(s *Snapshot) (toward, best, other landing) {
	ways := s.WaysOut.All()
	for i := range ways {
		way := &ways[i]
		if !way.Aerodrome() || way.Minutes == 0 && way.DistanceNM >= NearNM { // no wind lets it be reached
			continue
		}
		one := landing{true, way.Point, way.Name, way.Fuel, way.ExtraFuel}
		if d := s.Destination; d != nil && d.Point == way.Point {
			toward = landing{true, d.Point, d.Name, d.Fuel, d.ExtraFuel} // as it is flown
			if toward.fuel > one.fuel {
				one = toward
			}
		} else if !other.there || one.fuel > other.fuel {
			other = one
		}
		if !best.there || one.fuel > best.fuel {
			best = one
		}
	}
	return toward, best, other
}

// fuelStateAt is the state of fuel that is to be declared at the moment of a Snapshot that has its destination and the ways out of a vantage.
//
// MAYDAY FUEL: wherever a safe landing can be made, it is made below the final reserve. MINIMUM FUEL: committed to an aerodrome, as no other
// can be reached with the final reserve, and a small delay means landing below it.
func (f *fuelled) fuelStateAt(s *Snapshot, from *vantage) *FuelState {
	if !f.flying() || !f.onBlocks.IsZero() {
		return nil
	}
	if from.plentyAhead(s.Destination) {
		return nil
	}
	toward, best, other := landings(s)
	unit := say.Unit(s.Tanks.Unit)
	state := func(name string, at landing, why string) *FuelState {
		return &FuelState{Name: name, Point: at.point, PointName: at.name, Fuel: at.fuel, ExtraFuel: at.extra, Why: why, Say: f.fuelCall(name, at, s)}
	}
	switch {
	case !best.there:
		return nil
	case best.extra < 0:
		return state(MaydayFuel, best, fmt.Sprintf("at best %s on arrival, at %s; %s",
			say.AmountIn(max(0, best.fuel), unit), best.name, say.FinalReserve(s.FinalReserve.Fuel, unit)))
	case !toward.there || toward.extra < 0 || other.there && other.extra >= 0:
		return nil
	}
	if spare := toward.extra / f.arrivalFlow(s.At) * 60; spare < minimumFuelMinutes {
		return state(MinimumFuel, toward, fmt.Sprintf("%s over the final reserve at %s, and no other aerodrome within it", say.Minutes(spare), toward.name))
	}
	return nil
}

// plentyAhead reports whether so much is left at a destination that no state of fuel is to be declared, whatever else can be reached. The destination
// counts as a landing where one can land and the wind is far from keeping anybody from flying there.
func (v *vantage) plentyAhead(d *DestinationNow) bool {
	if v == nil || d == nil || !d.ETA.After(v.at) || d.BelowReserve() || !(d.ExtraMinutes >= minimumFuelMinutes) || !(v.wind.SpeedKt <= v.tasKt/2) {
		return false
	}
	point, ok := v.sheet.Plan.Point(d.Point)
	return ok && point.Kind == plan.Aerodrome
}

// fuelCall is what to say over the radio.
func (f *fuelled) fuelCall(name string, at landing, s *Snapshot) string {
	var parts []string
	if name == MaydayFuel {
		parts = append(parts, "MAYDAY MAYDAY MAYDAY FUEL")
	}
	if registration := f.sheet.Plan.Aircraft.Registration; registration != "" {
		parts = append(parts, registration)
	}
	if name == MinimumFuel {
		return strings.Join(append(parts, MinimumFuel, "landing "+at.name), ", ")
	}
	if p := s.Position; p != nil && s.Next != nil {
		where := say.ReportMiles(p.ToGoNM) + " before " + f.pointTitle(s.Leg.To)
		switch {
		case p.FlownSinceNM != nil:
			where = f.pointTitle(s.Leg.To) + " overdue, position uncertain"
		case p.FromEndNM != nil:
			where = say.ReportMiles(*p.FromEndNM) + " from " + f.pointTitle(s.Leg.To)
		}
		parts = append(parts, where, f.levelText(s.At))
	}
	if d := s.Diversion; d != nil && !d.Rejoins {
		at = landing{name: d.Name}
	}
	return strings.Join(append(parts, "landing "+at.name, "endurance "+say.ReportLong(f.spokenEndurance(s.At))), ", ")
}

// spokenEndurance is the endurance as a station is told it, in minutes: in cruise, whatever part of the flight is flown. What is asked is how long
// the aircraft can stay in the air, and nobody descends so long.
func (f *fuelled) spokenEndurance(t time.Time) float64 {
	return f.tanks.EnduranceOf(f.quantitiesAt(t), f.cruise()).CountsMinutes
}

// arrivalFlow is the flow that what is left on arrival, and what of it is over the final reserve, is reckoned at as time: that of cruise, by the
// witness that counts.
func (f *fuelled) arrivalFlow(t time.Time) float64 {
	return f.tanks.EnduranceOf(f.quantitiesAt(t), f.cruise()).FlowPerHour
}
