package tanks

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// Rows of the plots: the least that shows anything, with the axis.
const (
	leastPlot     = 4
	leastBalance  = 5
	axisRows      = 2
	leastPlotRows = 1 + leastPlot + axisRows
)

// overTime is the quantities, and below them the imbalance, from off-blocks to landing: past ones as lines, planned ones as dots.
func (d *drawing) overTime(width, rows int) []string {
	from, to, ok := d.span()
	if !ok {
		return frame.Block([]string{frame.Line(width, frame.Cell{Text: " quantity over time: from off-blocks on", Style: d.theme.Muted})}, width, rows)
	}
	quantityRows, balanceRows := rows-axisRows-1, 0
	if len(d.Tanks.Pairs) > 0 && rows >= leastPlot+leastBalance+axisRows+2 {
		balanceRows = max(leastBalance, (rows-axisRows-2)*2/5|1) // an odd number, for nought to lie in the middle
		quantityRows = rows - axisRows - 2 - balanceRows
	}
	names := d.nameWidth()
	if quantityRows < leastPlot || width < scaleWidth+names+20 {
		return frame.Block(nil, width, rows)
	}
	begin := func(rows int) *plot {
		p := newPlot(d.theme, width, rows, names)
		p.from, p.to, p.now = from, to, d.At
		return p
	}
	quantities := begin(quantityRows)
	drawn := append([]string{d.plotHead("IN THE TANKS, "+say.Unit(d.Tanks.Unit), d.plotKey(), width)}, d.quantityPlot(quantities, width)...)
	if balanceRows > 0 {
		drawn = append(drawn, d.plotHead("IMBALANCE", []string{d.balanceWords()}, width))
		drawn = append(drawn, d.balancePlot(begin(balanceRows), width)...)
	}
	var flags []flag
	for _, change := range d.Tanks.Made {
		flags = append(flags, flag{change.At, frame.Clean(change.To), d.theme.Value})
	}
	for _, change := range d.Tanks.Planned {
		flags = append(flags, flag{change.At, frame.Clean(change.To), d.theme.Label})
	}
	return frame.Block(append(drawn, quantities.axis(width, flags)...), width, rows)
}

// nameWidth is the room for the names of the tanks beside the plots.
func (d *drawing) nameWidth() int {
	longest := 0
	for _, tank := range d.tanks {
		longest = max(longest, frame.Width(frame.Clean(tank.Name)))
	}
	return min(longest+2, mostNameWidth)
}

// plotHead is a title and what explains the plot, each piece whole or not at all.
func (d *drawing) plotHead(title string, pieces []string, width int) string {
	title = strings.Repeat(" ", scaleWidth-1) + title
	left, gap, words := width-frame.Width(title), "  ", ""
	for _, piece := range pieces {
		if left -= len(gap) + frame.Width(piece); left < 0 {
			break
		}
		words, gap = words+gap+piece, ", "
	}
	return frame.Line(width, frame.Cell{Text: title, Style: d.theme.Title}, frame.Cell{Text: words, Style: d.theme.Muted})
}

// plotKey says how the curves are told apart.
func (d *drawing) plotKey() []string {
	if d.theme.ASCII {
		return []string{"small letters: planned", "x gauge"}
	}
	var words []string
	if len(d.tanks) > 1 {
		for i, tank := range d.tanks {
			thick, dashed := looks(i)
			word := "thin"
			switch {
			case thick && dashed:
				word = "thick dashes"
			case thick:
				word = "thick"
			case dashed:
				word = "dashes"
			}
			words = append(words, frame.Clean(tank.Name)+" "+word)
		}
	}
	words = append(words, "dotted: planned")
	if len(d.Tanks.Readings) > 0 {
		words = append(words, "x gauge")
	}
	return words
}

// looks is how the curve of a tank is told from the others.
func looks(tank int) (thick, dashed bool) { return tank%2 == 1, tank/2%2 == 1 }

// letters are what the tanks' curves are drawn with in ASCII: their initials where those differ, else digits.
func (d *drawing) letters() []string {
	letters, seen := make([]string, len(d.tanks)), map[string]bool{}
	for i, tank := range d.tanks {
		for _, r := range strings.ToLower(frame.Clean(tank.Name)) {
			letters[i] = string(r)
			break
		}
		plain := len(letters[i]) == 1 && letters[i] >= "a" && letters[i] <= "z"
		if !plain || seen[letters[i]] {
			for i := range letters {
				letters[i] = string(rune('a' + i))
			}
			return letters
		}
		seen[letters[i]] = true
	}
	return letters
}

// span is the time that is plotted; ok is false before anything is known.
func (d *drawing) span() (from, to time.Time, ok bool) {
	history, ahead := d.Tanks.History, d.Tanks.Ahead
	switch {
	case len(history) > 0:
		from = history[0].At
	case len(ahead) > 0:
		from = ahead[0].At
	default:
		return from, to, false
	}
	to = d.At
	if len(ahead) > 0 && ahead[len(ahead)-1].At.After(to) {
		to = ahead[len(ahead)-1].At
	}
	return from, to, to.Sub(from) >= time.Minute
}

