package deadreckon_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

func TestEqualTime(t *testing.T) {
	for _, c := range []struct {
		id, source                            string
		distance, on, back, fromStart, minute float64
	}{
		{"11.01", "European question bank", 360, 165, 195, 195, 60},
		{"11.03", "public question bank", 800, 163, 193, 433.71, 134.83},
		{"11.04", "formula", 240, 85, 115, 138, 72},
		{"11.06", "formula, still air", 200, 100, 100, 100, 60},
		{"11.07", "formula", 310, 78.5, 121.5, 188.32, 93},
		{"16A.08", "composite exercise", 38.69, 99.92, 100.75, 19.42, 11.57},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			fromStart, minutes := deadreckon.EqualTime(c.distance, c.on, c.back)
			assert.InDelta(t, c.fromStart, fromStart, 0.006)
			assert.InDelta(t, c.minute, minutes, 0.006)
		})
	}
}

// AFM 51-40, p. 24-9 (case 11.19): where time on equals time back.
func TestEqualTimeIsEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		distance := rapid.Float64Range(1, 1000).Draw(t, "distance")
		on := rapid.Float64Range(20, 300).Draw(t, "on")
		back := rapid.Float64Range(20, 300).Draw(t, "back")
		fromStart, minutes := deadreckon.EqualTime(distance, on, back)
		assert.InDelta(t, minutes, deadreckon.Minutes(fromStart, back), 1e-9)
		assert.InDelta(t, minutes, deadreckon.Minutes(distance-fromStart, on), 1e-9)
	})
}

func TestNoReturn(t *testing.T) {
	for _, c := range []struct {
		id, source                          string
		hours, out, home, distance, minutes float64
		publishedDistance, publishedMinutes float64
	}{
		{"11.08", "instructor's article", 6.5, 240, 210, 728, 182, 728, 182},
		{"11.09", "pilots' forum", 10, 100, 100, 500, 300, 500, 300},
		{"11.11", "pilots' forum", 10, 150, 50, 375, 150, 375, 150},
		{"11.12", "European question bank, flight planning", 3.3, 121, 129, 206.04, 102.17, 205.7, 102},
		{"11.14", "formula", 3.25, 92, 108, 161.46, 105.30, 161.46, 105.30},
		{"11.15", "formula", 2.5, 78.5, 121.5, 119.22, 91.12, 119.22, 91.12},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			distance, minutes := deadreckon.NoReturn(60*c.hours, c.out, c.home)
			assert.InDelta(t, c.distance, distance, 0.006)
			assert.InDelta(t, c.minutes, minutes, 0.006)
			assert.InDelta(t, c.publishedDistance, distance, 0.5)
			assert.InDelta(t, c.publishedMinutes, minutes, 0.5)
		})
	}
}

// A flying contest of 2011 (case 11.16): 4 h 20 min, wind 240/19, course out 021, TAS 145: published 116 min and 309 nm
// (GS 159 out, 130 back). Home is the reverse track, with its own wind correction. The closer figures are the formula's,
// computed apart from this code.
func TestNoReturnInWind(t *testing.T) {
	w := air.Wind{FromTrue: 240, SpeedKt: 19}
	out, err := deadreckon.HeadingFor(21, 145, w)
	require.NoError(t, err)
	home, err := deadreckon.HeadingFor(angle.Reciprocal(21), 145, w)
	require.NoError(t, err)
	distance, minutes := deadreckon.NoReturn(4*60+20, out.GroundspeedKt, home.GroundspeedKt)
	assert.InDelta(t, 159.272, out.GroundspeedKt, 0.001)
	assert.InDelta(t, 129.740, home.GroundspeedKt, 0.001)
	assert.InDelta(t, 309.828, distance, 0.001)
	assert.InDelta(t, 116.716, minutes, 0.001)
	assert.InDelta(t, 309, distance, 1)
	assert.InDelta(t, 116, minutes, 1)
}

func TestNoReturnByFuel(t *testing.T) {
	distance, minutes := deadreckon.NoReturnByFuel(30, 8, 92, 9, 108)
	assert.InDelta(t, 176.17, distance, 0.005, "11.17: formula")
	assert.InDelta(t, 114.89, minutes, 0.005, "11.17: formula")

	rapid.Check(t, func(t *rapid.T) {
		usable := rapid.Float64Range(1, 100).Draw(t, "usable")
		flow := rapid.Float64Range(4, 40).Draw(t, "flow")
		out := rapid.Float64Range(20, 300).Draw(t, "out")
		home := rapid.Float64Range(20, 300).Draw(t, "home")
		byFuel, minutesByFuel := deadreckon.NoReturnByFuel(usable, flow, out, flow, home)
		byTime, minutesByTime := deadreckon.NoReturn(60*usable/flow, out, home)
		assert.InEpsilon(t, byTime, byFuel, 1e-9, "with one flow, fuel is time")
		assert.InEpsilon(t, minutesByTime, minutesByFuel, 1e-9)
	})
}

func TestWindBringsNoReturnNearer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tas := rapid.Float64Range(60, 200).Draw(t, "tas")
		along := rapid.Float64Range(1, 50).Draw(t, "along") * rapid.SampledFrom([]float64{-1, 1}).Draw(t, "way")
		still, _ := deadreckon.NoReturn(240, tas, tas)
		windy, minutes := deadreckon.NoReturn(240, tas+along, tas-along)
		assert.Less(t, windy, still)
		assert.InDelta(t, 240, minutes+deadreckon.Minutes(windy, tas-along), 1e-6, "out and home use the whole endurance")
	})
}

func TestNoSuchPointWithoutHeadway(t *testing.T) {
	for _, groundspeeds := range [][2]float64{{0, 100}, {100, 0}, {-5, 100}, {100, -5}, {math.NaN(), 100}} {
		distance, minutes := deadreckon.EqualTime(100, groundspeeds[0], groundspeeds[1])
		assert.True(t, math.IsNaN(distance) && math.IsNaN(minutes), "%v", groundspeeds)
		distance, minutes = deadreckon.NoReturn(100, groundspeeds[0], groundspeeds[1])
		assert.True(t, math.IsNaN(distance) && math.IsNaN(minutes), "%v", groundspeeds)
		distance, minutes = deadreckon.NoReturnByFuel(30, 8, groundspeeds[0], 9, groundspeeds[1])
		assert.True(t, math.IsNaN(distance) && math.IsNaN(minutes), "%v", groundspeeds)
	}
}

// European question bank (case 11.01): 360 nm, 165 kt on and 195 kt back: published 195 nm from the start.
func ExampleEqualTime() {
	fromStart, minutes := deadreckon.EqualTime(360, 165, 195)
	fmt.Printf("%.0f nm, %.0f min either way\n", fromStart, minutes)
	// Output: 195 nm, 60 min either way
}

// An instructor's article (case 11.08): 6.5 hours, 240 kt out and 210 kt home: published 182 minutes and 728 nm.
func ExampleNoReturn() {
	distance, minutes := deadreckon.NoReturn(6.5*60, 240, 210)
	fmt.Printf("%.0f nm, %.0f min\n", distance, minutes)
	// Output: 728 nm, 182 min
}
