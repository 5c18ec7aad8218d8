package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// TestBurns: the burns are the trajectory's fuel, and the quiet times are those of the aircraft.
func TestBurns(t *testing.T) {
	p := bent(0, 1000, bentLeg{60, 4000}) // climbs 600 ft/min, descends 500 ft/min to 1,000 ft above the destination's sea level
	way := reckoned(t, p)
	burns := routed(t, p).Burns(way)
	minutes, burned := 0.0, 0.0
	var closed []float64
	for _, burn := range burns {
		if !burn.ChangeAllowed {
			closed = append(closed, minutes, minutes+burn.Minutes)
		}
		minutes += burn.Minutes
		burned += burn.FlowPerHour * burn.Minutes / 60
	}
	assert.InDelta(t, way.TotalMinutes(), minutes, 1e-9)
	assert.InDelta(t, way.Fuel(), burned, 1e-9)
	require.Len(t, closed, 6)
	assert.InDelta(t, 1000.0/600, closed[1], 1e-6, "until 1,000 ft above the departure")
	assert.InDelta(t, minutes-10, closed[2], 1e-6, "from 10 minutes before landing")
	assert.InDelta(t, minutes, closed[5], 1e-9)
	assert.Equal(t, closed[3], closed[4], "cruise and descent, without a gap")
}

// TestBurnsBeforeALowLanding: the quiet height above the destination may come before the quiet minutes.
func TestBurnsBeforeALowLanding(t *testing.T) {
	p := bent(0, 1000, bentLeg{60, 4000})
	p.Aircraft.Fuel.QuietBelowFt, p.Aircraft.Fuel.QuietBeforeLandingMinutes = 3000, 1
	way := reckoned(t, p)
	burns := routed(t, p).Burns(way)
	last := burns[len(burns)-1]
	assert.False(t, last.ChangeAllowed)
	assert.InDelta(t, 4, last.Minutes, 1e-6, "from 3,000 ft down to 1,000 ft at 500 ft/min")
}

// TestBurnsInCruise: begun in flight there is no take-off left, and a low cruise is no quiet time.
func TestBurnsInCruise(t *testing.T) {
	p := bent(0, 1000, bentLeg{60, 900})
	route := routed(t, p)
	way, err := route.Reckon(sheet.Start{AfterNM: 10, AltitudeFt: 900}, sheet.Air{QNH: air.StandardQNH})
	require.NoError(t, err)
	burns := route.Burns(way)
	require.Len(t, burns, 2)
	assert.True(t, burns[0].ChangeAllowed)
	assert.InDelta(t, 20, burns[0].Minutes, 1e-6, "30 minutes less the last ten")
}

// TestTankChanges follows case 13.20 and 13.21: 18 gal a side, 8 gal/h, a change every 30 minutes, imbalance 4 and 0 by turns.
func TestTankChanges(t *testing.T) {
	p := level(360, 210, 100, 8, air.Wind{})
	limit, every := 5.0, 30.0
	p.TaxiMinutes = 0
	p.Aircraft.Fuel = plan.FuelSystem{
		Unit: "usgal", MaxImbalance: &limit, ChangeEveryMinutes: &every, QuietBelowFt: 1000, QuietBeforeLandingMinutes: 5,
		Tanks: []plan.Tank{{Name: "left", Capacity: 20}, {Name: "right", Capacity: 20}},
	}
	p.Fuel = plan.Fuel{OnBoard: map[string]float64{"left": 18, "right": 18}, StartOn: "left"}
	s := computed(t, p)
	require.NotEmpty(t, s.Tanks.Changes)
	last, tank := 0.0, "left"
	for _, change := range s.Tanks.Changes {
		assert.LessOrEqual(t, change.MinutesAfterAirborne-last, every+1e-6)
		assert.NotEqual(t, tank, change.To)
		assert.LessOrEqual(t, change.ImbalanceBefore*1.1, limit+1e-6)
		assert.Equal(t, s.Airborne.Add(time.Duration(change.MinutesAfterAirborne*float64(time.Minute))).Round(time.Second), change.At)
		last, tank = change.MinutesAfterAirborne, change.To
	}
	assert.LessOrEqual(t, s.Trajectory.TotalMinutes()-last, every+1e-6)
	assert.LessOrEqual(t, s.Tanks.Schedule.HighestImbalance*1.1, limit+1e-6)
	assert.Empty(t, s.Tanks.Schedule.Broken)
}

