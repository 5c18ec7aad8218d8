// Package route is the screen of the whole flight: every point with its track, heading and times, what has been passed and what is
// to come, and below it the places to land at.
//
// The rows run down in the order of flight along a line that is solid for the leg being flown; a rule marked NOW parts what
// was from what will be. A mark (">") stands on one row: on the next point until the pilot moves it, and again when they move it
// back there. Where the rows are more than fit, those around the mark are in view.
//
// It computes nothing of the flight; the sums at the foot are of the columns above them.
package route

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
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
		ways := s.WaysOut.All()
		if i := slices.IndexFunc(ways, func(way flight.AlternateNow) bool { return way.Point == at.id.point }); i >= 0 {
			choices = entry.OfWay(ways[i])
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

// placeID tells the rows apart that the mark can stand on, so that it stays on its row when others come or go.
type placeID struct {
	point   string
	leg     int
	afterNM float64
	landing bool // a row of the places to land at
}

// place is a row that the mark can stand on. The zero place is no row.
type place struct {
	id    placeID
	point *flight.RoutePoint // nil for a place to land at
}

// name is what a place is called on this screen: a checkpoint by its name, others by their ident too.
func (p place) name() string {
	switch {
	case p.point == nil:
		return frame.Clean(p.id.point)
	case p.point.Checkpoint && p.point.Name != "":
		return frame.Clean(p.point.Name)
	default:
		return say.Named(frame.Clean(p.point.Point), frame.Clean(p.point.Name))
	}
}

// indented is the name, set in for a checkpoint.
func (p place) indented() string {
	if p.point != nil && p.point.Checkpoint {
		return "  " + p.name()
	}
	return p.name()
}

func (p place) canPass() bool {
	return p.point != nil && p.point.Actual == nil && !p.point.Diverted
}

// places lists the rows in their order on the screen: the route, without its checkpoints if they are hidden, then the
// alternates.
func places(s flight.Snapshot, checkpoints bool) []place {
	all := make([]place, 0, len(s.Route)+len(s.Alternates))
	for i := range s.Route {
		p := &s.Route[i]
		if p.Checkpoint && !checkpoints {
			continue
		}
		all = append(all, place{placeID{point: p.Point, leg: p.Leg, afterNM: p.AfterNM}, p})
	}
	for _, a := range s.Alternates {
		all = append(all, place{id: placeID{point: a.Point, landing: true}})
	}
	return all
}

// onRoute is how many of the places are points of the route; they come first.
func onRoute(all []place) int {
	for i, p := range all {
		if p.point == nil {
			return i
		}
	}
	return len(all)
}

// next is the point of the route to be passed next; len if there is none. What lies on a leg that is over, or before the last
// point passed, is behind, even if its passing was never entered; so is what a diversion left out.
func next(s flight.Snapshot, route []place) int {
	from := 0
	for i, p := range route {
		if p.point.Actual != nil || s.Clock.LegSeconds != nil && p.point.Leg < s.Leg.Index {
			from = i + 1
		}
	}
	for i := from; i < len(route); i++ {
		if route[i].canPass() {
			return i
		}
	}
	return len(route)
}
