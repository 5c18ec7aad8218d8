package route

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the route screen. It holds where its mark stands and whether checkpoints are shown.
type Screen struct {
	list   keys.List
	mark   *placeID // nil: it follows the next point
	hidden bool     // the checkpoints are
}

// New returns the screen with its checkpoints shown and its mark on the next point.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Route.
func (*Screen) Name() screen.Name { return screen.Route }

// Keys move the mark.
func (r *Screen) Keys(flight.Snapshot) []key.Binding { return r.list.All() }

// Marked is the point that the pilot marked.
func (r *Screen) Marked(s flight.Snapshot) screen.Marked {
	if r.mark == nil {
		return screen.Marked{}
	}
	marked := screen.Marked{Row: true}
	if at := r.marked(s); at.canPass() {
		marked.Point = at.id.point
	}
	return marked
}

// Unmark lets the mark follow the next point.
func (r *Screen) Unmark() { r.mark = nil }

// Choices are what can be done with the place under the mark, and what the table shows.
func (r *Screen) Choices(s flight.Snapshot) []screen.Choice {
	var choices []screen.Choice
	switch at := r.marked(s); {
	case at.canPass():
		choices = entry.OfPoint(s, at.id.point)
	default:
		if i := slices.IndexFunc(s.WaysOut, func(way flight.AlternateNow) bool { return way.Point == at.id.point }); i >= 0 {
			choices = entry.OfWay(s.WaysOut[i])
		}
	}
	text := "hide the checkpoints"
	if r.hidden {
		text = "show the checkpoints"
	}
	return append(choices, screen.Choice{Text: text, Short: "checkpoints", Shows: true, Does: func() []screen.Intent {
		r.hidden = !r.hidden
		return nil
	}})
}

// pageRows is how far a page key moves the mark.
const pageRows = 8

// Press moves the mark.
func (r *Screen) Press(msg tea.KeyMsg, s flight.Snapshot) []screen.Intent {
	all := places(s, !r.hidden)
	to, moved := r.list.Move(msg, r.index(s, all), len(all)-1, pageRows)
	if !moved {
		return nil
	}
	r.mark = nil
	if len(all) > 0 && to != r.index(s, all) {
		r.mark = &all[to].id
	}
	return nil
}

// index is where the mark stands among the places: on its own, or on the next point while it follows that, or when its
// place is no longer there.
func (r *Screen) index(s flight.Snapshot, all []place) int {
	if r.mark != nil {
		if i := slices.IndexFunc(all, func(p place) bool { return p.id == *r.mark }); i >= 0 {
			return i
		}
	}
	route := all[:onRoute(all)]
	return max(0, min(next(s, route), len(route)-1))
}

func (r *Screen) marked(s flight.Snapshot) place {
	all := places(s, !r.hidden)
	if len(all) == 0 {
		return place{}
	}
	return all[r.index(s, all)]
}
