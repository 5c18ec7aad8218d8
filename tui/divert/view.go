package divert

import (
	"fmt"
	"math"

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
	ways   []flight.AlternateNow
	marked int
}

// Heights from which the screen has room for more than the list.
const (
	roomForHeading  = 10
	roomForLarge    = 26
	roomForCritical = 16
)

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	if len(snapshot.WaysOut.All()) == 0 {
		return frame.Notice("There is nowhere to divert to: no position is known, or the flight is over.", size.Width, size.Height)
	}
	d := drawing{Snapshot: snapshot, theme: t, width: size.Width, ways: ways(snapshot), marked: s.index(snapshot)}
	height := size.Height
	rows := d.fuelState(height / 4)
	switch left := height - len(rows); {
	case left >= roomForLarge:
		rows = append(append(rows, d.heading(frame.BigLarge)...), "")
	case left >= roomForHeading:
		rows = append(append(rows, d.heading(frame.BigSmall)...), "")
	}
	var below []string
	if height >= roomForCritical {
		below = d.critical()
	}
	rows = append(rows, d.list(height-len(rows)-len(below))...)
	return frame.Block(append(rows, below...), size.Width, height)
}

// fuelState is what is to be declared for want of fuel, why, and what to say, in at most so many rows.
func (d *drawing) fuelState(most int) []string {
	state := d.FuelState
	if state == nil {
		return nil
	}
	var rows []string
	lines := frame.Wrap(frame.Clean(state.Name+": "+state.Why), max(1, d.width-2))
	for _, line := range append(lines, frame.Wrap(frame.Clean("say: "+state.Say), max(1, d.width-2))...) {
		role := d.theme.Warning
		if len(rows) >= len(lines) {
			role = d.theme.Value
		}
		rows = append(rows, frame.Line(d.width, frame.Cell{Text: " "}, frame.Cell{Text: line, Style: role}))
	}
	return rows[:min(len(rows), most)]
}

// heading says which way to turn for the marked place, first and large, and what belongs to it.
func (d *drawing) heading(digits int) []string {
	way := &d.ways[d.marked]
	to := say.Named(frame.Clean(way.Point), frame.Clean(way.Name))
	title := "IF DIVERTING TO " + to
	switch {
	case d.Diversion != nil && d.Diversion.To == way.Point && d.Diversion.Rejoins:
		title = "FLYING DIRECT TO " + to + " since " + say.Time(d.Diversion.Since)
	case d.Diversion != nil && d.Diversion.To == way.Point:
		title = "DIVERTING TO " + to + " since " + say.Time(d.Diversion.Since)
	case !way.Aerodrome():
		title = "IF FLYING DIRECT TO " + to
	}
	rows := []string{frame.Line(d.width, frame.Cell{Text: " " + title + ", steer", Style: d.theme.Title})}
	figure := say.Degrees(way.HeadingMagnetic)
	if way.DistanceNM < flight.NearNM || way.Minutes == 0 {
		figure = "---"
	}
	const before, between = 1, 3
	beside := d.beside(way, d.width-before-between-frame.BigWidth(figure, digits))
	for i, drawn := range frame.Big(figure, digits, d.theme.Glyphs()) {
		cells := []frame.Cell{{Width: before}, {Text: drawn, Style: d.theme.Headline}, {Width: between}}
		if at := i - (digits-len(beside))/2; at >= 0 && at < len(beside) {
			cells = append(cells, beside[at])
		}
		rows = append(rows, frame.Line(d.width, cells...))
	}
	return rows
}

// beside are the lines beside the heading: which way and when; what is left there; what is wrong or, where nothing is, by which wind. What has no room
// in a width is left out from behind.
func (d *drawing) beside(way *flight.AlternateNow, width int) []frame.Cell {
	turn := ""
	if way.Turn != nil && math.Abs(*way.Turn) >= 0.5 {
		side := "right"
		if *way.Turn < 0 {
			side = "left"
		}
		turn = fmt.Sprintf("turn %s %.0f°, ", side, math.Abs(*way.Turn))
	}
	first := fmt.Sprintf("%strack %s, %s, %s, ETA %s", turn, say.Degrees(way.TrackMagnetic), say.Miles(way.DistanceNM), say.Long(way.Minutes), say.Time(way.ETA))
	if way.DistanceNM < flight.NearNM {
		first = "you are there"
	}
	left := way.FuelSaid(&d.Snapshot)
	if way.BeforeDarkMinutes != nil && *way.BeforeDarkMinutes >= 0 {
		left += ", " + say.Long(*way.BeforeDarkMinutes) + " before night"
	}
	const noMSA = "no MSA is known off the route"
	wind := fmt.Sprintf("by wind %s ±%.0f %s; ", say.Wind(d.Wind.FromTrue, d.Wind.SpeedKt), d.Wind.SigmaKt, frame.Clean(string(d.Wind.Source)))
	last := frame.Cell{Text: frame.Fitting(width, wind+noMSA, noMSA, "no MSA off the route"), Style: d.theme.Label}
	if p := d.Position; p != nil && p.FlownSinceNM != nil {
		from := "from " + frame.Clean(d.Leg.To) + ", not logged"
		last = frame.Cell{Text: frame.Fitting(width, from+": "+say.Miles(*p.FlownSinceNM)+" flown since it was due", from), Style: d.theme.Caution}
	}
	if row := arrival.WayOut(way, d.theme); row.Wrong {
		last = frame.Cell{Text: " " + row.Judgement + " ", Style: row.Look}
	}
	return []frame.Cell{{Text: frame.Clauses(first, width), Style: d.theme.Value}, {Text: frame.Clauses(left, width), Style: d.theme.Value}, last}
}

