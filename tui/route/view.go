package route

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	width  int
	route  []place
	marked int  // among the route's places, and behind them the alternates
	moved  bool // the pilot put the mark there
	next   int  // among the route's places
	hidden bool
}

// Rows that parts need.
const (
	roomForTitle = 5
	courseRows   = 5
	clockRows    = frame.BigSmall + 3 // label and blank rows around
)

// Rows draws the screen. When not everything has room, the alternates go first, then the checkpoints that were passed; then the table
// scrolls and says how many rows are not in view.
func (r *Screen) Rows(s flight.Snapshot, size screen.Size, t theme.Theme) []string {
	all := places(s, !r.hidden)
	if len(all) == 0 {
		return frame.Notice("There is no route yet.", size.Width, size.Height)
	}
	route := all[:onRoute(all)]
	d := drawing{
		Snapshot: s, theme: t, width: size.Width, route: route, next: next(s, route),
		marked: r.index(s, all), moved: r.mark != nil, hidden: r.hidden,
	}
	left := size.Height
	var above []string
	if left >= roomForTitle {
		above = append(above, d.title())
	}
	wanted := d.crossing()
	if left < roomForTitle {
		wanted = nil
	}
	left -= len(above) + len(wanted)
	landing := d.landing()
	points := d.points(0)
	if over := len(points.rows) + 1 + len(landing.rows) + 1 - left; over > 0 {
		points = d.points(over)
	}
	landingRows := d.landingRows(landing, left, len(points.rows)+1)
	pointRows := min(left-landingRows, len(points.rows)+1)
	left -= pointRows + landingRows
	gap := 0
	if landingRows > 0 && left > 0 {
		gap, left = 1, left-1
	}
	if left >= courseRows+1 {
		above, left = append(above, d.course()...), left-courseRows
	}
	const widthForLarge = 170
	if rows := frame.BigLarge + 3; left >= rows && d.width >= widthForLarge {
		above = append(above, d.clocks(rows)...)
	} else if left >= clockRows {
		above = append(above, d.clocks(clockRows)...)
	}
	rows := append(above, points.draw(&d, pointRows)...)
	rows = append(append(rows, wanted...), make([]string, gap)...)
	return frame.Block(append(rows, landing.draw(&d, landingRows)...), size.Width, size.Height)
}

// landingRows is how many rows the places to land at get, beside the points, which need so many.
func (d *drawing) landingRows(landing list, left, points int) int {
	all := len(landing.rows) + 1
	const leastPoints = 5 // with their head
	switch onLanding := d.marked >= len(d.route); {
	case len(landing.rows) == 0:
		return 0
	case left >= points+all:
		return all
	case onLanding:
		return min(all, max(left-leastPoints, min(left, 3)))
	case left >= points+2:
		return left - points
	case left > leastPoints+3:
		return min(3, all)
	default:
		return 0
	}
}

// title says which leg it is, what is overdue, and by which wind the headings are reckoned.
func (d *drawing) title() string {
	leg := fmt.Sprintf(" LEG %d of %d", d.Leg.Index+1, d.Leg.Count)
	if d.OffPlan() {
		leg = " LEG to " + frame.Clean(d.Leg.To)
	}
	if d.Leg.Count == 0 {
		leg = " ROUTE"
	}
	overdue := ""
	if d.next < len(d.route) && d.state(d.next) == overdueState {
		overdue = d.route[d.next].name() + " overdue"
	}
	wind := fmt.Sprintf("headings by wind %s ±%.0f %s", say.Wind(d.Wind.FromTrue, d.Wind.SpeedKt), d.Wind.SigmaKt, frame.Clean(string(d.Wind.Source)))
	if d.hidden {
		wind = "checkpoints hidden, " + wind
	}
	cells := []frame.Cell{{Text: leg, Style: d.theme.Title}}
	used := frame.Width(leg)
	if overdue != "" {
		cells = append(cells, frame.Cell{Text: ", "}, frame.Cell{Text: overdue, Style: d.theme.Due})
		used += 2 + frame.Width(overdue)
	}
	if room := d.width - used - 1; room > frame.Width(wind) {
		cells = append(cells, frame.Cell{Text: wind, Width: room, Right: true, Style: d.theme.Label})
	}
	return frame.Line(d.width, cells...)
}

// crossing is how a point ahead is to be crossed, in as many rows as it takes; none where nothing is asked of one.
func (d *drawing) crossing() []string {
	if d.Crossing == nil {
		return nil
	}
	var rows []string
	for _, line := range frame.Wrap("cross "+frame.Clean(d.Crossing.Said(d.Descent)), max(1, d.width-2)) {
		rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + line, Style: d.theme.Headline}))
	}
	return rows
}

// landing is the table of the destination and the alternates, each from here by the wind in use; what is wrong with one stands below it
// where it has no column.
func (d *drawing) landing() list {
	fitted := frame.FitTable(arrival.Columns("LAND AT", d.Tanks.Unit), d.width-1)
	l := list{head: " " + fitted.Head(d.theme.Title, d.theme.Label), marked: -1}
	add := func(a *arrival.Row, marked bool) {
		row := " " + fitted.Row(a)
		if marked {
			l.marked = len(l.rows)
			row = d.theme.Selected.Render(">" + fitted.Marked(a, frame.Style{}))
		}
		l.rows = append(l.rows, row)
		l.rows = append(l.rows, a.Below(fitted, d.width)...)
	}
	if d.Destination != nil {
		add(arrival.Destination(&d.Snapshot, d.theme), false)
	}
	for i := range d.Alternates {
		add(arrival.WayOut(&d.Alternates[i], d.theme), d.marked == len(d.route)+i)
	}
	return l
}

// list is a table of which some rows are in view.
type list struct {
	head   string
	rows   []string
	marked int // -1: none
}

// draw is the head and as many rows around the mark as fit; where not all do, it says how many more there are above and below. With one row there is
// but the marked one.
func (l list) draw(d *drawing, height int) []string {
	if height <= 0 || len(l.rows) == 0 {
		return nil
	}
	var drawn []string
	if height >= 2 {
		drawn = append(drawn, l.head)
		height--
	}
	marked := max(l.marked, 0)
	first := frame.Window(len(l.rows), height, marked)
	last := min(first+height, len(l.rows))
	in := append([]string{}, l.rows[first:last]...)
	const least = 2
	more := func(n int, where string) string {
		return d.theme.Muted.Render(frame.Fit(strings.Repeat(" ", 3)+fmt.Sprintf("… %d more %s", n, where), d.width))
	}
	if first > 0 && height >= least && marked > first {
		in[0] = more(first+1, "above")
	}
	if last < len(l.rows) && height >= least && marked < last-1 {
		in[len(in)-1] = more(len(l.rows)-last+1, "below")
	}
	return append(drawn, in...)
}
