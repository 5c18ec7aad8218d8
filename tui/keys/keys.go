package keys

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/tui/screen"
)

// Global are the keys that work on every screen.
type Global struct {
	// Acts of the flight: one key each, recorded at the moment of the key.
	Passing  key.Binding
	Overhead key.Binding
	Take     key.Binding
	Tank     key.Binding
	Done     key.Binding
	Skip     key.Binding
	Snooze   key.Binding
	Undo     key.Binding

	// Acts that need words.
	Earlier key.Binding
	Enter   key.Binding

	// The flight clock.
	Slower   key.Binding
	Faster   key.Binding
	Pause    key.Binding
	SetClock key.Binding
	Back     key.Binding // only where the clock is free: a replay
	Ahead    key.Binding

	// The screen.
	Screens  []key.Binding // one per screen.Names, in that order
	Next     key.Binding
	Previous key.Binding
	Theme    key.Binding
	Bell     key.Binding
	Divert   key.Binding
	Help     key.Binding
	Hands    key.Binding
	Check    key.Binding
	Quit     key.Binding
	Close    key.Binding
}

// NewGlobal returns the global keys, all enabled.
func NewGlobal() Global {
	g := Global{
		Passing:  bind("passing the next point now", "p"),
		Overhead: bind("overhead the leg's end now", "o"),
		Take:     bind("yes, the passing that the feed shows", "y"),
		Tank:     bind("tank changed now", "t"),
		Done:     bind("done: what the first prompt asks for", " ", "enter"),
		Skip:     bind("skip the first prompt", "x"),
		Snooze:   bind("first prompt again in 2 minutes", "z"),
		Undo:     bind("undo the last entry", "u"),

		Earlier: bind("the next act was earlier: give its time first", "b"),
		Enter:   bind("enter anything: steer, fix, gauges, qnh, wind, divert, note …", "e", ":"),

		Slower:   bind("clock slower", "-"),
		Faster:   bind("clock faster", "+", "="),
		Pause:    bind("pause or run the clock", "0"),
		SetClock: bind("set the clock", "c"),
		Back:     bind("replay: a minute back", "["),
		Ahead:    bind("replay: a minute ahead", "]"),

		Next:     bind("next screen", "tab"),
		Previous: bind("screen before", "shift+tab"),
		Theme:    bind("light: terminal, day, dusk, plain", "l"),
		Bell:     bind("bell on or off", "m"),
		Divert:   bind("diversion: the alternates, heading, distance, turn", "d"),
		Help:     bind("help", "?", "f1"),
		Hands:    bind("hands on or off", "h"),
		Check:    bind("quick check: ten figures by the clock, or end it", "C"),
		Quit:     bind("quit", "q", "ctrl+c"),
		Close:    bind("close", "esc"),
	}
	for i, name := range screen.Names() {
		g.Screens = append(g.Screens, bind(string(name), string(rune('1'+i))))
	}
	return g
}

// Acts are the keys that record.
func (g Global) Acts() []key.Binding {
	return []key.Binding{g.Done, g.Passing, g.Overhead, g.Take, g.Tank, g.Skip, g.Snooze, g.Undo, g.Earlier, g.Enter}
}

// Clock are the keys of the flight clock.
func (g Global) Clock() []key.Binding {
	return []key.Binding{g.Slower, g.Faster, g.Pause, g.SetClock, g.Back, g.Ahead}
}

// Screen are the keys that change only what is shown, and the way out.
func (g Global) Screen() []key.Binding {
	return append(append([]key.Binding{}, g.Screens...), g.Divert, g.Next, g.Previous, g.Theme, g.Bell, g.Hands, g.Check, g.Help, g.Close, g.Quit)
}

// All are all of them.
func (g Global) All() []key.Binding { return append(append(g.Acts(), g.Clock()...), g.Screen()...) }

// Question are the keys while something waits for a yes.
type Question struct{ Yes, No key.Binding }

// NewQuestion returns the keys of a question.
func NewQuestion() Question {
	return Question{Yes: bind("yes", "y"), No: bind("no", "n", "esc")}
}

// All are both of them.
func (q Question) All() []key.Binding { return []key.Binding{q.Yes, q.No} }

// Line are the keys of the entry line, beside typing.
type Line struct{ Accept, Cancel, Complete, Erase key.Binding }

// NewLine returns the keys of the entry line.
func NewLine() Line {
	return Line{
		Accept:   bind("record it", "enter"),
		Cancel:   bind("close, nothing recorded", "esc"),
		Complete: bind("finish the word", "tab"),
		Erase:    bind("erase the line", "ctrl+u"),
	}
}

// All are all of them.
func (l Line) All() []key.Binding { return []key.Binding{l.Accept, l.Cancel, l.Complete, l.Erase} }

// List are the keys of a screen that scrolls.
type List struct{ Up, Down, PageUp, PageDown, Top, Bottom key.Binding }

// NewList returns the keys of a list.
func NewList() List {
	return List{
		Up:       bind("up", "up", "k"),
		Down:     bind("down", "down", "j"),
		PageUp:   bind("page up", "pgup"),
		PageDown: bind("page down", "pgdown"),
		Top:      bind("first", "home"),
		Bottom:   bind("last", "end"),
	}
}

// All are all of them.
func (l List) All() []key.Binding {
	return []key.Binding{l.Up, l.Down, l.PageUp, l.PageDown, l.Top, l.Bottom}
}

// Move is where a mark goes that stands at a row of a list up to last, by the key that was pressed; moved is false for one that moves nothing.
func (l List) Move(msg tea.KeyMsg, at, last, page int) (to int, moved bool) {
	for _, step := range []struct {
		key key.Binding
		to  int
	}{{l.Up, at - 1}, {l.Down, at + 1}, {l.PageUp, at - page}, {l.PageDown, at + page}, {l.Top, 0}, {l.Bottom, last}} {
		if key.Matches(msg, step.key) {
			return max(0, min(step.to, last)), true
		}
	}
	return at, false
}

// bind makes a binding whose help shows its keys.
func bind(does string, names ...string) key.Binding { return New(does, names...) }

// New makes a binding whose help shows its keys as they are engraved.
func New(does string, names ...string) key.Binding {
	return key.NewBinding(key.WithKeys(names...), key.WithHelp(Engraved(names), does))
}
