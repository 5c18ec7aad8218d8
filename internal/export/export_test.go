package export

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demo(t testing.TB) *sheet.Sheet {
	t.Helper()
	p, _ := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	s, _ := sheet.Compute(p)
	require.NotNil(t, s)
	return s
}

// planned is the demo before anything was recorded.
func planned(t testing.TB) Document {
	t.Helper()
	s := demo(t)
	return New(s, flight.New(s, "plan"), s.Plan.OffBlocks)
}

// flown is the demo, flown by the practice flight's own hands through the wind of a seed.
func flown(t testing.TB) Document {
	t.Helper()
	s := demo(t)
	events, err := practice.Whole(s, 7)
	require.NoError(t, err)
	return of(t, s, events)
}

// of is a flight after its events.
func of(t testing.TB, s *sheet.Sheet, events []flight.Event) Document {
	t.Helper()
	for i := range events {
		events[i].N = i + 1
	}
	state, err := flight.Fold(s, "practice", events, nil)
	require.NoError(t, err)
	return New(s, state, events[len(events)-1].T)
}
