package flight_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/flight"
)

// A wind along the track makes the groundspeeds of the published problems: out against it, home with it.
func TestPointOfEqualTime(t *testing.T) {
	for _, c := range []struct {
		source                          string
		distanceNM, outKt, homeKt       float64
		fromStartNM, minutesEitherWayIs float64
	}{
		{"formula, case 11.04", 240, 85, 115, 138, 72},
		{"EQB, case 11.01", 360, 165, 195, 195, 60},
		{"formula, case 11.06", 200, 100, 100, 100, 60},
		{"formula, case 11.07", 310, 78.5, 121.5, 188.32, 93},
	} {
		t.Run(c.source, func(t *testing.T) {
			s := level(t, (c.outKt+c.homeKt)/2, 8, along(90, c.distanceNM))
			wind := air.Wind{FromTrue: 90, SpeedKt: (c.homeKt - c.outKt) / 2}
			state := fly(t, s, flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &wind.FromTrue, WindSpeed: &wind.SpeedKt})
			point := state.At(s.Airborne).Critical.EqualTime
			require.NotNil(t, point)
			require.InDelta(t, c.fromStartNM, point.AfterNM, 0.3)
			require.InDelta(t, c.minutesEitherWayIs, point.Minutes, 0.2)
			require.Equal(t, "P0", point.Back)
		})
	}
}

func TestPointOfNoReturn(t *testing.T) {
	for _, c := range []struct {
		source                        string
		hours, outKt, homeKt          float64
		distanceNM, minutesOut, legNM float64
	}{
		{"formula, case 11.14", 3.25, 92, 108, 161.46, 105.30, 250},
		{"formula, case 11.15", 2.5, 78.5, 121.5, 119.22, 91.12, 250},
		{"pilots' forum, case 11.09", 10, 100, 100, 500, 300, 900},
		{"EQB flight planning, case 11.12", 3.3, 121, 129, 206.04, 102.17, 400},
	} {
		t.Run(c.source, func(t *testing.T) {
			s := level(t, (c.outKt+c.homeKt)/2, 8, along(90, c.legNM))
			reserve := s.Plan.Fuel.ReserveMinutes / 60
			s.Plan.Fuel.OnBoard = map[string]float64{"left": 8 * (c.hours + reserve), "right": 0}
			wind := air.Wind{FromTrue: 90, SpeedKt: (c.homeKt - c.outKt) / 2}
			state := fly(t, s, flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &wind.FromTrue, WindSpeed: &wind.SpeedKt})
			point := state.At(s.Airborne).Critical.NoReturn
			require.NotNil(t, point)
			require.InDelta(t, c.distanceNM, point.AfterNM, 0.5)
			require.InDelta(t, c.minutesOut, point.ETA.Sub(s.Airborne).Minutes(), 0.3)
		})
	}
	t.Run("beyond the destination there is none: definition, case 11.18", func(t *testing.T) {
		s := level(t, 100, 8, along(90, 150))
		require.Nil(t, fly(t, s).At(s.Airborne).Critical.NoReturn)
	})
}

// 2 nm left of track after 20 nm of a leg of 40.3 nm (case 16A.09, own formulas): by the rule 6.00 and 5.91 degrees, exactly 5.71 and
// 5.63.
func TestOffTrack(t *testing.T) {
	s := level(t, 100, 8, along(58.16, 40.3), along(90, 20))
	off, flown := -2.0, 20.0
	state := fly(t, s, flight.Event{T: after(s, 12), Act: flight.Fix, After: &flown, OffTrack: &off})
	now := state.At(after(s, 12)).OffTrack
	require.NotNil(t, now)
	require.InDelta(t, -6.00, now.TrackErrorRule, 0.01)
	require.InDelta(t, -5.91, now.ClosingRule, 0.01)
	require.InDelta(t, 11.91, now.TurnRule, 0.01)
	require.InDelta(t, 11.34, now.TurnExact, 0.01)
	require.False(t, now.Differs)
	require.NotNil(t, now.HeadingMagnetic)
	require.InDelta(t, 58.16+5.63-s.Legs[0].Variation, *now.HeadingMagnetic, 0.1, "still air: the track to the leg's end")
	require.Nil(t, fly(t, s).At(after(s, 12)).OffTrack, "nobody said")
}
