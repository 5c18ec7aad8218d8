// Package paint puts rows of text on a terminal and writes only what changed.
//
// It knows nothing of what the rows say, of colours or of keys. It writes to an io.Writer, so a test reads its bytes.
//
// Duties of the caller: rows are complete (styled, without line breaks, each as wide as the terminal, one for every line
// of the terminal); one goroutine paints; Forget is called whenever the terminal may have lost what it showed.
//
// Of a row that changed, the stretch from its first to its last differing cell is written. Where a row holds more than
// letters, lines and blocks of one cell, the terminal may disagree on where its cells are, and it is written whole, with the column said behind
// each such character.
//
// Three rules keep the picture whole on terminals that differ:
//
//   - One Write for a frame, so that nothing another goroutine writes can land inside it.
//   - A whole row is erased before it is written, never after: after its last cell a terminal holds the cursor on that cell,
//     and erasing to the end of the line would take the cell away.
//   - Erase-display is never used. A full paint is a synchronized block (private mode 2026, ignored where unknown), and
//     some terminals drop what follows an erase-display inside such a block; blanking line by line is safe everywhere.
//     A patch of a few rows is short and needs no block.
package paint

import (
	"io"
	"slices"
	"strconv"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"

	"example.com/legclock/tui/frame"
)

const (
	resetStyle = "\x1b[m"
	eraseLine  = "\x1b[2K"
	syncBegin  = "\x1b[?2026h"
	syncEnd    = "\x1b[?2026l"
	bell       = "\a"
)

// A Painter remembers what a terminal shows and writes the difference. The zero value is not usable; see New.
type Painter struct {
	out    io.Writer
	width  int
	shown  []string // the rows on the terminal; meaningful only while known
	known  bool     // false: the terminal's content is unknown and the next Paint writes everything
	ring   bool     // a bell goes out with the next Paint
	buffer []byte   // reused from frame to frame

	old, new walk // reused from patch to patch
}

// New returns a painter that writes to out and takes the terminal's content as unknown.
func New(out io.Writer) *Painter { return &Painter{out: out} }

// Forget makes the next Paint write every row: after a resume, or when something else has written to the terminal.
func (p *Painter) Forget() { p.known = false }

// Ring sounds the terminal's bell with the next Paint, in the same Write.
func (p *Painter) Ring() { p.ring = true }

// Paint shows rows, the first at the top. A new width or number of rows means a resized terminal and paints everything.
// A row wider than width cells is cut, as it would run over the row below. When nothing changed and no bell waits,
// nothing is written. After an error the terminal's content counts as unknown.
func (p *Painter) Paint(width int, rows []string) error {
	full := !p.known || width != p.width || len(rows) != len(p.shown)
	if full {
		p.shown = append(p.shown[:0], rows...)
		p.width = width
	}

	written := p.buffer[:0]
	if full {
		const around = 24 // bytes, of what moves the cursor and sets styles
		room := 0
		for _, row := range rows {
			room += len(row) + around
		}
		written = append(slices.Grow(written, room), syncBegin...)
	}
	for i, row := range rows {
		if !full && row == p.shown[i] {
			continue
		}
		written = p.appendChange(written, i+1, row, full)
		p.shown[i] = row
	}
	if full {
		written = append(written, syncEnd...)
	}
	if p.ring {
		written = append(written, bell...)
	}
	p.buffer = written

	if len(written) == 0 {
		return nil
	}
	_, err := p.out.Write(written)
	p.known = err == nil
	p.ring = false
	return err
}

// appendChange writes a row that differs from what is shown on its line (counted from 1).
func (p *Painter) appendChange(written []byte, line int, row string, full bool) []byte {
	if !full {
		if patched, ok := p.appendPatch(written, line, p.shown[line-1], row); ok {
			return patched
		}
	}
	return appendRow(written, line, p.width, row)
}

// appendRow moves to the line (counted from 1), blanks it in the default colours and writes the row.
func appendRow(written []byte, line, width int, row string) []byte {
	if len(row) > width { // every cell takes at least one byte
		row = frame.Crop(row, width)
	}
	written = append(written, "\x1b["...)
	written = strconv.AppendInt(written, int64(line), 10)
	written = append(written, ";1H"+eraseLine...)
	written = appendPlaced(written, row)
	return append(written, resetStyle...)
}

// appendPlaced writes a row, and behind each character on whose width terminals may disagree (a letter with its marks, an emoji) the column
// where the next stands: CHA of ECMA-48, 8.3.9. A terminal that draws such a character narrower leaves a gap, but nothing behind it moves.
func appendPlaced(written []byte, row string) []byte {
	w := walk{row: row}
	for w.left() > 0 && w.step(false) && w.plainAhead() {
	}
	if w.left() == 0 {
		return append(written, row...)
	}
	column, left := 1, len(row)
	for piece, cells := range frame.Pieces(row) {
		written, column, left = append(written, piece...), column+cells, left-len(piece)
		r, size := utf8.DecodeRuneInString(piece)
		plain := r == ansi.ESC || size == len(piece) && (r < utf8.RuneSelf || frame.OneCell(r))
		if !plain && left > 0 {
			written = append(written, "\x1b["...)
			written = strconv.AppendInt(written, int64(column), 10)
			written = append(written, 'G')
		}
	}
	return written
}
