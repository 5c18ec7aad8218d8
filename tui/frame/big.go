package frame

import "strings"

// Heights of big text.
const (
	BigSmall = 3 // three cells wide a digit
	BigLarge = 5 // five cells wide a digit
)

// on marks a pixel that is drawn.
const on = 'X'

// A pixel is half a cell high, which makes it about square. The digits are round and fill their height, so that 0 and 8, 1 and 7, 5 and 6 are
// told apart at a glance.

// The shapes stand in arrays by character, which need no filling before main.

// small draws each character three pixels wide, narrower for points, and six high.
var small = [...][]string{
	'0': {" X ", "X X", "X X", "X X", "X X", " X "},
	'1': {" X ", "XX ", " X ", " X ", " X ", "XXX"},
	'2': {"XX ", "  X", "  X", " X ", "X  ", "XXX"},
	'3': {"XX ", "  X", " X ", "  X", "  X", "XX "},
	'4': {"X X", "X X", "X X", "XXX", "  X", "  X"},
	'5': {"XXX", "X  ", "XX ", "  X", "  X", "XX "},
	'6': {" XX", "X  ", "XX ", "X X", "X X", " X "},
	'7': {"XXX", "  X", "  X", " X ", " X ", " X "},
	'8': {" X ", "X X", " X ", "X X", "X X", " X "},
	'9': {" X ", "X X", "X X", " XX", "  X", "XX "},
	'h': {"X  ", "X  ", "XX ", "X X", "X X", "X X"},
	':': {" ", "X", " ", " ", "X", " "},
	'.': {" ", " ", " ", " ", " ", "X"},
	'-': {"   ", "   ", "XXX", "   ", "   ", "   "},
	'+': {"   ", "   ", " X ", "XXX", " X ", "   "},
	' ': {" ", " ", " ", " ", " ", " "},
	'?': {"XX ", "  X", "  X", " X ", "   ", " X "},
}

// large draws each character five pixels wide, narrower for points, and ten high, with strokes twice as thick.
var large = [...][]string{
	'0': {" XXX ", "XXXXX", "XX XX", "XX XX", "XX XX", "XX XX", "XX XX", "XX XX", "XXXXX", " XXX "},
	'1': {"  XX ", " XXX ", "XXXX ", "  XX ", "  XX ", "  XX ", "  XX ", "  XX ", " XXXX", " XXXX"},
	'2': {" XXX ", "XXXXX", "XX XX", "   XX", "   XX", "  XX ", " XX  ", "XX   ", "XXXXX", "XXXXX"},
	'3': {"XXXX ", "XXXXX", "   XX", "   XX", " XXX ", " XXX ", "   XX", "   XX", "XXXXX", "XXXX "},
	'4': {"XX XX", "XX XX", "XX XX", "XX XX", "XXXXX", "XXXXX", "   XX", "   XX", "   XX", "   XX"},
	'5': {"XXXXX", "XXXXX", "XX   ", "XX   ", "XXXX ", "XXXXX", "   XX", "   XX", "XXXXX", "XXXX "},
	'6': {" XXXX", "XXXXX", "XX   ", "XX   ", "XXXX ", "XXXXX", "XX XX", "XX XX", "XXXXX", " XXX "},
	'7': {"XXXXX", "XXXXX", "   XX", "   XX", "  XX ", "  XX ", " XX  ", " XX  ", " XX  ", " XX  "},
	'8': {" XXX ", "XXXXX", "XX XX", "XX XX", " XXX ", " XXX ", "XX XX", "XX XX", "XXXXX", " XXX "},
	'9': {" XXX ", "XXXXX", "XX XX", "XX XX", "XXXXX", " XXXX", "   XX", "   XX", "XXXXX", "XXXX "},
	'h': {"XX   ", "XX   ", "XX   ", "XX   ", "XXXX ", "XXXXX", "XX XX", "XX XX", "XX XX", "XX XX"},
	':': {" ", " ", "X", "X", " ", " ", "X", "X", " ", " "},
	'.': {" ", " ", " ", " ", " ", " ", " ", " ", "X", "X"},
	'-': {"     ", "     ", "     ", "     ", "XXXXX", "XXXXX", "     ", "     ", "     ", "     "},
	'+': {"     ", "     ", "  X  ", "  X  ", "XXXXX", "XXXXX", "  X  ", "  X  ", "     ", "     "},
	' ': {" ", " ", " ", " ", " ", " ", " ", " ", " ", " "},
	'?': {"XXXX ", "XXXXX", "   XX", "   XX", "  XX ", "  XX ", "     ", "     ", "  XX ", "  XX "},
}

