package terminal

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/paint"
)

// fakeScreen keeps what it is told and answers as it is set.
type fakeScreen struct {
	got     []tea.Msg
	effect  Effect
	drawn   int
	typing  bool
	tooMany bool
}

func (s *fakeScreen) Init() tea.Cmd { return nil }
func (s *fakeScreen) Typing() bool  { return s.typing }

func (s *fakeScreen) Update(msg tea.Msg) Effect {
	s.got = append(s.got, msg)
	return s.effect
}

func (s *fakeScreen) Rows(width, height int) []string {
	s.drawn++
	if s.tooMany {
		height += 3
	}
	rows := make([]string, height)
	for i := range rows {
		rows[i] = strings.Repeat("x", width)
	}
	return rows
}

// desk is a loop under test: its clocks, its screen and what it wrote.
type desk struct {
	*loop
	screen *fakeScreen
	out    strings.Builder
	log    strings.Builder
	wall   time.Time
}

func newDesk() *desk {
	d := &desk{screen: &fakeScreen{}, wall: time.Date(2026, 6, 14, 9, 10, 4, 0, time.UTC)}
	d.loop = newLoop(New(d.screen, Options{
		Output: os.Stderr, Now: func() time.Time { return d.wall },
		MessageLog: &d.log,
	}))
	d.painter = paint.New(&d.out)
	return d
}

type otherMsg struct{ text string }

func TestFrameIsBuiltOnlyWhenAskedFor(t *testing.T) {
	d := newDesk()
	d.Update(sizeMsg{10, 3})
	require.Equal(t, 1, d.screen.drawn)
	d.out.Reset()

	d.Update(otherMsg{"nothing to see"})
	assert.Equal(t, 1, d.screen.drawn)
	assert.Empty(t, d.out.String())

	d.screen.effect = Effect{Redraw: true}
	d.Update(otherMsg{"looks the same"})
	assert.Equal(t, 2, d.screen.drawn)
	assert.Empty(t, d.out.String())

	d.screen.effect = Effect{Redraw: true, Ring: true}
	d.Update(otherMsg{"alarm"})
	assert.Equal(t, "\a", d.out.String())
}

func TestNothingIsDrawnBeforeTheSizeIsKnown(t *testing.T) {
	d := newDesk()
	d.screen.effect = Effect{Redraw: true}
	d.Update(sizeMsg{0, 0})
	d.Update(otherMsg{"early"})
	d.Update(tickMsg{d.chain})
	assert.Zero(t, d.screen.drawn)
	assert.IsType(t, Tick{}, d.screen.got[1], "time goes on")

	d.Update(sizeUnknown{})
	assert.Equal(t, 1, d.screen.drawn)
	assert.Equal(t, tea.WindowSizeMsg{Width: 80, Height: 24}, d.screen.got[2])
	d.Update(sizeMsg{100, 30})
	d.Update(sizeUnknown{})
	d.Update(sizeMsg{0, 0})
	assert.Equal(t, 100, d.width, "a size that is known stays")
}

func TestEqualSizesAreIgnored(t *testing.T) {
	d := newDesk()
	d.Update(sizeMsg{10, 3})
	d.Update(sizeMsg{10, 3})
	assert.Len(t, d.screen.got, 1)
	assert.Equal(t, 1, d.screen.drawn)
}

func TestTooManyRowsAreCut(t *testing.T) {
	d := newDesk()
	d.screen.tooMany = true
	d.Update(sizeMsg{10, 3})
	assert.NotContains(t, d.out.String(), "\x1b[4;1H")
}

func TestOneChainOfTicks(t *testing.T) {
	d := newDesk()
	_, next := d.Update(tickMsg{d.chain})
	assert.NotNil(t, next)
	_, next = d.Update(tickMsg{d.chain - 1})
	assert.Nil(t, next, "an old chain ends")
	assert.Len(t, d.screen.got, 1)
}

func TestTickHasNoMonotonicReading(t *testing.T) {
	d := newDesk()
	d.options.Now = time.Now
	d.Update(tickMsg{d.chain})
	at := d.screen.got[0].(Tick).At
	assert.Equal(t, at.Round(0), at)
	assert.NotContains(t, at.String(), "m=")
}

func TestTickAimsAtTheWallSecond(t *testing.T) {
	almost := time.Date(2026, 6, 14, 9, 10, 4, 990_000_000, time.UTC)
	done := make(chan tea.Msg)
	go func() { done <- tickAt(almost, 7)() }()
	select {
	case msg := <-done: // within some ten milliseconds
		assert.Equal(t, tickMsg{7}, msg)
	case <-time.After(900 * time.Millisecond):
		t.Fatal("not aimed at the coming second")
	}
}

