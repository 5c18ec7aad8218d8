package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// TestCruisingLevels holds to 14 CFR 91.159 and the question bank of the FAA: cases 10.01 to 10.10 of the levels.
func TestCruisingLevels(t *testing.T) {
	for _, c := range []struct {
		source  string
		track   int
		right   []float64
		wrongFt []float64
	}{
		{"14 CFR 91.159 (10.01)", 90, []float64{3500, 5500, 7500}, []float64{4500, 6500, 8500}},
		{"14 CFR 91.159 (10.01)", 270, []float64{4500, 6500, 8500}, []float64{3500, 5500, 7500}},
		{"FAA question bank (10.02)", 135, []float64{3500, 5500}, []float64{4500}},
		{"FAA question bank (10.03)", 175, []float64{5500}, []float64{4500, 5000}},
		{"FAA question bank (10.04)", 185, []float64{4500}, []float64{4000, 5000}},
		{"14 CFR 91.159 (10.05)", 0, []float64{3500, 17500}, []float64{4500, 16500}},
		{"14 CFR 91.159 (10.06)", 179, []float64{5500}, []float64{6500}},
		{"14 CFR 91.159 (10.07)", 180, []float64{6500}, []float64{5500}},
		{"14 CFR 91.159 (10.08)", 359, []float64{6500}, []float64{5500}},
		{"14 CFR 91.159 (10.09)", 360, []float64{5500}, []float64{6500}},
	} {
		for _, heightFt := range c.right {
			below, _ := cruisingLevels(c.track, heightFt)
			assert.Equal(t, heightFt, below, "%s: %03d at %.0f ft", c.source, c.track, heightFt)
		}
		for _, heightFt := range c.wrongFt {
			below, above := cruisingLevels(c.track, heightFt)
			assert.NotEqual(t, heightFt, below, "%s: %03d at %.0f ft", c.source, c.track, heightFt)
			assert.NotEqual(t, heightFt, above, "%s: %03d at %.0f ft", c.source, c.track, heightFt)
		}
	}
}

// TestFlightLevelsOfTheSemicircularRule: ICAO Annex 2 appendix 3, FL 35, 55, 75 … from 000 to 179, FL 45, 65, 85 … from 180 to 359
// (10.11).
func TestFlightLevelsOfTheSemicircularRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track := rapid.IntRange(0, 360).Draw(t, "track")
		level := 3500 + 1000*float64(rapid.IntRange(0, 14).Draw(t, "level"))
		below, above := cruisingLevels(track, level)
		odd := int(level/1000)%2 == 1
		fits := odd == (track < 180 || track == 360)
		assert.Equal(t, fits, below == level, "%03d at %.0f", track, level)
		assert.Equal(t, 2000.0, above-below)
	})
}

func TestCruiseTableCoverage(t *testing.T) {
	cruise := Cruise{Power: 70, Table: []CruiseRow{
		{AltitudeFt: 0, Power: 65},
		{AltitudeFt: 8000, Power: 65},
		{AltitudeFt: 2000, Power: 75},
		{AltitudeFt: 6000, Power: 75},
	}}
	assert.True(t, cruise.covers(2000))
	assert.True(t, cruise.covers(6000))
	assert.False(t, cruise.covers(1999), "75 % begins at 2000 ft")
	assert.False(t, cruise.covers(6001), "75 % ends at 6000 ft")
	assert.False(t, cruise.covers(-100))
	assert.Equal(t, "it has 65 % from 0 to 8000 ft, 75 % from 2000 to 6000 ft", cruise.coverage())
	cruise.Power = 65
	assert.True(t, cruise.covers(-100), "a row for sea level also holds below it")
	assert.True(t, cruise.covers(8000))
	cruise.Power = 80
	assert.False(t, cruise.covers(4000))
}

func TestReceives(t *testing.T) {
	for receiver, want := range map[string][]Kind{
		"NAV1": {VOR, VORDME}, "nav2": {VOR, VORDME}, "DME": {VORDME, DME}, "DME2": {VORDME, DME}, "ADF": {NDB}, "COM1": nil, "": nil,
	} {
		for _, kind := range Kinds() {
			assert.Equal(t, slices.Contains(want, kind), Receives(receiver, kind), "%s and %s", receiver, kind)
		}
	}
	assert.True(t, SelectsCourse("NAV1"))
	assert.False(t, SelectsCourse("DME"))
	assert.False(t, SelectsCourse("ADF"))
}

// Between two lines of a deviation card one interpolates, round the circle: common practice, no source. By hand: from 240 (+3) to 360
// (+2) half-way is +2.5; from 0 (+2) to 120 (-1) half-way is +0.5.
func TestCompassHeading(t *testing.T) {
	aircraft := Aircraft{Deviation: []Deviation{{0, 2}, {120, 119}, {240, 243}}}
	for heading, want := range map[float64]float64{0: 2, 120: 119, 240: 243, 300: 302.5, 60: 60.5, 359.99: 1.99} {
		compass, ok := aircraft.CompassHeading(heading)
		assert.True(t, ok)
		assert.InDelta(t, want, compass, 0.01, "%v", heading)
	}
	_, ok := Aircraft{}.CompassHeading(90)
	assert.False(t, ok)
}
