package entries

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/theme"
)

// Rows draws a head and the list.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	all := snapshot.Entries
	if len(all) == 0 {
		return frame.Notice("nothing is recorded yet", size.Width, size.Height)
	}
	at := s.index(all)
	const margin, head = 1, 1
	fitted := table.Fit(columns(t), size.Width-2*margin)
	rows := []string{" " + fitted.Head(t.Title, t.Label)}
	height := size.Height - head
	first := table.Window(len(all), height, at)
	for i := first; i < min(len(all), first+height); i++ {
		if i == at {
			rows = append(rows, t.Selected.Render(">"+fitted.Marked(row(all, i), frame.Style{})+" "))
		} else {
			rows = append(rows, " "+fitted.Row(row(all, i)))
		}
	}
	const leastForMore = 4
	if below := len(all) - first - height; below > 0 && height >= leastForMore && at < first+height-1 {
		rows[len(rows)-1] = t.Muted.Render(frame.Fit(fmt.Sprintf("   … %d more below", below+1), size.Width))
	}
	if first > 0 && height >= leastForMore && at > first {
		rows[head] = t.Muted.Render(frame.Fit(fmt.Sprintf("   … %d more above", first+1), size.Width))
	}
	return frame.Block(rows, size.Width, size.Height)
}

func columns(t theme.Theme) []table.Column[flight.Entry] {
	role := func(e flight.Entry) theme.Role {
		if e.Voided {
			return t.Done
		}
		return t.Value
	}
	cell := func(text func(flight.Entry) string) func(flight.Entry) frame.Cell {
		return func(e flight.Entry) frame.Cell { return frame.Cell{Text: text(e), Style: role(e)} }
	}
	return []table.Column[flight.Entry]{
		{Head: "entry", Width: 6, Right: true, Cell: cell(func(e flight.Entry) string { return fmt.Sprint(e.Event.N) })},
		{Head: "UTC", Width: 8, Cell: cell(func(e flight.Entry) string { return say.UTC(e.Event.T) })},
		{Head: "state", Width: 8, Rank: 1, Cell: func(e flight.Entry) frame.Cell {
			switch {
			case e.Voided:
				return frame.Cell{Text: "VOID", Style: t.Caution}
			case e.Amended:
				return frame.Cell{Text: "amended", Style: t.Value}
			case e.Late:
				return frame.Cell{Text: "later", Style: t.Value} // entered some time after the fact
			default:
				return frame.Cell{}
			}
		}},
		{Head: "what", Width: 34, Grow: 200, Cell: cell(func(e flight.Entry) string { return frame.Clean(e.Text) })},
		{Head: "by", Width: 8, Rank: 3, Cell: cell(func(e flight.Entry) string { return frame.Clean(e.Event.By) })},
	}
}
