package radio

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the radio screen. It holds which receiver is marked.
type Screen struct {
	keys bindings
	list keys.List
	mark string // a receiver; empty: it follows what is to be done first
}

// New returns the screen with its mark on what is to be done first.
func New() *Screen { return &Screen{keys: newBindings(), list: keys.NewList()} }

// Name is screen.Radio.
func (*Screen) Name() screen.Name { return screen.Radio }

// Keys lists what can be done with the marked receiver, and the keys that move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	return append(s.keys.enabled(s.marked(snapshot)).all(), s.moving()...)
}

func (s *Screen) moving() []key.Binding {
	return []key.Binding{s.list.Up, s.list.Down, s.list.Top, s.list.Bottom}
}

// Press moves the mark or wants what is to be done with its receiver.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	marked := s.marked(snapshot)
	if marked == nil {
		return nil
	}
	live := s.keys.enabled(marked)
	switch {
	case key.Matches(msg, s.moving()...):
		s.move(msg, snapshot)
	case key.Matches(msg, live.Next):
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Tuned, Receiver: marked.Receiver, Beacon: marked.Next.Beacon}}}
	case key.Matches(msg, live.Identified):
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Identified, Receiver: marked.Receiver, Beacon: marked.Tuned.Beacon}}}
	case key.Matches(msg, live.Check):
		bearing := marked.Tuned.WingTip.Relative
		if runs(marked, snapshot.Bearing) {
			bearing = snapshot.Bearing.StopRelative
		}
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Bearing, Beacon: marked.Tuned.Beacon, Relative: &bearing}}}
	case key.Matches(msg, live.Bearing):
		return ask(flight.Event{Act: flight.Bearing, Beacon: marked.Tuned.Beacon})
	case key.Matches(msg, live.Other):
		return ask(flight.Event{Act: flight.Tuned, Receiver: marked.Receiver})
	case key.Matches(msg, live.Fix):
		return ask(flight.Event{Act: flight.Fix, Beacon: marked.Tuned.Beacon})
	}
	return nil
}

// ask opens the entry line with the beginning of an act; the names that are still to come are left off.
func ask(e flight.Event) []screen.Intent {
	line, _ := entry.Write(e)
	line = strings.TrimSpace(strings.TrimSuffix(line, `""`))
	return []screen.Intent{screen.Ask{Text: line + " "}}
}

func (s *Screen) move(msg tea.KeyMsg, snapshot flight.Snapshot) {
	to, _ := s.list.Move(msg, s.index(snapshot), len(snapshot.Radio)-1, 1)
	s.mark = snapshot.Radio[to].Receiver
}

// index is where the mark stands: on its receiver, else on that of the first open prompt that is a receiver's, else on the
// first.
func (s *Screen) index(snapshot flight.Snapshot) int {
	named := func(name string) int {
		return slices.IndexFunc(snapshot.Radio, func(r flight.ReceiverNow) bool { return r.Receiver == name })
	}
	if i := named(s.mark); i >= 0 && s.mark != "" {
		return i
	}
	for _, p := range snapshot.Prompts {
		if i := named(p.Answer.Receiver); i >= 0 && open(p) {
			return i
		}
	}
	return 0
}

// marked is the receiver under the mark; nil without receivers.
func (s *Screen) marked(snapshot flight.Snapshot) *flight.ReceiverNow {
	if len(snapshot.Radio) == 0 {
		return nil
	}
	return &snapshot.Radio[s.index(snapshot)]
}
