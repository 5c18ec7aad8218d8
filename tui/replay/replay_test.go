package replay_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/replay"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// flown is a flight whose screens stand at one moment, with moments of every kind on its time-line.
type flown struct {
	snapshot  flight.Snapshot
	clock     *clock.Clock
	moments   []replay.Moment
	hindsight bool
	covered   bool
	remarks   []string
	broken    error
}

func at(text string) time.Time { return screentest.Clock(text) }

func moment(text string, kind replay.Kind, mark, words string) replay.Moment {
	return replay.Moment{At: at(text), Kind: kind, Mark: mark, Text: words}
}

func newFlown(snapshot flight.Snapshot) *flown {
	f := &flown{snapshot: snapshot, moments: []replay.Moment{
		moment("09:10:00", replay.Entry, "A", "off blocks"),
		moment("09:18:00", replay.Entry, "A", "airborne"),
		moment("09:20:00", replay.Prompt, "", "tune NAV1 KVN was due: in time, +0:20 after"),
		moment("09:20:20", replay.Entry, "N", "tuned KVN on NAV1"),
		moment("09:31:00", replay.Passing, "V", "passing DAM"),
		moment("09:36:00", replay.Mistake, "", "tank to left: late"),
		moment("09:36:00", replay.Remark, "", "Blake: look at the clock"),
		moment("09:40:00", replay.Entry, "F", "tank left"),
		moment("09:44:00", replay.Passing, "V", "passing KVN"),
		moment("10:00:00", replay.Entry, "A", "landed"),
	}}
	f.clock = clock.NewReplay(clock.Setting{Wall: snapshot.At, Flight: snapshot.At, Rate: 1, Paused: true}, func() time.Time { return snapshot.At })
	return f
}

func (f *flown) Ends() (from, to time.Time) { return at("09:10:00"), at("10:00:00") }
func (f *flown) Moments() []replay.Moment   { return f.moments }
func (f *flown) Hindsight() bool            { return f.hindsight }
func (f *flown) ToggleHindsight()           { f.hindsight = !f.hindsight }
func (f *flown) Cover(covered bool)         { f.covered = covered }

func (f *flown) Questions() []replay.Question {
	return []replay.Question{
		{At: at("09:20:00"), Answer: []string{"tune NAV1 KVN was due: in time, +0:20 after"}},
		{At: at("09:36:00"), Answer: []string{"tank to left was due: late, +4:00 after", "cruise check was due: unanswered, - after"}},
	}
}

func (f *flown) Check(flight.Event) error { return nil }
func (f *flown) Apply(flight.Event) error { return nil }
func (f *flown) Undoable() *flight.Event  { return nil }
func (f *flown) Setting() clock.Setting   { return f.clock.Setting() }

func (f *flown) Turned(flight.Snapshot) []replay.Words {
	return []replay.Words{
		{Long: "KVN 09:44:00Z, ETA was out +1:52 (1.4 of its ±)", Short: "KVN +1:52 (1.4 of ±)"},
		{Long: "groundspeed was 92 kt, used 101", Short: "92 kt for 101"},
		{Long: "imbalance 9.4 at the change, expected 8.0", Short: "imbalance 9.4 for 8.0"},
		{Long: "arrival out +4:10", Short: "arrival +4:10"},
	}
}

func (f *flown) Remark(at time.Time, text string) error {
	if f.broken != nil {
		return f.broken
	}
	f.remarks = append(f.remarks, at.Format(time.TimeOnly)+" "+text)
	f.moments = append(slices.Clone(f.moments), replay.Moment{At: at, Kind: replay.Remark, Text: text})
	slices.SortStableFunc(f.moments, func(a, b replay.Moment) int { return a.At.Compare(b.At) })
	return nil
}

// At is the Snapshot at a moment: only its time differs.
func (f *flown) At(t time.Time) flight.Snapshot {
	s := f.snapshot
	s.At = t
	setting := f.clock.Setting()
	s.Clock.Rate, s.Clock.Paused = setting.Rate, setting.Paused
	return s
}

// rig is a replay on a screen.
type rig struct {
	*tui.Root
	t      *testing.T
	flight *flown
}

func newRig(t *testing.T) *rig {
	f := newFlown(screentest.Cruise())
	root, err := tui.New(tui.Options{
		Flight: f, Mode: tui.Replay(replay.New(f, f.clock)), Clock: f.clock, Theme: "plain", Profile: termenv.Ascii,
	})
	require.NoError(t, err)
	return &rig{root, t, f}
}

