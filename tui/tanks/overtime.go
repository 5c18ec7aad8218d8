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
	leastPlot    = 4
	leastBalance = 5
	axisRows     = 2
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
		drawn = append(drawn, d.plotHead("APART", d.balanceWords(), width))
		drawn = append(drawn, d.balancePlot(begin(balanceRows), width)...)
	}
	var made, planned []time.Time
	for _, change := range d.Tanks.Made {
		made = append(made, change.At)
	}
	for _, change := range d.Tanks.Planned {
		planned = append(planned, change.At)
	}
	return frame.Block(append(drawn, quantities.axis(width, made, planned)...), width, rows)
}

// nameWidth is the room for the names of the tanks beside the plots.
func (d *drawing) nameWidth() int {
	longest := 0
	for _, tank := range d.hung {
		longest = max(longest, frame.Width(frame.Clean(tank.Name)))
	}
	return min(longest+2, mostNameWidth)
}

func (d *drawing) plotHead(title, words string, width int) string {
	return frame.Line(width, frame.Cell{Text: strings.Repeat(" ", scaleWidth-1) + title, Style: d.theme.Title}, frame.Cell{Text: "  " + words, Style: d.theme.Muted})
}

func (d *drawing) plotKey() string {
	key := d.theme.Glyphs().Horizontal + " past  " + dotOf(d.theme) + " planned  F change"
	if len(d.Tanks.Readings) > 0 {
		key += "  x gauge"
	}
	return key
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
	for _, tank := range d.hung {
		p.high = math.Max(p.high, tank.Capacity)
	}
	p.upright(d.At, d.theme.Muted)
	curves := make([]curve, 0, len(d.hung))
	for _, tank := range d.hung {
		i := slices.IndexFunc(d.Tanks.Tanks, func(t flight.TankNow) bool { return t.Name == tank.Name })
		c := curve{name: frame.Clean(tank.Name), role: d.theme.Value, plannedIn: d.theme.Coming, markedWith: "x"}
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
	for _, tank := range d.hung {
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
		p.high = math.Max(p.high, limit*(1+math.Max(beyond, 1.01/float64(max(1, p.rows-2))))) // a row of its own beyond the limit
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
			p.level(at, "-", d.theme.Warning)
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
		c := curve{role: d.balanceRole(pair.Difference, limit), plannedIn: d.theme.Coming}
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
