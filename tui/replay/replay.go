package replay

import (
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Kind says what a moment is.
type Kind string

// The kinds of moment, each with keys that step to it.
const (
	Entry   Kind = "entry"
	Passing Kind = "passing"
	Prompt  Kind = "prompt"
	Mistake Kind = "mistake"
	Remark  Kind = "remark"
)

// Moment is something on the time-line.
type Moment struct {
	At   time.Time
	Kind Kind
	Mark string // one character, for an entry
	Text string
}

// Words are something said of a moment, and the same in short.
type Words struct{ Long, Short string }

// Flight is what is replayed.
type Flight interface {
	// Ends are the first and the last moment.
	Ends() (from, to time.Time)
	// Moments are all that there are, by time.
	Moments() []Moment
	// Hindsight reports whether the screens show what is known now instead of what was known then; Turn changes that.
	Hindsight() bool
	Turn()
	// Turned is what turned out of a moment as it is shown, the most telling first.
	Turned(s flight.Snapshot) []Words
	// Remark keeps a remark about a moment.
	Remark(at time.Time, text string) error
}

// Line is the time-line. It holds nothing of the flight but where it was last.
type Line struct {
	flight Flight
	clock  Clock
	keys   bindings
}

// Clock is the replay's own.
type Clock interface{ Now() time.Time }

type bindings struct {
	play, next, previous, nextPassing, previousPassing, nextPrompt, previousPrompt key.Binding
	nextMistake, previousMistake, jump, view, remark                               key.Binding
}

// New returns the time-line of a flight.
func New(f Flight, clock Clock) *Line {
	return &Line{flight: f, clock: clock, keys: bindings{
		play:            keys.New("play, pause", " "),
		next:            keys.New("next entry", "right"),
		previous:        keys.New("entry before", "left"),
		nextPassing:     keys.New("passing", "p"),
		previousPassing: keys.New("passing before", "P"),
		nextMistake:     keys.New("mistake", "x"),
		previousMistake: keys.New("mistake before", "X"),
		nextPrompt:      keys.New("prompt", "o"),
		previousPrompt:  keys.New("prompt before", "O"),
		jump:            keys.New("jump to a time", "t"),
		view:            keys.New("known then / hindsight", "v"),
		remark:          keys.New("remark", "e"),
	}}
}

func (b bindings) all() []key.Binding {
	return []key.Binding{
		b.play, b.next, b.previous, b.nextPassing, b.nextMistake, b.view, b.jump, b.remark, b.nextPrompt,
		b.previousPassing, b.previousMistake, b.previousPrompt,
	}
}

// Keys are the keys that play, step and jump.
func (l *Line) Keys(flight.Snapshot) []key.Binding { return l.keys.all() }

// Press answers one of them.
func (l *Line) Press(msg tea.KeyMsg, s flight.Snapshot) (intents []screen.Intent, known bool) {
	is := func(b key.Binding) bool { return key.Matches(msg, b) }
	switch {
	case is(l.keys.play):
		return l.play(s), true
	case is(l.keys.view):
		l.flight.Turn()
		return append(set(s.At), screen.Say{Text: "shown: " + l.viewWords()}), true
	case is(l.keys.jump):
		return l.askTime(), true
	case is(l.keys.remark):
		return l.askRemark(s.At), true
	}
	for _, step := range []struct {
		forward, back key.Binding
		kinds         []Kind
	}{
		{l.keys.next, l.keys.previous, []Kind{Entry, Passing}},
		{l.keys.nextPassing, l.keys.previousPassing, []Kind{Passing}},
		{l.keys.nextPrompt, l.keys.previousPrompt, []Kind{Prompt}},
		{l.keys.nextMistake, l.keys.previousMistake, []Kind{Mistake}},
	} {
		if is(step.forward) {
			return l.step(s.At, 1, step.kinds), true
		}
		if is(step.back) {
			return l.step(s.At, -1, step.kinds), true
		}
	}
	return nil, false
}

// set puts the clock to a time.
func set(at time.Time) []screen.Intent {
	return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Clock, Set: &at}}}
}

// play runs or halts the clock; at the end it begins anew.
func (l *Line) play(s flight.Snapshot) []screen.Intent {
	from, to := l.flight.Ends()
	paused := !s.Clock.Paused
	event := flight.Event{Act: flight.Clock, Paused: &paused}
	if !paused && !s.At.Before(to) {
		event.Set = &from
	}
	return []screen.Intent{screen.Record{Event: event}}
}

// step goes to the next moment of some kinds, and says what it is.
func (l *Line) step(now time.Time, by int, kinds []Kind) []screen.Intent {
	moments := l.flight.Moments()
	found := -1
	for i, m := range moments {
		if !contains(kinds, m.Kind) {
			continue
		}
		if by > 0 && m.At.After(now) {
			found = i
			break
		}
		if by < 0 && m.At.Before(now) {
			found = i
		}
	}
	if found < 0 {
		return []screen.Intent{screen.Say{Text: "no " + string(kinds[0]) + map[bool]string{true: " after this", false: " before this"}[by > 0]}}
	}
	m := moments[found]
	return append(set(m.At), screen.Say{Text: say.Time(m.At) + " " + m.Text})
}

func contains(kinds []Kind, kind Kind) bool {
	for _, k := range kinds {
		if k == kind {
			return true
		}
	}
	return false
}

func (l *Line) askTime() []screen.Intent {
	return []screen.Intent{screen.Ask{Label: "jump to 10:42 or 10:42:30", Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
		at, err := when(line, s.At)
		if err != nil {
			return nil, err
		}
		from, to := l.flight.Ends()
		return set(bounded(at, from, to)), nil
	}}}
}

func bounded(at, from, to time.Time) time.Time {
	if at.Before(from) {
		return from
	}
	if at.After(to) {
		return to
	}
	return at
}

// askRemark asks for words and keeps them.
func (l *Line) askRemark(at time.Time) []screen.Intent {
	return []screen.Intent{screen.Ask{Label: "remark at " + say.Time(at), Parse: func(line string, _ flight.Snapshot) ([]screen.Intent, error) {
		if err := l.flight.Remark(at, strings.TrimSpace(line)); err != nil {
			return nil, err
		}
		return []screen.Intent{screen.Say{Text: "kept: a remark at " + say.Time(at)}}, nil
	}}}
}

// Tick stops the clock at the flight's end.
func (l *Line) Tick(s flight.Snapshot) []screen.Intent {
	_, to := l.flight.Ends()
	if s.Clock.Paused || l.clock.Now().Before(to) {
		return nil
	}
	paused := true
	return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Clock, Set: &to, Paused: &paused}}}
}

func (l *Line) viewWords() string {
	if l.flight.Hindsight() {
		return "HINDSIGHT, what is known now"
	}
	return "what was known then"
}
