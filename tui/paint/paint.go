package paint

import (
	"io"
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

	frame := p.buffer[:0]
	if full {
		frame = append(frame, syncBegin...)
	}
	for i, row := range rows {
		if !full && row == p.shown[i] {
			continue
		}
		frame = p.appendChange(frame, i+1, row, full)
		p.shown[i] = row
	}
	if full {
		frame = append(frame, syncEnd...)
	}
	if p.ring {
		frame = append(frame, bell...)
	}
	p.buffer = frame

	if len(frame) == 0 {
		return nil
	}
	_, err := p.out.Write(frame)
	p.known = err == nil
	p.ring = false
	return err
}

// appendChange writes a row that differs from what is shown on its line (counted from 1).
func (p *Painter) appendChange(frame []byte, line int, row string, full bool) []byte {
	if !full {
		if patched, ok := p.appendPatch(frame, line, p.shown[line-1], row); ok {
			return patched
		}
	}
	return appendRow(frame, line, p.width, row)
}

// appendRow moves to the line (counted from 1), blanks it in the default colours and writes the row.
func appendRow(frame []byte, line, width int, row string) []byte {
	// Every cell takes at least one byte, so only a longer string can be too wide.
	if len(row) > width && ansi.StringWidth(row) > width {
		row = ansi.Truncate(row, width, "")
	}
	frame = append(frame, "\x1b["...)
	frame = strconv.AppendInt(frame, int64(line), 10)
	frame = append(frame, ";1H"+eraseLine...)
	frame = appendPlaced(frame, row)
	return append(frame, resetStyle...)
}

// appendPlaced writes a row, and behind each character on whose width terminals may disagree (a letter with its marks, an emoji) the column
// where the next stands: CHA of ECMA-48, 8.3.9. Such a character may then be drawn askew, but nothing behind it moves.
func appendPlaced(written []byte, row string) []byte {
	w := walk{row: row}
	for w.left() > 0 && w.step(false) && w.plainAhead() {
	}
	if w.left() == 0 {
		return append(written, row...)
	}
	var state byte
	for column := 1; row != ""; {
		sequence, width, length, next := ansi.DecodeSequence(row, state, nil)
		written, row, state, column = append(written, sequence...), row[length:], next, column+width
		r, size := utf8.DecodeRuneInString(sequence)
		plain := r == ansi.ESC || size == len(sequence) && (r < utf8.RuneSelf || frame.OneCell(r))
		if !plain && row != "" {
			written = append(written, "\x1b["...)
			written = strconv.AppendInt(written, int64(column), 10)
			written = append(written, 'G')
		}
	}
	return written
}
