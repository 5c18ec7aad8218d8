package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
)

// A passing that a feed shows is offered in a line, rings once, and is recorded at its moment by one key.
func TestAPassingThatAFeedShowsIsTakenWithOneKey(t *testing.T) {
	r := airborne(t, nil)
	fed := func(lat, lon float64) (rings bool) {
		r.pass(2 * time.Minute)
		return r.Update(tui.Act{Event: flight.Event{Act: flight.Position, By: "feed", At: &earth.Position{Lat: lat, Lon: lon}}}).Ring
	}
	fed(53.2431, 14.7166)
	require.NotContains(t, r.screen(), "the feed passed")
	before := len(r.recorded)
	require.True(t, fed(53.2760, 14.8180))
	r.shows("the feed passed JNC at ")
	r.shows("y records it")
	require.False(t, r.pass(time.Second).Ring, "once")
	require.Equal(t, before+1, len(r.recorded), "only the position")

	r.keys("y")
	if r.last().Act != flight.Passing {
		r.keys("y") // it looked wrong and was asked
	}
	require.Equal(t, flight.Passing, r.last().Act)
	require.Equal(t, "JNC", r.last().Point)
	require.Empty(t, r.last().By)
	require.True(t, r.last().T.Before(r.clock.Now().Add(-30*time.Second)), "at its moment, not at that of the key")
	require.NotContains(t, r.screen(), "the feed passed")
	n := len(r.recorded)
	r.keys("y")
	require.Len(t, r.recorded, n, "nothing is offered any more")
}

func TestHowAFeedStandsIsSaidAndStaysInTheHeader(t *testing.T) {
	r := airborne(t, nil)
	require.NotContains(t, r.screen(), "FEED")
	r.Update(tui.Feed{Positions: true, Text: "the feed has positions"})
	r.shows("the feed has positions")
	r.keys("2")
	r.shows(" feed ")
	r.Update(tui.Feed{Text: "the feed is silent"})
	r.shows("NO FEED")
	r.shows("the feed is silent")
}

// One key shows which way to turn; turning there is asked about first; the header says so on every screen until the plan is taken up again.
func TestDivertingIsAskedAndShownOnEveryScreen(t *testing.T) {
	r := airborne(t, nil)
	r.pass(9 * time.Minute)
	r.keys("d")
	r.shows("IF DIVERTING TO QLB Quillby")
	require.NotContains(t, r.screen(), "DIVERTING QLB")
	r.shows("enter divert to QLB")
	r.keys("<enter>")
	r.shows("Divert to QLB Quillby, the destination from then on?")
	require.NotEqual(t, flight.Divert, r.last().Act)
	r.keys("y")
	require.Equal(t, flight.Divert, r.last().Act)
	require.Equal(t, "QLB", r.last().To)
	for _, key := range []string{"1", "2", "3", "4", "5", "d", "?"} {
		r.keys(key)
		r.shows("DIVERTING QLB")
	}
	r.keys("<esc>1edirect LKM<enter>")
	require.Equal(t, new(0), r.last().Rejoin)
	r.shows("DIRECT LKM")
	r.pass(9 * time.Minute)
	r.keys("epassing LKM<enter>")
	if r.last().Act != flight.Passing {
		r.keys("y")
	}
	require.NotContains(t, r.screen(), "DIRECT")
	require.Equal(t, "FNW", r.flight.State.At(r.clock.Now()).Leg.To)
}
