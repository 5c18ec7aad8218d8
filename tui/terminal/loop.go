package terminal

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/tui/paint"
)

// Sizes for a terminal that does not know its own.
const (
	assumedWidth  = 80
	assumedHeight = 24
	sizeWait      = time.Second // how long it is asked first
)

// startingTicks is how many ticks starting lasts.
const startingTicks = 3

type (
	sizeMsg      struct{ width, height int } // what the renderer must not see as tea.WindowSizeMsg
	resizedMsg   struct{}                    // SIGWINCH
	sizeUnknown  struct{}                    // sizeWait is over
	suspendMsg   struct{}                    // SIGTSTP
	continuedMsg struct{}                    // SIGCONT that no stop of ours was waiting for
)

// loop is the tea.Model around a Screen.
type loop struct {
	*Program
	painter *paint.Painter
	width   int // 0: unknown
	height  int

	chain int // of ticks
	ticks int // so far

	interrupting bool // the last key was Ctrl-C
	crashed      bool // the Screen panicked: it is not called again

	// What the messages of one Update ask for.
	redraw, ring bool
	commands     []tea.Cmd
}

func newLoop(p *Program) *loop {
	return &loop{Program: p, painter: paint.New(p.options.Output)}
}

func (l *loop) Init() (command tea.Cmd) {
	defer l.recoverScreen(&command)
	l.commands = []tea.Cmd{tickAt(l.now(), l.chain), l.guard(l.screen.Init())}
	l.askSize()
	if l.width == 0 {
		l.commands = append(l.commands, tea.Tick(sizeWait, func(time.Time) tea.Msg { return sizeUnknown{} }))
	}
	l.paint()
	return tea.Batch(l.commands...)
}

// View gives Bubble Tea's renderer, where there is one, something that is not empty and shows nothing.
func (l *loop) View() string { return "\x1b[m" }

func (l *loop) Update(msg tea.Msg) (_ tea.Model, command tea.Cmd) {
	if l.crashed {
		return l, nil
	}
	defer l.recoverScreen(&command)
	l.redraw, l.ring, l.commands = false, false, nil
	l.logMessage(msg)
	l.route(msg)
	l.paint()
	return l, tea.Batch(l.commands...)
}

// recoverScreen is deferred around every call of the Screen.
func (l *loop) recoverScreen(command *tea.Cmd) {
	if value := recover(); value != nil {
		l.crashed = true
		*command = nil
		l.crash(value, debug.Stack())
	}
}

func (l *loop) route(msg tea.Msg) {
	switch msg := msg.(type) {
	case tickMsg:
		l.tick(msg)
	case tea.KeyMsg:
		for _, key := range singleKeys(msg) {
			l.key(key)
		}
	case sizeMsg:
		l.resize(msg.width, msg.height)
	case resizedMsg:
		l.askSize()
	case sizeUnknown:
		if l.width == 0 {
			l.resize(assumedWidth, assumedHeight)
		}
	case suspendMsg:
		l.suspend(thisProcess())
	case continuedMsg:
		l.takeTerminalAnew()
	default:
		l.pass(msg)
	}
}

// pass hands a message to the Screen and notes what it asks for.
func (l *loop) pass(msg tea.Msg) {
	effect := l.screen.Update(msg)
	l.redraw = l.redraw || effect.Redraw
	l.ring = l.ring || effect.Ring
	if effect.Command != nil {
		l.commands = append(l.commands, l.guard(effect.Command))
	}
}

func (l *loop) key(key tea.KeyMsg) {
	again := l.interrupting && key.Type == tea.KeyCtrlC
	l.interrupting = key.Type == tea.KeyCtrlC
	switch {
	case again:
		l.end(ErrInterrupted)
	case key.Type == tea.KeyCtrlZ:
		l.suspend(processGroup)
	case key.Paste && !l.screen.Typing():
		// Text for another window must not become acts.
	default:
		l.pass(key)
	}
}

