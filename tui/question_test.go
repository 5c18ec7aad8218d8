package tui_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/terminal"
)

// A passing that waits for a yes is asked for again after other keys, and counts from when it was pressed.
func TestAnOpenQuestionIsNotLost(t *testing.T) {
	r := airborne(t, nil)
	for r.flight.At(r.clock.Now()).Next.Point == "JNC" {
		r.pass(time.Second)
	}
	r.keys("p")
	pressed := r.clock.Now()
	r.shows("JNC was not logged. Is this DAM?")
	r.pass(10 * time.Second)
	r.keys("enote cloud ahead")
	require.NotContains(t, r.screen(), "Is this DAM?", "the entry line is in use")
	r.keys("<enter>")
	require.Equal(t, flight.NoteText, r.last().Act)
	r.shows("JNC was not logged. Is this DAM?")
	r.keys("2")
	r.shows("JNC was not logged. Is this DAM?")
	r.keys("y")
	require.Equal(t, "DAM", r.last().Point)
	require.Equal(t, pressed, r.last().T)
	require.NotContains(t, r.screen(), "Is this DAM?")
}

// An entry that a yes would make a second time withdraws the question about it, and a line says what was not recorded.
func TestAnEntryWithdrawsTheQuestionAboutIt(t *testing.T) {
	r := airborne(t, nil)
	r.pass(80 * time.Second)
	r.keys("p")
	r.shows("would be 185 kt: TAS is 72. Record it all the same?")
	r.pass(time.Minute)
	before := len(r.recorded)
	r.keys("b08:33:00<enter>p")
	require.Len(t, r.recorded, before+1)
	require.Equal(t, day("08:33:00"), r.last().T)
	require.Empty(t, r.question())
	r.shows("recorded passing JNC 08:33:00Z · u undoes · not recorded: passing JNC 08:32:20Z, no longer asked")
	for range 3 { // a finger on its way, and what it comes to later
		r.keys("y")
		r.shows("not")
		require.Len(t, r.recorded, before+1)
		r.pass(time.Second)
	}
}

// A moment that changes what would be asked withdraws the question, seen by a tick or by the yes itself.
func TestAMomentWithdrawsTheQuestionThatItEnds(t *testing.T) {
	for _, ticks := range []bool{true, false} {
		r := newRig(t, "07:25:00", nil)
		r.pass(time.Second)
		r.keys(" ")
		r.shows("is not due before 08:25:00Z. Is it done already?")
		r.hand.Move(40 * time.Minute)
		if ticks {
			r.pass(0)
			require.NotEmpty(t, r.question(), "still hasty")
		}
		r.hand.Move(5 * time.Minute)
		if ticks {
			r.pass(0)
			require.Empty(t, r.question())
			r.shows("not recorded: off blocks 07:25:01Z, no longer asked")
		}
		r.keys("y")
		r.shows("not recorded: off blocks 07:25:01Z, no longer asked")
		require.Empty(t, r.recorded)
		r.keys(" ")
		require.Equal(t, day("08:10:01"), r.last().T)
	}
}

// A yes to a doubt is no yes to another: that is asked about anew, and a refusal is said.
func TestAYesAnswersTheQuestionThatWasAsked(t *testing.T) {
	r := airborne(t, nil)
	before := len(r.recorded)
	r.keys("epassing JNC 08:31:05<enter>")
	r.shows("08:31:05Z lies 0:05 in the future. Record it all the same?")
	r.hand.Move(6 * time.Second)
	r.keys("y")
	require.Len(t, r.recorded, before)
	r.shows("would be 399 kt")
	r.keys("y")
	require.Len(t, r.recorded, before+1)
	require.True(t, r.last().Confirmed)
	require.Equal(t, day("08:31:05"), r.last().T)
}

// What was asked about the clock would move one that was set since.
func TestAClockThatWasSetWithdrawsTheQuestionAboutIt(t *testing.T) {
	machine := &moving{}
	r := airborne(t, func(o *tui.Options, r *rig) { o.Mode = tui.Live(r, machine) })
	machine.asleep = 10 * time.Minute
	r.pass(10 * time.Minute)
	require.Contains(t, r.question(), "Did the simulator sleep too?")
	r.keys("c08:31:30<enter>y")
	r.pass(time.Second)
	require.Equal(t, day("08:31:31"), r.clock.Now())
	require.Empty(t, r.question())
}

// figures are those that go on counting in a question.
var figures = regexp.MustCompile(`[0-9.:]+`)

// question is the question that is open; empty: none is.
func (r *rig) question() string {
	for _, row := range screentest.Bare(r.Rows(240, 36)) {
		if text := strings.TrimSpace(row); strings.HasSuffix(text, " y / n") {
			return strings.TrimSpace(strings.TrimSuffix(text, " y / n"))
		}
	}
	return ""
}

