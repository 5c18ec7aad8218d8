package tanks

import (
	"math"
	"sort"
	"strings"
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// plot is a rectangle in which figures run over time, drawn with the eight dots of a Braille cell: past ones as lines, planned ones as dots.
// In ASCII a curve is its letter, planned in lower case.
type plot struct {
	theme     theme.Theme
	width     int // of the rectangle between the scale at its left and the names at its right
	rows      int
	from, to  time.Time
	now       time.Time
	low, high float64
	cells     [][]plotCell // by row, from the top
}

// plotCell is what stands in a cell: dots over a line that lies behind them, or a mark over both.
type plotCell struct {
	behind, mark string
	dots         uint8
	role         theme.Role // of the dots or, where there are none, of what lies behind
}

// Dots of a cell, across and down.
const (
	dotsAcross = 2
	dotsDown   = 4
)

// dot is a figure at a time; between two dots it goes evenly.
type dot struct {
	at    time.Time
	value float64
}

// curve is a figure over time.
type curve struct {
	name    string
	letter  string // in ASCII
	past    []dot
	ahead   []dot
	thick   bool // two dots
	dashed  bool
	role    theme.Role
	lastRow int
	marks   []dot // single figures
}

// Widths beside the rectangle.
const (
	scaleWidth    = 7 // " 57.0 ┤"
	mostNameWidth = 14
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

// height is how high a figure stands in the rectangle, from 0 at its lower edge to 1; what lies outside stands at the edge.
func (p *plot) height(value float64) float64 {
	share := (value - p.low) / (p.high - p.low)
	if math.IsNaN(share) {
		return 0
	}
	return math.Max(0, math.Min(share, 1))
}

// row is where a figure stands, from the top.
func (p *plot) row(value float64) int { return p.dotRow(value) / dotsDown }

// dotRow is row in dots.
func (p *plot) dotRow(value float64) int {
	last := p.rows*dotsDown - 1
	return last - int(math.Round(p.height(value)*float64(last)))
}

// level draws a line behind the curves, at a figure.
func (p *plot) level(value float64, glyph string, role theme.Role) {
	for column := range p.width {
		p.cells[p.row(value)][column] = plotCell{behind: glyph, role: role}
	}
}

// upright draws the line of a time behind the curves.
func (p *plot) upright(at time.Time, role theme.Role) {
	column := min(max(p.column(at), 0), p.width-1)
	for row := range p.rows {
		p.cells[row][column] = plotCell{behind: p.theme.Glyphs().Vertical, role: role}
	}
}

// draw draws a curve: a line up to now, dots from there on.
func (p *plot) draw(c *curve) {
	c.lastRow = -1
	before, drawn := 0, false
	for x := range p.width * dotsAcross {
		at := p.from.Add(time.Duration(float64(p.to.Sub(p.from)) * float64(x) / float64(max(1, p.width*dotsAcross-1))))
		planned := at.After(p.now)
		dots := c.past
		if planned {
			dots = c.ahead
		}
		value, ok := valueAt(dots, at)
		if !ok {
			continue
		}
		y := p.dotRow(value)
		if !drawn || planned {
			before = y
		}
		drawn, c.lastRow = true, y/dotsDown
		if p.theme.ASCII {
			p.letter(c, x/dotsAcross, min(before, y)/dotsDown, max(before, y)/dotsDown, planned)
		} else if !planned && !(c.dashed && x%10 >= 6) || planned && x%4 == 0 {
			for row := min(before, y); row <= max(before, y); row++ {
				p.set(x, row, c.role)
				if c.thick {
					p.set(x, row+1, c.role)
				}
			}
		}
		before = y
	}
	for _, mark := range c.marks {
		if column := p.column(mark.at); column >= 0 && column < p.width {
			p.cells[p.row(mark.value)][column].mark = "x"
		}
	}
}

// set draws a dot. The patterns of Braille begin at U+2800; dots 1 to 3 and 7 stand at the left, 4 to 6 and 8 at the right, from the top (The
// Unicode Standard, 21.1, Braille Patterns).
func (p *plot) set(x, y int, role theme.Role) {
	if y < 0 || y >= p.rows*dotsDown {
		return
	}
	bits := [dotsDown][dotsAcross]uint8{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}
	cell := &p.cells[y/dotsDown][x/dotsAcross]
	cell.dots |= bits[y%dotsDown][x%dotsAcross]
	cell.role = role
}

// letter draws a curve's letter in the rows of a column.
func (p *plot) letter(c *curve, column, top, bottom int, planned bool) {
	glyph := strings.ToUpper(c.letter)
	if planned {
		glyph = strings.ToLower(c.letter)
	}
	for row := top; row <= bottom; row++ {
		p.cells[row][column] = plotCell{behind: glyph, role: c.role}
	}
}

// glyph is what a cell shows.
func (c plotCell) glyph() string {
	switch {
	case c.mark != "":
		return c.mark
	case c.dots != 0:
		return string(rune(0x2800 + int(c.dots)))
	default:
		return c.behind
	}
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
		s := frame.NewStrip(width)
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
			if glyph := cell.glyph(); glyph != "" {
				s.Fill(scaleWidth+from, scaleWidth+to, glyph, cell.role)
			}
			from = to
		}
		if c := names[i]; c != nil {
			room := width - scaleWidth - p.width - 1
			s.Put(scaleWidth+p.width+1, frame.Fit(c.label(p.theme), min(room, frame.Width(c.label(p.theme)))), c.role)
		}
		rows[i] = s.Row()
	}
	return rows
}

// label names a curve; in ASCII with its letter.
func (c *curve) label(t theme.Theme) string {
	if t.ASCII && c.name != "" && !strings.EqualFold(c.letter, c.name[:1]) {
		return strings.ToUpper(c.letter) + " " + c.name
	}
	return c.name
}

// flag is a word at a time.
type flag struct {
	at   time.Time
	text string
	role theme.Role
}

// axis is the row of the times, and above it the words that belong to some.
func (p *plot) axis(width int, flags []flag) []string {
	g := p.theme.Glyphs()
	line, labels := frame.NewStrip(width), frame.NewStrip(width)
	line.Fill(scaleWidth-1, scaleWidth, g.BottomLeft, p.theme.Frame)
	line.Fill(scaleWidth, scaleWidth+p.width, g.Horizontal, p.theme.Frame)
	put := func(s *frame.Strip, at time.Time, text string, role theme.Role) bool {
		if at.Before(p.from) || at.After(p.to) {
			return false
		}
		return s.Centre(scaleWidth+p.column(at), text, role)
	}
	for _, flag := range flags {
		if !put(line, flag.at, " "+flag.text+" ", flag.role) {
			put(line, flag.at, "|", flag.role)
		}
	}
	put(labels, p.now, "now", p.theme.Headline)
	for at := p.firstTick(); !at.After(p.to); at = at.Add(p.tick()) {
		if put(labels, at, " "+say.Minute(at)+" ", p.theme.Muted) {
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
