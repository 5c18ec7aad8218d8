package flying

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/words"
)

// panel is a list under a title.
type panel struct {
	title string
	rows  []string
}

// panels fill what is left below: the route ahead and the queue, on a wide screen what else there is to know.
func (d *drawing) panels(rows int) []string {
	switch {
	case d.width < 100:
		return d.stack(d.width, rows, d.routePanel(d.width))
	case d.width < 150:
		left := d.width * 55 / 100
		right := d.width - left
		return frame.Beside(d.stack(left, rows, d.routePanel(left), d.entriesPanel()), d.stack(right, rows, d.queuePanel(right), d.waysOutPanel(right)))
	default:
		left, middle := d.width*38/100, d.width*31/100
		right := d.width - left - middle
		return frame.Beside(d.stack(left, rows, d.routePanel(left), d.tanksPanel(left)),
			d.stack(middle, rows, d.queuePanel(middle), d.entriesPanel()),
			d.stack(right, rows, d.reportPanel(), d.waysOutPanel(right), d.receiversPanel(right)))
	}
}

// stack draws panels one below the other as long as there are rows; one without rows is left out.
func (d *drawing) stack(width, rows int, panels ...panel) []string {
	var drawn []string
	for _, p := range panels {
		left := rows - len(drawn)
		const worthBeginning = 3
		if len(p.rows) == 0 || left < worthBeginning {
			continue
		}
		head := newStrip(width)
		head.fill(0, width-1, d.glyphs.Horizontal, d.theme.Frame)
		head.put(1, " "+p.title+" ", d.theme.Title)
		drawn = append(drawn, head.row())
		drawn = append(drawn, p.rows[:min(len(p.rows), left-1)]...)
		if left-1 > len(p.rows) {
			drawn = append(drawn, "")
		}
	}
	return frame.Block(drawn, width, rows)
}

func (d *drawing) routePanel(width int) panel {
	rows := []string{d.theme.Label.Render(" point          track steer     nm  ETA            ±    plan")}
	for _, point := range d.Route {
		if point.Actual == nil && point.Leg >= d.Leg.Index && !point.Diverted {
			rows = append(rows, d.routeRow(point, width-1))
		}
	}
	return panel{"ROUTE AHEAD", rows}
}

func (d *drawing) routeRow(point flight.RoutePoint, width int) string {
	t := d.theme
	name, role := frame.Clean(point.Point), t.Value
	track, steer, miles := words.Degrees(point.TrackMagnetic), words.DegreesOf(point.HeadingMagnetic), point.LegDistanceNM
	if point.Checkpoint {
		name, role = "  "+name, t.Muted
		track, steer, miles = "", "", point.AfterNM
	}
	eta, sigma := point.Planned, ""
	if point.Revised != nil {
		eta = *point.Revised
	}
	if point.SigmaSeconds != nil {
		sigma = words.PlusMinus(*point.SigmaSeconds)
	}
	cells := []frame.Cell{
		{Text: " "},
		{Text: name, Width: 15, Style: role.Render},
		{Text: track, Width: 5, Right: true, Style: role.Render},
		{Text: steer, Width: 6, Right: true, Style: role.Render},
		{Text: fmt.Sprintf("%7.1f  ", miles), Style: role.Render},
		{Text: words.Time(eta), Style: role.Render},
		{Text: sigma, Width: 7, Right: true, Style: t.Estimate.Render},
		{Text: words.SignedOf(point.DifferenceSeconds), Width: 8, Right: true, Style: role.Render},
	}
	if width >= 70 {
		cells = append(cells, frame.Cell{Text: words.Feet(point.AltitudeFt), Width: 9, Right: true, Style: t.Muted.Render})
	}
	return frame.Line(width, cells...)
}

func (d *drawing) queuePanel(width int) panel {
	var rows []string
	for _, p := range d.open() {
		within := words.Between(d.At, p.Due)
		if p.Due.Before(d.At) {
			within = "+" + within
		}
		state := cell{text: d.stateWord(p), role: d.stateRole(p)}
		pad := strings.Repeat(" ", len("NEXT ")-len(state.text))
		rows = append(rows, frame.Line(width-1, frame.Cell{Text: " "}, frame.Cell{Text: state.text, Style: state.role.Render},
			frame.Cell{Text: pad + words.Mark(p.Kind) + " "}, frame.Cell{Text: frame.Clean(p.Text), Width: max(1, width-30)},
			frame.Cell{Text: words.Time(p.Due), Width: 11, Right: true, Style: d.theme.Label.Render},
			frame.Cell{Text: within, Width: 8, Right: true}))
	}
	if len(rows) == 0 {
		rows = []string{d.theme.Muted.Render(" nothing")}
	}
	return panel{"QUEUE", rows}
}

