package flying

import (
	"strings"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// strip is one row that texts are put into at their columns.
type strip struct{ cells []cell }

// cell is one column, or the first of a text's; the columns that the text covers besides are taken and empty.
type cell struct {
	text  string
	role  theme.Role
	part  bool // of a text of several cells
	taken bool
}

func newStrip(width int) *strip { return &strip{make([]cell, max(width, 0))} }

// fill puts a character of one cell into a stretch of columns.
func (s *strip) fill(from, to int, char string, role theme.Role) {
	for x := max(from, 0); x < min(to, len(s.cells)); x++ {
		s.cells[x] = cell{text: char, role: role}
	}
}

// free reports whether a text of so many cells can stand at a column.
func (s *strip) free(x, width int) bool {
	if x < 0 || width <= 0 || x+width > len(s.cells) {
		return false
	}
	for _, c := range s.cells[x : x+width] {
		if c.taken {
			return false
		}
	}
	return true
}

// put places a text if its cells are free. What fill put there gives way.
func (s *strip) put(x int, text string, role theme.Role) bool {
	width := frame.Width(text)
	if !s.free(x, width) {
		return false
	}
	for i := range width {
		s.cells[x+i] = cell{part: true, taken: true}
	}
	s.cells[x] = cell{text: text, role: role, part: width > 1, taken: true}
	return true
}

// row joins the cells, neighbours of one role together.
func (s *strip) row() string {
	var row, run strings.Builder
	var role theme.Role
	flush := func() {
		row.WriteString(role.Render(run.String()))
		run.Reset()
	}
	for _, c := range s.cells {
		if c.part && c.text == "" {
			continue
		}
		if c.role != role {
			flush()
			role = c.role
		}
		if c.text == "" {
			run.WriteByte(' ')
		} else {
			run.WriteString(c.text)
		}
	}
	flush()
	return row.String()
}
