package tanks

import (
	"math"
	"sort"
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

// plot is a rectangle in which figures run over time: past ones as lines, planned ones as dots.
type plot struct {
	theme     theme.Theme
	width     int // of the rectangle between the scale at its left and the names at its right
	rows      int
	from, to  time.Time
	now       time.Time
	low, high float64
	cells     [][]plotCell // by row, from the top
}

type plotCell struct {
	glyph string
	role  theme.Role
}

// dot is a figure at a time; between two dots it goes evenly.
type dot struct {
	at    time.Time
	value float64
}

// curve is a figure over time.
type curve struct {
	name       string
	past       []dot
	ahead      []dot
	role       theme.Role
	plannedIn  theme.Role
	lastRow    int
	marks      []dot // single figures
	markedWith string
}

// Widths beside the rectangle.
const (
	scaleWidth    = 7 // " 57.0 ┤"
	mostNameWidth = 12
)

func newPlot(t theme.Theme, width, rows, nameWidth int) *plot {
	p := &plot{theme: t, width: max(1, width-scaleWidth-nameWidth), rows: rows, cells: make([][]plotCell, rows)}
	for i := range p.cells {
		p.cells[i] = make([]plotCell, p.width)
	}
	return p
}

// column is where a time stands.
func (p *plot) column(at time.Time) int {
	length := p.to.Sub(p.from)
	if length <= 0 {
		return 0
	}
	return int(math.Round(float64(at.Sub(p.from)) / float64(length) * float64(p.width-1)))
}

// time is what stands at a column.
func (p *plot) time(column int) time.Time {
	return p.from.Add(time.Duration(float64(p.to.Sub(p.from)) * float64(column) / float64(max(1, p.width-1))))
}

// row is where a figure stands, from the top; what lies outside stands at the edge.
func (p *plot) row(value float64) int {
	share := (value - p.low) / (p.high - p.low)
	if math.IsNaN(share) {
		share = 0
	}
	return p.rows - 1 - int(math.Round(math.Max(0, math.Min(share, 1))*float64(p.rows-1)))
}

func (p *plot) set(row, column int, glyph string, role theme.Role) {
	if row >= 0 && row < p.rows && column >= 0 && column < p.width {
		p.cells[row][column] = plotCell{glyph, role}
	}
}

// level draws a line at a figure for as long as there is nothing else.
func (p *plot) level(value float64, glyph string, role theme.Role) {
	for column := range p.width {
		p.set(p.row(value), column, glyph, role)
	}
}

// upright draws the line of a time.
func (p *plot) upright(at time.Time, role theme.Role) {
	for row := range p.rows {
		p.set(row, p.column(at), p.theme.Glyphs().Vertical, role)
	}
}

// draw draws a curve: a line up to now, dots from there on.
func (p *plot) draw(c *curve) {
	before, drawn := 0, false
	now := p.column(p.now)
	for column := range p.width {
		at := p.time(column)
		if column <= now {
			if value, ok := valueAt(c.past, at); ok {
				before, drawn = p.step(column, before, p.row(value), drawn, c.role), true
			}
			continue
		}
		if value, ok := valueAt(c.ahead, at); ok {
			before, drawn = p.row(value), true
			p.set(before, column, dotOf(p.theme), c.plannedIn)
		}
	}
	c.lastRow = before
	if !drawn {
		c.lastRow = -1
	}
	for _, mark := range c.marks {
		p.set(p.row(mark.value), p.column(mark.at), c.markedWith, p.theme.Value)
	}
}

// dotOf is what planned figures are drawn with.
func dotOf(t theme.Theme) string {
	if t.Glyphs().Halves {
		return "·"
	}
	return "."
}

// step draws a line on to the next column, up or down to its row.
func (p *plot) step(column, before, row int, drawn bool, role theme.Role) int {
	g := p.theme.Glyphs()
	switch {
	case !drawn || row == before:
		p.set(row, column, g.Horizontal, role)
		return row
	case row > before: // down
		p.set(before, column, g.TopRight, role)
		p.set(row, column, g.BottomLeft, role)
	default:
		p.set(before, column, g.BottomRight, role)
		p.set(row, column, g.TopLeft, role)
	}
	for between := min(before, row) + 1; between < max(before, row); between++ {
		p.set(between, column, g.Vertical, role)
	}
	return row
}

// valueAt is a figure at a time; ok is false outside what is known.
func valueAt(dots []dot, at time.Time) (value float64, ok bool) {
	i := sort.Search(len(dots), func(i int) bool { return !dots[i].at.Before(at) })
	switch {
	case i == len(dots):
		return 0, false
	case i == 0:
		return dots[0].value, dots[0].at.Equal(at)
	}
	a, b := dots[i-1], dots[i]
	return a.value + (b.value-a.value)*float64(at.Sub(a.at))/float64(b.at.Sub(a.at)), true
}

// lines are the rows of the rectangle with a scale at its left and the names of the curves at its right.
func (p *plot) lines(width int, scale map[int]string, curves []curve) []string {
	names := map[int]*curve{}
	for i := range curves {
		row := curves[i].lastRow
		for _, near := range []int{row, row + 1, row - 1, row + 2, row - 2} {
			if names[near] == nil && near >= 0 && near < p.rows && row >= 0 {
				names[near] = &curves[i]
				break
			}
		}
	}
	g := p.theme.Glyphs()
	rows := make([]string, p.rows)
	for i := range rows {
		s := strip.New(width)
		edge := g.Vertical
		if text, marked := scale[i]; marked {
			s.Put(0, frame.FitRight(text, scaleWidth-1), p.theme.Muted)
			edge = g.TeeLeft
		}
		s.Fill(scaleWidth-1, scaleWidth, edge, p.theme.Frame)
		for from := 0; from < p.width; {
			cell, to := p.cells[i][from], from+1
			for to < p.width && p.cells[i][to] == cell {
				to++
			}
			if cell.glyph != "" {
				s.Fill(scaleWidth+from, scaleWidth+to, cell.glyph, cell.role)
			}
			from = to
		}
		if c := names[i]; c != nil {
			room := width - scaleWidth - p.width - 1
			s.Put(scaleWidth+p.width+1, frame.Fit(c.name, min(room, frame.Width(c.name))), c.role)
		}
		rows[i] = s.Row()
	}
	return rows
}

// axis is the row of the times, with the changes of tank on it.
func (p *plot) axis(width int, made, planned []time.Time) []string {
	g := p.theme.Glyphs()
	line, labels := strip.New(width), strip.New(width)
	line.Fill(scaleWidth-1, scaleWidth, g.BottomLeft, p.theme.Frame)
	line.Fill(scaleWidth, scaleWidth+p.width, g.Horizontal, p.theme.Frame)
	put := func(s *strip.Strip, at time.Time, text string, role theme.Role) bool {
		if at.Before(p.from) || at.After(p.to) {
			return false
		}
		return s.Centre(scaleWidth+p.column(at), text, role)
	}
	for _, at := range made {
		put(line, at, "F", p.theme.Headline)
	}
	for _, at := range planned {
		put(line, at, "f", p.theme.Coming)
	}
	put(labels, p.now, "now", p.theme.Headline)
	for at := p.firstTick(); !at.After(p.to); at = at.Add(p.tick()) {
		if put(labels, at, say.Minute(at), p.theme.Muted) {
			column := scaleWidth + p.column(at)
			line.Fill(column, column+1, g.TeeDown, p.theme.Frame)
		}
	}
	return []string{line.Row(), labels.Row()}
}

// tick is how far apart times stand.
func (p *plot) tick() time.Duration {
	const cells = 12
	for _, step := range []time.Duration{5, 10, 15, 20, 30, 60, 120} {
		if tick := step * time.Minute; p.to.Sub(p.from)/tick <= time.Duration(p.width/cells) {
			return tick
		}
	}
	return 4 * time.Hour
}

func (p *plot) firstTick() time.Time {
	first := p.from.Truncate(p.tick())
	if first.Before(p.from) {
		first = first.Add(p.tick())
	}
	return first
}
