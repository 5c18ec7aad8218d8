package tanks

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
)

// bindings are the keys of this screen.
type bindings struct {
	Select key.Binding
	Gauges key.Binding
	Flow   key.Binding
	View   key.Binding
	Left   key.Binding
	Right  key.Binding
}

func newBindings() bindings {
	return bindings{
		Select: keys.New("the marked tank is selected", "v"),
		Gauges: keys.New("what the fuel gauges show", "g"),
		Flow:   keys.New("another fuel flow", "r"),
		View:   keys.New("tanks, over time, figures", "w"),
		Left:   keys.New("mark the tank to the left", "left", "up", "k"),
		Right:  keys.New("mark the tank to the right", "right", "down", "j"),
	}
}

// enabled are the bindings that there is a use for, with so many tanks and the marked one in use or not.
func (b bindings) enabled(tanks int, inUse bool) bindings {
	b.Select.SetEnabled(tanks > 0 && !inUse)
	b.Gauges.SetEnabled(tanks > 0)
	b.Left.SetEnabled(tanks > 1)
	b.Right.SetEnabled(tanks > 1)
	return b
}

func (b bindings) all() []key.Binding {
	return []key.Binding{b.Select, b.Gauges, b.Flow, b.View, b.Left, b.Right}
}

// named are the acts in the words of the marked tank.
func (b bindings) named(tank string, next view) []key.Binding {
	b.Select.SetHelp(b.Select.Help().Key, frame.Clean(tank)+" is selected now")
	b.Gauges.SetHelp(b.Gauges.Help().Key, "gauges")
	b.Flow.SetHelp(b.Flow.Help().Key, "flow")
	b.View.SetHelp(b.View.Help().Key, next.String())
	b.Left.SetHelp("left / right", "another tank")
	return []key.Binding{b.Select, b.Gauges, b.Flow, b.View, b.Left}
}
