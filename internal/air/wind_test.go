package air_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

func drawWind(t *rapid.T, label string) air.Wind {
	return air.Wind{
		FromTrue: rapid.Float64Range(0, 359.99).Draw(t, label+" from"),
		SpeedKt:  rapid.Float64Range(0.1, 100).Draw(t, label+" kt"),
	}
}

func drawLayers(t *rapid.T) air.Layers {
	var levels []air.Level
	altitude := rapid.Float64Range(-500, 3000).Draw(t, "lowest")
	for range rapid.IntRange(1, 5).Draw(t, "levels") {
		levels = append(levels, air.Level{
			AltitudeFt: altitude, Wind: drawWind(t, "level"), Deviation: rapid.Float64Range(-20, 20).Draw(t, "deviation"),
		})
		altitude += rapid.Float64Range(100, 5000).Draw(t, "up")
	}
	return air.NewLayers(levels)
}

// The definition of a wind: it blows from its direction, so the air moves to the opposite one.
func TestWindBlowsFromItsDirection(t *testing.T) {
	for _, c := range []struct {
		wind        air.Wind
		north, east float64
	}{
		{air.Wind{FromTrue: 0, SpeedKt: 20}, -20, 0},
		{air.Wind{FromTrue: 90, SpeedKt: 20}, 0, -20},
		{air.Wind{FromTrue: 180, SpeedKt: 20}, 20, 0},
		{air.Wind{FromTrue: 270, SpeedKt: 20}, 0, 20},
		{air.Wind{FromTrue: 225, SpeedKt: 10}, 10 * math.Sqrt2 / 2, 10 * math.Sqrt2 / 2},
	} {
		north, east := c.wind.Components()
		assert.InDelta(t, c.north, north, 1e-9, c.wind.String())
		assert.InDelta(t, c.east, east, 1e-9, c.wind.String())
	}
}

func TestWindComponentsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wind := drawWind(t, "wind")
		got := air.WindFromComponents(wind.Components())
		assert.InDelta(t, wind.SpeedKt, got.SpeedKt, 1e-9)
		assert.InDelta(t, 0, angle.Turn(wind.FromTrue, got.FromTrue), 1e-9)
	})
	assert.Equal(t, air.Wind{}, air.WindFromComponents(0, 0))
}

func TestWindAlong(t *testing.T) {
	headwind, crosswind := air.Wind{FromTrue: 30, SpeedKt: 20}.Along(0)
	assert.InDelta(t, 17.32, headwind, 0.005, "20 kt from 30° right of the nose")
	assert.InDelta(t, 10, crosswind, 1e-9, "half of it across, from the right")
	headwind, crosswind = air.Wind{FromTrue: 270, SpeedKt: 15}.Along(60)
	assert.Negative(t, headwind, "from behind")
	assert.Negative(t, crosswind, "from the left")

	rapid.Check(t, func(t *rapid.T) {
		wind := drawWind(t, "wind")
		direction := rapid.Float64Range(0, 360).Draw(t, "direction")
		north, east := wind.Components()
		headwind, crosswind := wind.Along(direction)
		assert.InDelta(t, -(north*angle.Cos(direction) + east*angle.Sin(direction)), headwind, 1e-9)
		assert.InDelta(t, -(east*angle.Cos(direction) - north*angle.Sin(direction)), crosswind, 1e-9)
	})
}

func TestWindString(t *testing.T) {
	for want, wind := range map[string]air.Wind{
		"240/15": {FromTrue: 239.6, SpeedKt: 15.4},
		"360/08": {FromTrue: 0.2, SpeedKt: 8},
		"005/25": {FromTrue: 5, SpeedKt: 25},
		"calm":   {FromTrue: 90, SpeedKt: 0.4},
	} {
		assert.Equal(t, want, wind.String())
	}
}

