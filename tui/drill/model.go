// Package drill is the full screen of the exercises: choose a topic and a level, answer, see the verdict and the worked answer, see how
// one stands; and the bearing-change check with a needle that moves.
//
// It marks nothing and keeps nothing itself: exercises, verdicts and the choice of what comes next are package internal/drill's, and an
// attempt goes to Options.Record before it is echoed. It reads no clock but those of its Options, and only in Update: Rows is a
// function of the model and the size.
package drill

import (
	"fmt"
	"slices"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// Options are what the screen is made of. Now and Elapsed are required.
type Options struct {
	Progress drill.Progress
	Record   func(drill.Attempt) error // keeps an attempt; nil: nothing is kept
	Now      func() time.Time          // wall clock
	Elapsed  func() time.Duration      // time passed since any fixed moment

	Wish  drill.Wish
	Seed  uint64 // of the first exercise; the next ones have the numbers after it
	Count int    // how many exercises; 0: no end
	Begin bool   // with a question, not with the choice of topics

	Theme   string // by name; empty: the first of theme.Names
	Profile termenv.Profile
	ASCII   bool
	Silent  bool // no bell
}

// mode is what is in front.
type mode int

const (
	choosing mode = iota // topic and level
	asking               // a question, the answer line open
	marked               // the verdict
	standing             // progress
	timing               // the live check
)

// Model is the whole screen.
type Model struct {
	Options
	theme theme.Theme
	keys  keyMap
	mode  mode

	choice int               // row of the chooser
	scroll int               // first row of the progress table, or how far the text of a question was moved
	size   tea.WindowSizeMsg // of the screen, as it was told

	exercise drill.Exercise
	typed    string
	verdict  drill.Verdict
	askedAt  time.Duration
	at       time.Duration // when Update last looked, by Elapsed
	now      time.Time     // the same by Now
	waiting  []drill.Exercise
	live     liveCheck

	tally drill.Tally
	run   int    // exercises answered since the last choice
	said  string // one line, until the next key
}

// New makes the screen. An unknown theme is an error.
func New(o Options) (*Model, error) {
	if o.Theme == "" {
		o.Theme = theme.Names()[0]
	}
	m := &Model{Options: o, keys: newKeys()}
	if err := m.dress(o.Theme); err != nil {
		return nil, err
	}
	m.choice = rowOf(o.Wish.Topic)
	m.readClocks()
	if o.Begin {
		m.next()
	}
	return m, nil
}

// readClocks notes what both clocks show now.
func (m *Model) readClocks() { m.at, m.now = m.Elapsed(), m.Now() }

// dress puts a theme on.
func (m *Model) dress(name string) error {
	look, err := theme.Named(name, m.Profile)
	if err == nil {
		look.ASCII = m.ASCII
		m.Theme, m.theme = name, look
	}
	return err
}

// Tally counts the answers of this sitting.
func (m *Model) Tally() drill.Tally { return m.tally }

// Init asks for nothing.
func (m *Model) Init() tea.Cmd { return nil }

// Typing reports whether the answer line is open.
func (m *Model) Typing() bool { return m.mode == asking }

// Update routes a message.
func (m *Model) Update(msg tea.Msg) terminal.Effect {
	m.readClocks()
	switch msg := msg.(type) {
	case tea.KeyMsg:
		m.said = ""
		return m.press(msg)
	case terminal.Tick:
		return terminal.Effect{Redraw: m.mode == asking}
	case needleTick:
		return m.moved(msg)
	case terminal.Resumed:
		m.resumed(msg)
	case tea.WindowSizeMsg:
		m.size = msg
	default:
		return terminal.Effect{}
	}
	return terminal.Effect{Redraw: true}
}

// resumed takes the time away from that of the answer. A needle can't be stopped.
func (m *Model) resumed(msg terminal.Resumed) {
	m.askedAt += msg.Away
	if m.mode == timing {
		m.begin(choosing)
		m.said = "the needle went on without you: begin the check again"
	}
}

// begin turns to another mode.
func (m *Model) begin(to mode) { m.mode, m.scroll = to, 0 }

// next asks the question that waits, or begins another check, or chooses an exercise; after the last of Count it shows how the
// student stands.
func (m *Model) next() terminal.Effect {
	switch {
	case len(m.waiting) > 0:
		m.ask(m.waiting[0])
		m.waiting = m.waiting[1:]
	case m.Count > 0 && m.run >= m.Count:
		m.begin(standing)
		m.said = "that was the last: " + m.tally.String()
	case m.live.flown:
		return m.startLive()
	default:
		choice := m.Progress.Next(m.Wish, m.now)
		m.ask(drill.MakeTask(choice.Item, m.Seed))
		m.Seed = m.exercise.Seed + 1
		if choice.Ahead {
			m.said = "nothing is due until " + choice.Due.UTC().Format("2 January 15:04Z") + ": this is practice ahead"
		}
	}
	return terminal.Effect{Redraw: true}
}

func (m *Model) ask(e drill.Exercise) {
	m.begin(asking)
	m.exercise, m.typed, m.askedAt = e, "", m.at
}

// mark marks the answer and keeps the attempt. What cannot be read stays in the line.
func (m *Model) mark(text string) terminal.Effect {
	v := m.exercise.Mark(text, m.at-m.askedAt)
	if !v.Outcome.Counts() {
		m.said = v.Problem
		return terminal.Effect{Redraw: true}
	}
	attempt := drill.AttemptOf(m.exercise, v, m.now)
	if m.Record != nil {
		if err := m.Record(attempt); err != nil {
			m.said = "not kept: " + err.Error()
		}
	}
	m.Progress.Add(attempt)
	m.tally.Add(v)
	m.run++
	m.verdict = v
	m.begin(marked)
	return terminal.Effect{Redraw: true, Ring: v.Outcome == drill.Wrong && !m.Silent}
}

// keyMap are the keys of every mode.
type keyMap struct {
	list                              keys.List
	lower, higher                     key.Binding // level
	begin, standing, light, back, end key.Binding
	answer, erase, giveUp             key.Binding
	next, watch                       key.Binding
}

func newKeys() keyMap {
	return keyMap{
		list:     keys.NewList(),
		lower:    keys.New("easier", "left"),
		higher:   keys.New("harder", "right"),
		begin:    keys.New("begin", "enter", " "),
		standing: keys.New("how you stand", "p"),
		light:    keys.New("light", "l"),
		back:     keys.New("topics", "esc"),
		end:      keys.New("quit", "q", "ctrl+c"),
		answer:   keys.New("answer", "enter"),
		erase:    keys.New("erase the line", "ctrl+u"),
		giveUp:   keys.New("show me", "?"),
		next:     keys.New("next", "enter", " ", "n"),
		watch:    keys.New("stopwatch", " ", "enter"),
	}
}

// shown lists the keys of the mode that is in front, in few words.
func (m *Model) shown() []key.Binding {
	k := m.keys
	move := func(does string) key.Binding { return said(k.list.Up, "up down", does) }
	switch m.mode {
	case choosing:
		return []key.Binding{
			said(k.begin, "enter", "begin"), move("topic"), said(k.lower, "left right", "level"), k.standing, k.light, said(k.end, "q", "quit"),
		}
	case asking:
		return []key.Binding{k.answer, k.giveUp, k.erase, k.back}
	case marked:
		return []key.Binding{said(k.next, "enter", "next"), k.back, k.standing, k.light, said(k.end, "q", "quit")}
	case standing:
		return []key.Binding{move("move"), k.back, k.light, said(k.end, "q", "quit")}
	case timing:
		return []key.Binding{said(k.watch, "space", "stopwatch"), k.back, said(k.end, "q", "quit")}
	}
	return nil
}

// said is a binding with other words for it.
func said(binding key.Binding, name, does string) key.Binding {
	binding.SetHelp(name, does)
	return binding
}

// press routes a key by mode.
func (m *Model) press(msg tea.KeyMsg) terminal.Effect {
	if m.mode == asking {
		return m.write(msg)
	}
	switch {
	case key.Matches(msg, m.keys.end):
		return terminal.Effect{Command: tea.Quit}
	case key.Matches(msg, m.keys.light) && m.mode != timing:
		m.nextTheme()
	case key.Matches(msg, m.keys.standing) && (m.mode == choosing || m.mode == marked):
		m.begin(standing)
	case key.Matches(msg, m.keys.back):
		m.waiting = nil
		m.begin(choosing)
	default:
		return m.pressIn(msg)
	}
	return terminal.Effect{Redraw: true}
}

// pressIn takes the keys that mean something in one mode only.
func (m *Model) pressIn(msg tea.KeyMsg) terminal.Effect {
	switch m.mode {
	case choosing:
		return m.choose(msg)
	case marked:
		if key.Matches(msg, m.keys.next) {
			return m.next()
		}
		m.move(msg)
	case standing:
		m.scrollBy(msg)
	case timing:
		return m.stopwatch(msg)
	}
	return terminal.Effect{Redraw: true}
}

// move reads on in a question, by keys that are no letters: those may be typed.
func (m *Model) move(msg tea.KeyMsg) {
	switch msg.Type {
	case tea.KeyUp:
		m.readOn(-1)
	case tea.KeyDown:
		m.readOn(1)
	}
}

// nextTheme turns to the next light.
func (m *Model) nextTheme() {
	names := theme.Names()
	next := names[(slices.Index(names, m.Theme)+1)%len(names)]
	if err := m.dress(next); err != nil {
		m.said = err.Error()
	}
}

// longestAnswer is more than any answer needs.
const longestAnswer = 24

// write edits the answer line.
func (m *Model) write(msg tea.KeyMsg) terminal.Effect {
	runes := []rune(m.typed)
	switch {
	case key.Matches(msg, m.keys.back):
		m.waiting = nil
		m.begin(choosing)
	case msg.Type == tea.KeyCtrlC:
		return terminal.Effect{Command: tea.Quit}
	case key.Matches(msg, m.keys.giveUp):
		return m.mark("")
	case key.Matches(msg, m.keys.answer):
		if m.typed == "" {
			m.said = "type an answer, or ? for the worked answer"
			break
		}
		return m.mark(m.typed)
	case key.Matches(msg, m.keys.erase):
		m.typed = ""
	case msg.Type == tea.KeyUp || msg.Type == tea.KeyDown:
		m.move(msg)
	case msg.Type == tea.KeyBackspace && len(runes) > 0:
		m.typed = string(runes[:len(runes)-1])
	case msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace:
		if runes = append(runes, msg.Runes...); len(runes) > longestAnswer {
			m.said = fmt.Sprintf("no answer needs more than %d characters", longestAnswer)
			break
		}
		m.typed = string(runes)
	}
	return terminal.Effect{Redraw: true}
}

// choose moves in the list of topics, changes the level, or begins.
func (m *Model) choose(msg tea.KeyMsg) terminal.Effect {
	switch {
	case key.Matches(msg, m.keys.list.Up):
		m.choice = max(m.choice-1, 0)
	case key.Matches(msg, m.keys.list.Down):
		m.choice = min(m.choice+1, len(choices())-1)
	case key.Matches(msg, m.keys.list.Top):
		m.choice = 0
	case key.Matches(msg, m.keys.list.Bottom):
		m.choice = len(choices()) - 1
	case key.Matches(msg, m.keys.lower):
		m.Wish.Level = max(m.Wish.Level-1, 0)
	case key.Matches(msg, m.keys.higher):
		m.Wish.Level = min(m.Wish.Level+1, drill.Several)
	case key.Matches(msg, m.keys.begin):
		return m.start(choices()[m.choice])
	}
	return terminal.Effect{Redraw: true}
}

// start begins with what was chosen.
func (m *Model) start(c choice) terminal.Effect {
	m.waiting, m.live.flown, m.run = nil, false, 0
	if c.live {
		return m.startLive()
	}
	m.Wish.Topic = c.topic
	return m.next()
}

func (m *Model) scrollBy(msg tea.KeyMsg) {
	const page = 10
	last := max(len(m.tried())-1, 0)
	switch {
	case key.Matches(msg, m.keys.list.Up):
		m.scroll = max(m.scroll-1, 0)
	case key.Matches(msg, m.keys.list.Down):
		m.scroll = min(m.scroll+1, last)
	case key.Matches(msg, m.keys.list.PageUp):
		m.scroll = max(m.scroll-page, 0)
	case key.Matches(msg, m.keys.list.PageDown):
		m.scroll = min(m.scroll+page, last)
	case key.Matches(msg, m.keys.list.Top):
		m.scroll = 0
	case key.Matches(msg, m.keys.list.Bottom):
		m.scroll = last
	}
}
