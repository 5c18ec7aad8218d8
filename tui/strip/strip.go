package strip

import (
	"math"
	"slices"
	"strings"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// Strip is one row of cells.
type Strip struct {
	cells []cell
	roles []theme.Role // those in use; a cell holds its place here, which keeps a row small
}

// cell is one column. A text stands in its first one, the others that it covers are taken and empty.
type cell struct {
	text      string
	role      uint8 // 0: none yet; else its place in roles, from 1
	taken     bool
	continued bool // covered by a text that began further left
}

// New returns a blank row of width cells.
func New(width int) *Strip { return &Strip{cells: make([]cell, max(width, 0))} }

// use is a role's place. A row of more roles than a theme has, which there is not, would show the last of them.
func (s *Strip) use(role theme.Role) uint8 {
	at := slices.Index(s.roles, role)
	if at < 0 && len(s.roles) < math.MaxUint8 {
		s.roles = append(s.roles, role)
	}
	if at < 0 {
		at = len(s.roles) - 1
	}
	return uint8(at + 1)
}

// Fill draws a character one cell wide from a column up to, not including, another. Texts placed later replace it.
func (s *Strip) Fill(from, to int, character string, role theme.Role) {
	fill := cell{text: character, role: s.use(role)}
	for x := max(from, 0); x < min(to, len(s.cells)); x++ {
		if !s.cells[x].taken {
			s.cells[x] = fill
		}
	}
}

// Free reports whether width cells from a column on are there and hold no text.
func (s *Strip) Free(x, width int) bool {
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

// Put places a text at a column if its cells are free, and reports whether they were.
func (s *Strip) Put(x int, text string, role theme.Role) bool {
	width := frame.Width(text)
	if !s.Free(x, width) {
		return false
	}
	for i := range width {
		s.cells[x+i] = cell{taken: true, continued: true}
	}
	s.cells[x] = cell{text: text, role: s.use(role), taken: true}
	return true
}

// Centre places a text with its middle at a column, moved as far as the ends of the row make it necessary, if its cells are
// free.
func (s *Strip) Centre(x int, text string, role theme.Role) bool {
	width := frame.Width(text)
	return s.Put(max(0, min(x-width/2, len(s.cells)-width)), text, role)
}

// Row is the row, neighbours of one role dressed together.
func (s *Strip) Row() string {
	var row, run strings.Builder
	role := uint8(0)
	flush := func() {
		if role == 0 {
			row.WriteString(run.String())
		} else {
			row.WriteString(s.roles[role-1].Render(run.String()))
		}
		run.Reset()
	}
	for _, c := range s.cells {
		if c.continued {
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
