package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// exerciseA is the composite exercise: four legs at one level in one wind, from 13:05 on 15 May 2026 at cruise level.
func exerciseA() *plan.Plan {
	temperature := 8.0
	p := straight{distanceNM: 10, levelFt: 4500, tasKt: air.TASFromCAS(95, 4500, temperature), flow: 8}.plan()
	p.OffBlocks, p.TaxiMinutes = time.Date(2026, 5, 15, 13, 5, 0, 0, time.UTC), 0
	p.Conditions.Winds = []plan.WindLevel{{AltitudeFt: 4500, FromTrue: 240, SpeedKt: 18, TemperatureC: &temperature}}
	p.Points = []plan.Point{
		{Ident: "KILO", Kind: plan.Aerodrome, At: earth.Position{Lat: 52.1, Lon: -1.5}, ElevationFt: 4500},
		{Ident: "LIMA", Kind: plan.VOR, At: earth.Position{Lat: 52.35, Lon: -2.4}, Frequency: 113.6, RangeNM: 60},
		{Ident: "MIKE", Kind: plan.NDB, At: earth.Position{Lat: 52.9, Lon: -2.95}, Frequency: 404, RangeNM: 40},
		{Ident: "NOVEMBER", Kind: plan.VORDME, At: earth.Position{Lat: 53.25, Lon: -2}, Frequency: 114.2, RangeNM: 60},
		{Ident: "OSCAR", Kind: plan.Aerodrome, At: earth.Position{Lat: 52.7, Lon: -1.2}, ElevationFt: 3500, CircuitFt: 1000},
	}
	p.Route = plan.Route{From: "KILO"}
	for _, to := range []string{"LIMA", "MIKE", "NOVEMBER", "OSCAR"} {
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: to, Level: plan.Level{AltitudeFt: 4500}})
	}
	every := 30.0
	p.Aircraft.Fuel = plan.FuelSystem{
		Unit: "usgal", QuietBelowFt: 1000, QuietBeforeLandingMinutes: 10, ChangeEveryMinutes: &every,
		Tanks: []plan.Tank{{Name: "left", Capacity: 20}, {Name: "right", Capacity: 20}},
	}
	p.Fuel = plan.Fuel{OnBoard: map[string]float64{"left": 14, "right": 14}, StartOn: "left"}
	return p
}

var exerciseLegs = []struct {
	course, distance, variation, correction, heading, headingMagnetic, courseMagnetic, groundspeed, minutes, total, fuel float64
	eta                                                                                                                  string
}{
	{294.69, 36.45, 0.47, -8.29, 286.40, 285.94, 294.23, 90.40, 24.19, 24.19, 3.23, "13:29.2"},
	{328.90, 38.69, 0.18, -10.18, 318.72, 318.55, 328.72, 99.92, 23.23, 47.42, 3.10, "13:52.4"},
	{58.16, 40.30, 0.20, -0.32, 57.84, 57.64, 57.97, 119.86, 20.17, 67.59, 2.69, "14:12.6"},
	{138.40, 43.98, 0.52, 9.97, 148.36, 147.84, 137.88, 103.95, 25.38, 92.98, 3.38, "14:38.0"},
}