func TestWindJSON(t *testing.T) {
	text, err := json.Marshal(air.Level{AltitudeFt: 2000, Wind: air.Wind{FromTrue: 230, SpeedKt: 15}, Deviation: 2})
	require.NoError(t, err)
	assert.JSONEq(t, `{"altitude":2000,"wind":{"from":230,"kt":15},"deviation":2}`, string(text))
}

// The components are interpolated: half-way between 350 and 010 the wind is from north, and a little weaker.
func TestLayersInterpolateThroughNorth(t *testing.T) {
	layers := air.NewLayers([]air.Level{
		{AltitudeFt: 5000, Wind: air.Wind{FromTrue: 10, SpeedKt: 20}, Deviation: 4},
		{AltitudeFt: 2000, Wind: air.Wind{FromTrue: 350, SpeedKt: 20}, Deviation: -2},
	})
	wind, deviation := layers.At(3500)
	assert.InDelta(t, 0, angle.Wrap180(wind.FromTrue), 1e-9)
	assert.InDelta(t, 20*math.Cos(10*math.Pi/180), wind.SpeedKt, 1e-9)
	assert.InDelta(t, 1, deviation, 1e-9)
}

func TestLayersOutsideAreTheNearestLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers := drawLayers(t)
		lowest, highest := layers[0], layers[len(layers)-1]
		beyond := rapid.Float64Range(0, 20000).Draw(t, "beyond")
		wind, deviation := layers.At(lowest.AltitudeFt - beyond)
		assert.Equal(t, lowest.Wind, wind)
		assert.Equal(t, lowest.Deviation, deviation)
		wind, deviation = layers.At(highest.AltitudeFt + beyond)
		assert.Equal(t, highest.Wind, wind)
		assert.Equal(t, highest.Deviation, deviation)
		for _, level := range layers {
			wind, deviation = layers.At(level.AltitudeFt)
			assert.Equal(t, level.Wind, wind, "at a level it is that level's, to the last digit")
			assert.Equal(t, level.Deviation, deviation)
		}
	})
}

func TestLayersAreBoundedAndContinuous(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers := drawLayers(t)
		altitude := rapid.Float64Range(-2000, 25000).Draw(t, "altitude")
		wind, deviation := layers.At(altitude)
		strongest, coldest, warmest := 0.0, math.Inf(1), math.Inf(-1)
		for _, level := range layers {
			strongest = max(strongest, level.Wind.SpeedKt)
			coldest, warmest = min(coldest, level.Deviation), max(warmest, level.Deviation)
		}
		assert.LessOrEqual(t, wind.SpeedKt, strongest+1e-9)
		assert.GreaterOrEqual(t, deviation, coldest-1e-9)
		assert.LessOrEqual(t, deviation, warmest+1e-9)

		// Levels are 100 ft apart or more and no wind is above 100 kt: nothing changes faster than 2 kt or 0.4 °C a foot.
		const stepFt = 0.01
		next, nextDeviation := layers.At(altitude + stepFt)
		north, east := wind.Components()
		nextNorth, nextEast := next.Components()
		assert.LessOrEqual(t, math.Hypot(nextNorth-north, nextEast-east), 2*stepFt+1e-9)
		assert.InDelta(t, deviation, nextDeviation, 0.4*stepFt+1e-9)
	})
}

func TestNewLayersSortsACopy(t *testing.T) {
	levels := []air.Level{{AltitudeFt: 5000}, {AltitudeFt: 2000}, {AltitudeFt: 3000}}
	layers := air.NewLayers(levels)
	assert.Equal(t, air.Layers{{AltitudeFt: 2000}, {AltitudeFt: 3000}, {AltitudeFt: 5000}}, layers)
	assert.Equal(t, 5000.0, levels[0].AltitudeFt)
}

func TestNoLayersAreStillStandardAir(t *testing.T) {
	wind, deviation := air.Layers{}.At(3000)
	assert.Zero(t, wind)
	assert.Zero(t, deviation)
}
