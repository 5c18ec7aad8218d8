package drill

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"

	"example.com/legclock/internal/drill"
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

	choice int // row of the chooser
	scroll int // first row of the progress table

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
	m.look()
	if o.Begin {
		m.next()
	}
	return m, nil
}

// look reads both clocks.
func (m *Model) look() { m.at, m.now = m.Elapsed(), m.Now() }

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
	m.look()
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
		m.said = "the needle went on without you: begin the check anew"
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