func TestSingleKeys(t *testing.T) {
	runes := func(text string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)} }
	alt := func(key tea.KeyMsg) tea.KeyMsg { key.Alt = true; return key }
	for name, c := range map[string]struct {
		msg  tea.KeyMsg
		want string
	}{
		"one":                 {runes("p"), "p"},
		"several in one read": {runes("ptté"), "p|t|t|é"},
		"a space among them":  {runes("a b"), "a| |b"},
		"enter":               {tea.KeyMsg{Type: tea.KeyEnter}, "enter"},
		"an arrow":            {tea.KeyMsg{Type: tea.KeyLeft}, "left"},
		"Esc and a letter":    {alt(runes("p")), "esc|p"},
		"Esc and a space":     {alt(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}), "esc| "},
		"Esc and Enter":       {alt(tea.KeyMsg{Type: tea.KeyEnter}), "esc|enter"},
		"Esc, said twice":     {alt(tea.KeyMsg{Type: tea.KeyEsc}), "esc"},
		"Alt and an arrow":    {alt(tea.KeyMsg{Type: tea.KeyLeft}), ""},
		"a paste, cleaned":    {tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("a\r\nb\tc\x1b[1m"), Paste: true}, "[a  b c[1m]"},
	} {
		t.Run(name, func(t *testing.T) {
			var names []string
			for _, key := range singleKeys(c.msg) {
				assert.False(t, key.Alt)
				names = append(names, key.String())
			}
			assert.Equal(t, c.want, strings.Join(names, "|"))
		})
	}
}

func TestMessageLogHasEverythingButTicks(t *testing.T) {
	d := newDesk()
	d.Update(tickMsg{d.chain})
	d.Update(otherMsg{"from a feed"})
	d.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("pt")})
	assert.Equal(t, "09:10:04.000 terminal.otherMsg {text:from a feed}\n09:10:04.000 tea.KeyMsg pt\n", d.log.String())
}

type failingWriter struct{}

func (failingWriter) Write([]byte) (int, error) { return 0, errors.New("gone") }

func TestFailedPaintEnds(t *testing.T) {
	d := newDesk()
	d.painter = paint.New(failingWriter{})
	d.Update(sizeMsg{10, 3})
	require.ErrorIs(t, d.outcome(nil), ErrHungUp)
}

func TestFirstReasonStandsButACrashOutranksIt(t *testing.T) {
	p := New(&fakeScreen{}, Options{})
	p.because(ErrHungUp)
	p.because(ErrTerminated)
	assert.Equal(t, ErrHungUp, p.outcome(nil))
	crash := &Crash{Value: "first"}
	p.because(crash)
	p.because(&Crash{Value: "second"})
	assert.Equal(t, crash, p.outcome(errors.New("whatever followed")))
}

func TestExitCode(t *testing.T) {
	// sysexits.h has EX_SOFTWARE 70; shells report 128 + n for an end by signal n (POSIX, Shell and Utilities 2.8.2, says
	// more than 128; the sum is common practice).
	for want, err := range map[int]error{
		0: nil, 1: errors.New("else"), 2: ErrNoTerminal, 70: &Crash{}, 129: ErrHungUp, 130: ErrInterrupted, 143: ErrTerminated,
	} {
		assert.Equal(t, want, ExitCode(err))
		if err != nil {
			assert.Equal(t, want, ExitCode(errors.Join(errors.New("flying"), err)), "wrapped")
		}
	}
}

func TestCrashText(t *testing.T) {
	crash := Crash{Value: errors.New("index out of range\ngoroutine 1"), File: "c/crash.txt", Journal: "flight.log"}
	assert.Equal(t, "stopped by a fault in the program: index out of range\n"+
		"what happened is written in c/crash.txt; please send it with your report\n"+
		"every entry that was acknowledged is in flight.log", crash.Error())
	assert.Equal(t, "stopped by a fault in the program: x\nno crash file could be written\nno flight was being recorded",
		(&Crash{Value: "x"}).Error())
}

func TestCrashFiles(t *testing.T) {
	d := newDesk()
	d.options.CrashDir = t.TempDir() + "/made/when/needed"
	first, second := d.writeCrash("one", nil), d.writeCrash("two", nil)
	assert.Equal(t, d.options.CrashDir+"/crash-20260614T091004Z.txt", first)
	assert.Equal(t, d.options.CrashDir+"/crash-20260614T091004Z-2.txt", second)
	text, err := os.ReadFile(first)
	require.NoError(t, err)
	assert.Contains(t, string(text), "panic: one")
}

// BenchmarkQuietMessage is a message that changes nothing visible, such as a position from a feed.
func BenchmarkQuietMessage(b *testing.B) {
	d := newDesk()
	d.options.MessageLog = nil
	d.Update(sizeMsg{120, 40})
	d.screen.got = make([]tea.Msg, 0, 1)
	for b.Loop() {
		d.screen.got = d.screen.got[:0]
		d.Update(otherMsg{})
	}
}
