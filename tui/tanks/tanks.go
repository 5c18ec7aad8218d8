package tanks

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the tanks screen. It holds which tank is marked.
type Screen struct {
	keys     bindings
	mark     string // a tank; empty: it follows the next change
	overTime bool   // the plot takes the place of the tanks where not both have room
}

// New returns the screen with its mark on the tank to be changed to next.
func New() *Screen { return &Screen{keys: newBindings()} }

// Name is screen.Tanks.
func (*Screen) Name() screen.Name { return screen.Tanks }

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
		View:   keys.New("tanks or over time", "w"),
		Left:   keys.New("mark the tank above", "left", "up", "k"),
		Right:  keys.New("mark the tank below", "right", "down", "j"),
	}
}

// live are the bindings that there is a use for.
func (s *Screen) live(snapshot flight.Snapshot, hung []flight.TankNow) bindings {
	b := s.keys
	b.Select.SetEnabled(len(hung) > 0 && !hung[s.index(snapshot, hung)].Selected)
	b.Gauges.SetEnabled(len(hung) > 0)
	b.Left.SetEnabled(len(hung) > 1)
	b.Right.SetEnabled(len(hung) > 1)
	return b
}

// Keys lists what can be entered of the tanks, and the keys that move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	b := s.live(snapshot, inOrder(snapshot.Tanks.Tanks))
	return []key.Binding{b.Select, b.Gauges, b.Flow, b.View, b.Left, b.Right}
}

// named are the acts in the words of the marked tank.
func (s *Screen) named(snapshot flight.Snapshot, hung []flight.TankNow) []key.Binding {
	b := s.live(snapshot, hung)
	view := "over time"
	if s.overTime {
		view = "tanks"
	}
	b.Select.SetHelp(b.Select.Help().Key, frame.Clean(hung[s.index(snapshot, hung)].Name)+" is selected now")
	b.Gauges.SetHelp(b.Gauges.Help().Key, "gauges")
	b.Flow.SetHelp(b.Flow.Help().Key, "flow")
	b.View.SetHelp(b.View.Help().Key, view)
	b.Left.SetHelp("up / down", "another tank")
	return []key.Binding{b.Select, b.Gauges, b.Flow, b.View, b.Left}
}

// Press moves the mark or wants an act of the tanks.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	hung := inOrder(snapshot.Tanks.Tanks)
	live, at := s.live(snapshot, hung), s.index(snapshot, hung)
	switch {
	case key.Matches(msg, live.Select):
		return []screen.Intent{screen.SelectTank(hung[at].Name)}
	case key.Matches(msg, live.Gauges):
		line, _ := entry.Write(flight.Event{Act: flight.Gauges, Tanks: map[string]float64{snapshot.Tanks.Tanks[0].Name: 0}})
		return []screen.Intent{screen.Ask{Text: strings.TrimSuffix(line, "0")}}
	case key.Matches(msg, live.Flow):
		return []screen.Intent{screen.Ask{Text: "flow "}}
	case key.Matches(msg, live.View):
		s.overTime = !s.overTime
	case key.Matches(msg, live.Left):
		s.mark = hung[max(0, at-1)].Name
	case key.Matches(msg, live.Right):
		s.mark = hung[min(at+1, len(hung)-1)].Name
	}
	return nil
}

// index is where the mark stands: on its tank, else on the one to be changed to next, else on the one in use.
func (s *Screen) index(snapshot flight.Snapshot, hung []flight.TankNow) int {
	names := []string{s.mark}
	if change := snapshot.Tanks.NextChange; change != nil {
		names = append(names, change.To)
	}
	for _, name := range append(names, snapshot.Tanks.Selected) {
		if i := slices.IndexFunc(hung, func(t flight.TankNow) bool { return t.Name == name }); i >= 0 && name != "" {
			return i
		}
	}
	return 0
}

// inOrder is the tanks from left to right, as seen from the seat: as the aircraft lists them, but none named for the left stands behind one
// that isn't, and the other way round; of several on one side those named for the outside come outside.
func inOrder(tanks []flight.TankNow) []flight.TankNow {
	place := func(t flight.TankNow) int {
		name, out := strings.ToLower(t.Name), 1
		for i, outside := range []string{"aux", "outer", "tip"} {
			if strings.Contains(name, outside) {
				out = i + 2
			}
		}
		switch {
		case strings.HasPrefix(name, "left"):
			return -out
		case strings.HasPrefix(name, "right"):
			return out
		default:
			return 0
		}
	}
	hung := slices.Clone(tanks)
	slices.SortStableFunc(hung, func(a, b flight.TankNow) int { return place(a) - place(b) })
	return hung
}
