package divert

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the screen for a diversion. It holds where its mark stands.
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
		s.mark = ways(snapshot)[to].Point
	}
	return moved
}

// ways are the ways out in the order of the screen: the aerodromes, where one can land, then the points that can be flown to direct, each the quickest first.
func ways(snapshot flight.Snapshot) []flight.AlternateNow {
	ordered := slices.Clone(snapshot.WaysOut)
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
	if len(snapshot.WaysOut) == 0 {
		return nil
	}
	return &ways(snapshot)[s.index(snapshot)]
}

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Turn   key.Binding
	Rejoin key.Binding
}

func newBindings() bindings {
	return bindings{
		Turn:   keys.New("divert to the marked aerodrome, which becomes the destination", "v"),
		Rejoin: keys.New("direct to the marked point, then on as planned", "r"),
	}
}

// enabled are the bindings that the marked way has a use for.
func (b bindings) enabled(way *flight.AlternateNow) bindings {
	b.Turn.SetEnabled(way != nil && way.Turn != nil && way.Aerodrome())
	b.Rejoin.SetEnabled(way != nil && way.Turn != nil && way.Rejoin != nil)
	return b
}

func (b bindings) all() []key.Binding { return []key.Binding{b.Turn, b.Rejoin} }

// named are the live bindings in the words of the marked way.
func (b bindings) named(way *flight.AlternateNow) []key.Binding {
	b = b.enabled(way)
	if way == nil {
		return nil
	}
	heading := ""
	if way.DistanceNM >= flight.NearNM {
		heading = ", heading " + say.Degrees(way.HeadingMagnetic)
	}
	b.Turn.SetHelp(b.Turn.Help().Key, "divert to "+frame.Clean(way.Point)+heading)
	b.Rejoin.SetHelp(b.Rejoin.Help().Key, "direct to "+frame.Clean(way.Point)+", then on as planned")
	return b.all()
}
