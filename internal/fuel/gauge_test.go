package fuel_test

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
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

// The figures come from a general-purpose library: numpy 1.24.2, numpy.linalg.lstsq with a column for each gauge and one for the
// time, every row divided by its σ; standard errors from the inverse of the normal equations' matrix. Made with
// "python3 testdata/fit.py > testdata/fit.txt".
func TestFitBurnAgreesWithReferenceLibrary(t *testing.T) {
	file, err := os.ReadFile("testdata/fit.txt")
	require.NoError(t, err)
	for line := range strings.Lines(string(file)) {
		fields := strings.Split(strings.TrimSpace(line), ";")
		require.Len(t, fields, 8)
		var gauges [][]fuel.Reading
		count := 0
		for gauge := range strings.SplitSeq(fields[7], "|") {
			var readings []fuel.Reading
			for text := range strings.FieldsSeq(gauge) {
				var r fuel.Reading
				_, err := fmt.Sscanf(text, "%g,%g,%g", &r.Minutes, &r.Quantity, &r.Sigma)
				require.NoError(t, err, "%q", text)
				readings = append(readings, r)
			}
			count += len(readings)
			gauges = append(gauges, readings)
		}
		fit, err := fuel.FitBurn(gauges...)
		require.NoError(t, err, fields[0])
		for i, got := range []float64{fit.FlowPerHour, fit.FlowSigmaPerHour, fit.Quantity, fit.QuantitySigma, fit.ChiSquare} {
			want, err := strconv.ParseFloat(fields[2+i], 64)
			require.NoError(t, err)
			assert.InDelta(t, want, got, 1e-9, "%s, figure %d", fields[0], i)
		}
		assert.Equal(t, count, fit.Readings, fields[0])
	}
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
