package cards_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// The owner's own steps come first, and who decides last.
func TestCards(t *testing.T) {
	own := plan.Cards{Lost: []string{"my lost"}, RadioFailure: []string{"my radio"}, LowFuel: []string{"my fuel"}, Weather: []string{"my weather"}}
	all := cards.All(own)
	require.Len(t, all, 4)
	for i, mine := range []string{"my lost", "my radio", "my fuel", "my weather"} {
		lines := all[i].Lines()
		assert.Equal(t, mine, lines[1])
		assert.Equal(t, "handbook, charts, local rules and your instructor decide", lines[len(lines)-1])
		assert.Greater(t, len(all[i].Steps), 3)
		assert.Less(t, len(all[i].Steps), 10, "short")
	}
	// ICAO Doc 8168 volume III: 7600 is radio failure. ICAO Annex 6 part I 4.3.7: the two calls.
	assert.Contains(t, all[1].String(), "7600")
	assert.Contains(t, all[2].String(), "MINIMUM FUEL")
	assert.Contains(t, all[2].String(), "MAYDAY MAYDAY MAYDAY FUEL")
}

// The figures are the plan's; the limits of the VOR check are those of 14 CFR 91.171 (b).
func TestPreDeparture(t *testing.T) {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.NotNil(t, p, "%v", problems)
	p.Aircraft.PreDeparture = []string{"papers on board"}
	p.Fuel.OnBoard = map[string]float64{"left": 30, "right": 46}
	s, _ := sheet.Compute(p)
	require.NotNil(t, s)
	card := cards.PreDeparture(s)
	text := card.String()
	assert.Equal(t, "papers on board", card.Lines()[1])
	assert.Contains(t, card.Steps[0], "above the imbalance limit", "loudly and first")
	for _, said := range []string{
		"fuel dipped, left: planned 30.0 L", "selector on right", "QNH set", "1016 hPa, 30.00 inHg", "NAV1 LKM tuned and identified",
		"within 4° on the ground, 6° in the air", "clock checked against a reference",
	} {
		assert.Contains(t, text, said)
	}
	assert.False(t, strings.Contains(text, "remark:"), "the plan has none")
}
