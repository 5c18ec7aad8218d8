package drill

import (
	"fmt"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/words"
)

// Rows draws the header, what is in front, the line of words and the keys.
func (m *Model) Rows(width, height int) []string {
	if width <= 0 || height <= 0 {
		return frame.Block(nil, width, height)
	}
	rows := []string{m.header(width)}
	body := max(height-3, 0)
	var front []string
	switch m.mode {
	case choosing:
		front = m.chooser(width, body)
	case asking, marked:
		front = m.question(width, body)
	case standing:
		front = m.standingRows(width, body)
	case timing:
		front = m.liveRows(width, body)
	}
	rows = append(rows, frame.Block(front, width, body)...)
	rows = append(rows, m.theme.Caution.Render(frame.Fit(" "+frame.Clean(m.said), width)), legend.Row(m.shown(), width, m.theme))
	return m.theme.Page(frame.Block(rows, width, height))
}

// header says where one is, at what level, and how it goes.
func (m *Model) header(width int) string {
	t := m.theme
	s := strip.New(width)
	right := width
	put := func(text string, place func(x int) bool) {
		if x := right - frame.Width(text) - 1; place(x) {
			right = x - 1
		}
	}
	if m.mode == asking || m.mode == marked {
		took := m.at - m.askedAt
		if m.mode == marked {
			took = m.verdict.Took
		}
		text := say.Span(took.Truncate(1e9).Seconds())
		put(text, func(x int) bool { return s.Put(x, text, t.Headline) })
	}
	if m.tally.Asked > 0 {
		text := m.tally.String()
		put(text, func(x int) bool { return s.Put(x, text, t.Value) })
	}
	s.Put(1, "DRILL", t.Title)
	s.Put(8, words.Cut(m.heading(), max(right-9, 0)), t.Value)
	return s.Row()
}

// heading says what is in front.
func (m *Model) heading() string {
	switch m.mode {
	case asking, marked:
		return fmt.Sprintf("%s, level %d", m.exercise.Topic.Title(), m.exercise.Level)
	case standing:
		return "how you stand"
	case timing:
		return fmt.Sprintf("time and distance to the station, live, level %d", m.live.Level)
	}
	return "choose"
}
