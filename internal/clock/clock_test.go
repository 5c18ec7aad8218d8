package clock_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/clock"
)

var noon = time.Date(2026, 6, 14, 12, 0, 0, 0, time.UTC)

func ptr[T any](value T) *T { return &value }

func TestSettingMapsWallToFlight(t *testing.T) {
	flight := time.Date(2030, 1, 2, 3, 0, 0, 0, time.UTC)
	for name, c := range map[string]struct {
		setting clock.Setting
		wall    time.Duration
		want    time.Duration
	}{
		"real time":          {clock.Setting{Wall: noon, Flight: flight, Rate: 1}, 90 * time.Second, 90 * time.Second},
		"no rate is 1":       {clock.Setting{Wall: noon, Flight: flight}, 90 * time.Second, 90 * time.Second},
		"sixteen times":      {clock.Setting{Wall: noon, Flight: flight, Rate: 16}, time.Minute, 16 * time.Minute},
		"half":               {clock.Setting{Wall: noon, Flight: flight, Rate: 0.5}, time.Minute, 30 * time.Second},
		"paused":             {clock.Setting{Wall: noon, Flight: flight, Rate: 4, Paused: true}, time.Hour, 0},
		"before it was set":  {clock.Setting{Wall: noon, Flight: flight, Rate: 2}, -time.Minute, -2 * time.Minute},
		"paused, before set": {clock.Setting{Wall: noon, Flight: flight, Rate: 2, Paused: true}, -time.Minute, 0},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, flight.Add(c.want), c.setting.At(noon.Add(c.wall)))
		})
	}
}

func TestChangesKeepFlightTimeUnlessItIsSet(t *testing.T) {
	hand := clock.NewHand(noon)
	c := clock.New(clock.Real(noon), hand.Wall)
	step := func(change clock.Change) {
		t.Helper()
		_, err := c.Change(change)
		require.NoError(t, err)
	}
	hand.Move(time.Minute)
	step(clock.Change{Rate: ptr(4.0)})
	require.Equal(t, noon.Add(time.Minute), c.Now())
	hand.Move(time.Minute)
	require.Equal(t, noon.Add(5*time.Minute), c.Now())
	step(clock.Change{Paused: ptr(true)})
	hand.Move(time.Hour)
	require.Equal(t, noon.Add(5*time.Minute), c.Now())
	step(clock.Change{Paused: ptr(false)})
	hand.Move(15 * time.Second)
	require.Equal(t, noon.Add(6*time.Minute), c.Now(), "the rate from before the pause")
	set := time.Date(2030, 1, 1, 6, 0, 0, 0, time.UTC)
	step(clock.Change{Set: &set, Rate: ptr(1.0)})
	hand.Move(time.Second)
	require.Equal(t, set.Add(time.Second), c.Now())
}

func TestChangeRefusesRatesOutsideItsBounds(t *testing.T) {
	c := clock.Fixed(noon)
	for _, rate := range []float64{0, 0.49, 16.1, -1, math.NaN(), math.Inf(1)} {
		_, err := c.Change(clock.Change{Rate: &rate})
		require.ErrorContains(t, err, "must be from 0.5 to 16")
	}
	_, err := c.Change(clock.Change{})
	require.ErrorContains(t, err, "nothing to change")
	require.Equal(t, clock.Real(noon), c.Setting())
}

func TestAReplayMayRunFaster(t *testing.T) {
	c := clock.NewReplay(clock.Real(noon), func() time.Time { return noon })
	require.Equal(t, 60.0, c.MaxRate())
	_, err := c.Change(clock.Change{Rate: ptr(60.0)})
	require.NoError(t, err)
	_, err = c.Change(clock.Change{Rate: ptr(60.1)})
	require.ErrorContains(t, err, "must be from 0.5 to 60")
	require.Error(t, clock.Change{Rate: ptr(60.0)}.Check(), "a flight's own clock may not")
}

func TestClockGivesPlainTimes(t *testing.T) {
	c := clock.New(clock.Real(time.Now()), time.Now)
	for _, at := range []time.Time{c.Now(), c.Wall()} {
		require.Equal(t, time.UTC, at.Location())
		require.Equal(t, at.Round(0), at, "no monotonic reading")
		require.Zero(t, at.Nanosecond()%int(clock.Resolution))
	}
}

// A clock that was changed again and again never runs backwards between changes that do not set it, and reads what a
// replay of the changes from their wall times gives.
func TestReplayedSettingsReadLikeTheClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hand := clock.NewHand(noon)
		c := clock.New(clock.Real(noon), hand.Wall)
		replayed, last := clock.Real(noon), noon
		for range rapid.IntRange(1, 20).Draw(t, "changes") {
			hand.Move(time.Duration(rapid.IntRange(0, 600_000).Draw(t, "ms")) * time.Millisecond)
			change := clock.Change{Rate: ptr(rapid.Float64Range(clock.MinRate, clock.MaxRate).Draw(t, "rate"))}
			if rapid.Bool().Draw(t, "pause?") {
				change.Paused = ptr(rapid.Bool().Draw(t, "paused"))
			}
			require.False(t, c.Now().Before(last))
			last = c.Now()
			_, err := c.Change(change)
			require.NoError(t, err)
			replayed = replayed.After(c.Wall(), change)
			require.Equal(t, replayed, c.Setting())
		}
	})
}

func TestAStepOfTheMachinesClockDoesNotMoveSteadyTime(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	wall, passed := start, time.Duration(0)
	pass := func(d time.Duration) { wall, passed = wall.Add(d), passed+d }
	s := clock.NewSteady(func() time.Time { return wall }, func() clock.Passed { return clock.Passed{Time: passed} }, 0)
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
	s := clock.NewSteady(func() time.Time { return wall }, func() clock.Passed { return clock.Passed{} }, time.Hour)
	require.Equal(t, wall.Add(-time.Hour), s.Now())
	require.Zero(t, s.Moved())
}

// On a system that counts its sleep, time goes on in it and the machine's clock has not moved.
func TestASleepMovesNothingAndIsSaidOnce(t *testing.T) {
	start := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	passed := clock.Passed{Time: time.Hour, Slept: 20 * time.Minute} // since the machine was started
	s := clock.NewSteady(func() time.Time { return start.Add(passed.Time - time.Hour) }, func() clock.Passed { return passed }, 0)
	require.Zero(t, s.Slept(), "before the flight")
	passed.Time += time.Minute
	passed.Slept += time.Second
	require.Zero(t, s.Slept(), "not worth saying")
	passed.Time += 10 * time.Minute
	passed.Slept += 10 * time.Minute
	require.Equal(t, start.Add(11*time.Minute), s.Now())
	require.Zero(t, s.Moved())
	require.Equal(t, 10*time.Minute+time.Second, s.Slept())
	require.Zero(t, s.Slept(), "it is said once")
}

// A clock that was never set reads the wall's time, centuries from the zero time.
func TestAClockNeverSetReadsTheWall(t *testing.T) {
	wall := time.Date(2026, 6, 14, 9, 10, 0, 0, time.UTC)
	require.Equal(t, wall, clock.Setting{}.At(wall))
}
