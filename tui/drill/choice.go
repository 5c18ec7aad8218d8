package drill

import (
	"fmt"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
	"example.com/legclock/tui/words"
)

// choice is a row of the chooser: any topic, one topic, or the live check.
type choice struct {
	topic drill.Topic
	live  bool
	title string
}

func choices() []choice {
	all := []choice{{title: "what is due, from all topics"}, {live: true, title: "live: time a needle past the wing tip"}}
	for _, topic := range drill.Topics() {
		all = append(all, choice{topic: topic, title: topic.Title()})
	}
	return all
}

// rowOf is the row of a topic.
func rowOf(topic drill.Topic) int {
	for i, c := range choices() {
		if c.topic == topic && !c.live {
			return i
		}
	}
	return 0
}

// chooser is the list of topics, how firm they are, and the level that is wished for.
func (m *Model) chooser(width, height int) []string {
	t := m.theme
	columns := []table.Column[choice]{{
		Head: "TOPIC", Width: 40, Grow: 6,
		Cell: func(c choice) frame.Cell { return frame.Cell{Text: c.title, Style: t.Value} },
	}}
	for i, level := range drill.Levels() {
		columns = append(columns, table.Column[choice]{
			Head: fmt.Sprintf("LEVEL %d", level), Width: 11, Rank: i + 1,
			Cell: func(c choice) frame.Cell { return m.firmCell(c, level) },
		})
	}
	fitted := table.Fit(columns, max(width-2, 0))
	all := choices()
	const around = 3 // the head, what comes next and the level
	var rows []string
	if height > len(all)+around {
		rows = append(rows, "")
	}
	rows = append(rows, " "+fitted.Head(t.Title, t.Label))
	room := max(height-around, 0)
	first := table.Window(len(all), room, m.choice)
	for i := first; i < min(first+room, len(all)); i++ {
		row := " " + fitted.Row(all[i])
		if i == m.choice {
			row = t.Key.Render(">") + fitted.Marked(all[i], t.Selected)
		}
		rows = append(rows, row)
	}
	for len(rows) < height-2 {
		rows = append(rows, "")
	}
	return append(rows, m.nextRow(width), m.levelRow(width))
}

// nextRow says what comes next, of all topics, and how many tasks are firm, shaky and new.
func (m *Model) nextRow(width int) string {
	sums := m.Progress.Sums()
	text := fmt.Sprintf("%d firm, %d shaky, %d new", sums[drill.Firm], sums[drill.Shaky], sums[drill.New])
	room := max(0, width-frame.Width(text)-10)
	return frame.Line(width, frame.Cell{Text: " NEXT  ", Style: m.theme.Label},
		frame.Cell{Text: words.Cut(m.Progress.Said(m.Progress.Next(drill.Wish{}, m.now)), room), Width: room, Style: m.theme.Headline},
		frame.Cell{Text: "  " + text, Style: m.theme.Value})
}

// firmCell shows how firm a topic is at a level: a sign for each task.
func (m *Model) firmCell(c choice, level drill.Level) frame.Cell {
	if c.topic == "" {
		return frame.Cell{}
	}
	s := m.Progress.Of(drill.Card{Topic: c.topic, Level: level})
	text := m.Progress.Map(s.Card)
	switch {
	case s.Tries == 0:
		return frame.Cell{Text: text, Style: m.theme.Muted}
	case !s.IsFirm():
		return frame.Cell{Text: fmt.Sprintf("%s %.0f%%", text, 100**s.Accuracy), Style: m.theme.Caution}
	}
	return frame.Cell{Text: fmt.Sprintf("%s %.0f%%", text, 100**s.Accuracy), Style: m.theme.Good}
}

// levelRow names the level that is wished for.
func (m *Model) levelRow(width int) string {
	level := "what is open to you"
	if m.Wish.Level != 0 {
		level = fmt.Sprintf("%d, %s", m.Wish.Level, m.Wish.Level)
	}
	return frame.Line(width, frame.Cell{Text: " LEVEL ", Style: m.theme.Label},
		frame.Cell{Text: "< ", Style: m.theme.Key}, frame.Cell{Text: level, Style: m.theme.Headline},
		frame.Cell{Text: " >", Style: m.theme.Key}, frame.Cell{Text: "   " + drill.MapKey, Style: m.theme.Muted})
}
