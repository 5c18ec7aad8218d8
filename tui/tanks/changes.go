package tanks

import (
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
)

// changeRow is a change made or to come.
type changeRow struct {
	state, at, in, to, apart string
	role, stated             theme.Role
}

// changes is the table of the changes made and to come, those around the present in view.
func (d *drawing) changes(width, rows int) []string {
	if rows <= 0 {
		return nil
	}
	cell := func(text func(changeRow) string) func(changeRow) frame.Cell {
		return func(r changeRow) frame.Cell { return frame.Cell{Text: text(r), Style: r.role} }
	}
	apart := "apart"
	if limit := d.Tanks.MaxImbalance; limit != nil {
		apart += ", of " + short(*limit)
	}
	fitted := table.Fit([]table.Column[changeRow]{
		{Head: "CHANGES", Width: 8, Cell: func(r changeRow) frame.Cell { return frame.Cell{Text: r.state, Style: r.stated} }},
		{Head: "at", Width: 9, Cell: cell(func(r changeRow) string { return r.at })},
		{Head: "", Width: 11, Rank: 2, Right: true, Cell: cell(func(r changeRow) string { return r.in })},
		{Head: "to", Width: 8, Grow: 12, Cell: cell(func(r changeRow) string { return r.to })},
		{Head: apart, Width: max(14, frame.Width(apart)), Rank: 1, Right: true, Cell: cell(func(r changeRow) string { return r.apart })},
	}, min(width-1, 76))
	drawn := []string{" " + fitted.Head(d.theme.Title, d.theme.Label)}
	all := d.changeRows()
	if len(all) == 0 {
		return append(drawn, d.theme.Muted.Render(" none"))
	}
	height := max(rows-1, 0)
	first := table.Window(len(all), height, min(len(d.Tanks.Made), len(all)-1))
	for _, r := range all[first:min(first+height, len(all))] {
		drawn = append(drawn, " "+fitted.Row(r))
	}
	return drawn
}

func (d *drawing) changeRows() []changeRow {
	var rows []changeRow
	row := func(state string, at time.Time, to string, apart float64, role, stated theme.Role) {
		rows = append(rows, changeRow{state, say.Time(at), say.In(d.At, at), frame.Clean(to), say.Amount(apart), role, stated})
	}
	for _, c := range d.Tanks.Made {
		row("made", c.At, c.To, c.ImbalanceBefore, d.theme.Done, d.theme.Done)
	}
	for i, c := range d.Tanks.Planned {
		state, stated := "planned", d.theme.Label
		if i == 0 && d.Tanks.NextChange != nil && c.At.Equal(d.Tanks.NextChange.At) {
			if word, role, _ := d.change(); word != "in" {
				state, stated = word, role
			} else {
				state, stated = "next", d.theme.Headline
			}
		}
		row(state, c.At, c.To, c.ImbalanceThen, d.theme.Value, stated)
	}
	return rows
}
