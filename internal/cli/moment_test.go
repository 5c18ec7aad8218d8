package cli

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
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
