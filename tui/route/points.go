package route

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
)

// line is one row of the points, in words.
type line struct {
	spine, name, distance, track, heading, speed, level string
	planned, revised, sigma, actual, now                string
	against, left, state, sure                          string

	figures theme.Role // all but what follows
	spined  theme.Role
	named   theme.Role
	timed   theme.Role
	judged  theme.Role // the difference
	stated  theme.Role
}

// separateWidth is the width from which revised and actual times have columns of their own.
const separateWidth = 110

func columns(width int) []table.Column[*line] {
	text := func(of func(*line) string, role func(*line) theme.Role) func(*line) frame.Cell {
		return func(l *line) frame.Cell { return frame.Cell{Text: of(l), Style: role(l)} }
	}
	figures := func(l *line) theme.Role { return l.figures }
	timed := func(l *line) theme.Role { return l.timed }
	judged := func(l *line) theme.Role { return l.judged }
	stated := func(l *line) theme.Role { return l.stated }

	name := table.Column[*line]{Head: "ROUTE", Width: 13, Grow: 22, Spill: true, Cell: text(func(l *line) string { return l.name }, func(l *line) theme.Role { return l.named })}
	distance := table.Column[*line]{Head: "nm", Width: 5, Right: true, Rank: 4, Cell: text(func(l *line) string { return l.distance }, figures)}
	track := table.Column[*line]{Head: "trk", Width: 3, Right: true, Rank: 6, Cell: text(func(l *line) string { return l.track }, figures)}
	heading := table.Column[*line]{Head: "hdg", Width: 3, Right: true, Rank: 3, Cell: text(func(l *line) string { return l.heading }, figures)}
	speed := table.Column[*line]{Head: "kt", Width: 3, Right: true, Rank: 7, Cell: text(func(l *line) string { return l.speed }, figures)}
	level := table.Column[*line]{Head: "feet", Width: 5, Right: true, Rank: 8, Cell: text(func(l *line) string { return l.level }, figures)}
	planned := table.Column[*line]{Head: "planned", Width: 9, Right: true, Rank: 5, Cell: text(func(l *line) string { return l.planned }, figures)}
	against := table.Column[*line]{Head: "to plan", Width: 10, Right: true, Rank: 1, Cell: text(func(l *line) string { return l.against }, judged)}
	if width < separateWidth {
		now := table.Column[*line]{Head: "now", Width: 9, Right: true, Cell: text(func(l *line) string { return l.now }, timed)}
		sure := table.Column[*line]{Head: "sure to", Width: 8, Rank: 2, Cell: text(func(l *line) string { return l.sure }, stated)}
		return []table.Column[*line]{name, track, heading, speed, distance, level, planned, now, sure, against}
	}
	revised := table.Column[*line]{Head: "revised", Width: 9, Right: true, Cell: text(func(l *line) string { return l.revised }, timed)}
	sigma := table.Column[*line]{Head: "sure to", Width: 7, Rank: 2, Cell: text(func(l *line) string { return l.sigma }, timed)}
	actual := table.Column[*line]{Head: "actual", Width: 9, Right: true, Cell: text(func(l *line) string { return l.actual }, timed)}
	state := table.Column[*line]{Head: "", Width: 9, Rank: 2, Cell: text(func(l *line) string { return l.state }, stated)}
	left := table.Column[*line]{Head: "in", Width: 7, Right: true, Rank: 9, Cell: text(func(l *line) string { return l.left }, timed)}
	against.Head, against.Width = "against plan", 13
	return []table.Column[*line]{name, track, heading, speed, distance, level, planned, revised, sigma, actual, against, left, state}
}

// points is the table of the route with the rule of the present in it.
func (d *drawing) points() list {
	fitted := table.Fit(columns(d.width), d.width-margin)
	l := list{head: blankMargin + fitted.Head(d.theme.Title, d.theme.Label), marked: -1, foot: blankMargin + fitted.Row(d.totals())}
	add := func(row string, end bool) {
		l.rows, l.ends = append(l.rows, row), append(l.ends, end)
	}
	for i, p := range d.route {
		if i == d.next {
			add(d.present(), false)
		}
		row := d.line(i)
		if i == d.marked {
			l.marked = len(l.rows)
		}
		end := !p.point.Checkpoint && p.point.Leg >= 0
		if i == d.marked && d.moved {
			add(d.theme.Selected.Render(row.spine+fitted.Marked(row, frame.Style{})), end)
		} else {
			add(row.spined.Render(row.spine)+fitted.Row(row), end)
		}
	}
	if d.next == len(d.route) {
		add(d.present(), false)
	}
	return l
}

// present is the rule between what was and what will be.
func (d *drawing) present() string {
	s := strip.New(d.width)
	s.Fill(1, d.width, d.theme.Glyphs().Horizontal, d.theme.Frame)
	now := " NOW " + say.Time(d.At) + " "
	s.Put(3, now, d.theme.Headline)
	text := string(d.Phase)
	if d.Position != nil && d.Phase != flight.Arrived {
		text = fmt.Sprintf("%.1f of %s flown, %.1f to %s", d.Position.AfterNM, say.Miles(d.Leg.DistanceNM), d.Position.ToGoNM, frame.Clean(d.Leg.To))
	}
	if text != "" {
		s.Put(3+frame.Width(now)+2, " "+text+" ", d.theme.Value)
	}
	return s.Row()
}