func (r *rig) keys(typed ...string) {
	named := map[string]tea.KeyMsg{
		" ": {Type: tea.KeySpace}, "<left>": {Type: tea.KeyLeft}, "<right>": {Type: tea.KeyRight}, "<enter>": {Type: tea.KeyEnter},
		"<tab>": {Type: tea.KeyTab}, "<shift+tab>": {Type: tea.KeyShiftTab},
	}
	for _, one := range typed {
		if msg, special := named[one]; special {
			r.Update(msg)
			continue
		}
		for _, character := range one {
			r.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{character}})
		}
	}
}

func (r *rig) isAt(text string) {
	r.t.Helper()
	require.Equal(r.t, text, r.flight.clock.Now().Format(time.TimeOnly))
}

func (r *rig) shows(text string) {
	r.t.Helper()
	require.Contains(r.t, fmt.Sprint(screentest.Bare(r.Rows(120, 36))), text)
}

func TestGoldenFrames(t *testing.T) {
	for _, size := range []screen.Size{{Width: 80, Height: 24}, {Width: 120, Height: 36}, {Width: 160, Height: 48}} {
		name := fmt.Sprintf("cruise-%dx%d.txt", size.Width, size.Height)
		t.Run(name, func(t *testing.T) {
			r := newRig(t)
			r.keys("<tab>", "<tab>", "<tab>", "<left>")
			screentest.RequireFrame(t, "../../testdata/frames/replay/"+name, screentest.Bare(r.Rows(size.Width, size.Height)))
		})
	}
}

func TestRowsAreExactAtEverySize(t *testing.T) {
	f := newFlown(screentest.Cruise())
	f.moments = append(f.moments, moment("09:50:00", replay.Remark, "", "words\x1b[2J with\ncontrol characters and 漢字 "+fmt.Sprint(make([]int, 99))))
	line := replay.New(f, f.clock)
	for width := 0; width <= 200; width++ {
		for _, height := range []int{10, 24, 29, 30, 60} {
			s := f.At(at("09:10:00").Add(time.Duration(width) * 15 * time.Second))
			rows := line.Rows(s, width, height, theme.Plain())
			screentest.RequireExact(t, rows, screen.Size{Width: width, Height: len(rows)})
			require.Len(t, line.Rows(f.At(at("10:00:00")), width, height, theme.Plain()), len(rows), "as many rows at every moment")
		}
	}
}

func TestSteps(t *testing.T) {
	r := newRig(t)
	r.keys("c", "09:25", "<enter>")
	r.isAt("09:25:00")
	r.keys("<right>")
	r.isAt("09:31:00")
	r.shows("passing DAM")
	r.keys("<right>")
	r.isAt("09:40:00") // a mistake and a remark are no entries
	r.keys("<left>", "<left>")
	r.isAt("09:20:20")
	r.keys("<tab>", "<right>", "<right>")
	r.isAt("09:44:00")
	r.keys("<right>")
	r.isAt("09:44:00")
	r.shows("no passing after this")
	r.keys("<left>")
	r.isAt("09:31:00")
	r.keys("<tab>", "<left>")
	r.isAt("09:20:00")
	r.shows("tune NAV1 KVN was due")
	r.keys("<tab>")
	r.shows("the arrows step by mistake")
	r.keys("<right>")
	r.isAt("09:36:00")
	r.keys("<left>")
	r.shows("no mistake before this")
	r.keys("<tab>", "<right>")
	r.shows("Blake: look at the clock")
	r.keys("<shift+tab>", "<shift+tab>")
	r.shows("the arrows step by prompt")
	r.keys("<tab>", "<tab>", "<tab>", "<tab>")
	r.shows("the arrows step by minute")
	r.keys("<right>")
	r.isAt("09:37:00")
	r.keys("<left>", "<left>")
	r.isAt("09:35:00")
}

