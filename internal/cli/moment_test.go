package cli

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
)

// A time without a date is the flight's, also across midnight; with one it is that.
func TestATimeWithoutADateIsTheFlights(t *testing.T) {
	at := func(text string) time.Time {
		moment, err := time.Parse(time.RFC3339, text)
		require.NoError(t, err)
		return moment
	}
	first, last := at("2026-06-20T22:50:00Z"), at("2026-06-21T00:40:00Z")
	for text, want := range map[string]string{
		"23:36": "2026-06-20T23:36:00Z", "00:10:30": "2026-06-21T00:10:30Z", "22:30": "2026-06-20T22:30:00Z", "01:30": "2026-06-21T01:30:00Z",
		"2026-06-21T23:36:00Z": "2026-06-21T23:36:00Z",
	} {
		moment, err := momentOfFlight(text, first, last)
		require.NoError(t, err)
		require.Equal(t, at(want), moment, text)
	}
	moment, err := momentOfFlight("16:00", at("2026-06-20T13:00:00Z"), at("2026-06-20T14:00:00Z"))
	require.NoError(t, err)
	require.Equal(t, at("2026-06-20T16:00:00Z"), moment, "after the last entry")
}

func TestAFlightTakenUpAgainSaysHowFarItsClockRan(t *testing.T) {
	last := time.Date(2026, 6, 20, 9, 0, 0, 0, time.UTC)
	setting := clock.Setting{Wall: last, Flight: last, Rate: 2}
	require.Equal(t, "taken up again after 09:00:00Z, the flight clock ran on 12:30", takenUp(last, setting, true, last.Add(6*time.Minute+15*time.Second)))
	require.Equal(t, "taken up again after 09:00:00Z", takenUp(last, setting, false, last.Add(time.Hour)), "its clock is set")
	setting.Paused = true
	require.Equal(t, "taken up again after 09:00:00Z, paused", takenUp(last, setting, true, last.Add(time.Hour)))
}
