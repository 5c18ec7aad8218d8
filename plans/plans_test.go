package plans_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demo(t *testing.T) (*plan.Plan, *sheet.Sheet) {
	t.Helper()
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.Empty(t, problems)
	computed, problems := sheet.Compute(p)
	for _, problem := range problems {
		assert.Equal(t, plan.Note, problem.Severity, "%v", problem)
	}
	require.NotNil(t, computed)
	return p, computed
}

func TestDemoIsAPlanToShow(t *testing.T) {
	p, computed := demo(t)
	assert.Len(t, p.Route.Legs, 5)
	kinds := map[plan.Kind]int{}
	for _, point := range p.Points {
		kinds[point.Kind]++
	}
	for _, kind := range []plan.Kind{plan.Aerodrome, plan.VORDME, plan.NDB, plan.Fix, plan.Visual} {
		assert.Positive(t, kinds[kind], "%s", kind)
	}
	for _, leg := range computed.Legs {
		assert.NotEmpty(t, leg.Checkpoints, leg.To.Ident)
		assert.NotEmpty(t, leg.Radio, leg.To.Ident)
		assert.InDelta(t, 22, leg.DistanceNM, 8, "a leg of 15 to 30 nm")
	}
	for _, step := range computed.Radio {
		assert.True(t, step.InRange, "%s on %s", step.Beacon.Ident, step.Receiver)
	}
	assert.NotEqual(t, p.Fuel.OnBoard["left"], p.Fuel.OnBoard["right"])
	assert.NotEmpty(t, p.Route.Alternates)
	arrival := computed.Legs[len(computed.Legs)-1].ETA
	assert.InDelta(t, 75, arrival.Sub(computed.Airborne).Minutes(), 15)
}

// TestDemoShowsItsPointEarly: at 16 times the clock, two minutes of watching are 32 minutes from off blocks. In them fall a turn, a
// beacon to be tuned after the first ones, a tank change and enough passings for the ETA to be revised.
func TestDemoShowsItsPointEarly(t *testing.T) {
	p, computed := demo(t)
	end := p.OffBlocks.Add(32 * time.Minute)
	assert.True(t, computed.Legs[0].ETA.Before(end), "the first turn")
	assert.True(t, computed.RadioETAs[2].Before(end) && computed.RadioETAs[3].Before(end), "beacon changes")
	require.NotEmpty(t, computed.Tanks.Changes)
	first := computed.Tanks.Changes[0]
	assert.True(t, first.At.Before(end), "the first tank change")
	assert.LessOrEqual(t, first.MinutesAfterAirborne, 25.0)
	passed := 0
	for _, leg := range computed.Legs {
		for _, eta := range leg.CheckpointETAs {
			if eta.Before(end) {
				passed++
			}
		}
	}
	assert.GreaterOrEqual(t, passed, 3)
}