// Whatever the times of the moments, fractions of a second, many of one time, some beyond the flight's ends, and however coarse the clock: so
// many presses visit so many moments of a kind, each once and in order, to the last and back; a remark kept on the way changes nothing.
func TestEveryPressVisitsTheNextMoment(t *testing.T) {
	kinds := []replay.Kind{replay.Entry, replay.Passing, replay.Prompt, replay.Mistake, replay.Remark, replay.Lesson}
	rapid.Check(t, func(t *rapid.T) {
		f := newFlown(screentest.Cruise())
		f.moments = nil
		when := at("09:09:58")
		for n := range rapid.IntRange(0, 40).Draw(t, "moments") {
			when = when.Add(time.Duration(rapid.SampledFrom([]int{0, 0, 1, 300, 999, 1000, 1700, 400_000}).Draw(t, "milliseconds")) * time.Millisecond)
			f.moments = append(f.moments, replay.Moment{At: when, Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Text: fmt.Sprintf("moment %d.", n)})
		}
		by := rapid.IntRange(0, len(kinds)-1).Draw(t, "by")
		var want []string
		for _, m := range f.moments {
			if m.Kind == kinds[by] || by == 0 && m.Kind == replay.Passing {
				want = append(want, m.Text)
			}
		}
		coarse := rapid.SampledFrom([]time.Duration{1, time.Millisecond, time.Second}).Draw(t, "the clock counts in")
		line, now := replay.New(f, f.clock), at("09:09:59")
		press := func(key tea.KeyType) (text string, moved bool) {
			intents, known := line.Press(tea.KeyMsg{Type: key}, f.At(now))
			require.True(t, known)
			for _, intent := range intents {
				switch intent := intent.(type) {
				case screen.Record:
					now, moved = intent.Event.Set.Truncate(coarse), true
				case screen.Say:
					text = intent.Text
				}
			}
			return text, moved
		}
		for range by {
			press(tea.KeyTab)
		}
		visits := func(key tea.KeyType, want []string) {
			for n, moment := range want {
				text, moved := press(key)
				require.True(t, moved, "press %d, at %s", n+1, now)
				require.Contains(t, text, moment)
			}
			text, moved := press(key)
			require.False(t, moved, "there are no more: %s", text)
		}
		visits(tea.KeyRight, want)
		if len(want) == 0 {
			return
		}
		back := slices.Clone(want[:len(want)-1])
		slices.Reverse(back)
		if by != 4 && len(back) > 0 && rapid.Bool().Draw(t, "a remark is kept") {
			_, moved := press(tea.KeyLeft)
			require.True(t, moved)
			intents, _ := line.Press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'e'}}, f.At(now))
			_, err := intents[0].(screen.Ask).Parse("look here", f.At(now))
			require.NoError(t, err)
			back = back[1:]
		}
		visits(tea.KeyLeft, back)
	})
}

func TestAJumpStaysWithinTheFlight(t *testing.T) {
	r := newRig(t)
	r.keys("c", "12:00", "<enter>")
	r.isAt("10:00:00")
	r.keys("c", "08:00", "<enter>")
	r.isAt("09:10:00")
	r.keys("c", "tomorrow", "<enter>")
	r.isAt("09:10:00")
	r.shows("10:42:30") // what would be right
}

func TestItPlaysAtARateAndHaltsAtItsEnd(t *testing.T) {
	now := screentest.Cruise().At
	f := newFlown(screentest.Cruise())
	f.clock = clock.NewReplay(clock.Setting{Wall: now, Flight: at("09:59:00"), Rate: 1, Paused: true}, func() time.Time { return now })
	root, err := tui.New(tui.Options{Flight: f, Mode: tui.Replay(replay.New(f, f.clock)), Clock: f.clock, Theme: "plain", Profile: termenv.Ascii})
	require.NoError(t, err)
	r := &rig{root, t, f}
	wait := func(by time.Duration) {
		now = now.Add(by)
		r.Update(terminal.Tick{At: now})
	}
	wait(time.Minute)
	r.isAt("09:59:00")
	r.keys(" ")
	wait(10 * time.Second)
	r.isAt("09:59:10")
	r.keys("-")
	assert.InDelta(t, 0.5, f.clock.Setting().Rate, 0)
	wait(10 * time.Second)
	r.isAt("09:59:15")
	for range 9 {
		r.keys("+")
	}
	assert.InDelta(t, 60, f.clock.Setting().Rate, 0)
	wait(2 * time.Second)
	r.isAt("10:00:00")
	assert.True(t, f.clock.Setting().Paused)
	r.keys(" ") // begins anew
	r.isAt("09:10:00")
	wait(time.Second)
	r.isAt("09:11:00")
}

func TestTheViewIsSaid(t *testing.T) {
	r := newRig(t)
	r.shows("AS KNOWN THEN")
	r.keys("h")
	require.True(t, r.flight.hindsight)
	r.shows("HINDSIGHT")
	r.keys("h")
	r.shows("AS KNOWN THEN")
}

