package tui_test

import (
	"strings"
	"testing"
	"time"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
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

// At every size that the screens are for, what the feed offers says of which point, when and how far aside, and what answers it.
func TestAnOfferIsSeenWhole(t *testing.T) {
	s := screentest.Climb()
	for _, o := range []flight.PassingOffer{
		{Act: flight.Passing, Point: "JNC", At: screentest.Clock("09:25:07"), OffTrackNM: -0.4},
		{Act: flight.Passing, Point: "JNC", At: screentest.Clock("09:25:07")},
		{Act: flight.Airborne, At: screentest.Clock("09:25:07")},
	} {
		s.Offer = &o
		for width := 40; width <= 120; width++ {
			r := stillRoot(t, s, "plain", termenv.Ascii)
			text := screentest.Bare(r.Rows(width, 10))[9]
			for _, want := range []string{"feed", "09:25:07Z", o.Point, "y", "n"} {
				require.Contains(t, text, want, "%d columns", width)
			}
			require.NotContains(t, text, "…", "%d columns", width)
			if o.OffTrackNM != 0 {
				require.Contains(t, text, "0.4 nm left", "%d columns", width)
			}
		}
	}
	s.Offer = &flight.PassingOffer{Act: flight.Passing, Point: "the old railway viaduct at the lake", At: screentest.Clock("09:25:07")}
	r := stillRoot(t, s, "plain", termenv.Ascii)
	require.Equal(t, " feed 09:25:07Z: the old railway…  y / n", screentest.Bare(r.Rows(40, 10))[9], "of a long name as much as there is room for")
}

// What is said is shown whole over the lowest rows for a while, then in its own row alone; an offer that stands does not hide it, and nothing hides
// the leg clock.
func TestWhatIsSaidIsSeenWhole(t *testing.T) {
	shown := func(r *rig, width, height int) string {
		return strings.Join(strings.Fields(strings.Join(screentest.Bare(r.Rows(width, height)), " ")), " ")
	}
	long := "not recorded: passing LKM: a passing of LKM is recorded already, at 08:41:23Z, as entry 18"
	for _, offer := range []*flight.PassingOffer{nil, {Act: flight.Passing, Point: "JNC", At: screentest.Clock("09:25:07")}} {
		s := screentest.TankLate()
		s.Offer, s.Clock.LegSeconds = offer, new(775.0)
		for _, size := range []screen.Size{{Width: 40, Height: 10}, {Width: 60, Height: 16}, {Width: 80, Height: 24}} {
			if size.Width == 40 && offer != nil {
				continue // there are three rows
			}
			r := newRig(t, "08:24:00", func(o *tui.Options, _ *rig) { o.Flight = screentest.Still{Snapshot: s} })
			r.Update(tui.Said{Text: long})
			require.Contains(t, shown(r, size.Width, size.Height), long, "%v", size)
			require.Contains(t, strings.Join(screentest.Bare(r.Rows(size.Width, size.Height)), "\n"), shownLegClock(r, size), "%v", size)
			if offer != nil {
				require.Contains(t, shown(r, size.Width, size.Height), "y records it")
			}
			require.True(t, r.pass(20*time.Second).Redraw, "it is over")
			require.NotContains(t, shown(r, size.Width, size.Height), long)
		}
	}
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
