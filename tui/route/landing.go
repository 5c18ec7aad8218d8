package route

import (
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
)

// landing is the table of the destination and the alternates, each from here by the wind in use.
func (d *drawing) landing() list {
	fitted := table.Fit(arrival.Columns("LAND AT", d.Tanks.Unit), d.width-margin)
	l := list{head: blankMargin + fitted.Head(d.theme.Title, d.theme.Label), marked: -1}
	if d.Destination != nil {
		l.add(d, fitted, arrival.Destination(&d.Snapshot, d.theme), false)
	}
	for i := range d.Alternates {
		l.add(d, fitted, arrival.WayOut(&d.Alternates[i], d.theme), d.marked == len(d.route)+i)
	}
	return l
}

// add appends an arrival, with what is wrong with it in a row below where it has no column.
func (l *list) add(d *drawing, fitted table.Table[*arrival.Row], a *arrival.Row, marked bool) {
	if marked {
		l.marked = len(l.rows)
		l.rows = append(l.rows, d.theme.Selected.Render(">  "+fitted.Marked(a, frame.Style{})))
	} else {
		l.rows = append(l.rows, blankMargin+fitted.Row(a))
	}
	if a.Wrong && !fitted.Shows(arrival.VerdictHead) {
		l.rows = append(l.rows, frame.Line(d.width, frame.Cell{Width: margin}, frame.Cell{Text: a.Verdict, Style: a.Judged}))
	}
}
