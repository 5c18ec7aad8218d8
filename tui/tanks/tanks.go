package tanks

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/screen"
)

// Screen is the tanks screen. It holds which tank is marked.
type Screen struct {
	keys bindings
	mark string // a tank; empty: it follows the next change
	view view   // where not everything has room
}

// New returns the screen with its mark on the tank to be changed to next.
func New() *Screen { return &Screen{keys: newBindings()} }

// Name is screen.Tanks.
func (*Screen) Name() screen.Name { return screen.Tanks }

// Keys lists what can be entered of the tanks, and the keys that move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	return s.live(snapshot, hanging(snapshot.Tanks.Tanks)).all()
}

func (s *Screen) live(snapshot flight.Snapshot, hung []flight.TankNow) bindings {
	inUse := len(hung) > 0 && hung[s.index(snapshot, hung)].Selected
	return s.keys.enabled(len(hung), inUse)
}

// Press moves the mark or wants an act of the tanks.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	hung := hanging(snapshot.Tanks.Tanks)
	live, at := s.live(snapshot, hung), s.index(snapshot, hung)
	switch {
	case key.Matches(msg, live.Select):
		return []screen.Intent{screen.SelectTank(hung[at].Name)}
	case key.Matches(msg, live.Gauges):
		return askGauges(snapshot.Tanks.Tanks[0].Name)
	case key.Matches(msg, live.Flow):
		return []screen.Intent{screen.Ask{Text: "flow "}}
	case key.Matches(msg, live.View):
		s.view = s.view.next()
	case key.Matches(msg, live.Left):
		s.mark = hung[max(0, at-1)].Name
	case key.Matches(msg, live.Right):
		s.mark = hung[min(at+1, len(hung)-1)].Name
	}
	return nil
}

// askGauges opens the entry line at the first tank's reading.
func askGauges(tank string) []screen.Intent {
	line, _ := entry.Write(flight.Event{Act: flight.Gauges, Tanks: map[string]float64{tank: 0}})
	return []screen.Intent{screen.Ask{Text: strings.TrimSuffix(line, "0")}}
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

// hanging is the tanks from left to right: as the aircraft lists them, but none named for the left stands right of one that
// isn't, and the other way round; of several on one side those named for the outside hang there.
func hanging(tanks []flight.TankNow) []flight.TankNow {
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
