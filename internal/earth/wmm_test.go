package earth

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Case 6.03: the detailed numerical example of the WMM2025 technical report, step by step.
func TestReportExampleStepByStep(t *testing.T) {
	geocentric, radiusKM := geocentricPlace(unitDegrees(-80), 100)
	assert.InDelta(t, -1.3951289589, geocentric.radians(), 1e-10)
	assert.InDelta(t, 6457402.3484473705, radiusKM*1000, 1e-6)

	model := wmm2025()
	dipole, sectoral := model.coefficients[1][0], model.coefficients[1][1]
	assert.InDelta(t, -29321.8, dipole.g+2.5*dipole.gPerYear, 1e-9)
	assert.InDelta(t, -1386.55, sectoral.g+2.5*sectoral.gPerYear, 1e-9)
	assert.InDelta(t, 4491.65, sectoral.h+2.5*sectoral.hPerYear, 1e-9)

	field, _ := model.geocentricField(geocentric, unitDegrees(240), radiusKM, 2027.5)
	assert.InDelta(t, 5928.0241392588, field.north, 1e-7)
	assert.InDelta(t, 14760.1359757868, field.east, 1e-7)
	assert.InDelta(t, -49324.4273570284, field.down, 1e-7)

	got := model.field(Position{-80, -120}, 100, 2027.5)
	assert.InDelta(t, 5983.9760496518, got.NorthNT, 1e-7)
	assert.InDelta(t, 14760.1359757868, got.EastNT, 1e-7)
	assert.InDelta(t, -49317.6706154255, got.DownNT, 1e-7)
	assert.InDelta(t, 15927.0079860130, got.HorizontalNT, 1e-7)
	assert.InDelta(t, 51825.6907172314, got.TotalNT, 1e-7)
	assert.InDelta(t, 1.1856308407*180/math.Pi, got.Variation, 1e-8)
	assert.InDelta(t, -1.2584221541*180/math.Pi, got.Inclination, 1e-8)
}

// Case 6.04: WMM2025 technical report, section 1.4.
func TestReportValuesAtThePoles(t *testing.T) {
	for _, c := range []struct {
		pole unit
		want fieldVector
	}{
		{unit{1, 0}, fieldVector{1709.5, 417.8, 56517.5}},
		{unit{-1, 0}, fieldVector{14185.8, -8732.7, -51366.5}},
	} {
		got, _ := wmm2025().geocentricField(c.pole, unit{0, 1}, 6371.2, 2025)
		assert.InDelta(t, c.want.north, got.north, 0.05)
		assert.InDelta(t, c.want.east, got.east, 0.05)
		assert.InDelta(t, c.want.down, got.down, 0.05)
	}
}

func TestReadFieldModelRefusesADamagedFile(t *testing.T) {
	for reason, text := range map[string]string{
		"line 1: epoch":           "WMM-2025\n",
		"0 coefficient lines":     "2025.0 WMM-2025\n99999999\n",
		"89 coefficient lines":    strings.Replace(wmm2025Coefficients, " 12 12 ", "9999", 1),
		"line 2: degree 13":       "2025.0\n 13 1 1 1 1 1\n",
		"line 2: degree 2, order": "2025.0\n 2 3 1 1 1 1\n",
		"line 2: want degree":     "2025.0\n 2 1 7\n",
	} {
		_, err := readFieldModel(text)
		require.Error(t, err, reason)
		assert.ErrorContains(t, err, reason)
	}
}
