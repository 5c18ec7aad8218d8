package tanks

import (
	"math"
	"strings"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

// eighths are cells filled from below by one to seven eighths, for terminals that draw blocks.
var eighths = [...]string{"▁", "▂", "▃", "▄", "▅", "▆", "▇"}

// tankRow draws the part of a tank in one row of the picture; row 0 is the lowest inside, -1 the floor.
func (d *drawing) tankRow(s *strip.Strip, f tankFrame, row int, marked bool) {
	g, line := d.theme.Glyphs(), d.theme.Frame
	if f.Selected {
		line = d.theme.Headline
	}
	last := f.x + f.width - 1
	edge := func(left, right string) {
		s.Fill(f.x, f.x+1, left, line)
		s.Fill(f.x+1, last, g.Horizontal, line)
		s.Fill(last, last+1, right, line)
	}
	switch {
	case row == f.rows:
		d.topEdge(s, f, marked)
		edge(g.TopLeft, g.TopRight)
	case row == -1:
		s.Put(f.centre(), g.TeeDown, line)
		edge(g.BottomLeft, g.BottomRight)
	case row < f.rows:
		s.Fill(f.x, f.x+1, g.Vertical, line)
		s.Fill(last, last+1, g.Vertical, line)
		glyph, role := d.fuel(f, row)
		s.Fill(f.x+1, last, glyph, role)
		d.note(s, f, row)
	}
}

func (f tankFrame) centre() int { return f.x + f.width/2 }

// topEdge names a tank in its upper edge.
func (d *drawing) topEdge(s *strip.Strip, f tankFrame, marked bool) {
	name, role := frame.Clean(f.Name), d.theme.Title
	if marked {
		name, role = ">"+name, d.theme.Selected
	}
	if frame.Width(name)+4 > f.width {
		s.Put(f.x+1, frame.Fit(name, f.width-2), role)
		return
	}
	s.Centre(f.centre(), " "+name+" ", role)
}

// level is how high a quantity stands in a tank, in rows.
func (f tankFrame) level(quantity float64) float64 {
	if f.Capacity <= 0 || math.IsNaN(quantity) {
		return 0
	}
	return math.Max(0, math.Min(quantity/f.Capacity, 1)) * float64(f.rows)
}

// fuel is what one row inside a tank is filled with.
func (d *drawing) fuel(f tankFrame, row int) (glyph string, role theme.Role) {
	g := d.theme.Glyphs()
	level := f.level(f.Quantity)
	part := math.Max(0, math.Min(level-float64(row), 1))
	role = d.theme.Value
	if f.level(f.Unusable) >= float64(row)+0.5 && part > 0 {
		return g.Empty, d.theme.Caution
	}
	if !g.Halves {
		if part >= 0.5 || part > 0 && row == 0 {
			return g.Full, role
		}
		return " ", role
	}
	switch steps := int(math.Round(part * float64(len(eighths)+1))); {
	case steps > len(eighths):
		return g.Full, role
	case steps > 0:
		return eighths[steps-1], role
	case part > 0 && row == 0:
		return eighths[0], role
	default:
		return " ", role
	}
}

// note writes beside a tank what belongs to that height: the gauge's reading, what it holds when full, what can't be used.
func (d *drawing) note(s *strip.Strip, f tankFrame, row int) {
	if f.note < 0 {
		return
	}
	put := func(text, pointer string, role theme.Role) {
		if f.noteAtLeft {
			text = frame.FitRight(text+pointer, noteWidth)
		} else {
			text = frame.Fit(strings.ReplaceAll(pointer, ">", "<")+text, noteWidth)
		}
		s.Put(f.note, text, role)
	}
	if f.Gauge != nil && row == min(f.rows-1, int(f.level(*f.Gauge))) {
		role := d.theme.Value
		if d.Tanks.GaugeDisagreement != "" {
			role = d.theme.Caution
		}
		put("gauge "+say.Amount(*f.Gauge), ">", role)
		return
	}
	switch row {
	case f.rows - 1:
		put("full "+say.Amount(f.Capacity), " ", d.theme.Muted)
	case 0:
		put("unusable "+short(f.Unusable), " ", d.theme.Muted)
	}
}

// short is a quantity in few cells.
func short(quantity float64) string {
	return strings.TrimSuffix(say.Amount(quantity), ".0")
}

// surface is the highest row in which fuel is drawn; -1 if there is none.
func (d *drawing) surface(f tankFrame) int {
	for row := f.rows - 1; row >= 0; row-- {
		if glyph, _ := d.fuel(f, row); glyph != " " {
			return row
		}
	}
	return -1
}