// TestTaxiIsBurnedFromTheStartTank, and counts as time on it.
func TestTaxiIsBurnedFromTheStartTank(t *testing.T) {
	p := level(360, 100, 100, 8, air.Wind{})
	p.TaxiMinutes = 15
	s := computed(t, p)
	quantities := s.Tanks.Schedule.QuantitiesAt(0)
	assert.Equal(t, 48.0, quantities[0])
	assert.InDelta(t, 51-8*15/60.0, quantities[1], 1e-9)
	require.NotEmpty(t, s.Tanks.Changes)
	assert.LessOrEqual(t, s.Tanks.Changes[0].MinutesAfterAirborne, 15+1e-6, "30 minutes on one tank, 15 of them on the ground")
}

// TestTankRequest carries the aircraft's rules over to the schedule.
func TestTankRequest(t *testing.T) {
	system := trainer().Fuel
	system.Tanks = append(system.Tanks, plan.Tank{Name: "tail", Capacity: 10})
	system.Pairs = [][2]string{{"left", "right"}}
	burns := []fuel.Burn{{Minutes: 10, FlowPerHour: 20}}
	request, err := sheet.TankRequest(system, map[string]float64{"left": 20, "right": 21, "tail": 3}, "right", 7, burns, 12)
	require.NoError(t, err)
	assert.Equal(t, fuel.Request{
		UnitName:   "L",
		Tanks:      []fuel.Tank{{Name: "left", Capacity: 57, Unusable: 2}, {Name: "right", Capacity: 57, Unusable: 2}, {Name: "tail", Capacity: 10}},
		Quantities: []float64{20, 21, 3}, Selected: 1, SinceChangeMinutes: 7, Burns: burns,
		Rules: fuel.Rules{MaxImbalance: 19, Pairs: [][2]int{{0, 1}}, ChangeEveryMinutes: 30, ExtraBurnFraction: 0.10, LandingReserve: 12},
	}, request)

	_, err = sheet.TankRequest(system, nil, "centre", 0, nil, 0)
	assert.ErrorContains(t, err, `no tank "centre"`)
	system.Pairs = [][2]string{{"left", "wing"}}
	_, err = sheet.TankRequest(system, nil, "left", 0, nil, 0)
	assert.ErrorContains(t, err, `"left" and "wing"`)
	system.MaxImbalance, system.ChangeEveryMinutes, system.Pairs = nil, nil, nil
	request, err = sheet.TankRequest(system, nil, "left", 0, nil, 0)
	require.NoError(t, err)
	assert.Equal(t, fuel.Rules{ExtraBurnFraction: 0.10}, request.Rules)
}

// TestMassOfTheFuel: 40 US gal at 0.72 kg/l are 109.0 kg (PPL training page, case 13.07); 8 gal burned in an hour are 21.8 kg.
func TestMassOfTheFuel(t *testing.T) {
	p := level(360, 100, 100, 8, air.Wind{})
	density := 0.72
	p.TaxiMinutes = 0
	p.Aircraft.Fuel = plan.FuelSystem{
		Unit: "usgal", DensityKgPerLitre: &density,
		Tanks: []plan.Tank{{Name: "left", Capacity: 24}, {Name: "right", Capacity: 24}},
	}
	p.Fuel = plan.Fuel{OnBoard: map[string]float64{"left": 20, "right": 20}, StartOn: "left"}
	s := computed(t, p)
	require.NotNil(t, s.Fuel.Mass)
	assert.InDelta(t, 109.0, s.Fuel.Mass.OnBoardKg, 0.1)
	assert.Equal(t, s.Fuel.Mass.OnBoardKg, s.Fuel.Mass.TakeOffKg)
	assert.InDelta(t, 109.0-21.8, s.Fuel.Mass.LandingKg, 0.1)

	p.Aircraft.Fuel.DensityKgPerLitre = nil
	assert.Nil(t, computed(t, p).Fuel.Mass)
}
