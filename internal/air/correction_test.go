package air_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
)

// The plan file's own example table.
var corrections = []air.Correction{{IndicatedKt: 70, CalibratedKt: 72}, {IndicatedKt: 100, CalibratedKt: 99}}

func TestCalibrated(t *testing.T) {
	for _, c := range []struct {
		name     string
		table    []air.Correction
		ias, cas float64
	}{
		{"no table", nil, 95, 95},
		{"a row", corrections, 70, 72},
		{"last row", corrections, 100, 99},
		{"between", corrections, 80, 81},
		{"below: the lowest row's difference", corrections, 50, 52},
		{"above: the highest row's difference", corrections, 130, 129},
		{"one row: its difference everywhere", corrections[:1], 110, 112},
	} {
		t.Run(c.name, func(t *testing.T) {
			cas, err := air.Calibrated(c.table, c.ias)
			require.NoError(t, err)
			assert.InDelta(t, c.cas, cas, 1e-9)
			ias, err := air.Indicated(c.table, c.cas)
			require.NoError(t, err)
			assert.InDelta(t, c.ias, ias, 1e-9)
		})
	}
}

func TestCorrectionsMustRise(t *testing.T) {
	for name, table := range map[string][]air.Correction{
		"indicated repeats":  {{IndicatedKt: 70, CalibratedKt: 72}, {IndicatedKt: 70, CalibratedKt: 80}},
		"calibrated falls":   {{IndicatedKt: 70, CalibratedKt: 72}, {IndicatedKt: 80, CalibratedKt: 71}},
		"unsorted":           {{IndicatedKt: 100, CalibratedKt: 99}, {IndicatedKt: 70, CalibratedKt: 72}},
		"not a number given": {{IndicatedKt: 70, CalibratedKt: 72}, {IndicatedKt: math.NaN(), CalibratedKt: 99}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := air.Calibrated(table, 75)
			require.ErrorContains(t, err, "row 2")
			_, err = air.Indicated(table, 75)
			require.ErrorContains(t, err, "row 2")
		})
	}
}

func TestCorrectionsRoundTripAndRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var table []air.Correction
		indicated, calibrated := 40.0, rapid.Float64Range(38, 48).Draw(t, "first")
		for range rapid.IntRange(0, 6).Draw(t, "rows") {
			table = append(table, air.Correction{IndicatedKt: indicated, CalibratedKt: calibrated})
			indicated += rapid.Float64Range(1, 40).Draw(t, "indicated")
			calibrated += rapid.Float64Range(1, 40).Draw(t, "calibrated")
		}
		ias := rapid.Float64Range(0, 250).Draw(t, "ias")
		cas, err := air.Calibrated(table, ias)
		require.NoError(t, err)
		back, err := air.Indicated(table, cas)
		require.NoError(t, err)
		assert.InDelta(t, ias, back, 1e-8)
		more, err := air.Calibrated(table, ias+0.1)
		require.NoError(t, err)
		assert.Greater(t, more, cas)
	})
}

func TestCorrectionJSONIsThePlanFile(t *testing.T) {
	text, err := json.Marshal(corrections[0])
	require.NoError(t, err)
	assert.JSONEq(t, `{"ias":70,"cas":72}`, string(text))
}
