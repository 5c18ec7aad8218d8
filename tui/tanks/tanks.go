// Package tanks is the screen of the fuel: how long until the next change in the largest figure, the tanks lying flat below one another so
// that their ends compare, the imbalance now and at the change on a scale between the limits, what is on board and how long it
// lasts, the changes, and the quantities over time where there is room.
//
// All tanks are drawn to one scale. A mark (">") stands on one of them: on the one to be changed to next until the pilot moves it.
//
// It computes nothing of the flight.
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
	list     keys.List
	mark     string // a tank; empty: it follows the next change
	overTime bool   // the plot takes the place of the tanks where not both have room
}

// New returns the screen with its mark on the tank to be changed to next.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Tanks.
func (*Screen) Name() screen.Name { return screen.Tanks }

// Keys move the mark.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	return keys.Usable(len(snapshot.Tanks.Tanks) > 1, s.list.All())
}

// Marked is the tank that the pilot marked.
func (s *Screen) Marked(snapshot flight.Snapshot) screen.Marked {
	if s.mark == "" || !slices.ContainsFunc(snapshot.Tanks.Tanks, func(t flight.TankNow) bool { return t.Name == s.mark }) {
		return screen.Marked{}
	}
	return screen.Marked{Row: true, Tank: s.mark}
}

// Unmark lets the mark follow the next change.
func (s *Screen) Unmark() { s.mark = "" }

// Choices are what can be entered of the tanks, and what is shown of them.
func (s *Screen) Choices(snapshot flight.Snapshot) []screen.Choice {
	leftToRight := inOrder(snapshot.Tanks.Tanks)
	if len(leftToRight) == 0 {
		return nil
	}
	var choices []screen.Choice
	if marked := leftToRight[s.index(snapshot, leftToRight)]; !marked.Selected {
		choices = append(choices, screen.Wants(frame.Clean(marked.Name)+" is selected now", "select", screen.SelectTank(marked.Name)))
	}
	line, _ := entry.Write(flight.Event{Act: flight.Gauges, Tanks: map[string]float64{snapshot.Tanks.Tanks[0].Name: 0}})
	choices = append(choices,
		screen.Wants("what the fuel gauges show", "gauges", screen.Ask{Text: strings.TrimSuffix(line, "0")}),
		screen.Wants("another fuel flow", "flow", screen.Ask{Text: "flow "}))
	text, short := "the quantities over time", "over time"
	if s.overTime {
		text, short = "the tanks as they are", "as they are"
	}
	return append(choices, screen.Choice{Text: text, Short: short, Shows: true, Does: func() []screen.Intent {
		s.overTime = !s.overTime
		return nil
	}})
}

// Press moves the mark.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	leftToRight := inOrder(snapshot.Tanks.Tanks)
	if to, moved := s.list.Move(msg, s.index(snapshot, leftToRight), len(leftToRight)-1, 1); moved && len(leftToRight) > 1 {
		s.mark = leftToRight[to].Name
	}
	return nil
}

// index is where the mark stands: on its tank, else on the one to be changed to next, else on the one in use.
func (s *Screen) index(snapshot flight.Snapshot, leftToRight []flight.TankNow) int {
	names := []string{s.mark}
	if change := snapshot.Tanks.NextChange; change != nil {
		names = append(names, change.To)
	}
	for _, name := range append(names, snapshot.Tanks.Selected) {
		if i := slices.IndexFunc(leftToRight, func(t flight.TankNow) bool { return t.Name == name }); i >= 0 && name != "" {
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
	leftToRight := slices.Clone(tanks)
	slices.SortStableFunc(leftToRight, func(a, b flight.TankNow) int { return place(a) - place(b) })
	return leftToRight
}
