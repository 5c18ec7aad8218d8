package clock_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
)

func TestAStepOfTheMachinesClockDoesNotMoveSteadyTime(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	wall, passed := start, time.Duration(0)
	pass := func(d time.Duration) { wall, passed = wall.Add(d), passed+d }
	s := clock.NewSteady(func() time.Time { return wall }, func() time.Duration { return passed }, 0)
	pass(time.Minute)
	require.Zero(t, s.Moved())
	wall = wall.Add(time.Hour)
	require.Equal(t, start.Add(time.Minute), s.Now())
	require.Equal(t, time.Hour, s.Moved())
	require.Zero(t, s.Moved(), "it is said once")
	pass(time.Minute)
	require.Equal(t, start.Add(2*time.Minute), s.Now())
	for range 30 { // a clock that drifts, a tenth of a second each time
		pass(time.Minute)
		wall = wall.Add(-100 * time.Millisecond)
		if moved := s.Moved(); moved != 0 {
			require.Equal(t, -2*time.Second, moved)
			return
		}
	}
	t.Fatal("a drift is not noticed")
}

// A flight that is taken up again goes on by its own time, not by the machine's that was put right meanwhile.
func TestSteadyTimeGoesOnWhereItWasKnownToDiffer(t *testing.T) {
	wall := time.Date(2026, 6, 14, 10, 0, 0, 0, time.UTC)
	s := clock.NewSteady(func() time.Time { return wall }, func() time.Duration { return 0 }, time.Hour)
	require.Equal(t, wall.Add(-time.Hour), s.Now())
	require.Zero(t, s.Moved())
}
