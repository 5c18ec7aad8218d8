package tanks

import (
	"math"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

const feeds = "feeds"

// labelWidth is the room for the names of the tanks, and which of them feeds, before the bars.
func (d *drawing) labelWidth() int {
	const most = 14
	longest := 0
	for _, tank := range d.tanks {
		longest = max(longest, frame.Width(frame.Clean(tank.Name)))
	}
	return 1 + min(longest, most) + 1 + len(feeds) + 1
}

// bars are the tanks lying flat, each so many rows high, all to one scale.
func (d *drawing) bars(height int) []string {
	highest, behind := 0.0, 0
	texts := make([]string, len(d.tanks))
	for i, tank := range d.tanks {
		highest = math.Max(highest, tank.Capacity)
		texts[i] = d.behindBar(tank)
		behind = max(behind, frame.Width(texts[i]))
	}
	label := d.labelWidth()
	const leastBar = 6
	room := d.width - label - behind - 1
	if room < leastBar { // names and figures alone
		label, room = max(0, d.width-behind-1), 0
	}
	var rows []string
	for i, tank := range d.tanks {
		full := room
		if highest > 0 && tank.Capacity > 0 {
			full = max(min(1, room), int(math.Round(tank.Capacity/highest*float64(room))))
		}
		bar := d.bar(tank, full) + strings.Repeat(" ", room-full)
		rows = append(rows, frame.Fit(d.name(i, label)+bar+" "+d.theme.Headline.Render(texts[i]), d.width))
		for range height - 1 {
			rows = append(rows, frame.Fit(strings.Repeat(" ", label)+bar, d.width))
		}
	}
	return rows
}

// name is a tank's name, whether it is marked and whether it feeds, in so many cells.
func (d *drawing) name(i, width int) string {
	tank, mark, role, word := d.tanks[i], " ", d.theme.Label, ""
	if i == d.marked {
		mark = ">"
	}
	if tank.Selected {
		role, word = d.theme.Tank, feeds
	}
	room := max(0, width-2-len(feeds)-1)
	name := frame.Cell{Text: frame.Fit(strings.ToUpper(frame.Clean(tank.Name)), min(room, frame.Width(tank.Name))), Style: role}
	if i == d.marked && d.moved {
		name.Style = d.theme.Selected
	}
	return frame.Line(width, frame.Cell{Text: mark}, name, frame.Cell{Width: max(1, room-frame.Width(name.Text)+1)}, frame.Cell{Text: word, Style: role})
}

// bar is one tank: what can't be used shaded, then what can, then what is missing.
func (d *drawing) bar(tank flight.TankNow, width int) string {
	g := d.theme.Glyphs()
	if tank.Capacity <= 0 || math.IsNaN(tank.Quantity) {
		return strings.Repeat(g.Empty, max(0, width))
	}
	unusable := int(math.Round(math.Min(tank.Unusable, tank.Quantity) / tank.Capacity * float64(width)))
	if unusable <= 0 || unusable >= width {
		return frame.Bar(width, tank.Quantity/tank.Capacity, g, d.theme.Value, d.theme.Frame)
	}
	rest := (tank.Quantity/tank.Capacity*float64(width) - float64(unusable)) / float64(width-unusable)
	shade := "▒"
	if d.theme.ASCII {
		shade = "="
	}
	return strings.Repeat(shade, unusable) + frame.Bar(width-unusable, rest, g, d.theme.Value, d.theme.Frame)
}

// behindBar is what is in a tank and, in a wide window, what else is known of it.
func (d *drawing) behindBar(tank flight.TankNow) string {
	const wide = 100
	text := frame.FitRight(say.Amount(tank.Quantity), 5) + " of " + short(tank.Capacity)
	if d.width < wide {
		return text
	}
	if tank.Unusable > 0 {
		text += ", " + short(tank.Unusable) + " unusable"
	}
	if tank.Gauge != nil {
		text += ", gauge " + say.Amount(*tank.Gauge)
		if tank.GaugeAt != nil {
			text += " at " + say.Time(*tank.GaugeAt)
		}
	}
	return text
}

// short is a quantity in few cells.
func short(quantity float64) string { return strings.TrimSuffix(say.Amount(quantity), ".0") }

// scales are the imbalance of each pair against its limit, now and at the change: a row with the scale, and one that says what is marked.
func (d *drawing) scales() []string {
	limit := d.Tanks.MaxImbalance
	var rows []string
	label := d.labelWidth()
	for i := range d.Tanks.Pairs {
		label = max(label, 1+frame.Width(d.balance(i).words())+2)
	}
	for i, pair := range d.Tanks.Pairs {
		b := d.balance(i)
		head := b.words()
		if limit == nil || *limit <= 0 {
			rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + head + ", no limit is set", Style: d.theme.Value}))
			continue
		}
		then, over := math.NaN(), math.Abs(b.now) > *limit
		if change := d.Tanks.NextChange; change != nil && (change.To == pair.First || change.To == pair.Second) {
			then = change.ImbalanceThen
			if change.HeavyThen == b.left {
				then = -then
			}
		}
		role := d.theme.Value
		if over {
			role = d.theme.Warning
		}
		low, high := short(*limit)+" ", " "+short(*limit)
		const named = 60
		if d.width >= named {
			low, high = frame.Clean(b.left)+" "+low, high+" "+frame.Clean(b.right)
		}
		width := d.width - label - frame.Width(low) - frame.Width(high) - 1
		below := d.below(*limit, b.now, then)
		const leastScale = 9
		if width < leastScale {
			rows = append(rows, frame.Line(d.width, frame.Cell{Text: " "}, frame.Cell{Text: head, Style: role}),
				frame.Line(d.width, frame.Cell{Text: "  " + below.text, Style: below.role}))
			continue
		}
		width -= 1 - width%2
		scale, at := d.scale(width, *limit, b.now, then)
		rows = append(rows, frame.Fit(" "+role.Render(head)+strings.Repeat(" ", label-1-frame.Width(head))+d.theme.Label.Render(low)+scale+d.theme.Label.Render(high), d.width))
		words := frame.NewStrip(d.width)
		words.Put(max(label, min(label+frame.Width(low)+at, d.width-frame.Width(below.text)-1)), below.text, below.role)
		if below.text != "" || len(d.Tanks.Pairs) == 1 {
			rows = append(rows, words.Row())
		}
	}
	return rows
}

