package frame

import (
	"math"
	"slices"
)

// Strip is one row of a screen built out of texts that stand at columns of their own: signs on an axis, labels under a beam, names along a
// route. A text is placed only where its cells are free, so that nothing is drawn over something else; the caller decides what gives way.
type Strip struct {
	filled []uint8 // by column: 0 is blank, else the place of what fills it in fills, from 1
	fills  []fill
	texts  []text // by column
}

// fill is a character one cell wide.
type fill struct {
	character string
	style     Style
}

// text is what was put at a column.
type text struct {
	x, width int
	text     string
	style    Style
}

// NewStrip returns a blank row of width cells.
func NewStrip(width int) *Strip { return &Strip{filled: make([]uint8, max(width, 0))} }

// Clear makes it a blank row of width cells again.
func (s *Strip) Clear(width int) {
	width = max(width, 0)
	s.filled = slices.Grow(s.filled[:0], width)[:width]
	clear(s.filled)
	s.fills, s.texts = s.fills[:0], s.texts[:0]
}

// Fill draws a character one cell wide from a column up to, not including, another. Texts stay in front of it; what filled the cells before
// does not. A row has room for 255 different fillings; what comes after them looks like the last.
func (s *Strip) Fill(from, to int, character string, style Style) {
	wanted := fill{character, style}
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

// FreeApart is Free with a cell more on either side, as far as the row goes: what is put there does not touch what stands beside it.
func (s *Strip) FreeApart(x, width int) bool {
	from, to := max(x-1, 0), min(x+width+1, len(s.filled))
	return s.Free(x, width) && s.Free(from, to-from)
}

// Put places a text at a column if its cells are free, and reports whether they were.
func (s *Strip) Put(x int, words string, style Style) bool {
	width := Width(words)
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
	s.texts = slices.Insert(s.texts, at, text{x, width, words, style})
	return true
}

// Centre places a text with its middle at a column, moved as far as the ends of the row make it necessary, if its cells are
// free.
func (s *Strip) Centre(x int, text string, style Style) bool {
	width := Width(text)
	return s.Put(max(0, min(x-width/2, len(s.filled)-width)), text, style)
}

// Row is the row, neighbours of one style dressed together.
func (s *Strip) Row() string {
	if len(s.fills) == 0 && len(s.texts) == 0 {
		return Fit("", len(s.filled))
	}
	var row Row
	s.AddTo(&row, 0)
	return row.String()
}

// bytes is how long the row may be.
func (s *Strip) bytes() int {
	bytes := len(s.filled)
	for i := range s.texts {
		bytes += len(s.texts[i].text) + len(s.texts[i].style.On()) + len(s.texts[i].style.Off())
	}
	for i := range s.fills {
		bytes += len(s.fills[i].style.On()) + len(s.fills[i].style.Off()) + len(s.fills[i].character)*len(s.filled)
	}
	return bytes
}

// AddTo appends the row to another that is being made, with room for so many bytes behind it.
func (s *Strip) AddTo(row *Row, behind int) {
	row.Grow(s.bytes() + behind)
	x := 0
	for _, t := range s.texts {
		s.filling(row, x, t.x)
		row.Add(t.text, t.style)
		x = t.x + t.width
	}
	s.filling(row, x, len(s.filled))
}

// filling adds what fills the columns from one up to another.
func (s *Strip) filling(row *Row, from, to int) {
	for x := from; x < to; x++ {
		if at := s.filled[x]; at == 0 {
			row.Add(" ", Style{})
		} else {
			row.Add(s.fills[at-1].character, s.fills[at-1].style)
		}
	}
}
