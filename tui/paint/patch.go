package paint

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/legclock/tui/frame"
)

// A pen is how a terminal draws from some point of a row on: the codes of ECMA-48, 8.3.117 (SGR), in force there.
type pen struct {
	fore, back                      string
	bold, faint, underline, reverse bool
}

// A cell is one character of a row: where it stands in the row's text and the pen it is drawn with.
type cell struct {
	pen        pen
	start, end int
}

// A canvas is a row taken apart into cells.
type canvas struct {
	row   string
	cells []cell
}

func (c *canvas) text(i int) string { return c.row[c.cells[i].start:c.cells[i].end] }

// take takes a row apart. It returns false where that is not plain: a character of another width than one cell, or a
// sequence other than the common ones of a pen.
func (c *canvas) take(row string) bool {
	c.row, c.cells = row, c.cells[:0]
	var now pen
	for i := 0; i < len(row); {
		b := row[i]
		switch {
		case b >= 0x20 && b < 0x7f:
			c.cells = append(c.cells, cell{now, i, i + 1})
			i++
		case b == 0x1b:
			length := strings.IndexByte(row[i:], 'm') + 1
			if length < 3 || row[i+1] != '[' || !now.change(row[i+2:i+length-1]) {
				return false
			}
			i += length
		default:
			r, size := utf8.DecodeRuneInString(row[i:])
			if !frame.OneCell(r) {
				return false
			}
			c.cells = append(c.cells, cell{now, i, i + size})
			i += size
		}
	}
	return true
}

// change applies the codes of one sequence. It returns false for a code it does not know.
func (p *pen) change(codes string) bool {
	for {
		code := firstCode(codes)
		switch code {
		case "", "0":
			*p = pen{}
		case "1":
			p.bold = true
		case "2":
			p.faint = true
		case "4":
			p.underline = true
		case "7":
			p.reverse = true
		case "22":
			p.bold, p.faint = false, false
		case "24":
			p.underline = false
		case "27":
			p.reverse = false
		default:
			switch colourOf(code) {
			case foreground:
				p.fore = code
			case background:
				p.back = code
			default:
				return false
			}
		}
		if len(code) == len(codes) {
			return true
		}
		codes = codes[len(code)+1:]
	}
}

// firstCode returns the first code with its arguments: 38 and 48 are followed by 5 and a number, or by 2 and three.
func firstCode(codes string) string {
	params := 1
	if strings.HasPrefix(codes, "38;") || strings.HasPrefix(codes, "48;") {
		params = 3
		if strings.HasPrefix(codes[3:], "2;") {
			params = 5
		}
	}
	for i := range len(codes) {
		if codes[i] == ';' {
			if params--; params == 0 {
				return codes[:i]
			}
		}
	}
	return codes
}

const (
	noColour = iota
	foreground
	background
)

// colourOf tells what a code sets: 30 to 37 and 90 to 97 are foregrounds, ten more are backgrounds.
func colourOf(code string) int {
	digit := func(i int) bool { return code[i] >= '0' && code[i] <= '7' }
	switch {
	case len(code) == 2 && (code[0] == '3' || code[0] == '9') && digit(1):
		return foreground
	case len(code) == 2 && code[0] == '4' && digit(1), len(code) == 3 && code[:2] == "10" && digit(2):
		return background
	}
	switch kind, params := code[:min(5, len(code))], strings.Count(code, ";"); {
	case kind == "38;5;" && params == 2, kind == "38;2;" && params == 4:
		return foreground
	case kind == "48;5;" && params == 2, kind == "48;2;" && params == 4:
		return background
	}
	return noColour
}

// appendTo sets the pen from any other.
func (p pen) appendTo(frame []byte) []byte {
	frame = append(frame, "\x1b[0"...)
	for _, part := range []struct {
		on   bool
		code string
	}{{p.bold, "1"}, {p.faint, "2"}, {p.underline, "4"}, {p.reverse, "7"}, {p.fore != "", p.fore}, {p.back != "", p.back}} {
		if part.on {
			frame = append(append(frame, ';'), part.code...)
		}
	}
	return append(frame, 'm')
}

// appendPatch writes what differs between the row on the screen and the new one, from the first differing cell to the
// last. It returns false where a patch cannot be trusted to meet the cells it is meant for; then nothing was appended.
func (p *Painter) appendPatch(frame []byte, line int, shown, row string) ([]byte, bool) {
	if !p.old.take(shown) || !p.new.take(row) || len(p.old.cells) != len(p.new.cells) {
		return frame, false
	}
	differs := func(i int) bool {
		return p.old.cells[i].pen != p.new.cells[i].pen || p.old.text(i) != p.new.text(i)
	}
	first, last := 0, len(p.new.cells)-1
	for first <= last && !differs(first) {
		first++
	}
	for last > first && !differs(last) {
		last--
	}
	if first > last { // other codes, the same picture
		return frame, true
	}
	frame = append(frame, "\x1b["...)
	frame = strconv.AppendInt(frame, int64(line), 10)
	frame = append(frame, ';')
	frame = strconv.AppendInt(frame, int64(first+1), 10)
	frame = append(frame, 'H')
	frame = p.new.cells[first].pen.appendTo(frame)
	frame = append(frame, row[p.new.cells[first].start:p.new.cells[last].end]...)
	return append(frame, resetStyle...), true
}