// Whatever keys and ticks come, each question is asked until it has been answered, a line says that it is no longer asked or, with what is on the
// entry line, it is asked anew by that. To quit is the one that going on answers.
func TestNoQuestionIsLost(t *testing.T) {
	pressed := []string{
		" ", "p", "t", "u", "x", "z", "b2 min ago<enter>", "epassing FNW<enter>", "esteer 050 09:30<enter>", "eflow 90<enter>", "edivert QLB<enter>",
		"enote cloud<enter>", "evoid 3<enter>", "d<enter><enter>", "1", "2", "3", "4", "5", "<down>", "<up>", "<enter>", "q", "y", "n", "<esc>", "e",
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := airborne(t, nil)
		open, ofLine, gone := map[string]bool{}, map[string]bool{}, 0
		question := func() string { return figures.ReplaceAllString(r.question(), "#") }
		look := func(typing bool) {
			if said := strings.Join(screentest.Bare(r.Rows(240, 36)), "\n"); strings.Contains(said, "no longer asked") {
				_, said, _ = strings.Cut(said, "not recorded: ")
				said, _, _ = strings.Cut(said, "no longer asked")
				gone += strings.Count(said, ", ")
			}
			text := question()
			ofLine[text] = ofLine[text] || typing
			if text != "" && !strings.HasPrefix(text, "Quit") && !ofLine[text] {
				open[text] = true
			}
		}
		for range rapid.IntRange(1, 12).Draw(rt, "many") {
			r.pass(time.Duration(rapid.IntRange(0, 300).Draw(rt, "seconds")) * time.Second)
			look(false)
			for _, key := range keysOf(rapid.SampledFrom(pressed).Draw(rt, "keys")) {
				if asked := question(); asked != "" && (key == "y" || key == "n" || key == "<esc>") {
					delete(open, asked)
				}
				typing := r.Typing() || ofLine[question()]
				if r.keys(key).Command != nil {
					return // it ends
				}
				look(typing)
			}
		}
		for range 100 {
			delete(open, question())
			r.keys("<esc>")
			look(true)
			if r.question() == "" && !r.Typing() {
				break
			}
		}
		require.LessOrEqual(rt, len(open), gone, "asked and neither answered nor asked again, nor said not to be: %v", open)
	})
}

// keysOf are the keys of what is typed, one by one.
func keysOf(typed string) []string {
	return regexp.MustCompile(`<[^>]+>|.`).FindAllString(typed, -1)
}

func TestADoubtAsks(t *testing.T) {
	r := airborne(t, nil)
	doubtful := "esteer 050 09:30<enter>"
	r.keys(doubtful)
	require.Len(t, r.recorded, 2)
	r.shows("Record it all the same?")
	require.False(t, r.Typing(), "keys go to the question")
	r.keys("n")
	require.Len(t, r.recorded, 2)
	r.shows("enter > steer 050 09:30")
	require.True(t, r.Typing(), "what was typed is still there")
	r.keys("<enter>y")
	require.Len(t, r.recorded, 3)
	require.True(t, r.last().Confirmed)
	require.False(t, r.Typing())
}

// A pilot who goes on has answered no: the key that came is not lost to the question.
func TestAnyOtherKeyAnswersNoAndCounts(t *testing.T) {
	r := airborne(t, nil)
	r.keys("esteer 050 09:30<enter>")
	r.keys("<esc><esc>")
	r.pass(4 * time.Minute)
	r.keys("q")
	r.shows("Quit during the flight?")
	effect := r.keys("p")
	require.Nil(t, effect.Command)
	require.Equal(t, flight.Passing, r.last().Act)
}

// TestOffBlocksByAKeyPressedInHasteAsks: minutes that a flight has are taken at once, an hour is asked about.
func TestOffBlocksByAKeyPressedInHasteAsks(t *testing.T) {
	for at, asks := range map[string]bool{"07:25:00": true, "08:09:58": true, "08:09:59": false, "08:20:30": false, "08:40:00": false} {
		r := newRig(t, at, nil)
		r.pass(time.Second)
		r.keys(" ")
		if asks {
			require.Empty(t, r.recorded, at)
			r.shows("is not due before 08:25:00Z. Is it done already?")
			r.keys("y")
		}
		require.Equal(t, flight.OffBlocks, r.last().Act, at)
	}
}

func TestQuitAsksInFlightOnly(t *testing.T) {
	require.NotNil(t, newRig(t, "08:24:00", nil).keys("q").Command)
	r := airborne(t, nil)
	require.Nil(t, r.keys("<ctrl+c>").Command)
	require.Nil(t, r.keys("n").Command)
	require.NotNil(t, r.keys("qy").Command)
}

// However long a question is, at 80 columns all of it and what answers it can be seen.
func TestAQuestionIsSeenWhole(t *testing.T) {
	machine := &moving{}
	r := airborne(t, func(o *tui.Options, r *rig) { o.Mode = tui.Live(r, machine) })
	r.hand.Move(10 * time.Minute)
	machine.asleep = 10 * time.Minute
	r.Update(terminal.Tick{At: r.hand.Wall()})
	question := r.question()
	require.Greater(t, len(question), 80, "one that takes more than a row")
	for _, height := range []int{10, 24} {
		shown := strings.Join(strings.Fields(ansi.Strip(strings.Join(r.Rows(80, height), "\n"))), " ")
		require.Contains(t, shown, question+" y / n", "in %d rows", height)
	}
}

func TestAPromptFarFromDueIsNotDoneByAccident(t *testing.T) {
	r := airborne(t, nil)
	r.keys("   ") // the receivers
	for r.last().Act != flight.Done {
		r.pass(20 * time.Second)
		r.keys(" ")
		require.Less(t, len(r.recorded), 20)
	}
	before := len(r.recorded)
	r.keys(" ")
	require.Len(t, r.recorded, before)
	r.shows("has just come first: press again if it is done") // the answer before this one changed what the key means
	r.pass(40 * time.Second)                                  // the climb may be over by now, and is not due to be
	r.keys(" ")
	require.Len(t, r.recorded, before)
	r.shows("is not due before")
	r.keys("y")
	require.Len(t, r.recorded, before+1)
}

// Choices that a key opened while something was asked stand where it is said that it is no longer asked.
func TestChoicesDoNotHideWhatIsNoLongerAsked(t *testing.T) {
	r := airborne(t, nil)
	r.keys("p")
	require.Contains(t, r.question(), "would be 432 kt")
	r.keys("d<enter><enter>y")
	require.Equal(t, flight.Divert, r.last().Act)
	r.shows("not recorded: passing JNC 08:31:00Z, no longer asked")
	r.shows("enter do it")
}