// list is the table of every place, those around the mark: aerodromes to land at, then what can be flown to direct.
func (d *drawing) list(height int) []string {
	fit := func(title string) frame.Table[*arrival.Row] {
		columns := append(arrival.Columns(title, d.Tanks.Unit), frame.Column[*arrival.Row]{
			Head: "", Width: 11, Rank: 6, Cell: func(a *arrival.Row) frame.Cell { return frame.Cell{Text: a.As, Style: d.theme.Label} },
		})
		return frame.FitTable(columns, d.width-1)
	}
	land, direct := fit("DIVERT TO"), fit("FLY DIRECT TO")
	var all []string
	marked := 0
	for i := range d.ways {
		way, fitted := &d.ways[i], land
		if !way.Aerodrome() {
			fitted = direct
		}
		if i == 0 || way.Aerodrome() != d.ways[i-1].Aerodrome() {
			all = append(all, " "+fitted.Head(d.theme.Title, d.theme.Label))
		}
		row := arrival.WayOut(way, d.theme)
		row.As = d.as(way)
		if i == d.marked {
			marked = len(all)
			all = append(all, d.theme.Selected.Render(">"+fitted.Marked(row, frame.Style{})))
		} else {
			all = append(all, " "+fitted.Row(row))
		}
		all = append(all, row.Below(fitted, d.width)...)
	}
	return d.around(all, marked, height)
}

// around is what of some rows has room around the marked one; where not all do, it says how many more there are.
func (d *drawing) around(all []string, marked, height int) []string {
	height = max(0, height)
	first := frame.Window(len(all), height, marked)
	last := min(first+height, len(all))
	in := append([]string{}, all[first:last]...)
	const least = 4
	more := func(n int, where string) string {
		return d.theme.Muted.Render(frame.Fit(fmt.Sprintf("   … %d more %s", n, where), d.width))
	}
	if first > 0 && height >= least && marked > first {
		in[0] = more(first+1, "above")
	}
	if last < len(all) && height >= least && marked < last-1 {
		in[len(in)-1] = more(len(all)-last+1, "below")
	}
	return in
}

// as is what a place is to the plan.
func (d *drawing) as(way *flight.AlternateNow) string {
	switch {
	case d.Destination != nil && d.Destination.Point == way.Point:
		return "destination"
	case way.Alternate:
		return "alternate"
	case way.Rejoin != nil:
		return "on the plan"
	}
	return ""
}

// critical are by when the marked alternate must be turned to, and the points at which a way back is decided.
func (d *drawing) critical() []string {
	rows := []string{""}
	add := func(label, text string) {
		const labelWidth = 26
		for _, line := range frame.Wrap(text, max(1, d.width-labelWidth-1)) {
			rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + label, Width: labelWidth, Style: d.theme.Label}, frame.Cell{Text: line, Style: d.theme.Value}))
			label = ""
		}
	}
	for _, latest := range d.Tanks.LatestDivert {
		if latest.Point == d.ways[d.marked].Point {
			add("latest divert time", frame.Clean(latest.Text))
		}
	}
	for _, point := range []struct {
		name string
		at   *flight.CriticalPoint
		none string
	}{
		{"PET, equal time point", d.Critical.EqualTime, "behind: on is shorter than back"},
		{"PNR, point of no return", d.Critical.NoReturn, "none ahead"},
	} {
		text := point.none
		if p := point.at; p != nil {
			text = fmt.Sprintf("%s, in %s, leg %d at %s, %s to %s", say.Time(p.ETA), say.Long(p.ETA.Sub(d.At).Minutes()),
				p.Leg+1, say.Miles(p.AfterNM), say.Long(p.Minutes), frame.Clean(p.Back))
		}
		add(point.name, text)
	}
	return rows
}
