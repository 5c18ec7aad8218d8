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
