package strip

import (
	"math"
	"slices"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// Strip is one row of cells: what fills them, and the texts over that.
type Strip struct {
	filled []uint8 // by column: 0 is blank, else the place of what fills it in fills, from 1
	fills  []fill
	texts  []text // by column
}

// fill is a character one cell wide.
type fill struct {
	character string
	role      theme.Role
}

// text is what was put at a column.
type text struct {
	x, width int
	text     string
	role     theme.Role
}

// New returns a blank row of width cells.
func New(width int) *Strip { return &Strip{filled: make([]uint8, max(width, 0))} }

// Fill draws a character one cell wide from a column up to, not including, another. Texts stay in front of it; what filled the cells before
// does not. A row has room for 255 different fillings; what comes after them looks like the last.
func (s *Strip) Fill(from, to int, character string, role theme.Role) {
	wanted := fill{character, role}
	at := slices.Index(s.fills, wanted)
	if at < 0 && len(s.fills) < math.MaxUint8 {
		s.fills = append(s.fills, wanted)
	}
	if at < 0 {
		at = len(s.fills) - 1
	}
	for x := max(from, 0); x < min(to, len(s.filled)); x++ {
		s.filled[x] = uint8(at + 1)
	}
}

// Free reports whether width cells from a column on are there and hold no text.
func (s *Strip) Free(x, width int) bool {
	if x < 0 || width <= 0 || x+width > len(s.filled) {
		return false
	}
	for _, t := range s.texts {
		if x < t.x+t.width && t.x < x+width {
			return false
		}
	}
	return true
}

// Put places a text at a column if its cells are free, and reports whether they were.
func (s *Strip) Put(x int, words string, role theme.Role) bool {
	width := frame.Width(words)
	if !s.Free(x, width) {
		return false
	}
	if s.texts == nil {
		const usual = 8
		s.texts = make([]text, 0, usual)
	}
	at := len(s.texts)
	for at > 0 && s.texts[at-1].x > x {
		at--
	}
	s.texts = slices.Insert(s.texts, at, text{x, width, words, role})
	return true
}

// Centre places a text with its middle at a column, moved as far as the ends of the row make it necessary, if its cells are
// free.
func (s *Strip) Centre(x int, text string, role theme.Role) bool {
	width := frame.Width(text)
	return s.Put(max(0, min(x-width/2, len(s.filled)-width)), text, role)
}

// Row is the row, neighbours of one role dressed together.
func (s *Strip) Row() string {
	if len(s.fills) == 0 && len(s.texts) == 0 {
		return frame.Fit("", len(s.filled))
	}
	var row frame.Row
	const bytesOfRoles = 8 // per text, on an average
	row.Grow(len(s.filled) + len(s.filled)/2 + 2*bytesOfRoles*len(s.texts))
	x := 0
	for _, t := range s.texts {
		s.filling(&row, x, t.x)
		row.Add(t.text, t.role)
		x = t.x + t.width
	}
	s.filling(&row, x, len(s.filled))
	return row.String()
}

// filling adds what fills the columns from one up to another.
func (s *Strip) filling(row *frame.Row, from, to int) {
	for x := from; x < to; x++ {
		if at := s.filled[x]; at == 0 {
			row.Add(" ", theme.Role{})
		} else {
			row.Add(s.fills[at-1].character, s.fills[at-1].role)
		}
	}
}
