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

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	glyphs frame.Glyphs
	width  int // of the part that the figures stand in
}

// Sizes from which there is more.
const (
	roomForDigits = 12              // rows, for digits three rows high
	roomForLarge  = 44              // rows, for digits five rows high
	besideFrom    = figuresEnd + 32 // columns, for the list ahead beside the figures
	thirdFrom     = 190             // columns, for a third part beside both
	aheadWidth    = 74              // of the list ahead where there is a third part
)

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	d := drawing{Snapshot: snapshot, theme: t, glyphs: t.Glyphs(), width: size.Width}
	if size.Width < besideFrom || size.Height < roomForDigits {
		return frame.Block(d.left(size.Height, false, d.panels(size.Width)), size.Width, size.Height)
	}
	d.width = figuresEnd
	rest := size.Width - figuresEnd
	panels := d.panels(d.width)
	if size.Width < thirdFrom {
		return frame.Beside(d.block(d.left(size.Height, true, panels), d.width, size.Height), d.block(d.listAhead(rest-gutter, size.Height), rest, size.Height))
	}
	third := rest - aheadWidth
	const besideTheLeg = 3 // panels that belong below the figures
	return frame.Beside(d.block(d.left(size.Height, true, panels[:besideTheLeg]), d.width, size.Height),
		d.block(d.listAhead(aheadWidth-gutter, size.Height), aheadWidth, size.Height),
		d.block(d.stack(nil, size.Height, d.panels(third - gutter)[besideTheLeg:]), third, size.Height))
}

// gutter is what parts two parts beside each other.
const gutter = 3

// block is rows as a block; one that stands beside the figures keeps its distance from them.
func (d *drawing) block(rows []string, width, height int) []string {
	if width != figuresEnd {
		for i := range rows {
			rows[i] = frame.Fit("", gutter) + rows[i]
		}
	}
	return frame.Block(rows, width, height)
}

// left is the figures and what stands below them. The figures come first; of the rest each part comes as long as there are rows, in the order of
// what a pilot misses most, and is then set in the order of the screen.
func (d *drawing) left(height int, aheadBeside bool, panels []panel) []string {
	figures := d.figures(height)
	left := height - len(figures)
	take := func(rows int) int {
		rows = max(0, min(rows, left))
		left -= rows
		return rows
	}
	ahead := 0
	if !aheadBeside {
		ahead = take(2)
	}
	leg := take(1)
	lines := take(2)
	if left >= 2 {
		leg += take(2)
	}
	gap := 0
	if height >= roomForDigits {
		gap = take(1)
	}
	more := 0
	if left >= 3 {
		more = take(1)
		lines += take(2)
	}
	if !aheadBeside && left > 1 {
		const most = 12
		ahead += take(min(most, left))
	}
	rows := figures
	rows = append(rows, make([]string, gap)...)
	rows = append(rows, d.leg(leg)...)
	if ahead > 0 {
		rows = append(rows, d.gridAhead(ahead)...)
	}
	rows = append(rows, make([]string, more)...)
	rows = append(rows, d.lines(lines)...)
	return d.stack(rows, height, panels)
}
