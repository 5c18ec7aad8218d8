package debrief_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demo(t require.TestingT) *sheet.Sheet {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.NotNil(t, p, "%v", problems)
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	return s
}

// flown is the demo flown by the practice flight's own hands through the wind of a seed.
func flown(t require.TestingT, seed uint64) debrief.Log {
	s := demo(t)
	events, err := practice.Whole(s, seed)
	require.NoError(t, err)
	return debrief.Log{Name: "flight.jsonl", Mode: "practice", Sheet: s, Events: events}
}

func BenchmarkOf(b *testing.B) {
	log := flown(b, 7)
	for b.Loop() {
		debrief.Of(log)
	}
}

func BenchmarkBrief(b *testing.B) {
	log := flown(b, 7)
	for b.Loop() {
		debrief.Brief(log)
	}
}