// Big draws digits, "h", ":", ".", "-", "+" and spaces in BigSmall or BigLarge rows; any other character becomes a question mark. The rows are
// of one width, which BigWidth tells beforehand.
func Big(text string, height int, glyphs Glyphs) []string {
	if height < BigLarge && !glyphs.Halves {
		return segments(text)
	}
	rows := make([]string, BigSmall, BigLarge)
	if height >= BigLarge {
		rows = rows[:BigLarge]
	}
	const mostBytes, mostCells = 3, 6 // of a cell, of a character with what parts it from the next
	var drawn strings.Builder         // all rows, one after the other
	drawn.Grow(mostBytes * mostCells * len(text) * len(rows))
	for row := range rows {
		from := drawn.Len()
		for i, r := range text {
			if i > 0 {
				drawn.WriteByte(' ')
			}
			pixels := shape(r, height)
			for x := range pixels[0] {
				drawn.WriteString(halves(pixels[2*row][x] == on, pixels[2*row+1][x] == on, &glyphs))
			}
		}
		rows[row] = drawn.String()[from:]
	}
	return rows
}

// halves is a cell of which the upper half is drawn, the lower, both or neither. Without half blocks a cell is drawn or not.
func halves(upper, lower bool, glyphs *Glyphs) string {
	switch {
	case upper && lower, (upper || lower) && !glyphs.Halves:
		return glyphs.Full
	case upper:
		return "▀"
	case lower:
		return "▄"
	}
	return " "
}

// BigWidth returns the width of the rows of Big.
func BigWidth(text string, height int) int {
	width := 0
	for i, r := range text {
		if i > 0 {
			width++
		}
		width += len(shape(r, height)[0])
	}
	return width
}

// shape is the pixels of a character.
func shape(r rune, height int) []string {
	if height >= BigLarge {
		return of(large[:], r)
	}
	return of(small[:], r)
}

// of is the shape of a character, of a question mark for one that has none.
func of(shapes [][]string, r rune) []string {
	if int(r) < len(shapes) && shapes[r] != nil {
		return shapes[r]
	}
	return shapes['?']
}

// strokes draw the small size without half blocks, each digit from strokes like those of a pocket calculator.
var strokes = [...][]string{
	'0': {" _ ", "| |", "|_|"}, '1': {"   ", " | ", " | "}, '2': {" _ ", " _|", "|_ "}, '3': {" _ ", " _|", " _|"}, '4': {"   ", "|_|", "  |"},
	'5': {" _ ", "|_ ", " _|"}, '6': {" _ ", "|_ ", "|_|"}, '7': {" _ ", "  |", "  |"}, '8': {" _ ", "|_|", "|_|"}, '9': {" _ ", "|_|", " _|"},
	'h': {"   ", "|_ ", "| |"}, ':': {" ", ".", "."}, '.': {" ", " ", "."}, '-': {"   ", " _ ", "   "}, '+': {"   ", "_|_", " | "},
	' ': {" ", " ", " "}, '?': {" _ ", "  |", " . "},
}

func segments(text string) []string {
	rows := make([]string, BigSmall)
	for i, r := range []rune(text) {
		drawn := of(strokes[:], r)
		for y := range rows {
			if i > 0 {
				rows[y] += " "
			}
			rows[y] += drawn[y]
		}
	}
	return rows
}
