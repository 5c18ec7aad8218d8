package help

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Screen is the help screen. It holds how far it is scrolled.
type Screen struct {
	sections func(flight.Snapshot) []keys.Section
	list     keys.List
	top      int
}

// New returns the screen over the keys that the root and the screens have at a Snapshot.
func New(sections func(flight.Snapshot) []keys.Section) *Screen {
	return &Screen{sections: sections, list: keys.NewList()}
}

// Name is screen.Help.
func (*Screen) Name() screen.Name { return screen.Help }

// Keys scrolls.
func (s *Screen) Keys(flight.Snapshot) []key.Binding { return s.list.All() }

// Press scrolls.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	const page, lastPage = 12, 16
	end := max(0, len(s.column(snapshot, theme.Theme{}))-lastPage)
	switch {
	case key.Matches(msg, s.list.Up):
		s.top--
	case key.Matches(msg, s.list.Down):
		s.top++
	case key.Matches(msg, s.list.PageUp):
		s.top -= page
	case key.Matches(msg, s.list.PageDown):
		s.top += page
	case key.Matches(msg, s.list.Top):
		s.top = 0
	case key.Matches(msg, s.list.Bottom):
		s.top = end
	}
	s.top = max(0, min(s.top, end))
	return nil
}

// twoColumns is the width from which keys and acts stand side by side.
const twoColumns = 132

// Rows draws what is in view, in the last row what is not.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	lines := s.column(snapshot, t)
	if size.Width >= twoColumns {
		left := size.Width / 2
		lines = frame.Beside(fit(s.keyLines(snapshot, t), left), fit(append(formLines(t), signLines(t)...), size.Width-left))
	}
	height := size.Height - 1
	first := max(0, min(s.top, len(lines)-height))
	last := min(len(lines), first+max(height, 0))
	rows := frame.Block(lines[min(first, last):last], size.Width, max(height, 0))
	return frame.Block(append(rows, t.Muted.Render(place(first, last, len(lines)))), size.Width, size.Height)
}

func fit(lines []string, width int) []string {
	for i, line := range lines {
		lines[i] = frame.Fit(line, width)
	}
	return lines
}
