package fuel_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/fuel"
)

func TestLowerFigureCounts(t *testing.T) {
	for _, c := range []struct {
		name              string
		reckoned, reading float64
		want              fuel.GaugeCheck
	}{
		{"less than was thought", 40, 35, fuel.GaugeCheck{Difference: -5, Disagrees: true, Counts: 35}},
		{"more than was thought", 40, 45, fuel.GaugeCheck{Difference: 5, Disagrees: true, Counts: 40}},
		{"a little less", 40, 38, fuel.GaugeCheck{Difference: -2, Counts: 38}},
		{"a little more", 40, 42, fuel.GaugeCheck{Difference: 2, Counts: 40}},
		{"the same", 40, 40, fuel.GaugeCheck{Counts: 40}},
	} {
		assert.Equal(t, c.want, fuel.CheckGauge(c.reckoned, c.reading, 2), c.name)
	}
}

// The figures come from a general-purpose library: numpy 1.24.2,
// numpy.polyfit(minutes, quantity, 1, w=1/sigma, cov='unscaled').
func TestFitBurnAgreesWithReferenceLibrary(t *testing.T) {
	fit, err := fuel.FitBurn([]fuel.Reading{
		{Minutes: 0, Quantity: 98.5, Sigma: 2},
		{Minutes: 20, Quantity: 91.0, Sigma: 2},
		{Minutes: 35, Quantity: 84.6, Sigma: 1.5},
		{Minutes: 50, Quantity: 79.8, Sigma: 2},
		{Minutes: 80, Quantity: 67.4, Sigma: 1},
		{Minutes: 110, Quantity: 56.1, Sigma: 2.5},
	})
	require.NoError(t, err)
	assert.InDelta(t, 23.2642615953428, fit.FlowPerHour, 1e-9)
	assert.InDelta(t, 1.2364026537899897, fit.FlowSigmaPerHour, 1e-9)
	assert.InDelta(t, 98.52051691832911, fit.Quantity, 1e-9)
	assert.InDelta(t, 1.3162039408250046, fit.QuantitySigma, 1e-9)
	assert.InDelta(t, 0.1979968162279696, fit.ChiSquare, 1e-9)
	assert.Equal(t, 6, fit.Readings)
}

// Case 13.16: two readings are met exactly.
func TestFitBurnThroughTwoReadingsIsTheMeasuredFlow(t *testing.T) {
	fit, err := fuel.FitBurn([]fuel.Reading{{0, 90, 1}, {20, 75, 1}})
	require.NoError(t, err)
	assert.InDelta(t, 45, fit.FlowPerHour, 1e-9)
	assert.InDelta(t, 90, fit.Quantity, 1e-9)
	assert.InDelta(t, 0, fit.ChiSquare, 1e-12)
	assert.InDelta(t, 3*math.Sqrt2, fit.FlowSigmaPerHour, 1e-9, "√(1²+1²) in 20 minutes")
}

func TestFitBurnFindsAConstantFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flow := rapid.Float64Range(5, 60).Draw(t, "flow")
		full := rapid.Float64Range(50, 200).Draw(t, "full")
		from := rapid.Float64Range(-300, 300).Draw(t, "from")
		var readings []fuel.Reading
		for i := range rapid.IntRange(2, 20).Draw(t, "readings") {
			minutes := from + 7*float64(i)
			sigma := rapid.Float64Range(0.1, 5).Draw(t, "sigma")
			readings = append(readings, fuel.Reading{Minutes: minutes, Quantity: full - flow*minutes/60, Sigma: sigma})
		}
		fit, err := fuel.FitBurn(readings)
		require.NoError(t, err)
		assert.InDelta(t, flow, fit.FlowPerHour, 1e-6)
		assert.InDelta(t, full, fit.Quantity, 1e-6)
		assert.InDelta(t, 0, fit.ChiSquare, 1e-6)
		assert.Positive(t, fit.FlowSigmaPerHour)
	})
}

func TestFitBurnNeedsTwoTimesAndRealErrors(t *testing.T) {
	for _, readings := range [][]fuel.Reading{nil, {{0, 90, 1}}, {{5, 90, 1}, {5, 88, 1}}} {
		_, err := fuel.FitBurn(readings)
		require.ErrorIs(t, err, fuel.ErrTooFewReadings)
	}
	for _, sigma := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := fuel.FitBurn([]fuel.Reading{{0, 90, 1}, {20, 75, sigma}})
		require.ErrorContains(t, err, "reading 2: standard error")
	}
}
