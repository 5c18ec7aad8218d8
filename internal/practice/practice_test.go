package practice_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func demo(t testing.TB) *sheet.Sheet {
	t.Helper()
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.False(t, plan.HasErrors(problems), "%v", problems)
	s, problems := sheet.Compute(p)
	require.False(t, plan.HasErrors(problems), "%v", problems)
	return s
}

// fly lets the hands fly the demo to its end and returns the state after it and all that was recorded.
func fly(t *testing.T, s *sheet.Sheet, seed uint64) (*flight.State, []flight.Event) {
	t.Helper()
	events, err := practice.Whole(s, seed)
	require.NoError(t, err, "seed %d", seed)
	state, err := flight.Fold(s, "practice", events, nil)
	require.NoError(t, err)
	return state, events
}

func TestHandsFlyTheDemoToItsEnd(t *testing.T) {
	s := demo(t)
	for seed := range uint64(12) {
		state, events := fly(t, s, seed)
		last := state.At(events[len(events)-1].T)
		assert.Equal(t, flight.Arrived, last.Phase, "seed %d", seed)
		for _, point := range last.Route {
			assert.NotNil(t, point.Actual, "seed %d: %s was not logged", seed, point.Point)
		}
		levels := 0
		for _, event := range events {
			if event.Act == flight.LevelOff {
				levels++
			}
		}
		assert.Equal(t, 2, levels, "seed %d: the demo climbs to 3500 ft and from there to 4500 ft", seed)
		for _, prompt := range last.Prompts {
			assert.NotEqual(t, flight.Late, prompt.State, "seed %d: %s was left", seed, prompt.Text)
		}
	}
}

func TestANewcomerSeesEverythingWithinTwoMinutesAtTheDemosRate(t *testing.T) {
	s := demo(t)
	_, events := fly(t, s, 1)
	const rate = 16
	until := s.Plan.OffBlocks.Add(2 * time.Minute * rate)
	seen := map[flight.Act]int{}
	for _, event := range events {
		if !event.T.After(until) {
			seen[event.Act]++
		}
	}
	assert.GreaterOrEqual(t, seen[flight.Passing], 2, "passings, the turn among them")
	assert.NotZero(t, seen[flight.Tuned], "a beacon change")
	assert.NotZero(t, seen[flight.TankChange], "a tank change")
}

func TestTheSameSeedGivesTheSameFlight(t *testing.T) {
	s := demo(t)
	_, first := fly(t, s, 5)
	_, second := fly(t, s, 5)
	_, other := fly(t, s, 6)
	assert.Equal(t, first, second)
	assert.NotEqual(t, first, other)
}