func (d *drawing) reportPanel() panel {
	if d.Report == nil {
		return panel{}
	}
	rows := make([]string, len(d.Report.Lines))
	for i, line := range d.Report.Lines {
		rows[i] = " " + frame.Clean(line)
	}
	return panel{"REPORT", rows}
}

func (d *drawing) waysOutPanel(width int) panel {
	if len(d.Alternates) == 0 {
		return panel{}
	}
	rows := []string{d.theme.Label.Render(" to         nm steer   min  ETA        reserve")}
	for _, out := range d.Alternates {
		held, role := words.Long(out.ReserveHeldMinutes), d.theme.Good
		if out.Problem != "" {
			held, role = frame.Clean(out.Problem), d.theme.Warning
		}
		rows = append(rows, frame.Line(width-1, frame.Cell{Text: " "}, frame.Cell{Text: frame.Clean(out.Point), Width: 5},
			frame.Cell{Text: fmt.Sprintf("%8.1f", out.DistanceNM)}, frame.Cell{Text: words.Degrees(out.HeadingMagnetic), Width: 6, Right: true},
			frame.Cell{Text: fmt.Sprintf("%6.0f  ", out.Minutes)}, frame.Cell{Text: words.Time(out.ETA) + "  "},
			frame.Cell{Text: held, Style: role.Render}))
	}
	return panel{"WAYS OUT", rows}
}

func (d *drawing) receiversPanel(width int) panel {
	var rows []string
	for _, r := range d.Radio {
		tuned, state, role := words.Unknown, "", d.theme.Muted
		if r.Tuned != nil {
			tuned = frame.Clean(r.Tuned.Beacon) + " " + words.Frequency(r.Tuned.Frequency)
			state, role = "not identified", d.theme.Caution
			if r.Identified {
				state, role = "identified", d.theme.Good
			}
		}
		rows = append(rows, frame.Line(width-1, frame.Cell{Text: " "}, frame.Cell{Text: frame.Clean(r.Receiver), Width: 7, Style: d.theme.Label.Render},
			frame.Cell{Text: tuned, Width: 14}, frame.Cell{Text: state, Style: role.Render}))
	}
	return panel{"RECEIVERS", rows}
}

func (d *drawing) tanksPanel(width int) panel {
	const name, amount = 12, 16
	var rows []string
	for _, tank := range d.Tanks.Tanks {
		role := d.theme.Value
		label := " " + frame.Clean(tank.Name)
		if tank.Selected {
			role, label = d.theme.Tank, ">"+label[1:]
		}
		bar := frame.Bar(max(0, width-name-amount-2), tank.Quantity/max(tank.Capacity, 1), d.glyphs, d.theme.Value.Render, d.theme.Frame.Render)
		rows = append(rows, role.Render(frame.Fit(label, name))+bar+frame.FitRight(words.Quantity(tank.Quantity)+" of "+words.Quantity(tank.Capacity), amount))
	}
	return panel{"TANKS, " + words.Unit(d.Tanks.Unit), rows}
}

// entriesPanel shows the last entries, the newest first.
func (d *drawing) entriesPanel() panel {
	var rows []string
	for _, entry := range newestFirst(d.Entries) {
		text := fmt.Sprintf(" %4d %s %s", entry.Event.N, words.Time(entry.Event.T), frame.Clean(entry.Text))
		if entry.Voided {
			text += " (void)"
		}
		rows = append(rows, d.theme.Muted.Render(text))
	}
	return panel{"LAST ENTRIES", rows}
}

func newestFirst(entries []flight.Entry) []flight.Entry {
	const most = 60 // no screen has more rows
	if len(entries) > 1 && entries[0].Event.N > entries[1].Event.N {
		return entries[:min(len(entries), most)]
	}
	last := entries[max(0, len(entries)-most):]
	newest := make([]flight.Entry, len(last))
	for i, entry := range last {
		newest[len(last)-1-i] = entry
	}
	return newest
}
