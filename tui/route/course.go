package route

import (
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/frame"
)

// scale puts times on columns.
type scale struct {
	from, to time.Time
	first    int // the column of from
	last     int // the column of to
}

func (c scale) column(t time.Time) int {
	span := c.to.Sub(c.from)
	if span <= 0 {
		return c.first
	}
	return c.first + int(float64(t.Sub(c.from))/float64(span)*float64(c.last-c.first)+0.5)
}

// course is the whole flight against time: above as planned, below as flown and as it looks now. It has courseRows rows.
func (d *drawing) course() []string {
	ends := d.ends()
	if len(ends) < 2 || d.width < 40 {
		return make([]string, courseRows)
	}
	c := d.scale(ends)
	return []string{d.courseNow(c), d.plannedCourse(ends, c), d.plannedNames(ends, c), d.flownCourse(ends, c), d.flownTimes(ends, c)}
}

// courseNow puts the present above the lines.
func (d *drawing) courseNow(c scale) string {
	s := frame.NewStrip(d.width)
	if now := c.column(d.At); now >= c.first && now < d.width {
		s.Centre(now, "NOW", d.theme.Headline)
	}
	return s.Row()
}

// ends are the ends of the legs that are to be flown, the departure first.
func (d *drawing) ends() []flight.RoutePoint {
	var ends []flight.RoutePoint
	for _, p := range d.Route {
		if !p.Checkpoint && !p.Diverted {
			ends = append(ends, p)
		}
	}
	return ends
}

// at is when a point was or will be passed.
func at(p flight.RoutePoint) time.Time {
	switch {
	case p.Actual != nil:
		return *p.Actual
	case p.Revised != nil:
		return *p.Revised
	default:
		return p.Planned
	}
}

const courseLabel = 10 // cells before the lines

func (d *drawing) scale(ends []flight.RoutePoint) scale {
	c := scale{from: ends[0].Planned, to: ends[0].Planned, first: courseLabel, last: d.width - 6}
	for _, p := range ends {
		for _, t := range []time.Time{p.Planned, at(p)} {
			if t.Before(c.from) {
				c.from = t
			}
			if t.After(c.to) {
				c.to = t
			}
		}
	}
	return c
}

func (d *drawing) plannedCourse(ends []flight.RoutePoint, c scale) string {
	g := d.theme.Glyphs()
	s := frame.NewStrip(d.width)
	s.Put(1, "planned", d.theme.Label)
	s.Fill(c.column(ends[0].Planned), c.column(ends[len(ends)-1].Planned)+1, g.Horizontal, d.theme.Frame)
	for _, p := range ends {
		s.Fill(c.column(p.Planned), c.column(p.Planned)+1, g.TeeDown, d.theme.Frame)
	}
	if now := c.column(d.At); now >= c.first && now <= c.last {
		s.Put(now, g.Crossing, d.theme.Headline)
	}
	return s.Row()
}

func (d *drawing) plannedNames(ends []flight.RoutePoint, c scale) string {
	s := frame.NewStrip(d.width)
	for _, p := range ends {
		s.Centre(c.column(p.Planned), frame.Clean(p.Point), d.theme.Value)
	}
	return s.Row()
}

// flownCourse is solid as far as it was flown.
func (d *drawing) flownCourse(ends []flight.RoutePoint, c scale) string {
	g := d.theme.Glyphs()
	s := frame.NewStrip(d.width)
	s.Put(1, "revised", d.theme.Label)
	first, last := c.column(at(ends[0])), c.column(at(ends[len(ends)-1]))
	s.Fill(first, last+1, g.Horizontal, d.theme.Estimate)
	if ends[0].Actual != nil {
		s.Fill(first, min(c.column(d.At), last)+1, g.Full, d.theme.Value)
	}
	for _, p := range ends {
		if p.Actual == nil {
			s.Fill(c.column(at(p)), c.column(at(p))+1, g.TeeUp, d.theme.Estimate)
		}
	}
	return s.Row()
}

func (d *drawing) flownTimes(ends []flight.RoutePoint, c scale) string {
	s := frame.NewStrip(d.width)
	for _, p := range ends {
		role := d.theme.Estimate
		if p.Actual != nil {
			role = d.theme.Done
		}
		s.Centre(c.column(at(p)), say.Time(at(p)), role)
	}
	return s.Row()
}

// clocks sets the time at the next point and at the destination side by side in big digits.
func (d *drawing) clocks(rows int) []string {
	half := d.width / 2
	var blocks [][]string
	if n := d.Next; n != nil {
		toGo := say.Miles(n.ToGoNM)
		if n.OverdueSeconds == nil {
			toGo += ", " + say.In(d.At, n.ETA)
		}
		blocks = append(blocks, d.clock("next  "+say.Named(frame.Clean(n.Point), frame.Clean(n.Name)), n.ETA, []string{
			say.PlusMinus(n.ETASigmaSeconds), n.Stands(), toGo,
		}, half, rows))
	}
	if to := d.Destination; to != nil {
		blocks = append(blocks, d.clock("destination  "+say.Named(frame.Clean(to.Point), frame.Clean(to.Name)), to.ETA, []string{
			say.PlusMinus(to.ETASigmaSeconds), say.Against(say.Apart(to.Planned, to.ETA).Seconds()), say.Miles(to.ToGoNM) + ", in " + arrival.Until(&d.Snapshot, to.ETA),
		}, d.width-half, rows))
	}
	return frame.Block(frame.Beside(blocks...), d.width, rows)
}

// clock is a label, a time in big digits and what belongs to it beside it.
func (d *drawing) clock(label string, at time.Time, beside []string, width, rows int) []string {
	const before, gap = 1, 3
	text, room := say.UTC(at), width-before-gap
	for _, line := range beside {
		room = min(room, width-before-gap-frame.Width(line))
	}
	height := frame.BigSmall
	if rows >= (frame.BigLarge+3) && frame.BigWidth(text, frame.BigLarge) <= room {
		height = frame.BigLarge
	}
	digits := frame.Big(text, height, d.theme.Glyphs())
	block := []string{"", frame.Line(width, frame.Cell{Text: " " + label, Style: d.theme.Label})}
	for i, row := range digits {
		text := ""
		if i-(height-len(beside)) >= 0 {
			text = beside[i-(height-len(beside))]
		}
		block = append(block, frame.Line(width, frame.Cell{Text: " "}, frame.Cell{Text: row, Style: d.theme.Headline},
			frame.Cell{Text: "   " + text, Style: d.theme.Value}))
	}
	return frame.Block(block, width, rows)
}
