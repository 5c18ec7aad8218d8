package flying

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// cellsPerMinute is the ribbon's scale: 20 minutes on 80 columns.
const cellsPerMinute = 4

// item is something that stands on the ribbon.
type item struct {
	x      int    // column; 0 for what is due
	mark   string // its sign
	letter string // of the sign, for the axis
	texts  [levels]string
	role   theme.Role
}

// How much of an item is shown: everything, without how long it is, a word, the sign alone.
const levels = 4

// column is where a time stands, the present at 0.
func (d *drawing) column(t time.Time) int {
	return max(0, int(math.Round(t.Sub(d.At).Minutes()*cellsPerMinute)))
}

// items collects what will be due within so many columns, by column; at the left edge the latest comes last.
func (d *drawing) items(width int) []item {
	const usual = 16
	items := make([]item, 0, usual)
	turns := map[string]bool{}
	open := d.open()
	for i := range open {
		p := &open[i]
		if p.Answer.Act == flight.Passing {
			turns[p.Answer.Point] = true
		}
		if x := d.column(p.Due); x <= width-len(words.Mark(p.Kind)) {
			items = append(items, d.promptItem(p, x))
		}
	}
	for _, point := range d.Route {
		if point.Revised == nil || point.Leg < d.Leg.Index || turns[point.Point] || point.Diverted || d.Clock.LegSeconds == nil {
			continue
		}
		if x := d.column(*point.Revised); x > 0 && x <= width-len(words.CheckpointMark) {
			items = append(items, d.pointItem(point, x))
		}
	}
	for _, c := range d.critical() {
		if x := d.column(c.ETA); x > 0 && x <= width-len(c.mark) {
			items = append(items, d.criticalItem(c, x))
		}
	}
	slices.SortStableFunc(items, func(a, b item) int { return a.x - b.x })
	if pile := slices.IndexFunc(items, func(i item) bool { return i.x > 0 }); pile > 0 {
		slices.Reverse(items[:pile])
	} else if pile < 0 {
		slices.Reverse(items)
	}
	return items
}

func (d *drawing) promptItem(p *flight.Prompt, x int) item {
	mark, text := words.Mark(p.Kind), words.Cut(frame.Clean(p.Text), 24)
	word, role := "", d.theme.Value
	if p.State != flight.Coming || p.Announce {
		word, role = d.stateWord(p)+" ", d.stateRole(p)
	}
	least := mark
	if p.State != flight.Coming {
		least = word + mark // that it is due must not get lost
	}
	return item{x: x, mark: mark, letter: mark[1:2], role: role, texts: [levels]string{
		word + mark + " " + text + " " + say.ToGo(d.At, p.Due), word + mark + " " + text, word + mark + " " + shortText(p), least,
	}}
}

// shortText is the one word that says more than the sign does.
func shortText(p *flight.Prompt) string {
	word := ""
	switch p.Answer.Act {
	case flight.Passing:
		word = p.Answer.Point
	case flight.Tuned, flight.Identified:
		word = p.Answer.Beacon
	case flight.TankChange:
		word = p.Answer.Tank
	default:
		word, _, _ = strings.Cut(frame.Clean(p.Text), " ")
	}
	return words.Cut(frame.Clean(word), 9)
}

func (d *drawing) pointItem(point flight.RoutePoint, x int) item {
	mark, role := words.CheckpointMark, d.theme.Muted
	if !point.Checkpoint {
		mark, role = words.Mark(flight.PromptTurn), d.theme.Value
	}
	text := mark + " " + words.Cut(frame.Clean(point.Point), 20)
	short := mark + " " + words.Cut(frame.Clean(point.Point), 9)
	return item{x: x, mark: mark, letter: mark[1:2], role: role, texts: [levels]string{text, text, short, mark}}
}

// critical is a point at which a way back is decided, with its sign and its name.
type critical struct {
	*flight.CriticalPoint
	mark, name string
}

// critical lists those that lie ahead.
func (d *drawing) critical() []critical {
	var points []critical
	if c := d.Critical.EqualTime; c != nil {
		points = append(points, critical{c, words.EqualTimeMark, "equal time"})
	}
	if c := d.Critical.NoReturn; c != nil {
		points = append(points, critical{c, words.NoReturnMark, "no return"})
	}
	return points
}

