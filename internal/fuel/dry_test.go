package fuel_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/fuel"
)

// Right holds 10 and feeds 9.8; a tenth more would be 10.78, and would leave left 4.78 the heavier. But right is empty then, with
// left 4.0 the heavier, which is within 4.5: no change is needed.
func TestNoChangeIsPlannedForFuelThatIsNotThere(t *testing.T) {
	r := fuel.Request{
		Tanks:      []fuel.Tank{{Name: "left", Unusable: 3.5}, {Name: "right"}},
		Quantities: []float64{4, 10}, Selected: 1,
		Burns: []fuel.Burn{{Minutes: 60, FlowPerHour: 9.8, ChangeAllowed: true, Phase: "cruise"}},
		Rules: fuel.Rules{MaxImbalance: 4.5, ExtraBurnFraction: 0.1},
	}
	s, err := fuel.Plan(r)
	require.NoError(t, err)
	assert.Empty(t, s.Changes)
	assert.False(t, s.HoldsExtraBurn)
	assert.InDelta(t, 6, s.HighestImbalance, 1e-9, "at the start")
	assert.InDelta(t, 3.8, s.ImbalanceAt(60), 1e-9)

	more := r
	more.Tanks = []fuel.Tank{{Name: "left"}, {Name: "right"}} // 14 for 10.78
	s, err = fuel.Plan(more)
	require.NoError(t, err)
	assert.True(t, s.HoldsExtraBurn)
	assert.Len(t, s.Changes, 1, "where there is fuel for a tenth more it counts in full")

	more.Tanks, more.Quantities = append(more.Tanks, fuel.Tank{Name: "tip"}), []float64{4, 10, 0}
	more.Tanks[0].Unusable, more.Rules.Pairs = 3.5, [][2]int{{0, 1}}
	s, err = fuel.Plan(more)
	require.NoError(t, err)
	assert.Empty(t, s.Changes, "and with three tanks")
}
