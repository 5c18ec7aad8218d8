package deadreckon_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

// The rule as published, exact. A distance of 0 is not asked in the source.
func TestBearingChangeRule(t *testing.T) {
	for _, c := range []struct {
		id, source                        string
		minutes, degrees, tas, toStation  float64
		distance, flowPerHour, fuelBurned float64
	}{
		{"2.01", "PHAK, navigation chapter, time and distance check", 75.0 / 60, 10, 120, 7.5, 15, 0, 0},
		{"2.02", "AFMAN 11-217 volume 1, paragraph 7.7", 2, 10, 100, 12, 0, 0, 0},
		{"2.03", "FAA question bank", 1.5, 95 - 90, 115, 18, 34.5, 0, 0},
		{"2.04", "FAA question bank", 1.5, 100 - 95, 100, 18, 0, 0, 0},
		{"2.06", "FAA question bank", 7.5, 15, 85, 30, 42.5, 9.6, 4.8},
		{"2.07", "FAA question bank", 44 - 37, 350 - 360, 120, 42, 84, 0, 0},
		{"2.09", "FAA question bank (from memory)", 2, 90 - 85, 100, 24, 0, 0, 0},
		{"2.10", "FAA question bank", 5, 5, 115, 60, 115, 0, 0},
		{"2.11", "FAA question bank, answer computed", 6, 5, 100, 72, 0, 12, 14.4},
		{"2.12", "FAA question bank", 2, 10, 160, 12, 32, 0, 0},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			got, err := deadreckon.BearingChange(c.minutes, c.degrees, c.tas)
			require.NoError(t, err)
			assert.InDelta(t, c.toStation, got.MinutesRule, 1e-9)
			if c.distance != 0 {
				assert.InDelta(t, c.distance, got.DistanceRuleNM, 1e-9)
			}
			assert.InDelta(t, c.fuelBurned, c.flowPerHour*got.MinutesRule/60, 1e-9)
			assert.False(t, got.Poor)
		})
	}
}

// Geometry without wind, the first bearing exactly abeam; cases 2.01 and 2.21 to 2.25.
func TestBearingChangeExact(t *testing.T) {
	for _, c := range []struct {
		id                                 string
		minutes, degrees, tas              float64
		ruleMinutes, ruleNM                float64
		exactFirst, exactNM, exactInMinute float64
		poor                               bool
	}{
		{"2.01", 1.25, 10, 120, 7.5, 15, 14.18, 14.40, 7.20, false},
		{"2.21", 1, 5, 100, 12, 20, 19.05, 19.12, 11.47, false},
		{"2.22", 3, 15, 100, 12, 20, 18.66, 19.32, 11.59, false},
		{"2.24", 6, 30, 100, 12, 20, 17.32, 20.00, 12.00, false},
		{"2.25", 8, 45, 110, 10.67, 19.56, 14.67, 20.74, 11.31, true},
	} {
		t.Run(c.id, func(t *testing.T) {
			got, err := deadreckon.BearingChange(c.minutes, c.degrees, c.tas)
			require.NoError(t, err)
			assert.InDelta(t, c.ruleMinutes, got.MinutesRule, 0.005)
			assert.InDelta(t, c.ruleNM, got.DistanceRuleNM, 0.005)
			assert.InDelta(t, c.exactNM, got.DistanceExactNM, 0.006)
			assert.InDelta(t, c.exactInMinute, got.MinutesExact, 0.006)
			assert.Equal(t, c.poor, got.Poor)

			bearings, err := deadreckon.FromTwoBearings(90, 90+c.degrees, deadreckon.Distance(c.tas, c.minutes))
			require.NoError(t, err)
			assert.InDelta(t, c.exactFirst, bearings.Distance1NM, 0.006)
			assert.InDelta(t, c.exactNM, bearings.Distance2NM, 0.006)
		})
	}
}

// How far the rule over-reads at the second bearing, the first and abeam half-way between: the table of section 2, computed.
func TestBearingChangeRuleAgainstGeometry(t *testing.T) {
	for _, c := range []struct{ degrees, second, first, abeam float64 }{
		{5, 1.0459, 1.0499, 1.0479},
		{10, 1.0419, 1.0580, 1.0499},
		{15, 1.0353, 1.0718, 1.0532},
		{20, 1.0261, 1.0919, 1.0580},
		{30, 1.0000, 1.1547, 1.0718},
		{45, 0.9428, 1.3333, 1.1046},
	} {
		got, err := deadreckon.BearingChange(3, c.degrees, 100)
		require.NoError(t, err)
		fromAbeam, err := deadreckon.FromTwoBearings(90, 90+c.degrees, 5)
		require.NoError(t, err)
		across, err := deadreckon.FromTwoBearings(90-c.degrees/2, 90+c.degrees/2, 5)
		require.NoError(t, err)
		assert.InDelta(t, c.second, got.DistanceRuleNM/got.DistanceExactNM, 0.00006)
		assert.InDelta(t, c.first, got.DistanceRuleNM/fromAbeam.Distance1NM, 0.00006)
		assert.InDelta(t, c.abeam, got.DistanceRuleNM/across.AbeamNM, 0.00006)
	}
}

