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
type cell struct{ start, end, pen int32 }

// A walk goes through a row, character by character, and keeps the cells that it is told to keep.
type walk struct {
	row   string
	next  int // where it stands in the row
	count int // of the cells behind
	pen   pen // in force there
	pens  []pen
	cells []cell
}

func (w *walk) text(i int) string { return w.row[w.cells[i].start:w.cells[i].end] }

// start stands at the beginning of a row.
func (w *walk) start(row string) {
	w.row, w.next, w.count, w.pen = row, 0, 0, pen{}
	w.pens, w.cells = w.pens[:0], w.cells[:0]
}

// left is how many bytes lie ahead.
func (w *walk) left() int { return len(w.row) - w.next }

// unit returns the length of the sequence or character that comes next. It returns false where that is not plain: a character of
// another width than one cell, or a sequence other than those of a pen.
func (w *walk) unit() (length int, sequence, ok bool) {
	switch b := w.row[w.next]; {
	case b >= 0x20 && b < 0x7f:
		return 1, false, true
	case b == 0x1b:
		length := strings.IndexByte(w.row[w.next:], 'm') + 1
		return length, true, length >= 3 && w.row[w.next+1] == '['
	default:
		r, size := utf8.DecodeRuneInString(w.row[w.next:])
		return size, false, frame.OneCell(r)
	}
}

// plainAhead is false where what comes next could join what is behind.
func (w *walk) plainAhead() bool {
	if w.left() == 0 {
		return true
	}
	_, _, ok := w.unit()
	return ok
}

// step goes on by a sequence or a character, which keep tells to keep. It returns false where that is not plain.
func (w *walk) step(keep bool) bool {
	length, sequence, ok := w.unit()
	if !ok {
		return false
	}
	if sequence {
		if !w.pen.change(w.row[w.next+2 : w.next+length-1]) {
			return false
		}
	} else {
		w.count++
		if keep {
			w.keep(length)
		}
	}
	w.next += length
	return true
}

func (w *walk) keep(length int) {
	if n := len(w.pens); n == 0 || w.pens[n-1] != w.pen {
		w.pens = append(w.pens, w.pen)
	}
	w.cells = append(w.cells, cell{int32(w.next), int32(w.next + length), int32(len(w.pens) - 1)})
}

// skip goes on without keeping anything as long as what it passes ends within so many bytes of the row.
func (w *walk) skip(bytes int) bool {
	for w.left() > 0 {
		length, _, ok := w.unit()
		if !ok {
			return false
		}
		if w.next+length > bytes {
			return true
		}
		if !w.step(false) {
			return false
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
	before, after := &p.old, &p.new
	if !walkDifference(before, after, shown, row) {
		return frame, false
	}
	differs := func(i int) bool {
		return before.pens[before.cells[i].pen] != after.pens[after.cells[i].pen] || before.text(i) != after.text(i)
	}
	behind := after.count - len(after.cells) // cells of the row before those kept
	first, last := 0, len(after.cells)-1
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
	frame = strconv.AppendInt(frame, int64(behind+first+1), 10)
	frame = append(frame, 'H')
	frame = after.pens[after.cells[first].pen].appendTo(frame)
	frame = append(frame, row[after.cells[first].start:after.cells[last].end]...)
	return append(frame, resetStyle...), true
}

// walkDifference passes what two rows have in common at their beginning and keeps the cells of both from there to where the rest is
// the same. It returns false where they can't be compared cell by cell.
func walkDifference(before, after *walk, shown, row string) bool {
	before.start(shown)
	if !before.skip(commonPrefix(shown, row)) {
		return false
	}
	after.start(row)
	after.next, after.count, after.pen = before.next, before.count, before.pen
	rest := commonSuffix(shown[before.next:], row[after.next:])
	for before.left() > 0 || after.left() > 0 {
		same := before.left() == after.left() && before.left() <= rest
		if same && before.count == after.count && before.pen == after.pen && after.plainAhead() {
			return true
		}
		behind := before
		if after.left() > before.left() {
			behind = after
		}
		if same && !after.step(true) || !behind.step(true) {
			return false
		}
	}
	return before.count == after.count
}

// commonPrefix is how many bytes two texts have in common at their beginning.
func commonPrefix(a, b string) int {
	n := min(len(a), len(b))
	for i := range n {
		if a[i] != b[i] {
			return i
		}
	}
	return n
}

// commonSuffix is how many bytes two texts have in common at their end.
func commonSuffix(a, b string) int {
	n := min(len(a), len(b))
	for i := range n {
		if a[len(a)-1-i] != b[len(b)-1-i] {
			return i
		}
	}
	return n
}
