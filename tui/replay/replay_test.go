package replay_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
		moment("09:20:00", replay.Prompt, "", "NAV1 to KVN was due: in time, +0:20 after"),
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
func (f *flown) Turn()                      { f.hindsight = !f.hindsight }
func (f *flown) Check(flight.Event) error   { return nil }
func (f *flown) Apply(flight.Event) error   { return nil }
func (f *flown) Undoable() *flight.Event    { return nil }
func (f *flown) Setting() clock.Setting     { return f.clock.Setting() }

func (f *flown) Turned(flight.Snapshot) []replay.Words {
	return []replay.Words{
		{Long: "KVN 09:44:00Z, ETA was out +1:52 (1.4 of its ±)", Short: "KVN +1:52 (1.4 of ±)"},
		{Long: "speed was 92 kt, used 101", Short: "92 kt for 101"},
		{Long: "apart 9.4 at the change, expected 8.0", Short: "apart 9.4 for 8.0"},
		{Long: "arrival out +4:10", Short: "arrival +4:10"},
	}
}

func (f *flown) Remark(at time.Time, text string) error {
	if f.broken != nil {
		return f.broken
	}
	f.remarks = append(f.remarks, at.Format(time.TimeOnly)+" "+text)
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
		Flight: f, Clock: f.clock, FreeClock: true, Footer: replay.New(f, f.clock), Theme: "plain", Profile: termenv.Ascii,
	})
	require.NoError(t, err)
	return &rig{root, t, f}
}

func (r *rig) keys(typed ...string) {
	named := map[string]tea.KeyMsg{
		" ": {Type: tea.KeySpace}, "<left>": {Type: tea.KeyLeft}, "<right>": {Type: tea.KeyRight}, "<enter>": {Type: tea.KeyEnter},
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
			r.keys("X")
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
	r.keys("t", "09:25", "<enter>")
	r.isAt("09:25:00")
	r.keys("<right>")
	r.isAt("09:31:00")
	r.shows("passing DAM")
	r.keys("<right>")
	r.isAt("09:40:00") // a mistake and a remark are no entries
	r.keys("<left>", "<left>")
	r.isAt("09:20:20")
	r.keys("p", "p")
	r.isAt("09:44:00")
	r.keys("p")
	r.isAt("09:44:00")
	r.shows("no passing after this")
	r.keys("P")
	r.isAt("09:31:00")
	r.keys("O")
	r.isAt("09:20:00")
	r.shows("NAV1 to KVN was due")
	r.keys("x")
	r.isAt("09:36:00")
	r.keys("X")
	r.shows("no mistake before this")
	r.keys("]")
	r.isAt("09:37:00")
	r.keys("[", "[")
	r.isAt("09:35:00")
}

func TestAJumpStaysWithinTheFlight(t *testing.T) {
	r := newRig(t)
	r.keys("t", "12:00", "<enter>")
	r.isAt("10:00:00")
	r.keys("t", "08:00", "<enter>")
	r.isAt("09:10:00")
	r.keys("t", "tomorrow", "<enter>")
	r.isAt("09:10:00")
	r.shows("10:42:30") // what would be right
}

func TestItPlaysAtARateAndHaltsAtItsEnd(t *testing.T) {
	now := screentest.Cruise().At
	f := newFlown(screentest.Cruise())
	f.clock = clock.NewReplay(clock.Setting{Wall: now, Flight: at("09:59:00"), Rate: 1, Paused: true}, func() time.Time { return now })
	root, err := tui.New(tui.Options{Flight: f, Clock: f.clock, FreeClock: true, Footer: replay.New(f, f.clock), Theme: "plain", Profile: termenv.Ascii})
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
	r.shows("KNOWN THEN")
	r.keys("v")
	require.True(t, r.flight.hindsight)
	r.shows("HINDSIGHT")
	r.keys("v")
	r.shows("KNOWN THEN")
}

func TestARemarkIsKeptAtItsMoment(t *testing.T) {
	r := newRig(t)
	r.keys("X", "e", "too late", "<enter>")
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
	for _, pressed := range []string{"1", "2", "3", "4", "5", "-", "+", "[", "]", "?", "q", "l", "tab", "c"} {
		require.Empty(t, taken[pressed], "%q is a key of the root's", pressed)
	}
}