func (d *drawing) criticalItem(c critical, x int) item {
	whole := c.mark + " " + c.name + " to " + words.Cut(frame.Clean(c.Back), 9)
	word := c.mark + " " + c.name
	return item{x: x, mark: c.mark, letter: c.mark[1:2], role: d.theme.Muted, texts: [levels]string{whole, word, word, c.mark}}
}

// ribbon draws times, axis and lanes.
func (d *drawing) ribbon(rows int) []string {
	const margin = 1
	width := d.width - margin
	lanes := rows - 2
	placed, onAxis := place(d.items(width), lanes, width)

	axis := d.axis(width)
	for _, i := range onAxis {
		axis.Put(i.x, i.letter, i.role)
	}
	strips := make([]*strip.Strip, lanes)
	for i := range strips {
		strips[i] = strip.New(width)
	}
	for _, p := range placed {
		d.putItem(strips[p.lane], p)
	}
	for _, p := range placed {
		for lane := range p.lane {
			strips[lane].Put(p.x, d.glyphs.Vertical, d.theme.Frame)
		}
		if p.x > 0 {
			axis.Put(p.x, d.stemGlyph(p.x), d.theme.Frame)
		}
	}

	drawn := []string{d.times(width).Row(), axis.Row()}
	for _, s := range strips {
		drawn = append(drawn, s.Row())
	}
	return indent(drawn, margin)
}

// putItem puts an item into its lane, its sign apart from its words unless a state dresses both.
func (d *drawing) putItem(lane *strip.Strip, p placed) {
	if p.role == d.theme.Value && strings.HasPrefix(p.text, p.mark) {
		lane.Put(p.x, p.mark, d.theme.Title)
		lane.Put(p.x+frame.Width(p.mark), p.text[len(p.mark):], p.role)
		return
	}
	lane.Put(p.x, p.text, p.role)
}

// axis is the line of the ribbon: a tick up at every minute, tildes around the next point as far as its time is uncertain.
func (d *drawing) axis(width int) *strip.Strip {
	axis := strip.New(width)
	axis.Fill(0, width, d.glyphs.Horizontal, d.theme.Frame)
	for x := range width {
		if d.isTick(x) {
			axis.Fill(x, x+1, d.glyphs.TeeUp, d.theme.Frame)
		}
	}
	if d.Next != nil && d.Clock.LegSeconds != nil {
		sigma := time.Duration(d.Next.ETASigmaSeconds * float64(time.Second))
		if from := d.column(d.Next.ETA.Add(-sigma)); from < width {
			axis.Fill(from, d.column(d.Next.ETA.Add(sigma))+1, "~", d.theme.Estimate)
		}
	}
	axis.Fill(0, 1, d.glyphs.TeeRight, d.theme.Headline)
	return axis
}

// isTick reports whether a whole minute stands in a column.
func (d *drawing) isTick(x int) bool { return d.column(d.minuteAt(x)) == x }

// minuteAt is the whole minute nearest to a column.
func (d *drawing) minuteAt(x int) time.Time {
	return d.At.Add(time.Duration(x) * time.Minute / cellsPerMinute).Round(time.Minute)
}

func (d *drawing) stemGlyph(x int) string {
	if d.isTick(x) {
		return d.glyphs.Crossing
	}
	return d.glyphs.TeeDown
}

// times names every fifth minute above its tick, and the present.
func (d *drawing) times(width int) *strip.Strip {
	s := strip.New(width)
	s.Put(0, "NOW", d.theme.Headline)
	step := 5 * time.Minute
	for t := d.At.Truncate(step).Add(step); d.column(t) < width; t = t.Add(step) {
		text := say.Minute(t)
		if x := d.column(t); s.Free(x-1, len(text)+1) {
			s.Put(x, text, d.theme.Label)
		}
	}
	if d.Clock.Paused {
		s.Put(4, "PAUSED", d.theme.Warning)
	} else if d.Clock.Rate != 1 && d.Clock.Rate != 0 {
		s.Put(4, fmt.Sprintf("×%g", d.Clock.Rate), d.theme.Label)
	}
	return s
}