func TestARemarkIsKeptAtItsMoment(t *testing.T) {
	r := newRig(t)
	r.keys("c", "09:36", "<enter>", "e", "too late", "<enter>")
	require.Equal(t, []string{"09:36:00 too late"}, r.flight.remarks)
	r.shows("kept: a remark at 09:36:00Z")
	r.flight.broken = errors.New("the disk is full")
	r.keys("e", "again", "<enter>")
	r.shows("the disk is full")
	require.Len(t, r.flight.remarks, 1)
}

// No key of the time-line is one of those that work in a replay besides.
func TestKeysDoNotMeetTheRootsOwn(t *testing.T) {
	r := newRig(t)
	taken := map[string]string{}
	for _, binding := range replay.New(r.flight, r.flight.clock).Keys(r.flight.snapshot) {
		for _, pressed := range binding.Keys() {
			require.Empty(t, taken[pressed], pressed)
			taken[pressed] = binding.Help().Desc
		}
	}
	for _, pressed := range []string{"1", "2", "3", "4", "5", "-", "+", "[", "]", "?", "q", "l"} {
		require.Empty(t, taken[pressed], "%q is a key of the root's", pressed)
	}
}

// playing is a replay from the flight's first moment whose time passes as told.
func playing(t *testing.T) (r *rig, f *flown, pass func(time.Duration)) {
	now := at("09:10:00")
	f = newFlown(screentest.Cruise())
	f.clock = clock.NewReplay(clock.Setting{Wall: now, Flight: now, Rate: 1, Paused: true}, func() time.Time { return now })
	root, err := tui.New(tui.Options{Flight: f, Mode: tui.Replay(replay.New(f, f.clock)), Clock: f.clock, Theme: "plain", Profile: termenv.Ascii})
	require.NoError(t, err)
	r = &rig{root, t, f}
	return r, f, func(by time.Duration) {
		now = now.Add(by)
		r.Update(terminal.Tick{At: now})
	}
}

// A jump to a time, and the flight begun anew from its end, have the questions go on from there, and hide what was told of another.
func TestQuestionsGoOnFromWhereTheClockIsPut(t *testing.T) {
	r, f, pass := playing(t)
	r.keys("a", " ")
	pass(11 * time.Minute)
	r.shows("question 1 of 2")
	r.keys("a")
	require.False(t, f.covered)
	r.keys("c09:37", "<enter>")
	require.True(t, f.covered)
	r.shows("no question after this")
	r.keys(" ")
	pass(time.Minute)
	r.isAt("09:38:00")
	r.keys("c09:15", "<enter>")
	r.shows("next at question 1 of 2")
	pass(10 * time.Minute)
	r.isAt("09:20:00")
	r.shows("question 1 of 2")
	r.keys("c09:36", "<enter>", " ")
	pass(time.Second)
	r.isAt("09:36:00") // one that is of the moment itself is asked
	r.shows("question 2 of 2")
	r.keys(" ")
	pass(time.Hour)
	r.isAt("10:00:00")
	r.keys(" ")
	pass(11 * time.Minute)
	r.isAt("09:20:00")
	r.shows("question 1 of 2")
}

func TestItStopsAtEachQuestionAndTellsWhenAsked(t *testing.T) {
	r, f, pass := playing(t)
	r.keys("a")
	require.True(t, f.covered)
	r.shows("next at question 1 of 2")
	r.keys(" ")
	pass(9 * time.Minute)
	r.isAt("09:19:00")
	pass(2 * time.Minute)
	r.isAt("09:20:00") // not 09:21
	require.True(t, f.clock.Setting().Paused)
	require.True(t, f.covered)
	r.shows("question 1 of 2")
	r.keys("ehe tunes…", "<enter>")
	require.Equal(t, []string{"09:20:00 he tunes…"}, f.remarks)
	r.keys("a")
	require.False(t, f.covered)
	r.shows("TO BE DONE  tune NAV1 KVN was due: in time, +0:20 after")
	r.keys(" ")
	require.True(t, f.covered, "what comes next is hidden again")
	pass(time.Minute)
	r.isAt("09:21:00")
	r.keys("<right>")
	r.isAt("09:36:00")
	require.NotContains(t, fmt.Sprint(screentest.Bare(r.Rows(120, 36))), "tank to left: late", "a mistake would tell")
	r.keys("a")
	r.shows("tank to left was due: late")
	r.shows("cruise check was due: unanswered")
	r.keys("<right>")
	r.shows("no question after this")
	r.keys("<left>")
	r.isAt("09:20:00")
	r.shows("question 1 of 2")
	r.keys("a", "a")
	require.False(t, f.covered)
	r.shows("TURNED OUT")
}
