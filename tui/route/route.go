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
	keys   bindings
	list   keys.List
	mark   *placeID // nil: it follows the next point
	hidden bool     // the checkpoints are
}

// New returns the screen with its checkpoints shown and its mark on the next point.
func New() *Screen { return &Screen{keys: newBindings(), list: keys.NewList()} }

// Name is screen.Route.
func (*Screen) Name() screen.Name { return screen.Route }

// Keys lists what can be done with the place under the mark, and the keys that move it.
func (r *Screen) Keys(s flight.Snapshot) []key.Binding {
	return append(r.keys.all(r.marked(s)), r.list.All()...)
}

// Press moves the mark or asks for what is to be done with its place.
func (r *Screen) Press(msg tea.KeyMsg, s flight.Snapshot) []screen.Intent {
	if r.move(msg, s) {
		return nil
	}
	at := r.marked(s)
	switch {
	case key.Matches(msg, r.keys.Checkpoints):
		r.hidden = !r.hidden
	case key.Matches(msg, r.keys.Passing) && at.canPass():
		return []screen.Intent{screen.Passing(at.id.point)}
	case key.Matches(msg, r.keys.Offset) && at.canPass():
		return ask(flight.Event{Act: flight.Passing, Point: at.id.point}, " ")
	case key.Matches(msg, r.keys.Wanted) && at.canPass():
		return ask(flight.Event{Act: flight.Cross, Point: at.id.point}, " ")
	case key.Matches(msg, r.keys.Go) && at.canDivertTo():
		return ask(flight.Event{Act: flight.Divert, To: at.id.point, Rejoin: rejoin(at, s)}, "")
	}
	return nil
}

// rejoin is the leg of the plan that is taken up again at a point of the route; nil where the flight would end there.
func rejoin(at place, s flight.Snapshot) *int {
	i := slices.IndexFunc(s.WaysOut, func(way flight.AlternateNow) bool { return way.Point == at.id.point })
	if i < 0 || at.point == nil {
		return nil
	}
	return s.WaysOut[i].Rejoin
}

// ask opens the entry line with the beginning of an act.
func ask(e flight.Event, end string) []screen.Intent {
	line, _ := entry.Write(e)
	return []screen.Intent{screen.Ask{Text: line + end}}
}

// pageRows is how far a page key moves the mark.
const pageRows = 8

// move moves the mark if the key is one of those that do.
func (r *Screen) move(msg tea.KeyMsg, s flight.Snapshot) bool {
	all := places(s, !r.hidden)
	to, moved := r.list.Move(msg, r.index(s, all), len(all)-1, pageRows)
	if !moved {
		return false
	}
	r.mark = nil
	if len(all) > 0 && to != r.index(s, all) {
		r.mark = &all[to].id
	}
	return true
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

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Passing     key.Binding
	Offset      key.Binding
	Go          key.Binding
	Wanted      key.Binding
	Checkpoints key.Binding
}

func newBindings() bindings {
	return bindings{
		Passing:     keys.New("passing the marked point now", "v"),
		Offset:      keys.New("passing the marked point, off track", "r"),
		Go:          keys.New("go straight to the marked point: ahead on the plan and on from there, else to land", "g"),
		Wanted:      keys.New("a time or a height is wanted at the marked point", "a"),
		Checkpoints: keys.New("checkpoints shown or hidden", "i"),
	}
}

// named are the live bindings in the words of the place under the mark.
func (b bindings) named(at place) []key.Binding {
	b.Passing.SetHelp(b.Passing.Help().Key, "passing "+at.name()+" now")
	b.Offset.SetHelp(b.Offset.Help().Key, "off track")
	b.Go.SetHelp(b.Go.Help().Key, "go straight there")
	b.Wanted.SetHelp(b.Wanted.Help().Key, "wanted at")
	b.Checkpoints.SetHelp(b.Checkpoints.Help().Key, "checkpoints")
	return b.all(at)
}

// all lists them with those enabled that the place under the mark allows.
func (b bindings) all(at place) []key.Binding {
	b.Passing.SetEnabled(at.canPass())
	b.Offset.SetEnabled(at.canPass())
	b.Go.SetEnabled(at.canDivertTo())
	b.Wanted.SetEnabled(at.canPass())
	return []key.Binding{b.Passing, b.Offset, b.Go, b.Wanted, b.Checkpoints}
}