// balance is by how much the right one of a pair holds more than the left one: negative, the left one is heavy.
type balance struct {
	left, right string
	now         float64
}

func (d *drawing) balance(pair int) balance {
	of := d.Tanks.Pairs[pair]
	b := balance{of.First, of.Second, -of.Difference}
	for _, tank := range d.tanks {
		if tank.Name == of.First {
			return b
		}
		if tank.Name == of.Second {
			return balance{of.Second, of.First, of.Difference}
		}
	}
	return b
}

// words say which side is heavy, and by how much.
func (b balance) words() string {
	const least = 0.05 // below it 0.0 is shown
	amount := say.Amount(math.Abs(b.now))
	switch {
	case math.Abs(b.now) < least:
		return "LEVEL " + amount
	case b.now < 0:
		return strings.ToUpper(frame.Clean(b.left)) + " HEAVY " + amount
	default:
		return strings.ToUpper(frame.Clean(b.right)) + " HEAVY " + amount
	}
}

// said is a text with its look.
type said struct {
	text string
	role theme.Role
}

// below is what stands under a scale.
func (d *drawing) below(limit, now, then float64) said {
	switch {
	case math.Abs(now) > limit:
		return said{" OVER THE LIMIT of " + short(limit) + " ", d.theme.Warning}
	case math.IsNaN(then):
		return said{"", d.theme.Label}
	case math.Abs(then) > limit:
		return said{" " + say.Amount(math.Abs(then)) + " at the change: OVER THE LIMIT ", d.theme.Caution}
	default:
		return said{say.Amount(math.Abs(then)) + " at the change", d.theme.Label}
	}
}

// scale draws an imbalance between its limits, and beyond them where it is; at is the column of what it will be at the change, or is now.
func (d *drawing) scale(width int, limit, now, then float64) (row string, at int) {
	g := d.theme.Glyphs()
	most := limit
	for _, amount := range []float64{now, then} {
		if math.Abs(amount) > limit {
			most = math.Max(most, math.Min(math.Abs(amount), 2*limit)*1.05)
		}
	}
	middle := (width - 1) / 2
	column := func(amount float64) int {
		return middle + int(math.Round(math.Max(-1, math.Min(amount/most, 1))*float64(middle)))
	}
	s := frame.NewStrip(width)
	s.Fill(0, width, g.Empty, d.theme.Frame)
	low, high := column(-limit), column(limit)
	s.Fill(low, high+1, g.Horizontal, d.theme.Frame)
	s.Fill(low, low+1, g.TeeRight, d.theme.Frame)
	s.Fill(high, high+1, g.TeeLeft, d.theme.Frame)
	s.Fill(middle, middle+1, g.Crossing, d.theme.Frame)
	isNow, isThen := "●", "○"
	if d.theme.ASCII {
		isNow, isThen = "#", "o"
	}
	at = column(now)
	if !math.IsNaN(then) {
		at = column(then)
		s.Fill(at, at+1, isThen, d.theme.Value)
	}
	s.Put(column(now), isNow, d.theme.Headline)
	return s.Row(), at
}
