package flying

import (
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// labelWidth is the margin that the names of lines and panels stand in.
const labelWidth = 9

// lines are how fast and through what wind, the arrival, and what is to be minded, in so many rows.
func (d *drawing) lines(rows int) []string {
	mind := d.mind()
	switch {
	case rows <= 0:
		return nil
	case rows < 4 && mind != "":
		return []string{mind, d.landing(false)}[:min(rows, 2)]
	case rows < 4:
		return []string{d.speed(false), d.landing(false)}[:min(rows, 2)]
	}
	return []string{d.speed(true), d.landing(true), d.fuel(), mind}[:rows]
}

// labelled begins a line with its name in the margin.
func (d *drawing) labelled(label string, first phrase) []phrase {
	return []phrase{{d.theme.Label, frame.Fit(label, labelWidth-1)}, first}
}

func (d *drawing) speed(full bool) string {
	t, g, w := d.theme, d.Groundspeed, d.Wind
	gs := say.Knots(g.UsedKt)
	if g.UsedKt <= 0 { // on the ground
		gs = say.Unknown
	}
	if full {
		gs += ", planned " + say.Whole(g.PlannedKt)
	}
	if g.Sum != "" {
		gs += ": " + frame.Clean(g.Sum)
	}
	wind := fmt.Sprintf("%s ±%.0f %s", say.Wind(w.FromTrue, w.SpeedKt), w.SigmaKt, frame.Clean(string(w.Source)))
	if full && w.Source != flight.WindForecast {
		wind += ", forecast " + say.Wind(w.ForecastFrom, w.ForecastKt)
	}
	return d.line(d.labelled("GS", phrase{t.Value, gs}), []phrase{{t.Label, "WIND"}, {t.Value, wind}})
}

func (d *drawing) landing(full bool) string {
	t, to := d.theme, d.Destination
	if to == nil {
		return d.line(d.labelled("LANDING", phrase{t.Muted, "not known"}))
	}
	eta := frame.Clean(to.Point) + " " + say.Time(to.ETA) + " " + say.PlusMinus(to.ETASigmaSeconds) + ", " + say.Against(to.ETA.Sub(to.Planned).Seconds())
	if full {
		return d.line(d.labelled("LANDING", phrase{t.Value, eta}), []phrase{d.daylight()})
	}
	return d.line(d.labelled("LANDING", phrase{t.Value, eta}), []phrase{d.onArrival()}, []phrase{d.daylight()})
}

func (d *drawing) fuel() string {
	if d.Destination == nil {
		return d.line(d.labelled("FUEL", phrase{d.theme.Value, say.AmountIn(d.Tanks.TotalUsable, d.Tanks.Unit)}))
	}
	return d.line(d.labelled("FUEL", d.onArrival()),
		[]phrase{{d.theme.Value, "fuel on board " + say.Amount(d.Tanks.TotalUsable) + " = " + say.Long(d.Tanks.EnduranceMinutes)}})
}

// onArrival is the fuel on arrival; it has a colour only where the final reserve is near or broken into.
func (d *drawing) onArrival() phrase {
	to := d.Destination
	text := say.AmountIn(to.Fuel, d.Tanks.Unit) + " on arrival = " + say.Long(to.ReserveHeldMinutes) + ", final reserve " + say.Long(to.ReserveMinutes)
	const near = 1.5
	switch {
	case to.ReserveHeldMinutes < to.ReserveMinutes:
		return phrase{d.theme.Warning, text}
	case to.ReserveHeldMinutes < near*to.ReserveMinutes:
		return phrase{d.theme.Caution, text}
	}
	return phrase{d.theme.Value, text}
}

// daylight says how an arrival lies to the night; it has a colour only where that is near.
func (d *drawing) daylight() phrase {
	t := d.theme
	if d.Destination == nil || d.Destination.BeforeDarkMinutes == nil {
		return phrase{t.Muted, "night not known"}
	}
	const near = 60
	night := *d.Destination.BeforeDarkMinutes
	switch sunset := d.Destination.BeforeSunsetMinutes; {
	case night < 0:
		return phrase{t.Warning, say.Long(-night) + " AFTER NIGHTFALL"}
	case sunset != nil && *sunset < 0:
		return phrase{t.Caution, say.Long(-*sunset) + " after sunset"}
	case night < near:
		return phrase{t.Caution, say.Long(night) + " before night"}
	}
	return phrase{t.Value, say.Long(night) + " before night"}
}

// mind is a hold, else a bearing check, else the first caution, else what is to be crossed and when; empty where there is none.
func (d *drawing) mind() string {
	t := d.theme
	if h := d.Holding; h != nil {
		hold := d.labelled("HOLDING", phrase{t.Caution, frame.Clean(h.Point) + " for " + say.Between(h.Since, d.At)})
		var leave, by []phrase
		if h.Leave != nil {
			leave = []phrase{{t.Value, "leave " + say.Time(*h.Leave)}}
		}
		if h.LeaveBy != nil {
			by = []phrase{{t.Value, "latest departure " + say.Minute(*h.LeaveBy)}}
		}
		return d.line(hold, leave, by)
	}
	if c := d.Bearing; c != nil && !c.Done && c.Problem == "" {
		return d.line(d.labelled("BEARING", phrase{t.Headline, frame.Clean(c.Beacon) + " " + say.Span(c.Seconds)}),
			[]phrase{{t.Value, "stop at " + say.Degrees(c.StopRelative) + " on the radio screen"}})
	}
	room := d.width - margin - labelWidth
	for i, notice := range d.Notices {
		if notice.Severity != flight.Caution {
			continue
		}
		text, more := frame.Clean(notice.Text), 0
		for _, other := range d.Notices[i+1:] {
			if other.Severity == flight.Caution {
				more++
			}
		}
		tail := ""
		if more > 0 {
			tail = fmt.Sprintf(", %d more", more)
		}
		text = frame.Shorten(text, room-len(tail))
		return d.line(d.labelled("CAUTION", phrase{t.Caution, text + tail}))
	}
	if c := d.Crossing; c != nil {
		text := frame.Shorten(frame.Clean(c.Said(d.Descent)), room)
		return d.line(d.labelled("CROSS", phrase{t.Value, text}))
	}
	return ""
}

// panel is a list with its name in the margin.
type panel struct {
	title string
	rows  []string
	short []string // the same in fewer rows, where there is no room for all panels; nil: there is no such form
	least int      // rows, without which it is not begun
}

// stack adds panels below rows, as many as there is room for; one that has less room than rows says how many more there are.
func (d *drawing) stack(rows []string, height int, panels []panel) []string {
	wanted := len(rows)
	for _, p := range panels {
		if len(p.rows) > 0 {
			wanted += 1 + len(p.rows)
		}
	}
	for _, p := range panels {
		if wanted > height && p.short != nil {
			p.rows = p.short
		}
		gap := 1
		if len(rows) == 0 {
			gap = 0
		}
		room := height - len(rows) - gap
		if len(p.rows) == 0 || room < min(p.least, len(p.rows)) {
			continue
		}
		content := p.rows
		if len(content) > room {
			content = append(slices.Clone(content[:room-1]), d.theme.Muted.Render(fmt.Sprintf("%d more", len(p.rows)-room+1)))
		}
		rows = append(rows, make([]string, gap)...)
		for i, text := range content {
			label := ""
			if i == 0 {
				label = p.title
			}
			var row frame.Row
			row.Pad(margin)
			row.Add(frame.Fit(label, labelWidth), d.theme.Label)
			row.Add(text, theme.Role{})
			rows = append(rows, row.String())
		}
	}
	return rows
}

// panelsBelow are what else there is to know of what the figures say, in the order of its weight.
func (d *drawing) panelsBelow(width int) []panel {
	room := panelRoom(width)
	return []panel{d.tanksPanel(room), d.radioPanel(room), d.clearedPanel(room)}
}

// panelsBeside are what else there is to know; they stand below the others, or in a third part where there is one.
func (d *drawing) panelsBeside(width int) []panel {
	room := panelRoom(width)
	return []panel{d.alternatesPanel(room), d.reportPanel(room), d.logPanel(room)}
}

// panelRoom is what a part of the screen leaves for the rows of a panel.
func panelRoom(width int) int { return max(0, width-2*margin-labelWidth) }

// in dresses a text.
func in(role theme.Role, text string) frame.Cell { return frame.Cell{Text: text, Style: role} }

// listed makes rows of values in columns.
func listed[R any](d *drawing, width int, values []R, columns ...frame.Column[*R]) []string {
	fitted := frame.FitTable(columns, width)
	rows := make([]string, 0, len(values)+1)
	if slices.ContainsFunc(columns, func(c frame.Column[*R]) bool { return c.Head != "" }) && len(values) > 0 {
		rows = append(rows, fitted.Head(d.theme.Label, d.theme.Label))
	}
	for i := range values {
		rows = append(rows, fitted.Row(&values[i]))
	}
	return rows
}

func (d *drawing) tanksPanel(width int) panel {
	barWidth := max(0, min(width-8-2-16, 40))
	type column = frame.Column[*flight.TankNow]
	return panel{title: "TANKS", least: 2, rows: listed(d, width, d.Tanks.Tanks,
		column{Width: 7, Grow: 6, Cell: func(t *flight.TankNow) frame.Cell { return in(d.theme.Value, frame.Clean(t.Name)) }},
		column{Width: barWidth, Cell: func(t *flight.TankNow) frame.Cell {
			return frame.Cell{Text: frame.Bar(barWidth, t.Quantity/max(t.Capacity, 1), d.glyphs, d.theme.Value, d.theme.Frame)}
		}},
		column{Width: 15, Cell: func(t *flight.TankNow) frame.Cell {
			text := say.Amount(t.Quantity) + " of " + say.Amount(t.Capacity)
			if t.Selected {
				return in(d.theme.Tank, say.Amount(t.Quantity)+" feeds")
			}
			return in(d.theme.Value, text)
		}})}
}

func (d *drawing) radioPanel(width int) panel {
	type column = frame.Column[*flight.ReceiverNow]
	columns := []column{
		{Width: 4, Grow: 6, Cell: func(r *flight.ReceiverNow) frame.Cell { return in(d.theme.Label, frame.Clean(r.Receiver)) }},
		{Width: 10, Grow: 4, Cell: func(r *flight.ReceiverNow) frame.Cell {
			if r.Tuned == nil {
				return in(d.theme.Muted, "off")
			}
			return in(d.theme.Value, frame.Clean(r.Tuned.Beacon)+" "+say.Frequency(r.Tuned.Frequency))
		}},
		{Width: 14, Cell: func(r *flight.ReceiverNow) frame.Cell {
			switch {
			case r.Tuned == nil:
				return frame.Cell{}
			case r.Identified:
				return in(d.theme.Good, "identified")
			default:
				return in(d.theme.Caution, "not identified")
			}
		}},
		{Width: 10, Rank: 1, Cell: func(r *flight.ReceiverNow) frame.Cell {
			if r.Tuned == nil || r.Tuned.Course == nil {
				return frame.Cell{}
			}
			return in(d.theme.Value, "course "+say.Degrees(*r.Tuned.Course))
		}},
	}
	half := (width - 1) / 2
	two := listed(d, half, d.Radio, columns...)
	left, right := two[:(len(two)+1)/2], two[(len(two)+1)/2:]
	return panel{
		title: "RADIO", least: 2, rows: listed(d, width, d.Radio, columns...),
		short: frame.Beside(frame.Block(left, half+1, len(left)), frame.Block(right, half, len(left))),
	}
}

// clearedPanel is the last of each that was said on the radio: weather, clearance, squawk, the frequency to call next.
func (d *drawing) clearedPanel(width int) panel {
	var rows, short []string
	const gap = 2
	for i := range d.Cleared {
		c := &d.Cleared[i]
		for n, line := range frame.Wrap(frame.Clean(c.Line), max(0, width-10)) {
			at := ""
			if n == 0 {
				at = say.Time(c.At)
			}
			row := d.theme.Label.Render(frame.Fit(at, 10)) + d.theme.Value.Render(line)
			rows = append(rows, row)
			if last := len(short) - 1; n == 0 && last >= 0 && frame.Width(short[last])+gap+frame.Width(row) <= width {
				short[last] += strings.Repeat(" ", gap) + row
			} else {
				short = append(short, row)
			}
		}
	}
	return panel{title: "CLEARED", least: 1, rows: rows, short: short}
}

func (d *drawing) alternatesPanel(width int) panel {
	value := func(text func(*flight.AlternateNow) string) func(*flight.AlternateNow) frame.Cell {
		return func(a *flight.AlternateNow) frame.Cell { return in(d.theme.Value, text(a)) }
	}
	type column = frame.Column[*flight.AlternateNow]
	rows := listed(d, width, d.Alternates,
		column{Width: 4, Cell: value(func(a *flight.AlternateNow) string { return frame.Clean(a.Point) })},
		column{Width: 3, Grow: 8, Rank: 4, Cell: value(func(a *flight.AlternateNow) string { return frame.Clean(a.Name) })},
		column{Head: "nm", Width: 5, Right: true, Rank: 2, Cell: value(func(a *flight.AlternateNow) string { return say.Tenth(a.DistanceNM) })},
		column{Head: "HDG", Width: 3, Right: true, Cell: value(func(a *flight.AlternateNow) string { return say.Degrees(a.HeadingMagnetic) })},
		column{Head: "in", Width: 6, Right: true, Cell: value(func(a *flight.AlternateNow) string { return say.Long(a.Minutes) })},
		column{Head: "ETA", Width: 9, Rank: 3, Cell: value(func(a *flight.AlternateNow) string { return say.Time(a.ETA) })},
		column{Head: "fuel", Width: 8, Grow: 20, Rank: 1, Cell: func(a *flight.AlternateNow) frame.Cell {
			if a.Problem != "" {
				return in(d.theme.Warning, frame.Clean(a.Problem))
			}
			return in(d.theme.Value, say.Long(a.ReserveHeldMinutes))
		}})
	return panel{title: "DIVERT", least: 3, rows: rows}
}

func (d *drawing) reportPanel(width int) panel {
	if d.Report == nil {
		return panel{}
	}
	return panel{title: "REPORT", least: 2, rows: frame.Wrap(frame.Clean(d.Report.Text), width)}
}

// logPanel is the last entries, the newest first.
func (d *drawing) logPanel(width int) panel {
	const most = 12
	role := func(e *flight.Entry) theme.Role {
		if e.Voided {
			return d.theme.Done
		}
		return d.theme.Value
	}
	type column = frame.Column[*flight.Entry]
	return panel{title: "LOG", least: 2, rows: listed(d, width, newestFirst(d.Entries, most),
		column{Width: 9, Cell: func(e *flight.Entry) frame.Cell { return in(d.theme.Label, say.Time(e.Event.T)) }},
		column{Width: 10, Grow: 90, Cell: func(e *flight.Entry) frame.Cell {
			if e.Voided {
				return in(role(e), "VOID "+frame.Clean(e.Text))
			}
			return in(role(e), frame.Clean(e.Text))
		}})}
}

// newestFirst lists the last entries, at most so many, the newest first. They come in the order of their numbers.
func newestFirst(entries []flight.Entry, most int) []flight.Entry {
	newest := slices.Clone(entries[max(0, len(entries)-most):])
	slices.Reverse(newest)
	return newest
}