func TestBearingChangeRefuses(t *testing.T) {
	for name, c := range map[string]struct{ minutes, degrees float64 }{
		"no change":         {2, 0},
		"past the tail":     {2, 90},
		"no time":           {0, 10},
		"not a number":      {2, math.NaN()},
		"time not a number": {math.NaN(), 10},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := deadreckon.BearingChange(c.minutes, c.degrees, 100)
			require.ErrorIs(t, err, deadreckon.ErrBearings)
		})
	}
}

// FAA question bank: the bearing off the nose doubles and the time to the station is the time taken. In still air that is
// the geometry of two bearings, which must give the same. Case 2.17: 5 minutes at 105 kt, published 8.7 nm.
func TestIsosceles(t *testing.T) {
	for _, c := range []struct {
		id                    string
		first, minutes, tas   float64
		publishedMin, publish float64
	}{
		{"2.14", 15, 6, 100, 6, 10},
		{"2.15", 45, 5, 100, 5, 8.333},
		{"2.17", 10, 5, 105, 5, 8.75},
		{"2.18", 5, 10, 100, 10, 16.667},
		{"2.20", 15, 15, 100, 15, 25},
	} {
		t.Run(c.id, func(t *testing.T) {
			minutes, distance := deadreckon.Isosceles(c.minutes, c.tas)
			assert.InDelta(t, c.publishedMin, minutes, 1e-9)
			assert.InDelta(t, c.publish, distance, 0.0005)
			bearings, err := deadreckon.FromTwoBearings(c.first, 2*c.first, deadreckon.Distance(c.tas, c.minutes))
			require.NoError(t, err)
			assert.InDelta(t, distance, bearings.Distance2NM, 1e-9)
		})
	}
}

// Geometry, cases 2.26 to 2.28.
func TestFromTwoBearings(t *testing.T) {
	for _, c := range []struct {
		id                          string
		groundspeed, minutes        float64
		first, second               float64
		distance1, distance2, abeam float64
	}{
		{"2.26", 110, 6, 45, 60, 36.807, 30.053, 26.026},
		{"2.27", 100, 7, 40, 80, 17.874, 11.667, 11.489},
		{"2.28", 100, 5, 26.5, 45, 18.571, 11.718, 8.286},
	} {
		t.Run(c.id, func(t *testing.T) {
			run := deadreckon.Distance(c.groundspeed, c.minutes)
			for _, side := range []float64{1, -1} {
				got, err := deadreckon.FromTwoBearings(angle.Wrap360(side*c.first), angle.Wrap360(side*c.second), run)
				require.NoError(t, err)
				assert.InDelta(t, c.distance1, got.Distance1NM, 0.0006)
				assert.InDelta(t, c.distance2, got.Distance2NM, 0.0006)
				assert.InDelta(t, c.abeam, got.AbeamNM, 0.0006)
			}
		})
	}
}

func TestFromTwoBearingsRefuses(t *testing.T) {
	for name, c := range map[string]struct{ first, second, run float64 }{
		"drawing ahead":   {60, 45, 10},
		"the same":        {60, 60, 10},
		"across":          {45, 300, 10},
		"ahead":           {0, 30, 10},
		"astern":          {30, 180, 10},
		"no run":          {45, 60, 0},
		"not a number":    {math.NaN(), 60, 10},
		"across the nose": {350, 20, 10},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := deadreckon.FromTwoBearings(c.first, c.second, c.run)
			require.ErrorIs(t, err, deadreckon.ErrBearings)
		})
	}
}

// Puts a station somewhere beside a run, measures the bearings, and asks for the distances back.
func TestFromTwoBearingsFindsTheStation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ahead := rapid.Float64Range(-30, 60).Draw(t, "ahead")
		abeam := rapid.Float64Range(1, 60).Draw(t, "abeam") * rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side")
		run := rapid.Float64Range(1, 30).Draw(t, "run")
		first, second := angle.Direction(ahead, abeam), angle.Direction(ahead-run, abeam)
		got, err := deadreckon.FromTwoBearings(first, second, run)
		require.NoError(t, err)
		assert.InDelta(t, math.Hypot(ahead, abeam), got.Distance1NM, 1e-6)
		assert.InDelta(t, math.Hypot(ahead-run, abeam), got.Distance2NM, 1e-6)
		assert.InDelta(t, math.Abs(abeam), got.AbeamNM, 1e-6)
	})
}

// PHAK, navigation chapter, time and distance check (case 2.01): 75 seconds for 10° at 2 nm a minute.
func ExampleBearingChange() {
	station, err := deadreckon.BearingChange(75.0/60, 10, 120)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("by the rule %.1f min, %.0f nm\n", station.MinutesRule, station.DistanceRuleNM)
	fmt.Printf("exactly %.1f min, %.1f nm\n", station.MinutesExact, station.DistanceExactNM)
	// Output:
	// by the rule 7.5 min, 15 nm
	// exactly 7.2 min, 14.4 nm
}
