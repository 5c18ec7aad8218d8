package divert

import (
	"fmt"
	"math"
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
)

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	width  int
	marked int
}

// Heights from which the screen has room for more than the list.
const (
	roomForLegend   = 4
	roomForHeading  = 10
	roomForLarge    = 26
	roomForCritical = 16
)

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	if len(snapshot.WaysOut) == 0 {
		return frame.Notice("There is no way to reckon: no position is known, or the flight is over.", size.Width, size.Height)
	}
	d := drawing{Snapshot: snapshot, theme: t, width: size.Width, marked: s.index(snapshot)}
	height := size.Height
	if height >= roomForLegend {
		height--
	}
	var rows []string
	if height >= roomForHeading {
		digits := frame.BigSmall
		if height >= roomForLarge {
			digits = frame.BigLarge
		}
		rows = append(d.heading(digits), "")
	}
	var below []string
	if height >= roomForCritical {
		below = d.critical()
	}
	rows = append(rows, d.ways(height-len(rows)-len(below))...)
	rows = frame.Block(append(rows, below...), size.Width, height)
	if height < size.Height {
		rows = append(rows, legend.Row(s.keys.named(&d.WaysOut[d.marked]), size.Width, t))
	}
	return rows
}

// heading says which way to turn for the marked place, first and large, and what belongs to it.
func (d *drawing) heading(digits int) []string {
	way := &d.WaysOut[d.marked]
	title := " if diverting to " + say.Named(frame.Clean(way.Point), frame.Clean(way.Name))
	wind := fmt.Sprintf("by the wind %s ±%.0f kt, %s ", say.Wind(d.Wind.FromTrue, d.Wind.SpeedKt), d.Wind.SigmaKt, frame.Clean(d.Wind.Source))
	room := d.width - frame.Width(wind)
	cells := []frame.Cell{{Text: title, Style: d.theme.Title}}
	if room > frame.Width(title) {
		cells = []frame.Cell{{Text: title, Width: room, Style: d.theme.Title}, {Text: wind, Style: d.theme.Label}}
	}
	rows := []string{frame.Line(d.width, cells...)}
	figure := say.Degrees(way.HeadingMagnetic)
	if way.DistanceNM < flight.NearNM || way.Minutes == 0 {
		figure = "---"
	}
	beside := d.beside(way)
	for i, drawn := range frame.Big(figure, digits, d.theme.Glyphs()) {
		cells := []frame.Cell{{Text: "  "}, {Text: drawn, Style: d.theme.Headline}, {Text: "   "}}
		if at := i - (digits-len(beside))/2; at >= 0 && at < len(beside) {
			cells = append(cells, beside[at])
		}
		rows = append(rows, frame.Line(d.width, cells...))
	}
	return rows
}

// beside are the lines beside the heading: which way and when; what is left there; what is wrong.
func (d *drawing) beside(way *flight.AlternateNow) []frame.Cell {
	turn := ""
	if way.Turn != nil && math.Abs(*way.Turn) >= 0.5 {
		turn = fmt.Sprintf("%s %.0f° · ", sideOf(*way.Turn), math.Abs(*way.Turn))
	}
	first := fmt.Sprintf("%strack %s · %s · %s · %s", turn, say.Degrees(way.TrackMagnetic), say.Miles(way.DistanceNM), say.Long(way.Minutes), say.Time(way.ETA))
	if way.DistanceNM < flight.NearNM {
		first = "you are there"
	}
	left := fmt.Sprintf("%s %s there · reserve %s", say.Amount(way.Fuel), say.Unit(d.Tanks.Unit), say.Long(way.ReserveHeldMinutes))
	if way.BeforeDarkMinutes != nil && *way.BeforeDarkMinutes >= 0 {
		left += " · " + say.Long(*way.BeforeDarkMinutes) + " to dark"
	}
	row := arrival.WayOut(way, d.theme)
	last := frame.Cell{Text: "no lowest safe altitude is known off the route", Style: d.theme.Caution}
	if row.Wrong {
		last = frame.Cell{Text: row.Verdict, Style: row.Judged}
	}
	return []frame.Cell{{Text: first, Style: d.theme.Value}, {Text: left, Style: d.theme.Value}, last}
}

func sideOf(turn float64) string {
	if turn < 0 {
		return "left"
	}
	return "right"
}

// margin is the cells before the table: the mark.
const (
	margin      = 2
	blankMargin = "  "
)

// ways is the table of every place, those around the mark.
func (d *drawing) ways(height int) []string {
	columns := slices.DeleteFunc(arrival.Columns("GO TO", d.Tanks.Unit), func(c table.Column[*arrival.Row]) bool { return c.Head == arrival.SureHead })
	columns = append(columns, table.Column[*arrival.Row]{
		Head: "as", Width: 9, Rank: 5, Cell: func(a *arrival.Row) frame.Cell { return frame.Cell{Text: a.As, Style: d.theme.Label} },
	})
	fitted := table.Fit(columns, d.width-margin)
	var rows []string
	if height >= 3 {
		rows = append(rows, blankMargin+fitted.Head(d.theme.Title, d.theme.Label))
		height--
	}
	first := table.Window(len(d.WaysOut), height, d.marked)
	for i := first; i < min(first+max(height, 0), len(d.WaysOut)); i++ {
		row := arrival.WayOut(&d.WaysOut[i], d.theme)
		row.As = as(&d.WaysOut[i])
		if i == d.marked {
			rows = append(rows, d.theme.Selected.Render("> "+fitted.Marked(row, frame.Style{})))
			continue
		}
		rows = append(rows, blankMargin+fitted.Row(row))
	}
	return rows
}

// as is what a place is to the plan.
func as(way *flight.AlternateNow) string {
	switch {
	case way.Alternate:
		return "alternate"
	case way.Rejoin != nil:
		return "ahead"
	case way.Aerodrome():
		return "aerodrome"
	}
	return ""
}

// critical are the points at which a way back is decided, and by when the marked alternate must be turned to.
func (d *drawing) critical() []string {
	var rows []string
	for _, bingo := range d.Tanks.LatestDivert {
		if bingo.Point == d.WaysOut[d.marked].Point {
			rows = append(rows, frame.Line(d.width, frame.Cell{Text: " for the fuel", Width: 14, Style: d.theme.Label},
				frame.Cell{Text: frame.Clean(bingo.Text), Style: d.theme.Value}))
		}
	}
	for _, point := range []struct {
		name string
		at   *flight.CriticalPoint
		none string
	}{
		{"equal time", d.Critical.EqualTime, "behind: on is shorter than back"},
		{"no return", d.Critical.NoReturn, "none ahead"},
	} {
		text := point.none
		if p := point.at; p != nil {
			text = fmt.Sprintf("%s, in %s: leg %d, %.1f nm; then %s to %s", say.Time(p.ETA), say.Long(p.ETA.Sub(d.At).Minutes()),
				p.Leg+1, p.AfterNM, say.Long(p.Minutes), frame.Clean(p.Back))
		}
		rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + point.name, Width: 14, Style: d.theme.Label},
			frame.Cell{Text: text, Style: d.theme.Value}))
	}
	return append([]string{""}, rows...)
}