// TestExerciseA checks the composite exercise, cases 16A.01 to 16A.06, which were computed with GeographicLib 2.0 (Python), WMM2025
// and their own wind triangle. Their courses are the azimuth at the leg's start, ours at its middle, so the headings are compared
// at the start; times, fuel and ETAs as the sheet has them.
func TestExerciseA(t *testing.T) {
	p := exerciseA()
	s := computed(t, p)
	assert.InDelta(t, 101.87, s.Legs[0].TASKt, 0.1)
	wind := air.Wind{FromTrue: 240, SpeedKt: 18}
	for i, want := range exerciseLegs {
		leg := s.Legs[i]
		_, azimuth := leg.Line.At(0)
		heading, err := deadreckon.HeadingFor(azimuth, leg.TASKt, leg.Wind)
		assert.NoError(t, err)
		assert.InDelta(t, wind.SpeedKt, leg.Wind.SpeedKt, 1e-9)
		assert.InDelta(t, want.distance, leg.DistanceNM, 0.05)
		assert.InDelta(t, want.course, azimuth, 0.1)
		assert.InDelta(t, want.variation, leg.Variation, 0.1)
		assert.InDelta(t, want.correction, heading.CorrectionDeg, 0.1)
		assert.InDelta(t, want.heading, heading.HeadingTrue, 0.1)
		assert.InDelta(t, want.headingMagnetic, deadreckon.MagneticFromTrue(heading.HeadingTrue, leg.Variation), 0.1)
		assert.InDelta(t, want.courseMagnetic, deadreckon.MagneticFromTrue(azimuth, leg.Variation), 0.1)
		assert.InDelta(t, want.groundspeed, heading.GroundspeedKt, 0.1)
		assert.InDelta(t, want.minutes, leg.Minutes, 0.1)
		assert.InDelta(t, want.fuel, leg.Fuel, 0.02)
		eta := s.Airborne.Add(time.Duration(want.total * float64(time.Minute)))
		assert.WithinDuration(t, eta, leg.ETA, 6*time.Second, "leg %d", i)
	}
	assert.InDelta(t, 159.41, s.Route.DistanceNM(), 0.1)
	assert.InDelta(t, 92.98, s.Trajectory.TotalMinutes(), 0.1)
	assert.InDelta(t, 12.40, s.Fuel.Trip, 0.1)
	assert.InDelta(t, 15.60, s.Fuel.Block-s.Fuel.Trip, 0.02, "case 16A.11")
}

// TestExerciseADescent is case 16A.12: from 4,500 to 1,500 ft at 500 ft/min and a groundspeed of 103.95 kt.
func TestExerciseADescent(t *testing.T) {
	p := exerciseA()
	p.Points[4].ElevationFt, p.Points[4].CircuitFt = 500, 1000
	descending(p, 101.87, 4500, 1500, 500, 8)
	p.Conditions.Winds[0].TemperatureC = nil
	s := computed(t, p)
	assert.InDelta(t, 6.00, s.Descent.Minutes, 0.001)
	assert.InDelta(t, 10.40, s.Descent.DistanceNM, 0.05)
	assert.Equal(t, 3, s.Descent.TopLeg)
}

// TestExerciseADaylight is case 16A.13, computed with PyEphem 4.1.4.
func TestExerciseADaylight(t *testing.T) {
	p := exerciseA()
	daylight := computed(t, p).Daylight[0]
	assert.WithinDuration(t, time.Date(2026, 5, 15, 19, 55, 16, 0, time.UTC), *daylight.Sunset, time.Minute)
	assert.WithinDuration(t, time.Date(2026, 5, 15, 20, 38, 48, 0, time.UTC), *daylight.CivilTwilightEnd, time.Minute)
	assert.False(t, daylight.SunDown)
	assert.False(t, daylight.Night)
	for _, c := range []struct {
		arrival        time.Time
		sunDown, night bool
	}{
		{time.Date(2026, 5, 15, 20, 0, 0, 0, time.UTC), true, false},
		{time.Date(2026, 5, 15, 21, 0, 0, 0, time.UTC), true, true},
		{time.Date(2026, 5, 16, 1, 30, 0, 0, time.UTC), true, true},
	} {
		oscar, _ := p.Point("OSCAR")
		late := sheet.DaylightAt(oscar, c.arrival)
		assert.Equal(t, c.sunDown, late.SunDown, "%v", c.arrival)
		assert.Equal(t, c.night, late.Night, "%v", c.arrival)
		assert.WithinDuration(t, *daylight.Sunset, *late.Sunset, time.Second, "the evening before, %v", c.arrival)
	}
}
