package route

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// line is one row of the points, in words.
type line struct {
	name, track, heading, speed, distance, level string
	planned, now, late, state, in                string

	figures theme.Role // all but what follows
	named   theme.Role
	timed   theme.Role
	judged  theme.Role // the difference
	stated  theme.Role
}

// columns are one basis a row: the leg that ends at a point, or the distance along it of a checkpoint. Hours and levels stand only where they change.
// The first head says that times are UTC.
func columns(first string) []frame.Column[*line] {
	text := func(of func(*line) string, role func(*line) theme.Role) func(*line) frame.Cell {
		return func(l *line) frame.Cell { return frame.Cell{Text: of(l), Style: role(l)} }
	}
	figures := func(l *line) theme.Role { return l.figures }
	timed := func(l *line) theme.Role { return l.timed }
	judged := func(l *line) theme.Role { return l.judged }
	stated := func(l *line) theme.Role { return l.stated }
	return []frame.Column[*line]{
		{Head: first, Width: 17, Grow: 14, Spill: true, Cell: text(func(l *line) string { return l.name }, func(l *line) theme.Role { return l.named })},
		{Head: "track", Width: 5, Right: true, Rank: 6, Cell: text(func(l *line) string { return l.track }, figures)},
		{Head: "HDG", Width: 5, Right: true, Rank: 2, Cell: text(func(l *line) string { return l.heading }, figures)},
		{Head: "GS", Width: 3, Right: true, Rank: 7, Cell: text(func(l *line) string { return l.speed }, figures)},
		{Head: "nm", Width: 5, Right: true, Rank: 4, Cell: text(func(l *line) string { return l.distance }, figures)},
		{Head: "feet", Width: 5, Right: true, Rank: 8, Cell: text(func(l *line) string { return l.level }, figures)},
		{Head: "plan", Width: 8, Right: true, Rank: 5, Cell: text(func(l *line) string { return l.planned }, figures)},
		{Head: "now", Width: 8, Right: true, Cell: text(func(l *line) string { return l.now }, timed)},
		{Head: "late", Width: 6, Right: true, Rank: 1, Cell: text(func(l *line) string { return l.late }, judged)},
		{Head: "±", Width: 8, Right: true, Rank: 3, Cell: text(func(l *line) string { return l.state }, stated)},
		{Head: "in", Width: 6, Right: true, Rank: 9, Cell: text(func(l *line) string { return l.in }, timed)},
	}
}

// points is the table of the route, as far as there are any without so many of the checkpoints that were passed, the first of them.
func (d *drawing) points(packed int) list {
	away, passed := make([]bool, len(d.route)), 0
	for i, place := range d.route {
		if away[i] = passed < packed && place.point.Checkpoint && i < d.next && i != d.marked; away[i] {
			passed++
		}
	}
	first := "UTC"
	if passed > 0 {
		first = fmt.Sprintf("UTC  … %d passed", passed)
	}
	fitted := frame.FitTable(columns(first), d.width-1)
	l := list{head: " " + fitted.Head(d.theme.Label, d.theme.Label), marked: -1}
	var before *flight.RoutePoint // of the row above
	between := d.between()
	for i, place := range d.route {
		p := place.point
		if away[i] {
			continue
		}
		for at := shownTime(p); at != nil && len(between) > 0 && between[0].from.Before(*at); between = between[1:] {
			l.rows = append(l.rows, " "+fitted.Row(between[0].row))
		}
		row, mark := d.line(i, before), " "
		before = p
		if i == d.marked {
			mark, l.marked = ">", len(l.rows)
		}
		if i == d.marked && d.moved {
			l.rows = append(l.rows, d.theme.Selected.Render(mark+fitted.Marked(row, frame.Style{})))
		} else {
			l.rows = append(l.rows, mark+fitted.Row(row))
		}
	}
	for _, b := range between {
		l.rows = append(l.rows, " "+fitted.Row(b.row))
	}
	return l
}

// A stretch is what was or is flown between the points of the route: a hold, or the turn off the route.
type stretch struct {
	from time.Time
	row  *line
}

