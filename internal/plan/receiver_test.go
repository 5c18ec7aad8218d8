package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

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
