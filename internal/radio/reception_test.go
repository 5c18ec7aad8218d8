package radio_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/legclock/internal/radio"
)

// The 1.23 rule, cases 8.13 to 8.25: European question bank where it says so, else the rule computed.
func TestLineOfSight(t *testing.T) {
	for _, c := range []struct {
		id                      string
		station, height, nm, by float64
	}{
		{"8.13 European question bank", 1026.5, 8000, 149, 0.5},
		{"8.14 European question bank", 100, 10000, 135, 0.5},
		{"8.15", 0, 500, 27.5, 0.05},
		{"8.16", 0, 1000, 38.9, 0.05},
		{"8.17", 0, 2000, 55.0, 0.05},
		{"8.18", 0, 3000, 67.4, 0.05},
		{"8.19", 0, 4000, 77.8, 0.05},
		{"8.20", 0, 4500, 82.5, 0.05},
		{"8.21", 0, 5000, 87.0, 0.05},
		{"8.22", 0, 6000, 95.3, 0.05},
		{"8.23", 0, 8000, 110.0, 0.05},
		{"8.24", 0, 10000, 123.0, 0.05},
		{"8.25", 500, 4000, 105.3, 0.05},
		{"8.25", 1200, 2500, 104.1, 0.05},
		{"below the sea", -50, 1000, 38.9, 0.05},
	} {
		assert.InDelta(t, c.nm, radio.LineOfSightNM(c.height, c.station), c.by, c.id)
		assert.InDelta(t, c.nm, radio.LineOfSightNM(c.station, c.height), c.by, c.id)
	}
}

// The 1.23 stands for the horizon of an earth of 4/3 its radius, which ordinary refraction amounts to: cases 8.15 to 8.24.
func TestLineOfSightIsTheHorizonOfALargerEarth(t *testing.T) {
	const earthRadiusM = 6371000.0
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.Float64Range(0, 10000).Draw(t, "height")
		horizonM := math.Sqrt(2 * 4 / 3.0 * earthRadiusM * height * 0.3048)
		assert.InDelta(t, horizonM/1852, radio.LineOfSightNM(height, 0), 0.15)
	})
}

// The contract: published range and, for VOR and DME, line of sight; the lower counts. An NDB's published range alone.
func TestReception(t *testing.T) {
	for _, c := range []struct {
		name                       string
		published, height, station float64
		lineOfSight                bool
		want                       float64
	}{
		{"published is lower", 60, 4000, 500, true, 60},
		{"line of sight is lower", 130, 4000, 500, true, 105.3},
		{"no published range", 0, 4000, 500, true, 105.3},
		{"on the ground beside the sea", 60, 0, 0, true, 0},
		{"NDB low down", 30, 0, 0, false, 30},
		{"NDB without a published range", 0, 4000, 500, false, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDelta(t, c.want, radio.Reception(c.published, c.height, c.station, c.lineOfSight), 0.05)
		})
	}
}

// Pythagoras; 8.26 is of the European question bank (published 4.9), 8.27 of a flying contest's answer sheet (6.74 to 6.75).
func TestSlantRange(t *testing.T) {
	for _, c := range []struct {
		id                    string
		height, slant, ground float64
		overhead              bool
	}{
		{"8.26", 6000, 5, 4.902, false},
		{"8.28", 6000, 1, 0.158, false},
		{"8.29", 6000, 10, 9.951, false},
		{"8.30", 4000, 2, 1.889, false},
		{"8.31", 4000, 5, 4.956, false},
		{"8.32", 10000, 3, 2.508, false},
		{"8.33", 3000, 0.5, 0.079, false},
		{"8.34", 6000, 0.95, 0, true},
	} {
		for _, height := range []float64{c.height, -c.height} {
			ground, overhead := radio.GroundRangeNM(c.slant, height)
			assert.InDelta(t, c.ground, ground, 0.0006, c.id)
			assert.Equal(t, c.overhead, overhead, c.id)
		}
	}
	_, overhead := radio.GroundRangeNM(radio.SlantRangeNM(0, 6000), 6000)
	assert.True(t, overhead, "a reading of just the height")
	assert.InDelta(t, 5.043, radio.SlantRangeNM(5, 4000), 0.0005, "8.35")
	assert.InDelta(t, 10.027, radio.SlantRangeNM(10, 4500), 0.0005, "8.35")
	assert.InDelta(t, 1.975, radio.SlantRangeNM(0, 12000), 0.0005, "8.35")
	assert.InDelta(t, 6.745, radio.SlantRangeNM(0, 41000), 0.005, "8.27: over the station at 41,000 ft")
	assert.InDelta(t, 0.9875, radio.SlantRangeNM(0, 6000), 0.00005, "8.28")
	assert.InDelta(t, 1.3, 100*(radio.SlantRangeNM(1, 1000)-1), 0.06, "8.38: per cent at 1 nm for 1,000 ft")
}

func TestSlantRangeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ground := rapid.Float64Range(0.05, 200).Draw(t, "ground")
		height := rapid.Float64Range(-1000, 45000).Draw(t, "height")
		slant := radio.SlantRangeNM(ground, height)
		got, overhead := radio.GroundRangeNM(slant, height)
		assert.False(t, overhead)
		assert.InDelta(t, ground, got, 1e-6)
		assert.GreaterOrEqual(t, slant, ground)
	})
}

// AIM 1-1-7, case 8.36.
func TestDMEError(t *testing.T) {
	assert.InDelta(t, 0.5, radio.DMEErrorNM(5), 1e-9)
	assert.InDelta(t, 0.5, radio.DMEErrorNM(16), 1e-9)
	assert.InDelta(t, 1.2, radio.DMEErrorNM(40), 1e-9)
}

// ICAO Doc 8168, case 8.39; angles from memory, radii computed.
func TestCones(t *testing.T) {
	for _, c := range []struct{ height, vor, ndb float64 }{
		{2000, 0.39, 0.28},
		{4000, 0.78, 0.55},
		{6000, 1.18, 0.83},
		{0, 0, 0},
		{-200, 0, 0},
	} {
		assert.InDelta(t, c.vor, radio.ConeRadiusNM(c.height), 0.006)
		assert.InDelta(t, c.ndb, radio.ConeRadiusNDBNM(c.height), 0.006)
	}
}

// European question bank (case 8.13): at flight level 80 a VOR 1,026 ft up reaches 149 nm.
func ExampleLineOfSightNM() {
	fmt.Printf("%.0f nm\n", radio.LineOfSightNM(8000, 1026))
	// Output: 149 nm
}

// European question bank, radio navigation (case 8.26): 6,000 ft above a DME that shows 5 nm: published 4.9 nm.
func ExampleGroundRangeNM() {
	ground, _ := radio.GroundRangeNM(5, 6000)
	fmt.Printf("%.1f nm\n", ground)
	// Output: 4.9 nm
}
