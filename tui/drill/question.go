package drill

import (
	"fmt"
	"strings"

	"example.com/legclock/internal/drill"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// measure is the widest that a question is set: longer lines are harder to read.
const measure = 84

// sheet builds rows of text in the middle of the screen. One that is not airy has no blank rows.
type sheet struct {
	rows   []string
	width  int // of the text
	margin string
	airy   bool
}

func newSheet(width int, airy bool) *sheet {
	text := min(measure, max(width-4, 0))
	return &sheet{width: text, margin: strings.Repeat(" ", max((width-text)/2, 0)), airy: airy}
}

// add adds a row that is already dressed.
func (s *sheet) add(row string) { s.rows = append(s.rows, s.margin+row) }

func (s *sheet) space() {
	if s.airy {
		s.rows = append(s.rows, "")
	}
}

// text adds a text in one look, wrapped; rows after the first are indented.
func (s *sheet) text(text string, role theme.Role, indent string) {
	for i, line := range frame.Wrap(text, max(s.width-len(indent), 1)) {
		if i > 0 {
			line = indent + line
		}
		s.add(role.Render(line))
	}
}

// question is what is given and asked, with the answer line or with the verdict: with air where there is room, without where there
// is not, and if that is too much still, its end, where the answer stands.
func (m *Model) question(width, height int) []string {
	var s *sheet
	for _, air := range []struct{ around, inside, wide, allowed bool }{
		{true, true, height > 30, true}, {around: true, inside: true, allowed: true}, {around: true, allowed: true}, {allowed: true}, {},
	} {
		s = newSheet(width, air.around)
		s.space()
		m.asked(s, air.inside, air.wide)
		s.space()
		if m.mode == asking {
			m.answerRow(s)
		} else {
			m.verdictRows(s, air.allowed)
		}
		if len(s.rows) <= height {
			return s.rows
		}
	}
	return s.rows[len(s.rows)-height:]
}

// asked sets what is given and the question in a box, with the tool in its edge.
func (m *Model) asked(s *sheet, airy, wide bool) {
	inside := &sheet{width: max(s.width-4, 0), margin: " ", airy: airy}
	inside.space()
	m.givenRows(inside, wide)
	inside.space()
	inside.text(m.exercise.Question, m.theme.Headline, "")
	inside.space()
	for _, row := range frame.Box(string(m.exercise.Tool), inside.rows, s.width, len(inside.rows)+2, m.theme.Border()) {
		s.add(row)
	}
}

// givenRows set the figures in two columns, the names at the right edge of theirs.
func (m *Model) givenRows(s *sheet, wide bool) {
	names := 0
	for _, given := range m.exercise.Given {
		names = max(names, frame.Width(given.Name))
	}
	names = min(names, s.width*2/3)
	for i, given := range m.exercise.Given {
		if i > 0 && wide {
			s.space()
		}
		s.add(frame.Line(s.width, frame.Cell{Text: given.Name, Width: names, Right: true, Style: m.theme.Label},
			frame.Cell{Text: "   "}, frame.Cell{Text: given.Text, Style: m.theme.Headline}))
	}
}

func (m *Model) answerRow(s *sheet) {
	s.add(frame.Line(s.width, frame.Cell{Text: "answer  ", Style: m.theme.Label},
		frame.Cell{Text: frame.Fit(frame.Clean(m.typed)+"_", longestAnswer+2), Style: m.theme.Entry},
		frame.Cell{Text: "  such as " + m.exercise.Form.Example(), Style: m.theme.Muted}))
}

// stamp is the outcome as a word in a look of its own.
func (m *Model) stamp() string {
	switch m.verdict.Outcome {
	case drill.Right:
		return m.theme.NextAct.Render("  RIGHT  ")
	case drill.Wrong:
		return m.theme.Late.Render("  WRONG  ")
	}
	return m.theme.Due.Render("  THE ANSWER  ")
}

func (m *Model) verdictRows(s *sheet, allowed bool) {
	s.add(m.stamp())
	s.space()
	comment := m.exercise.Comment(m.verdict)
	s.text(comment[0], m.theme.Headline, "")
	for _, line := range comment[1:] {
		s.text(line, m.theme.Caution, "")
	}
	s.space()
	for i, step := range m.exercise.Steps {
		s.text(fmt.Sprintf("%2d  %s", i+1, step), m.theme.Value, "    ")
	}
	if text := m.exercise.Allowed(); allowed && text != "" {
		s.space()
		s.text(text, m.theme.Muted, "")
	}
}
