package testkit

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Screen is what a terminal of a fixed size shows after the bytes written to it.
type Screen struct {
	cells     [][]rune
	row, col  int
	pending   []byte // the start of a sequence that has not all arrived
	Alternate bool   // the alternate screen is up
	Bells     int
}

// NewScreen is an empty screen.
func NewScreen(columns, rows int) *Screen {
	s := &Screen{}
	s.Resize(columns, rows)
	return s
}

// Resize changes the size and keeps what still fits.
func (s *Screen) Resize(columns, rows int) {
	cells := make([][]rune, rows)
	for i := range cells {
		cells[i] = []rune(strings.Repeat(" ", columns))
		if i < len(s.cells) {
			copy(cells[i], s.cells[i])
		}
	}
	s.cells = cells
	s.row, s.col = min(s.row, rows-1), min(s.col, columns-1)
}

// String is the screen's text, a line a row, without blanks at the ends.
func (s *Screen) String() string {
	lines := make([]string, len(s.cells))
	for i, row := range s.cells {
		lines[i] = strings.TrimRight(string(row), " ")
	}
	return strings.Join(lines, "\n")
}

// Write takes what the program wrote.
func (s *Screen) Write(data []byte) (int, error) {
	s.pending = append(s.pending, data...)
	for len(s.pending) > 0 {
		used := s.step(s.pending)
		if used == 0 {
			break
		}
		s.pending = s.pending[used:]
	}
	return len(data), nil
}

// step consumes one character or sequence and returns its length, 0 when it has not all arrived.
func (s *Screen) step(data []byte) int {
	switch data[0] {
	case 0x1b:
		return s.escape(data)
	case '\r':
		s.col = 0
	case '\n':
		s.row = min(s.row+1, len(s.cells)-1)
	case '\b':
		s.col = max(s.col-1, 0)
	case 0x07:
		s.Bells++
	default:
		return s.text(data)
	}
	return 1
}

func (s *Screen) text(data []byte) int {
	if !utf8.FullRune(data) {
		return 0
	}
	r, size := utf8.DecodeRune(data)
	if r >= ' ' && s.row < len(s.cells) && s.col < len(s.cells[s.row]) {
		s.cells[s.row][s.col] = r
		s.col++
	}
	return size
}

func (s *Screen) escape(data []byte) int {
	if len(data) < 2 {
		return 0
	}
	switch data[1] {
	case '[':
		for i := 2; i < len(data); i++ {
			if data[i] >= 0x40 && data[i] <= 0x7e {
				s.control(string(data[2:i]), data[i])
				return i + 1
			}
		}
		return 0
	case ']', 'P':
		for i := 2; i < len(data); i++ {
			if data[i] == 0x07 {
				return i + 1
			}
			if data[i] == '\\' && data[i-1] == 0x1b {
				return i + 1
			}
		}
		return 0
	}
	return 2
}

func (s *Screen) control(parameters string, final byte) {
	number := func(index, otherwise int) int {
		fields := strings.Split(parameters, ";")
		if index < len(fields) {
			if n, err := strconv.Atoi(fields[index]); err == nil && n > 0 {
				return n
			}
		}
		return otherwise
	}
	rows, columns := len(s.cells), len(s.cells[0])
	switch final {
	case 'H', 'f':
		s.row, s.col = min(number(0, 1), rows)-1, min(number(1, 1), columns)-1
	case 'A':
		s.row = max(s.row-number(0, 1), 0)
	case 'B':
		s.row = min(s.row+number(0, 1), rows-1)
	case 'C':
		s.col = min(s.col+number(0, 1), columns-1)
	case 'D':
		s.col = max(s.col-number(0, 1), 0)
	case 'G':
		s.col = min(number(0, 1), columns) - 1
	case 'K':
		s.erase(s.row, s.col, s.row, columns-1)
	case 'J':
		if number(0, 0) == 2 {
			s.erase(0, 0, rows-1, columns-1)
		} else {
			s.erase(s.row, s.col, rows-1, columns-1)
		}
	case 'h', 'l':
		if parameters == "?1049" {
			s.Alternate = final == 'h'
		}
	}
}

// erase blanks everything from one cell to another, both included, in reading order.
func (s *Screen) erase(fromRow, fromCol, toRow, toCol int) {
	for row := fromRow; row <= toRow; row++ {
		first, last := 0, len(s.cells[row])-1
		if row == fromRow {
			first = fromCol
		}
		if row == toRow {
			last = toCol
		}
		for col := first; col <= last && col < len(s.cells[row]); col++ {
			s.cells[row][col] = ' '
		}
	}
}
