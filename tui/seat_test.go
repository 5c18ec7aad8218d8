package tui_test

import (
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
	"example.com/legclock/tui"
)

// practiceRig is a rig over a practice flight of the demo plan, the program flying.
func practiceRig(t *testing.T) *rig {
	p, problems := plan.Load(plans.DemoFile, plans.FS.ReadFile)
	require.NotNil(t, p, "%v", problems)
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	flown := practice.NewFlight(s, practice.Hidden{Seed: 7})
	start := day("08:24:00")
	require.NoError(t, flown.Apply(flight.Event{N: 1, T: start, Rec: start, Act: flight.Clock, Rate: new(1.0), Set: &start}))
	return newRig(t, "08:24:00", func(o *tui.Options, r *rig) { o.Flight, o.Mode = flown, tui.Practice(r, nil, flown, true) })
}

func (r *rig) until(what func() bool) {
	r.t.Helper()
	for range 4000 {
		if what() {
			return
		}
		r.pass(2 * time.Second)
	}
	require.Fail(r.t, "it never came about", r.screen())
}

func TestTakingOverOpensTheCockpitAndHandingBackTheLog(t *testing.T) {
	r := practiceRig(t)
	r.pass(8 * time.Minute)
	r.shows("1 FLYING")
	r.keys("h")
	r.shows("6 COCKPIT")
	r.shows("YOU FLY")
	r.keys(".")
	require.Equal(t, flight.Steering, r.last().Act)
	r.shows("recorded steering")
	r.keys("h")
	r.shows("1 FLYING")
	r.shows("practice, hands off")
}

// In eighty columns every screen says what kind of flight this is, whoever flies and however fast the clock goes.
func TestTheKindOfFlightIsSaidInEightyColumns(t *testing.T) {
	r := practiceRig(t)
	r.pass(8 * time.Minute)
	header := func() string { return ansi.Strip(r.Rows(80, 24)[0]) }
	for _, rate := range []string{"", "++++", "+"} {
		r.keys(rate)
		for _, front := range []string{"1", "2", "3", "4", "5", "6", "?"} {
			r.keys(front)
			require.Regexp(t, "hands off|watching", header())
		}
	}
	r.keys("1")
	require.Contains(t, header(), "1 FLYING 2 route 3 radio 4 tanks 5 log 6 cockpit ? help watching ×16")
	r.keys("h")
	for _, front := range []string{"1", "2", "6"} {
		r.keys(front)
		require.Contains(t, header(), "practice")
	}
}

// While a question is open the screens that know its answer are covered, with the leg clock on them, and the bare digits 1 to 4 still
// turn to them; an answer uncovers them.
func TestAnOpenQuestionCoversWhatWouldGiveItAway(t *testing.T) {
	r := practiceRig(t)
	r.pass(8 * time.Minute)
	r.keys("h")
	shown := func() string { return ansi.Strip(strings.Join(r.Rows(80, 24), "\n")) }
	r.until(func() bool { return strings.Contains(shown(), "08:34:") })
	r.keys("epassing JNC 0.8 right<enter>y")
	r.until(func() bool { return strings.Contains(shown(), "08:38:3") })
	r.keys("epassing DAM 0.7 right<enter>y")
	require.Contains(t, shown(), "ASKED")
	for _, screen := range []string{"1", "2", "3", "4", "d"} {
		r.keys(screen)
		require.Contains(t, shown(), "A question is open", screen)
		require.Contains(t, shown(), "LEG 0", screen)
		require.NotContains(t, shown(), "ETA", screen)
	}
	recorded := len(r.recorded)
	r.keys("d<enter><enter>")
	require.Len(t, r.recorded, recorded, "what can't be seen can't be chosen")
	for _, screen := range []string{"5", "?"} {
		r.keys(screen)
		require.NotContains(t, shown(), "A question is open", screen)
	}
	r.keys("6<enter><enter>soon<enter>")
	require.Contains(t, shown(), `"soon"`)
	require.NotEqual(t, flight.Answered, r.last().Act)
	r.keys("<esc><enter><down><enter>")
	require.Equal(t, flight.Answered, r.last().Act)
	require.NotContains(t, shown(), "u undoes")
	require.Contains(t, shown(), "ASKED", "the next one has waited")
	r.keys("<enter><down><enter>")
	require.Contains(t, shown(), "NOT KNOWN")
	r.keys("1")
	require.NotContains(t, shown(), "A question is open")
}

// The program slows the clock for a question and says so.
func TestTheClockWaitsForAnAnswer(t *testing.T) {
	r := practiceRig(t)
	r.pass(8 * time.Minute)
	r.keys("h+++")
	r.until(func() bool { return r.clock.Now().After(day("08:34:20")) })
	r.keys("epassing JNC 0.8 right<enter>y")
	r.pass(time.Second)
	r.shows("the clock goes at ×1 until it is answered")
	require.Equal(t, 1.0, r.clock.Setting().Rate)
	r.keys("<enter><down><enter>")
	r.pass(time.Second)
	r.shows("the clock goes on at ×8")
}

// What the program records leaves alone what is being typed.
func TestTheSlowedClockLeavesTheLineOpen(t *testing.T) {
	r := practiceRig(t)
	r.pass(8 * time.Minute)
	r.keys("h+++")
	r.until(func() bool { return r.clock.Now().After(day("08:34:20")) })
	r.keys("epassing JNC 0.8 right<enter>y<enter><enter>9")
	r.pass(time.Second)
	require.Equal(t, flight.Clock, r.last().Act)
	require.True(t, r.Typing())
	r.shows("> 9_")
}

// A quick check is begun from any screen, turns to the cockpit and opens the line for each figure in turn; an empty line gives one up. It
// ends with the tenth, or with its key.
func TestAQuickCheckFromAnyScreen(t *testing.T) {
	r := practiceRig(t)
	r.pass(16 * time.Minute)
	r.keys("2k")
	r.shows("6 COCKPIT")
	r.shows("ASKED")
	require.True(t, r.Typing())
	r.keys("soon<enter>")
	r.shows(`"soon"`)
	r.keys("<esc><enter><enter>")
	for figure := range 10 {
		require.True(t, r.Typing())
		r.keys("<enter>")
		if figure == 8 {
			r.shows("figure 10 of 10, 0 right; before NOT KNOWN")
		}
	}
	require.False(t, r.Typing())
	r.shows("0 of 10 right")
	r.keys("4k<esc>k")
	require.Equal(t, flight.QuickCheckEnd, r.last().Text)
	r.shows("0 of 0 right")
}
