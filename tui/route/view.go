package route

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// margin is the cells before a table: the mark, the line of the route and a blank.
const (
	margin      = 3
	blankMargin = "   "
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

// Rows draws the screen.
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
	points, landing := d.points(), d.landing()
	wanted := d.wanted()
	l := layoutOf(size.Height-len(wanted), len(points.rows), len(landing.rows), d.marked >= len(route))

	var rows []string
	if l.title {
		rows = append(rows, d.title())
	}
	if l.clocks > 0 {
		rows = append(rows, d.clocks(l.clocks)...)
	}
	if l.course {
		rows = append(rows, d.course()...)
	}
	rows = append(rows, points.draw(l.points, l.airy)...)
	rows = append(rows, wanted...)
	if l.gap {
		rows = append(rows, "")
	}
	rows = append(rows, landing.draw(l.landing, false)...)
	rows = frame.Block(rows, size.Width, size.Height)
	if l.legend {
		rows[size.Height-1] = legend.Row(r.keys.named(all[d.marked]), size.Width, t)
	}
	return rows
}

// title says which leg it is and by which wind the headings are reckoned.
func (d *drawing) title() string {
	leg := fmt.Sprintf(" Leg %d of %d  %s to %s", d.Leg.Index+1, d.Leg.Count, frame.Clean(d.Leg.From), frame.Clean(d.Leg.To))
	if d.Leg.Count == 0 {
		leg = ""
	}
	wind := fmt.Sprintf("headings by the %s %s ±%.0f kt ", windSource(d.Wind.Source), say.Wind(d.Wind.FromTrue, d.Wind.SpeedKt), d.Wind.SigmaKt)
	if d.hidden {
		wind = "checkpoints hidden   " + wind
	}
	room := d.width - frame.Width(wind)
	if room < frame.Width(leg)+2 {
		return frame.Line(d.width, frame.Cell{Text: leg, Style: d.theme.Title})
	}
	return frame.Line(d.width, frame.Cell{Text: leg, Width: room, Style: d.theme.Title}, frame.Cell{Text: wind, Style: d.theme.Label})
}

// wanted is what is wanted of a point ahead, in a row where anything is.
func (d *drawing) wanted() []string {
	if d.Crossing == nil {
		return nil
	}
	text := frame.Clean(words.Wanted(d.Crossing, d.Descent))
	return []string{frame.Line(d.width, frame.Cell{Text: blankMargin + text, Style: d.theme.Headline})}
}

// windSource names a wind by where it comes from.
func windSource(source string) string {
	switch source {
	case "found", "told":
		return "wind " + source
	default:
		return frame.Clean(source) + " wind"
	}
}

// list is a table of which some rows are in view.
type list struct {
	head   string
	rows   []string
	ends   []bool // a blank row may follow, where there is room
	marked int    // -1: none
	foot   string // empty: none
}

// draw is the head, as many rows around the mark as fit, and the foot. With one row there is but the marked one.
func (l list) draw(height int, airy bool) []string {
	if height <= 0 || len(l.rows) == 0 {
		return nil
	}
	rows, marked := l.rows, max(l.marked, 0)
	if airy {
		rows, marked = l.aired()
	}
	var drawn []string
	if height >= 3 {
		drawn = append(drawn, l.head)
		height--
	}
	foot := l.foot != "" && height >= 6
	if foot {
		height--
	}
	first := table.Window(len(rows), height, marked)
	drawn = append(drawn, rows[first:min(first+height, len(rows))]...)
	if foot {
		drawn = append(drawn, l.foot)
	}
	return drawn
}

// aired are the rows with a blank one after each that ends a group.
func (l list) aired() (rows []string, marked int) {
	for i, row := range l.rows {
		if i == l.marked {
			marked = len(rows)
		}
		rows = append(rows, row)
		if l.ends[i] {
			rows = append(rows, "")
		}
	}
	return rows, marked
}