// dots are a figure of the moments up to now, and of those from now on.
func (d *drawing) dots(now float64, figure func(flight.TankMoment) float64) (past, ahead []dot) {
	for _, m := range d.Tanks.History {
		if !m.At.After(d.At) {
			past = append(past, dot{m.At, figure(m)})
		}
	}
	past = append(past, dot{d.At, now})
	ahead = append(ahead, dot{d.At, now})
	for _, m := range d.Tanks.Ahead {
		if m.At.After(d.At) {
			ahead = append(ahead, dot{m.At, figure(m)})
		}
	}
	return past, ahead
}

func (d *drawing) quantityPlot(p *plot, width int) []string {
	for _, tank := range d.tanks {
		p.high = math.Max(p.high, tank.Capacity)
	}
	p.upright(d.At, d.theme.Muted)
	curves, letters := make([]curve, 0, len(d.tanks)), d.letters()
	for n, tank := range d.tanks {
		i := slices.IndexFunc(d.Tanks.Tanks, func(t flight.TankNow) bool { return t.Name == tank.Name })
		c := curve{name: frame.Clean(tank.Name), letter: letters[n], role: d.theme.Value}
		c.thick, c.dashed = looks(n)
		if tank.Selected {
			c.role = d.theme.Headline
		}
		c.past, c.ahead = d.dots(tank.Quantity, func(m flight.TankMoment) float64 {
			if i < len(m.Quantities) {
				return m.Quantities[i]
			}
			return math.NaN()
		})
		for _, reading := range d.Tanks.Readings {
			if reading.Tank == tank.Name {
				c.marks = append(c.marks, dot{reading.At, reading.Read})
			}
		}
		p.draw(&c)
		curves = append(curves, c)
	}
	scale := map[int]string{p.row(p.high / 2): say.Amount(p.high / 2), 0: say.Amount(p.high), p.rows - 1: say.Amount(0)}
	return p.lines(width, scale, curves)
}

// balanceWords say which way is which.
func (d *drawing) balanceWords() string {
	if len(d.Tanks.Pairs) == 1 {
		return "up: " + frame.Clean(d.upTank(0)) + " heavy"
	}
	return "up: the left one of each pair heavy"
}

// upTank is the tank of a pair that is drawn upwards when it is the fullest: the one that hangs at the left.
func (d *drawing) upTank(pair int) string {
	of := d.Tanks.Pairs[pair]
	for _, tank := range d.tanks {
		if tank.Name == of.First || tank.Name == of.Second {
			return tank.Name
		}
	}
	return of.First
}

func (d *drawing) balancePlot(p *plot, width int) []string {
	p.high = 1
	for _, pair := range d.Tanks.Pairs {
		p.high = math.Max(p.high, math.Abs(pair.Difference))
	}
	limit := 0.0
	if d.Tanks.MaxImbalance != nil {
		limit = *d.Tanks.MaxImbalance
		p.high = math.Max(p.high, limit*(1+math.Max(0.15, 1.01/float64(max(1, p.rows-2))))) // a row of its own beyond the limit
	} else {
		for _, m := range slices.Concat(d.Tanks.History, d.Tanks.Ahead) {
			for _, difference := range m.Differences {
				p.high = math.Max(p.high, math.Abs(difference))
			}
		}
	}
	p.low = -p.high
	p.level(0, d.theme.Glyphs().Horizontal, d.theme.Frame)
	scale := map[int]string{p.row(0): "0"}
	if limit > 0 {
		for _, at := range []float64{limit, -limit} {
			p.level(at, limitLine(d.theme), d.theme.Value)
			scale[p.row(at)] = short(limit)
		}
	}
	p.upright(d.At, d.theme.Muted)
	curves := make([]curve, 0, len(d.Tanks.Pairs))
	for i, pair := range d.Tanks.Pairs {
		sign := 1.0
		if d.upTank(i) == pair.Second {
			sign = -1
		}
		c := curve{role: d.balanceRole(pair.Difference, limit), letter: string(rune('i' + i))}
		c.thick, c.dashed = looks(i)
		if len(d.Tanks.Pairs) > 1 {
			c.name = pairName(pair)
		}
		c.past, c.ahead = d.dots(sign*pair.Difference, func(m flight.TankMoment) float64 {
			if i < len(m.Differences) {
				return sign * m.Differences[i]
			}
			return math.NaN()
		})
		p.draw(&c)
		curves = append(curves, c)
	}
	return p.lines(width, scale, curves)
}

func limitLine(t theme.Theme) string {
	if t.ASCII {
		return "="
	}
	return "╌"
}

func (d *drawing) balanceRole(difference, limit float64) theme.Role {
	if limit > 0 && math.Abs(difference) > limit {
		return d.theme.Warning
	}
	return d.theme.Headline
}

// pairName is what the names of two tanks have in common, "main" of "left main" and "right main"; else both.
func pairName(pair flight.PairNow) string {
	_, first, _ := strings.Cut(frame.Clean(pair.First), " ")
	_, second, _ := strings.Cut(frame.Clean(pair.Second), " ")
	if first != "" && first == second {
		return first
	}
	return frame.Clean(pair.First) + "/" + frame.Clean(pair.Second)
}
