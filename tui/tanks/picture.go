package tanks

import (
	"math"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// eighths are cells filled from below by one to seven eighths, for terminals that draw blocks.
var eighths = [...]string{"▁", "▂", "▃", "▄", "▅", "▆", "▇"}

// Widths of the picture's parts.
const (
	noteWidth     = 11 // beside a tank: "gauge 43.0>"
	leastTank     = 8
	notedTank     = 14 // the least of several with notes between them
	mostTank      = 34
	leastGap      = 4
	usualGap      = 8
	mostGap       = 24
	borderRows    = 2
	captionRows   = 2 // the quantity, and whether it feeds
	leastTankRows = 2
)

// frameOf says where one tank hangs.
type tankFrame struct {
	flight.TankNow
	x, width   int // of its box
	note       int // where its notes begin
	noteAtLeft bool
	rows       int // inside
}

// picture draws the tanks in a block of width × rows.
func (d *drawing) picture(width, rows int) []string {
	inside := rows - borderRows - captionRows
	if inside < leastTankRows || len(d.hung) == 0 {
		return d.pictureInWords(width, rows)
	}
	frames := d.frames(width, inside)
	if frames == nil {
		return d.pictureInWords(width, rows)
	}
	drawn := make([]string, 0, rows)
	for row := inside + 1; row >= -1; row-- { // from the top edge of the highest to the floor
		s := strip.New(width)
		for i, f := range frames {
			d.tankRow(s, f, row, i == d.marked)
		}
		d.difference(s, frames, row)
		drawn = append(drawn, s.Row())
	}
	drawn = drawn[1:]
	return append(drawn, d.quantities(frames, width), d.feed(frames, width))
}

// frames places the tanks side by side: notes at the outer sides of the outer ones, and between others at their right.
func (d *drawing) frames(width, inside int) []tankFrame {
	const margin = 1
	width -= margin
	n := len(d.hung)
	notes := noteWidth * n
	gap := usualGap
	if n > 2 {
		gap = 1
	}
	box := (width - notes - gap*(n-1)) / n
	if box < leastTank || n > 2 && box < notedTank { // without notes
		notes, gap = 0, leastGap
		box = (width - gap*(n-1)) / n
	}
	if box < leastTank {
		return nil
	}
	if spare := (box - mostTank) * n; spare > 0 && n == 2 {
		gap = min(mostGap, gap+spare)
	}
	box = min(box, mostTank)
	highest := 0.0
	for _, t := range d.hung {
		highest = math.Max(highest, t.Capacity)
	}
	frames := make([]tankFrame, n)
	x := margin
	for i, t := range d.hung {
		f := tankFrame{TankNow: t, width: box, noteAtLeft: i == 0 && n <= 2, rows: inside}
		if highest > 0 {
			f.rows = max(1, min(inside, int(math.Round(t.Capacity/highest*float64(inside)))))
		}
		f.x = x
		if notes > 0 && f.noteAtLeft {
			f.note, f.x = x, x+noteWidth
		} else if notes > 0 {
			f.note = x + box
		} else {
			f.note = -1
		}
		x = f.x + box + gap
		if notes > 0 && !f.noteAtLeft {
			x += noteWidth
		}
		frames[i] = f
	}
	return frames
}

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
		put("gauge "+words.Quantity(*f.Gauge), ">", role)
		return
	}
	switch row {
	case f.rows - 1:
		put("full "+words.Quantity(f.Capacity), " ", d.theme.Muted)
	case 0:
		put("unusable "+short(f.Unusable), " ", d.theme.Muted)
	}
}

// short is a quantity in few cells.
func short(quantity float64) string {
	return strings.TrimSuffix(words.Quantity(quantity), ".0")
}

// difference draws between two tanks by how much the level of one stands above the other's.
func (d *drawing) difference(s *strip.Strip, frames []tankFrame, row int) {
	if len(frames) != 2 {
		return
	}
	left, right := frames[0], frames[1]
	from, to := left.x+left.width, right.x-1
	high, low := max(d.surface(left), d.surface(right)), min(d.surface(left), d.surface(right))
	middle, g, role := (from+to)/2, d.theme.Glyphs(), d.theme.Label
	if high-low < 2 || row > high || row < low || to-from < 5 {
		return
	}
	switch leftIsHigh := d.surface(left) == high; {
	case row == (high+low)/2:
		s.Centre(middle, words.Quantity(d.Tanks.Imbalance), d.theme.Headline)
	case row == high && leftIsHigh:
		s.Fill(from, middle, g.Horizontal, role)
		s.Fill(middle, middle+1, g.TopRight, role)
	case row == high:
		s.Fill(middle+1, to+1, g.Horizontal, role)
		s.Fill(middle, middle+1, g.TopLeft, role)
	case row == low && leftIsHigh:
		s.Fill(middle+1, to+1, g.Horizontal, role)
		s.Fill(middle, middle+1, g.BottomLeft, role)
	case row == low:
		s.Fill(from, middle, g.Horizontal, role)
		s.Fill(middle, middle+1, g.BottomRight, role)
	default:
		s.Fill(middle, middle+1, g.Vertical, role)
	}
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

// quantities is what is in each tank, under it.
func (d *drawing) quantities(frames []tankFrame, width int) string {
	s := strip.New(width)
	for _, f := range frames {
		s.Centre(f.centre(), words.Quantity(f.Quantity)+" "+words.Unit(d.Tanks.Unit), d.theme.Headline)
	}
	return s.Row()
}

// feed shows where the engine gets its fuel: with two tanks a pipe of arrows to the engine between them.
func (d *drawing) feed(frames []tankFrame, width int) string {
	s := strip.New(width)
	if len(frames) != 2 {
		for _, f := range frames {
			text, role := d.feedWord(f.TankNow)
			s.Centre(f.centre(), text, role)
		}
		return s.Row()
	}
	const engine = "ENGINE"
	middle := (frames[0].centre() + frames[1].centre()) / 2
	s.Centre(middle, engine, d.theme.Label)
	for i, f := range frames {
		text, role := d.feedWord(f.TankNow)
		from, to, arrow := f.centre(), middle-len(engine)/2, ">"
		if i == 1 {
			from, to, arrow = middle+len(engine)/2, f.centre()+1, "<"
		}
		if !f.Selected {
			s.Centre(f.centre(), text, role)
			continue
		}
		if frame.Width(text) > to-from {
			text = strings.TrimSpace(text)
		}
		s.Put(from+(to-from-frame.Width(text))/2, text, role)
		s.Fill(from, to, arrow, role)
	}
	return s.Row()
}

func (d *drawing) feedWord(t flight.TankNow) (string, theme.Role) {
	if t.Selected {
		return " FEEDS ", d.theme.Tank
	}
	return "shut", d.theme.Muted
}

// pictureInWords is one row a tank where there is no room to draw.
func (d *drawing) pictureInWords(width, rows int) []string {
	var drawn []string
	for i, t := range d.hung {
		mark := " "
		if i == d.marked {
			mark = ">"
		}
		text, role := d.feedWord(t)
		drawn = append(drawn, frame.Line(width, frame.Cell{Text: mark + frame.Clean(t.Name) + " ", Style: d.theme.Title.Render},
			frame.Cell{Text: words.Quantity(t.Quantity) + " " + words.Unit(d.Tanks.Unit) + " ", Style: d.theme.Headline.Render},
			frame.Cell{Text: strings.TrimSpace(text), Style: role.Render}))
	}
	return frame.Block(drawn, width, rows)
}
