package drill

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
)

// tried lists the cards that were tried, the weakest first.
func (m *Model) tried() []drill.Standing {
	all := slices.DeleteFunc(m.Progress.Standings(), func(s drill.Standing) bool { return s.Tries == 0 })
	slices.SortStableFunc(all, func(a, b drill.Standing) int {
		return cmp.Or(cmp.Compare(a.Firm*b.Tasks, b.Firm*a.Tasks), cmp.Compare(*a.Accuracy, *b.Accuracy))
	})
	return all
}

// standingRows is how the student stands.
func (m *Model) standingRows(width, height int) []string {
	all := m.tried()
	if len(all) == 0 {
		return frame.Notice("Nothing answered yet. What you answer is kept on this machine only, and what is weak comes back sooner.", width, height)
	}
	fitted := table.Fit(m.standingColumns(), max(width-2, 0))
	rows := []string{"", " " + fitted.Head(m.theme.Title, m.theme.Label)}
	room := max(height-4, 0)
	for _, s := range all[min(m.scroll, max(len(all)-room, 0)):] {
		if len(rows) == room+2 {
			break
		}
		rows = append(rows, " "+fitted.Row(s))
	}
	for len(rows) < height-1 {
		rows = append(rows, "")
	}
	return append(rows, m.theme.Muted.Render(frame.Fit(" "+m.totals(all), width)))
}

// totals sums all cards up.
func (m *Model) totals(all []drill.Standing) string {
	total := drill.Tally{}
	due := 0
	for _, s := range all {
		total.Asked, total.Right = total.Asked+s.Tries, total.Right+s.Right
		if s.IsDue(m.now) {
			due++
		}
	}
	return fmt.Sprintf("%s in all; %d due now; %d of %d topics and levels not tried yet", total, due,
		len(m.Progress.Standings())-len(all), len(m.Progress.Standings()))
}

func (m *Model) standingColumns() []table.Column[drill.Standing] {
	t := m.theme
	now := m.now
	return []table.Column[drill.Standing]{
		{Head: "TOPIC", Width: 20, Grow: 22, Spill: true, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: s.Topic.Title(), Style: t.Value}
		}},
		{Head: "LEVEL", Width: 5, Right: true, Rank: 1, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%d", s.Level), Style: t.Value}
		}},
		{Head: "FIRM", Width: 6, Rank: 2, Cell: func(s drill.Standing) frame.Cell {
			role := t.Good
			if !s.IsFirm() {
				role = t.Caution
			}
			return frame.Cell{Text: fmt.Sprintf("%d of %d", s.Firm, s.Tasks), Style: role}
		}},
		{Head: "RIGHT", Width: 7, Right: true, Rank: 3, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%d/%d", s.Right, s.Tries), Style: t.Value}
		}},
		{Head: "", Width: 4, Right: true, Rank: 4, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%.0f%%", 100**s.Accuracy), Style: t.Value}
		}},
		{Head: "TIME", Width: 6, Right: true, Rank: 5, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: say.Span(*s.MeanSeconds), Style: t.Value}
		}},
		{Head: "DUE", Width: 9, Rank: 6, Cell: func(s drill.Standing) frame.Cell {
			role := t.Muted
			if s.IsDue(now) {
				role = t.Coming
			}
			return frame.Cell{Text: s.Away(now), Style: role}
		}},
		{Head: "MOST OFTEN WRONG BY", Width: 19, Rank: 7, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: string(s.MostOften()), Style: t.Caution}
		}},
	}
}
