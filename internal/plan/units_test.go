package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Quantities on board may be given in a unit of their own: 30 imp gal are 136.4 l and 40 US gal 151.4 l (PPL training page, cases 13.07
// and 13.08), converted by the exact definitions.
func TestFuelOnBoardInAnotherUnit(t *testing.T) {
	aircraft := strings.NewReplacer("capacity: 57", "capacity: 200").Replace(goodAircraft)
	text := strings.Replace(goodPlan, "{left: 48, right: 51}", "{left: 30 impgal, right: 40 usgal}", 1)
	p, problems := Load("plan.yaml", fileMap{"plan.yaml": text, "aircraft.yaml": aircraft}.read)
	require.NotNil(t, p, "%v", problems)
	assert.InDelta(t, 30*4.54609, p.Fuel.OnBoard["left"], 1e-9)
	assert.InDelta(t, 136.4, p.Fuel.OnBoard["left"], 0.1)
	assert.InDelta(t, 40*3.785411784, p.Fuel.OnBoard["right"], 1e-9)
	assert.InDelta(t, 151.4, p.Fuel.OnBoard["right"], 0.1)

	text = strings.Replace(goodPlan, "{left: 48, right: 51}", "{left: 48 litre, right: 51}", 1)
	p, _ = Load("plan.yaml", fileMap{"plan.yaml": text, "aircraft.yaml": goodAircraft}.read)
	assert.Equal(t, map[string]float64{"left": 48, "right": 51}, p.Fuel.OnBoard)
}
