package divert

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
)

// bindings are the keys of this screen, beside those that move the mark.
type bindings struct {
	Turn   key.Binding
	Rejoin key.Binding
}

func newBindings() bindings {
	return bindings{
		Turn:   keys.New("divert to the marked aerodrome, which becomes the destination", "v"),
		Rejoin: keys.New("straight to the marked point, then on as planned", "r"),
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
	b.Rejoin.SetHelp(b.Rejoin.Help().Key, "straight to "+frame.Clean(way.Point)+", then on as planned")
	return b.all()
}