// between are the holds and the turns off the route, the earliest first, with rows of their own. The mark does not stand on them.
func (d *drawing) between() []stretch {
	var all []stretch
	add := func(from time.Time, name, now, state string, role theme.Role) {
		all = append(all, stretch{from, &line{name: "  " + name, now: now, state: state, named: role, timed: role, stated: role}})
	}
	hold := func(word, point string) string {
		if point == "" {
			return word
		}
		return word + " at " + frame.Clean(point)
	}
	for _, h := range d.Holds {
		add(h.From, fmt.Sprintf("%s %s from %s", hold("hold", h.Point), say.Between(h.From, h.To), say.UTC(h.From)), say.UTC(h.To), "left", d.theme.Done)
	}
	for _, place := range d.route {
		if p := place.point; p.Turned != nil {
			add(*p.Turned, "off the route, direct to "+frame.Clean(p.Point), say.UTC(*p.Turned), "turned", d.theme.Done)
		}
	}
	if h := d.Holding; h != nil {
		name := hold("holding", h.Point) + " since " + say.UTC(h.Since)
		switch {
		case h.Leave != nil:
			name += ", leave at " + say.UTC(*h.Leave)
		case h.LeaveBy != nil:
			name += ", latest departure " + say.UTC(*h.LeaveBy)
		}
		add(h.Since, name, "", say.Between(h.Since, d.At), d.theme.Headline)
	}
	for _, place := range d.route {
		if p := place.point; d.HoldAt != "" && p.Point == d.HoldAt && p.Actual == nil && p.Revised != nil {
			add(p.Revised.Add(time.Nanosecond), "then hold at "+frame.Clean(p.Point), "", "", d.theme.Coming)
		}
	}
	slices.SortStableFunc(all, func(a, b stretch) int { return a.from.Compare(b.from) })
	return all
}

// line puts a point of the route in words, below another.
func (d *drawing) line(i int, above *flight.RoutePoint) *line {
	p := d.route[i].point
	l := &line{
		name: d.route[i].indented(), late: late(p.DifferenceSeconds), state: d.state(i),
		figures: d.theme.Value, named: d.theme.Value, timed: d.theme.Value, judged: d.theme.Value, stated: d.theme.Value,
	}
	if p.Leg >= 0 {
		l.distance = say.Tenth(p.AfterNM)
	}
	if !p.Checkpoint && p.Leg >= 0 {
		l.track, l.heading, l.speed = say.Degrees(p.TrackMagnetic), say.DegreesOf(p.HeadingMagnetic), say.Whole(p.GroundspeedKt)
	}
	if above == nil || say.Feet(above.AltitudeFt) != say.Feet(p.AltitudeFt) {
		l.level = say.Whole(p.AltitudeFt)
	}
	var planned, now *time.Time
	if above != nil {
		planned, now = &above.Planned, shownTime(above)
	}
	l.planned = clock(p.Planned, planned)
	at := shownTime(p)
	switch {
	case p.Actual != nil:
		l.now = clock(*at, now)
	case p.Diverted, i < d.next, at == nil:
		l.now, l.late = say.Unknown, ""
	default:
		l.now, l.in = clock(*at, now), say.Between(d.At, *at)
		if at.Before(d.At) {
			l.in = ""
		}
	}
	d.stress(i, l)
	return l
}

// shownTime is when a point was passed or will be.
func shownTime(p *flight.RoutePoint) *time.Time {
	if p.Actual != nil {
		return p.Actual
	}
	return p.Revised
}

// clock is a time below another: without its hour where that is the same.
func clock(at time.Time, above *time.Time) string {
	text := say.UTC(at)
	if above != nil && say.UTC(*above)[:2] == text[:2] {
		return text[3:]
	}
	return text
}

// late is by how much a point is late, with a minus where it is early.
func late(seconds *float64) string {
	switch {
	case seconds == nil:
		return ""
	case *seconds < 0:
		return "-" + say.Span(-*seconds)
	default:
		return say.Span(*seconds)
	}
}

// stress takes back what is behind, and makes stand out the next point, and a difference that is more than what is uncertain.
func (d *drawing) stress(i int, l *line) {
	p := d.route[i].point
	switch {
	case p.Actual != nil:
		l.figures, l.named, l.timed, l.judged, l.stated = d.theme.Done, d.theme.Done, d.theme.Done, d.theme.Done, d.theme.Done
	case p.Diverted, i < d.next:
		l.figures, l.named, l.timed = d.theme.Done, d.theme.Done, d.theme.Done
	case i == d.next:
		l.named, l.timed = d.theme.Headline, d.theme.Headline
		if l.state == overdueState {
			l.stated = d.theme.Due
		}
	}
}

// overdueState is that of a point that should have been passed by now.
const overdueState = "overdue"

// state is how a point stands, in a word, or how far its time can be out.
func (d *drawing) state(i int) string {
	p := d.route[i].point
	switch {
	case p.Diverted:
		return "left out"
	case p.Actual != nil && p.Leg < 0:
		return "left"
	case p.Actual != nil:
		return "past"
	case i < d.next:
		return "no entry"
	case i == d.next && p.Revised != nil && p.Revised.Before(d.At) && d.Clock.LegSeconds != nil:
		return overdueState
	case p.SigmaSeconds != nil && p.Revised != nil:
		return strings.TrimPrefix(say.PlusMinus(*p.SigmaSeconds), "±")
	default:
		return ""
	}
}