func (l *loop) resize(width, height int) {
	if width <= 0 || height <= 0 || width == l.width && height == l.height {
		return
	}
	l.width, l.height = width, height
	l.redraw = true
	l.pass(tea.WindowSizeMsg{Width: width, Height: height})
}

func (l *loop) tick(msg tickMsg) {
	if msg.chain != l.chain {
		return
	}
	l.commands = append(l.commands, tickAt(l.now(), l.chain))
	if runtime.GOOS == "windows" { // which does not tell of a change
		l.askSize()
	}
	l.pass(Tick{At: l.now()})
	if l.ticks++; l.ticks == startingTicks {
		l.commands = append(l.commands, l.settle)
	}
}

// resumed starts a new chain of ticks at once and tells the Screen.
func (l *loop) resumed(away time.Duration) {
	l.chain++
	l.commands = append(l.commands, tickAt(l.now(), l.chain))
	l.painter.Forget()
	l.askSize()
	l.redraw = true
	l.pass(Resumed{At: l.now(), Away: away})
}

// paint writes the frame if the Screen asked for it and the size is known.
func (l *loop) paint() {
	if l.ring {
		l.painter.Ring()
	}
	if l.width == 0 || !l.redraw && !l.ring {
		return
	}
	rows := l.screen.Rows(l.width, l.height)
	for len(rows) < l.height {
		rows = append(rows, "")
	}
	if err := l.painter.Paint(l.width, rows[:l.height]); err != nil {
		l.end(fmt.Errorf("%w: %w", ErrHungUp, err))
	}
}

func (l *loop) now() time.Time { return l.options.Now().Round(0) }

func (l *loop) logMessage(msg tea.Msg) {
	if _, tick := msg.(tickMsg); tick || l.options.MessageLog == nil {
		return
	}
	fmt.Fprintf(l.options.MessageLog, "%s %T %+v\n", l.now().UTC().Format("15:04:05.000"), msg, msg)
}

// tickMsg wakes the loop at a wall second. One of another chain than the loop's is left over from before a stop.
type tickMsg struct{ chain int }

// tickAt returns a command that delivers the tick of the coming wall second. It aims a millisecond behind the second, so
// that a clock that is being slowed down does not give two ticks in one.
func tickAt(now time.Time, chain int) tea.Cmd {
	wait := now.Truncate(time.Second).Add(time.Second + time.Millisecond).Sub(now)
	timer := time.NewTimer(wait)
	return func() tea.Msg {
		<-timer.C
		return tickMsg{chain}
	}
}

// singleKeys takes a key message apart into the keys that were pressed. Alt with Esc is Esc (see unambiguous). A paste stays one message, with
// its control characters removed and its line breaks and tabs made spaces.
func singleKeys(msg tea.KeyMsg) []tea.KeyMsg {
	if msg.Paste {
		msg.Runes = []rune(strings.Map(pastedRune, string(msg.Runes)))
		return []tea.KeyMsg{msg}
	}
	var keys []tea.KeyMsg
	if msg.Alt {
		if msg.Type == tea.KeyEsc {
			return []tea.KeyMsg{{Type: tea.KeyEsc}}
		}
		// One byte or character after ESC may be two presses; an arrow with Alt is a sequence of its own.
		if msg.Type < 0 && msg.Type != tea.KeyRunes && msg.Type != tea.KeySpace {
			return nil
		}
		msg.Alt = false
		keys = append(keys, tea.KeyMsg{Type: tea.KeyEsc})
	}
	if msg.Type != tea.KeyRunes {
		return append(keys, msg)
	}
	for _, r := range msg.Runes {
		key := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
		if r == ' ' {
			key.Type = tea.KeySpace
		}
		keys = append(keys, key)
	}
	return keys
}

func pastedRune(r rune) rune {
	switch {
	case r == '\n' || r == '\r' || r == '\t':
		return ' '
	case unicode.IsControl(r):
		return -1
	}
	return r
}
