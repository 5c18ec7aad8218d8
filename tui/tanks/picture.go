package tanks

import (
	"math"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

// Widths of the picture's parts.
const (
	noteWidth     = 11 // beside a tank: "gauge 43.0>"
	leastTank     = 8
	notedTank     = 14 // the least of several with notes between them
	mostTank      = 40
	leastGap      = 4
	usualGap      = 8
	mostGap       = 30
	borderRows    = 2
	captionRows   = 2 // the quantity, and whether it feeds
	leastTankRows = 2
	bigDigitsRows = 22 // of the picture, from which the quantities are in big digits
)

// tankFrame is where one tank hangs.
type tankFrame struct {
	flight.TankNow
	x, width   int // of its box
	note       int // where its notes begin
	noteAtLeft bool
	rows       int // inside
}

// picture draws the tanks in a block of width × rows.
func (d *drawing) picture(width, rows int) []string {
	captions := captionRows
	if rows >= bigDigitsRows {
		captions += frame.BigSmall // and a blank row
	}
	inside := rows - borderRows - captions
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
	if captions > captionRows {
		return append(append(drawn, d.bigQuantities(frames, width)...), "", d.feed(frames, width))
	}
	return append(drawn, d.quantities(frames, width), d.feed(frames, width))
}

// spread is how tanks share a width.
type spread struct {
	box, gap int
	notes    bool
}

// spreadOf gives every tank an equal box, beside it room for notes if there is enough.
func spreadOf(width, n int) (spread, bool) {
	sp := spread{gap: usualGap, notes: true}
	least := leastTank
	if n > 2 {
		sp.gap, least = 1, notedTank
	}
	sp.box = (width - noteWidth*n - sp.gap*(n-1)) / n
	if sp.box < least {
		sp.notes, sp.gap = false, leastGap
		sp.box = (width - sp.gap*(n-1)) / n
	}
	if spare := (sp.box - mostTank) * n; spare > 0 && n == 2 {
		sp.gap = min(mostGap, sp.gap+spare)
	}
	fits := sp.box >= leastTank
	sp.box = min(sp.box, mostTank)
	return sp, fits
}

// frames places the tanks side by side, notes at the left of the first of two, at the right of the others; nil where they have
// no room.
func (d *drawing) frames(width, inside int) []tankFrame {
	const margin = 1
	sp, ok := spreadOf(width-margin, len(d.hung))
	if !ok {
		return nil
	}
	highest := 0.0
	for _, t := range d.hung {
		highest = math.Max(highest, t.Capacity)
	}
	frames := make([]tankFrame, len(d.hung))
	x := margin
	for i, t := range d.hung {
		f := tankFrame{TankNow: t, x: x, width: sp.box, note: -1, noteAtLeft: i == 0 && len(d.hung) <= 2, rows: inside}
		if highest > 0 {
			f.rows = max(1, min(inside, int(math.Round(t.Capacity/highest*float64(inside)))))
		}
		x += sp.box + sp.gap
		if sp.notes {
			x += noteWidth
			f.note = f.x + sp.box
		}
		if sp.notes && f.noteAtLeft {
			f.note, f.x = f.x, f.x+noteWidth
		}
		frames[i] = f
	}
	return frames
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
		s.Centre(middle, say.Amount(d.Tanks.Imbalance), d.theme.Headline)
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

// quantities is what is in each tank, under it.
func (d *drawing) quantities(frames []tankFrame, width int) string {
	s := strip.New(width)
	for _, f := range frames {
		s.Centre(f.centre(), say.Amount(f.Quantity)+" "+say.Unit(d.Tanks.Unit), d.theme.Headline)
	}
	return s.Row()
}

// bigQuantities is what is in each tank in big digits.
func (d *drawing) bigQuantities(frames []tankFrame, width int) []string {
	rows := make([]string, frame.BigSmall)
	for i := range rows {
		s := strip.New(width)
		for _, f := range frames {
			text := say.Amount(f.Quantity)
			x := f.centre() - frame.BigWidth(text, frame.BigSmall)/2
			s.Put(x, frame.Big(text, frame.BigSmall, d.theme.Glyphs())[i], d.theme.Headline)
			if i == len(rows)-1 {
				s.Put(x+frame.BigWidth(text, frame.BigSmall)+1, say.Unit(d.Tanks.Unit), d.theme.Label)
			}
		}
		rows[i] = s.Row()
	}
	return rows
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
		drawn = append(drawn, frame.Line(width, frame.Cell{Text: mark + frame.Clean(t.Name) + " ", Style: d.theme.Title},
			frame.Cell{Text: say.Amount(t.Quantity) + " " + say.Unit(d.Tanks.Unit) + " ", Style: d.theme.Headline},
			frame.Cell{Text: strings.TrimSpace(text), Style: role}))
	}
	return frame.Block(drawn, width, rows)
}