// line puts a point of the route in words.
func (d *drawing) line(i int) *line {
	p := d.route[i].point
	l := &line{
		spine: d.spine(i), name: d.route[i].indented(), distance: distance(*p), level: fmt.Sprintf("%.0f", p.AltitudeFt),
		planned: say.Time(p.Planned), against: signed(p.DifferenceSeconds, d.width), state: d.state(i),
		figures: d.theme.Value, spined: d.theme.Value, named: d.theme.Value, timed: d.theme.Value, judged: d.theme.Value, stated: d.theme.Label,
	}
	if !p.Checkpoint && p.Leg >= 0 {
		l.track, l.heading, l.speed = say.Degrees(p.TrackMagnetic), say.DegreesOf(p.HeadingMagnetic), fmt.Sprintf("%.0f", p.GroundspeedKt)
	}
	d.stand(i, l)
	d.stress(i, l)
	return l
}

// stand puts in words how a point stands: passed, left out, flown by or still to come.
func (d *drawing) stand(i int, l *line) {
	p := d.route[i].point
	l.sure = l.state
	switch {
	case p.Actual != nil:
		l.dim(d.theme.Done)
		l.actual, l.now = say.Time(*p.Actual), say.Time(*p.Actual)
	case p.Diverted, i < d.next:
		l.dim(d.theme.Done)
		l.now, l.against, l.stated = say.Unknown, "", d.theme.Caution
	case p.Revised != nil:
		l.revised, l.left, l.timed = say.Time(*p.Revised), d.left(*p.Revised), d.theme.Estimate
		l.now = l.revised
		if p.SigmaSeconds != nil {
			l.sigma = say.PlusMinus(*p.SigmaSeconds)
			l.sure = l.sigma
		}
	default:
		l.now, l.against = say.Unknown, ""
	}
}

// dim takes a row back, all but the time that matters.
func (l *line) dim(role theme.Role) {
	l.figures, l.spined, l.named, l.judged, l.stated = role, role, role, role, role
}

// stress makes the next point and the leg being flown stand out, and a difference that is more than what is uncertain.
func (d *drawing) stress(i int, l *line) {
	p := d.route[i].point
	if d.current(i) {
		l.spined = d.theme.Headline
	}
	if i == d.next {
		l.named, l.stated = d.theme.NextAct, d.theme.Headline
		if l.state == overdue {
			l.sure, l.stated = l.state, d.theme.Due
		}
	} else if d.current(i) && d.route[i].canPass() {
		l.named = d.theme.Headline
	}
	if p.Actual == nil && !p.Diverted && p.SigmaSeconds != nil && p.DifferenceSeconds != nil && *p.DifferenceSeconds > *p.SigmaSeconds {
		l.judged = d.theme.Caution
	}
}

// current reports whether a point lies on the leg being flown.
func (d *drawing) current(i int) bool {
	return d.Clock.LegSeconds != nil && d.route[i].point.Leg == d.Leg.Index && !d.route[i].point.Diverted
}

// overdue is the state of a point that should have been passed by now.
const overdue = "overdue"

// left is how long it is until a time, with a plus when that is over.
func (d *drawing) left(until time.Time) string {
	if until.Before(d.At) {
		return "+" + say.Between(d.At, until)
	}
	return say.Between(d.At, until)
}

func (d *drawing) state(i int) string {
	p := d.route[i].point
	switch {
	case p.Diverted:
		return "left out"
	case p.Actual != nil:
		return "passed"
	case i < d.next:
		return "no entry"
	case i == d.next && p.Revised != nil && p.Revised.Before(d.At) && d.Clock.LegSeconds != nil:
		return overdue
	case i == d.next:
		return "next"
	default:
		return ""
	}
}

// spine is the mark and the line that the points stand on, in the margin.
func (d *drawing) spine(i int) string {
	g := d.theme.Glyphs()
	mark := " "
	if i == d.marked {
		mark = ">"
	}
	line := g.Vertical
	switch p := d.route[i].point; {
	case p.Diverted:
		line = "x"
	case d.current(i):
		line = g.Full
	case p.Leg < 0:
		line = g.TopLeft
	case i == len(d.route)-1:
		line = g.BottomLeft
	case !p.Checkpoint:
		line = g.TeeRight
	}
	return mark + line + " "
}

// distance is how far along its leg a point lies: at a leg's end the leg's length.
func distance(p flight.RoutePoint) string {
	if p.Leg < 0 {
		return ""
	}
	return fmt.Sprintf("%.1f", p.AfterNM)
}

// signed is a difference in words, or with a sign where the words have no room.
func signed(seconds *float64, width int) string {
	room := 10
	if width >= separateWidth {
		room = 13
	}
	if seconds == nil {
		return ""
	}
	if text := say.Against(*seconds); frame.Width(text) <= room {
		return text
	}
	return say.Signed(*seconds)
}

// totals sums the columns up.
func (d *drawing) totals() *line {
	l := &line{name: "in all", figures: d.theme.Label, named: d.theme.Label, timed: d.theme.Label, judged: d.theme.Label, stated: d.theme.Label}
	total := 0.0
	for _, p := range d.Route {
		if !p.Checkpoint && !p.Diverted && p.Leg >= 0 {
			total += p.LegDistanceNM
		}
	}
	l.distance = fmt.Sprintf("%.1f", total)
	if len(d.Route) == 0 {
		return l
	}
	from, to := d.Route[0], d.Route[len(d.Route)-1]
	l.planned = say.Between(from.Planned, to.Planned)
	started := from.Actual
	if started == nil {
		started = from.Revised
	}
	switch {
	case started == nil:
	case to.Actual != nil:
		l.actual = say.Between(*started, *to.Actual)
		l.now = l.actual
	case to.Revised != nil:
		l.revised = say.Between(*started, *to.Revised)
		l.now = l.revised
	}
	return l
}
