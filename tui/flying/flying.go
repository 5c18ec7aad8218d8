package flying

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Screen is the flying screen. It has no state of its own.
type Screen struct{ forms []form }

// form is a key that opens the entry line with the beginning of an act.
type form struct {
	key  key.Binding
	text string
}

// New returns the screen.
func New() *Screen {
	return &Screen{forms: []form{
		{keys.New("steer: the heading you steer", "s"), "steer "},
		{keys.New("fix: from a beacon or a place", "f"), "fix "},
		{keys.New("off track: how far", "r"), "off-track "},
		{keys.New("gauges: what the fuel gauges show", "g"), "gauges "},
		{keys.New("altimeter: a new QNH", "a"), "qnh "},
		{keys.New("airspeed: what you read", "i"), "ias "},
		{keys.New("wind: one that you were told", "w"), "wind "},
		{keys.New("note: a remark", "n"), "note "},
	}}
}

// Name is screen.Flying.
func (*Screen) Name() screen.Name { return screen.Flying }

// Keys opens the entry line for what is entered most.
func (s *Screen) Keys(flight.Snapshot) []key.Binding {
	bindings := make([]key.Binding, len(s.forms))
	for i, form := range s.forms {
		bindings[i] = form.key
	}
	return bindings
}

// Press opens the entry line.
func (s *Screen) Press(msg tea.KeyMsg, _ flight.Snapshot) []screen.Intent {
	for _, form := range s.forms {
		if key.Matches(msg, form.key) {
			return []screen.Intent{screen.Ask{Text: form.text}}
		}
	}
	return nil
}

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	d := drawing{Snapshot: snapshot, theme: t, glyphs: t.Glyphs(), width: size.Width}
	plan, ok := layoutOf(size)
	if !ok {
		return d.tooSmall(size)
	}
	rows, blank := make([]string, 0, size.Height), frame.Fit("", size.Width)
	for i, part := range plan {
		if i > 0 && part.gap {
			rows = append(rows, blank)
		}
		drawn := part.draw(&d, part.rows)
		rows = append(rows, drawn[:min(len(drawn), part.rows)]...)
		for range part.rows - len(drawn) {
			rows = append(rows, blank)
		}
	}
	for len(rows) < size.Height {
		rows = append(rows, blank)
	}
	return rows
}

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	glyphs frame.Glyphs
	width  int
}
