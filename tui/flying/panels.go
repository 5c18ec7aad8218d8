package flying

import (
	"fmt"
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// panel is a list under a title.
type panel struct {
	title string
	rows  func(most int) []string // nil: there is no such panel now
}

// fixed is a panel of rows that are there already.
func fixed(title string, rows ...string) panel {
	return panel{title, func(most int) []string { return rows[:min(len(rows), most)] }}
}

// panels fill what is left below: the route ahead and the queue, on a wide screen what else there is to know.
func (d *drawing) panels(rows int) []string {
	switch {
	case d.width < 100:
		return d.stack(d.width, rows, d.routePanel(d.width))
	case d.width < 150:
		left := d.width * 55 / 100
		right := d.width - left
		return frame.Beside(d.stack(left, rows, d.routePanel(left), d.entriesPanel(left)), d.stack(right, rows, d.queuePanel(right), d.waysOutPanel(right)))
	default:
		left, middle := d.width*38/100, d.width*31/100
		right := d.width - left - middle
		return frame.Beside(d.stack(left, rows, d.routePanel(left), d.tanksPanel(left)),
			d.stack(middle, rows, d.queuePanel(middle), d.entriesPanel(middle)),
			d.stack(right, rows, d.reportPanel(), d.waysOutPanel(right), d.receiversPanel(right)))
	}
}

// stack draws panels one below the other as long as there are rows; one without rows is left out. The last column is blank.
func (d *drawing) stack(width, rows int, panels ...panel) []string {
	drawn := make([]string, 0, rows)
	for _, p := range panels {
		left := rows - len(drawn)
		const worthBeginning = 3
		if p.rows == nil || left < worthBeginning {
			continue
		}
		head := strip.New(width)
		head.Fill(0, width-1, d.glyphs.Horizontal, d.theme.Frame)
		head.Put(1, " "+p.title+" ", d.theme.Title)
		drawn = append(drawn, head.Row())
		content := p.rows(left - 1)
		for _, row := range content {
			var margined frame.Row
			margined.Grow(len(row) + 2)
			margined.Pad(1)
			margined.Fit(row, width-1)
			drawn = append(drawn, margined.String())
		}
		if left-1 > len(content) {
			drawn = append(drawn, "")
		}
	}
	return frame.Block(drawn, width, rows)
}

// listed is a panel of values in columns, beside a margin at either side.
func listed[R any](d *drawing, title string, width int, values []R, columns ...table.Column[*R]) panel {
	return panel{title, func(most int) []string {
		fitted := table.Fit(columns, width-2)
		rows := make([]string, 0, most)
		if slices.ContainsFunc(columns, func(c table.Column[*R]) bool { return c.Head != "" }) {
			rows = append(rows, fitted.Head(d.theme.Label, d.theme.Label))
		}
		for i := range values {
			if len(rows) >= most {
				break
			}
			rows = append(rows, fitted.Row(&values[i]))
		}
		return rows
	}}
}

// in dresses a text.
func in(role theme.Role, text string) frame.Cell { return frame.Cell{Text: text, Style: role} }

func (d *drawing) routePanel(width int) panel {
	var ahead []flight.RoutePoint
	for i := range d.Route {
		if point := &d.Route[i]; point.Actual == nil && point.Leg >= d.Leg.Index && !point.Diverted {
			ahead = append(ahead, *point)
		}
	}
	// one is a column of all points, legEnd one that checkpoints leave blank.
	one := func(text func(*flight.RoutePoint) string) func(*flight.RoutePoint) frame.Cell {
		return func(p *flight.RoutePoint) frame.Cell {
			if p.Checkpoint {
				return in(d.theme.Muted, text(p))
			}
			return in(d.theme.Value, text(p))
		}
	}
	legEnd := func(text func(*flight.RoutePoint) string) func(*flight.RoutePoint) frame.Cell {
		return func(p *flight.RoutePoint) frame.Cell {
			if p.Checkpoint {
				return frame.Cell{}
			}
			return in(d.theme.Value, text(p))
		}
	}
	type column = table.Column[*flight.RoutePoint]
	return listed(d, "ROUTE AHEAD", width, ahead,
		column{Head: "point", Width: 15, Grow: 10, Cell: one(pointName)},
		column{Head: "track", Width: 5, Right: true, Rank: 3, Cell: legEnd(func(p *flight.RoutePoint) string { return say.Degrees(p.TrackMagnetic) })},
		column{Head: "steer", Width: 5, Right: true, Rank: 1, Cell: legEnd(func(p *flight.RoutePoint) string { return say.DegreesOf(p.HeadingMagnetic) })},
		column{Head: "nm", Width: 5, Right: true, Rank: 2, Cell: one(pointMiles)},
		column{Head: "ETA", Width: 9, Cell: one(pointTime)},
		column{Head: "±", Width: 6, Right: true, Rank: 4, Cell: func(p *flight.RoutePoint) frame.Cell {
			if p.SigmaSeconds == nil {
				return frame.Cell{}
			}
			return in(d.theme.Estimate, say.PlusMinus(*p.SigmaSeconds))
		}},
		column{Head: "plan", Width: 7, Right: true, Rank: 5, Cell: one(func(p *flight.RoutePoint) string { return say.SignedOf(p.DifferenceSeconds) })},
		column{Head: "altitude", Width: 8, Right: true, Rank: 6, Cell: legEnd(func(p *flight.RoutePoint) string { return say.Feet(p.AltitudeFt) })})
}

// pointName sets checkpoints back from the ends of legs.
func pointName(p *flight.RoutePoint) string {
	if p.Checkpoint {
		return "  " + frame.Clean(p.Point)
	}
	return frame.Clean(p.Point)
}

// pointMiles is how long the leg to a point is, or how far on it a checkpoint lies.
func pointMiles(p *flight.RoutePoint) string {
	if p.Checkpoint {
		return fmt.Sprintf("%.1f", p.AfterNM)
	}
	return fmt.Sprintf("%.1f", p.LegDistanceNM)
}

func pointTime(p *flight.RoutePoint) string {
	if p.Revised == nil {
		return say.Time(p.Planned)
	}
	return say.Time(*p.Revised)
}

func (d *drawing) queuePanel(width int) panel {
	prompts := d.open()
	if len(prompts) == 0 {
		return fixed("QUEUE", d.theme.Muted.Render("nothing"))
	}
	type column = table.Column[*flight.Prompt]
	return listed(d, "QUEUE", width, prompts,
		column{Width: 4, Cell: func(p *flight.Prompt) frame.Cell { return in(d.stateRole(p), d.stateWord(p)) }},
		column{Width: 3, Cell: func(p *flight.Prompt) frame.Cell { return in(d.theme.Value, words.Mark(p.Kind)) }},
		column{Width: 12, Grow: 30, Cell: func(p *flight.Prompt) frame.Cell { return in(d.theme.Value, frame.Clean(p.Text)) }},
		column{Width: 9, Cell: func(p *flight.Prompt) frame.Cell { return in(d.theme.Label, say.Time(p.Due)) }},
		column{Width: 7, Right: true, Cell: func(p *flight.Prompt) frame.Cell {
			return in(d.theme.Value, say.ToGo(d.At, p.Due))
		}})
}

func (d *drawing) reportPanel() panel {
	if d.Report == nil {
		return panel{}
	}
	rows := make([]string, len(d.Report.Lines))
	for i, line := range d.Report.Lines {
		rows[i] = frame.Clean(line)
	}
	return fixed("REPORT", rows...)
}

func (d *drawing) waysOutPanel(width int) panel {
	if len(d.Alternates) == 0 {
		return panel{}
	}
	value := func(text func(*flight.AlternateNow) string) func(*flight.AlternateNow) frame.Cell {
		return func(a *flight.AlternateNow) frame.Cell { return in(d.theme.Value, text(a)) }
	}
	type column = table.Column[*flight.AlternateNow]
	alternates := listed(d, "WAYS OUT", width, d.Alternates,
		column{Head: "to", Width: 5, Cell: value(func(a *flight.AlternateNow) string { return frame.Clean(a.Point) })},
		column{Head: "nm", Width: 5, Right: true, Cell: value(func(a *flight.AlternateNow) string { return fmt.Sprintf("%.1f", a.DistanceNM) })},
		column{Head: "steer", Width: 5, Right: true, Cell: value(func(a *flight.AlternateNow) string { return say.Degrees(a.HeadingMagnetic) })},
		column{Head: "in", Width: 8, Right: true, Cell: value(func(a *flight.AlternateNow) string { return say.Long(a.Minutes) })},
		column{Head: "ETA", Width: 9, Rank: 1, Cell: value(func(a *flight.AlternateNow) string { return say.Time(a.ETA) })},
		column{Head: "reserve then", Width: 12, Grow: 20, Cell: func(a *flight.AlternateNow) frame.Cell {
			if a.Problem != "" {
				return in(d.theme.Warning, frame.Clean(a.Problem))
			}
			return in(d.theme.Good, say.Long(a.ReserveHeldMinutes))
		}})
	return panel{alternates.title, func(most int) []string {
		rows := alternates.rows(most)
		for _, c := range d.critical() {
			rows = append(rows, d.theme.Muted.Render(frame.Fit(d.criticalText(c), width-2)))
		}
		return rows[:min(len(rows), most)]
	}}
}

// criticalText is where and when a critical point is reached and how long it is back from there.
func (d *drawing) criticalText(c critical) string {
	return fmt.Sprintf("%s %s %s, %.1f nm on leg %d: %s back to %s", c.mark, c.name, say.Time(c.ETA), c.AfterNM, c.Leg+1,
		say.Long(c.Minutes), frame.Clean(c.Back))
}

func (d *drawing) receiversPanel(width int) panel {
	type column = table.Column[*flight.ReceiverNow]
	return listed(d, "RECEIVERS", width, d.Radio,
		column{Width: 6, Cell: func(r *flight.ReceiverNow) frame.Cell { return in(d.theme.Label, frame.Clean(r.Receiver)) }},
		column{Width: 14, Cell: func(r *flight.ReceiverNow) frame.Cell {
			if r.Tuned == nil {
				return in(d.theme.Muted, say.Unknown)
			}
			return in(d.theme.Value, frame.Clean(r.Tuned.Beacon)+" "+say.Frequency(r.Tuned.Frequency))
		}},
		column{Width: 14, Rank: 1, Cell: func(r *flight.ReceiverNow) frame.Cell {
			switch {
			case r.Tuned == nil:
				return frame.Cell{}
			case r.Identified:
				return in(d.theme.Good, "identified")
			default:
				return in(d.theme.Caution, "not identified")
			}
		}})
}

func (d *drawing) tanksPanel(width int) panel {
	barWidth := max(0, width-2-12-16)
	type column = table.Column[*flight.TankNow]
	return listed(d, "TANKS, "+say.Unit(d.Tanks.Unit), width, d.Tanks.Tanks,
		column{Width: 11, Cell: func(t *flight.TankNow) frame.Cell {
			if t.Selected {
				return in(d.theme.Tank, "> "+frame.Clean(t.Name))
			}
			return in(d.theme.Value, "  "+frame.Clean(t.Name))
		}},
		column{Width: barWidth, Cell: func(t *flight.TankNow) frame.Cell {
			return frame.Cell{Text: frame.Bar(barWidth, t.Quantity/max(t.Capacity, 1), d.glyphs, d.theme.Value, d.theme.Frame)}
		}},
		column{Width: 15, Right: true, Cell: func(t *flight.TankNow) frame.Cell {
			return in(d.theme.Value, say.Amount(t.Quantity)+" of "+say.Amount(t.Capacity))
		}})
}

// entriesPanel shows the last entries, the newest first.
func (d *drawing) entriesPanel(width int) panel {
	role := func(e *flight.Entry) theme.Role {
		if e.Voided {
			return d.theme.Done
		}
		return d.theme.Muted
	}
	columns := []table.Column[*flight.Entry]{
		{Width: 4, Right: true, Rank: 1, Cell: func(e *flight.Entry) frame.Cell { return in(role(e), fmt.Sprint(e.Event.N)) }},
		{Width: 9, Cell: func(e *flight.Entry) frame.Cell { return in(role(e), say.Time(e.Event.T)) }},
		{Width: 10, Grow: 90, Cell: func(e *flight.Entry) frame.Cell {
			if e.Voided {
				return in(role(e), "VOID "+frame.Clean(e.Text))
			}
			return in(role(e), frame.Clean(e.Text))
		}},
	}
	return panel{"LAST ENTRIES", func(most int) []string {
		return listed(d, "", width, words.NewestFirst(d.Entries, most), columns...).rows(most)
	}}
}
