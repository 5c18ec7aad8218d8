package divert

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the screen for going somewhere else. It holds where its mark stands.
type Screen struct {
	keys bindings
	list keys.List
	mark string // a point; empty: on the best alternate
}

// New returns the screen with its mark on the best alternate.
func New() *Screen { return &Screen{keys: newBindings(), list: keys.NewList()} }

// Name is screen.Divert.
func (*Screen) Name() screen.Name { return screen.Divert }

// Keys lists what can be done with the marked place, and the keys that move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	return append(s.keys.enabled(s.marked(snapshot)).all(), s.list.All()...)
}

// Press moves the mark or turns there; then the flying screen has the heading.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	way := s.marked(snapshot)
	if way == nil || s.move(msg, snapshot) {
		return nil
	}
	live := s.keys.enabled(way)
	turn := flight.Event{Act: flight.Divert, To: way.Point}
	switch {
	case key.Matches(msg, live.Turn):
	case key.Matches(msg, live.Rejoin):
		turn.Rejoin = way.Rejoin
	default:
		return nil
	}
	s.mark = ""
	return []screen.Intent{screen.Record{Event: turn}, screen.Open{Name: screen.Flying}}
}

// pageRows is how far a page key moves the mark.
const pageRows = 8

func (s *Screen) move(msg tea.KeyMsg, snapshot flight.Snapshot) bool {
	to, moved := s.list.Move(msg, s.index(snapshot), len(snapshot.WaysOut)-1, pageRows)
	if moved {
		s.mark = snapshot.WaysOut[to].Point
	}
	return moved
}

// index is where the mark stands: where it was put, else on the diversion that the Snapshot suggests.
func (s *Screen) index(snapshot flight.Snapshot) int {
	for _, ident := range []string{s.mark, snapshot.SuggestedDiversion} {
		if i := slices.IndexFunc(snapshot.WaysOut, func(way flight.AlternateNow) bool { return way.Point == ident }); i >= 0 {
			return i
		}
	}
	return 0
}

// marked is the way under the mark; nil where there is none.
func (s *Screen) marked(snapshot flight.Snapshot) *flight.AlternateNow {
	if len(snapshot.WaysOut) == 0 {
		return nil
	}
	return &snapshot.WaysOut[s.index(snapshot)]
}
