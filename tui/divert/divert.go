// Package divert is the screen for a diversion: the heading first and large, then how far, how long and with what left, for the
// place under the mark; below it every place of the plan, the quickest first, and the points at which a way back is decided.
//
// The mark (">") stands on the quickest alternate that can be reached well until the pilot moves it. One key turns there, another goes
// straight to a point ahead on the plan and on from there.
//
// It computes nothing: the ways are the Snapshot's.
package divert

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the screen for a diversion. It holds where its mark stands.
type Screen struct {
	list keys.List
	mark string // a point; empty: on the best alternate
}

// New returns the screen with its mark on the best alternate.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Divert.
func (*Screen) Name() screen.Name { return screen.Divert }

// Keys move the mark.
func (s *Screen) Keys(flight.Snapshot) []key.Binding { return s.list.All() }

// Marked says whether the pilot marked a place.
func (s *Screen) Marked(snapshot flight.Snapshot) screen.Marked {
	return screen.Marked{Row: s.mark != "" && len(snapshot.WaysOut.All()) > 0}
}

// Unmark puts the mark back on the best alternate.
func (s *Screen) Unmark() { s.mark = "" }

// Choices are to turn to the marked place; then the flying screen has the heading.
func (s *Screen) Choices(snapshot flight.Snapshot) []screen.Choice {
	way := s.marked(snapshot)
	if way == nil {
		return nil
	}
	return entry.OfWay(*way)
}

// pageRows is how far a page key moves the mark.
const pageRows = 8

// Press moves the mark.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	all := ways(snapshot)
	if to, moved := s.list.Move(msg, s.index(snapshot), len(all)-1, pageRows); moved && len(all) > 0 {
		s.mark = all[to].Point
	}
	return nil
}

// ways are the ways out in the order of the screen: the aerodromes, where one can land, then the points that can be flown to direct, each the quickest first.
func ways(snapshot flight.Snapshot) []flight.AlternateNow {
	ordered := slices.Clone(snapshot.WaysOut.All())
	slices.SortStableFunc(ordered, func(a, b flight.AlternateNow) int {
		switch {
		case a.Aerodrome() == b.Aerodrome():
			return 0
		case a.Aerodrome():
			return -1
		default:
			return 1
		}
	})
	return ordered
}

// index is where the mark stands: where it was put, else on the diversion that the Snapshot suggests.
func (s *Screen) index(snapshot flight.Snapshot) int {
	all := ways(snapshot)
	for _, ident := range []string{s.mark, snapshot.SuggestedDiversion} {
		if i := slices.IndexFunc(all, func(way flight.AlternateNow) bool { return way.Point == ident }); i >= 0 {
			return i
		}
	}
	return 0
}

// marked is the way under the mark; nil where there is none.
func (s *Screen) marked(snapshot flight.Snapshot) *flight.AlternateNow {
	if len(snapshot.WaysOut.All()) == 0 {
		return nil
	}
	return &ways(snapshot)[s.index(snapshot)]
}
