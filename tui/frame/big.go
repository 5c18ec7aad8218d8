package frame

import "strings"

// Heights of big text.
const (
	BigSmall = 3 // three cells wide a digit
	BigLarge = 5 // six cells wide a digit
)

// on marks a pixel that is drawn.
const on = 'X'

// pixels draws each character on a grid three wide (narrower for points) and five high.
var pixels = map[rune][5]string{
	'0': {"XXX", "X X", "X X", "X X", "XXX"},
	'1': {" X ", "XX ", " X ", " X ", "XXX"},
	'2': {"XXX", "  X", "XXX", "X  ", "XXX"},
	'3': {"XXX", "  X", "XXX", "  X", "XXX"},
	'4': {"X X", "X X", "XXX", "  X", "  X"},
	'5': {"XXX", "X  ", "XXX", "  X", "XXX"},
	'6': {"XXX", "X  ", "XXX", "X X", "XXX"},
	'7': {"XXX", "  X", "  X", "  X", "  X"},
	'8': {"XXX", "X X", "XXX", "X X", "XXX"},
	'9': {"XXX", "X X", "XXX", "  X", "XXX"},
	':': {" ", "X", " ", "X", " "},
	'.': {" ", " ", " ", " ", "X"},
	'-': {"   ", "   ", "XXX", "   ", "   "},
	'+': {"   ", " X ", "XXX", " X ", "   "},
	' ': {"   ", "   ", "   ", "   ", "   "},
	'?': {"XXX", "  X", " XX", "   ", " X "},
}

// Big draws digits, ":", ".", "-", "+" and spaces in BigSmall or BigLarge rows; any other character becomes a question
// mark. The rows are of one width, which BigWidth tells beforehand.
func Big(text string, height int, glyphs Glyphs) []string {
	if height >= BigLarge {
		return bigRows(text, BigLarge, 2, func(drawn *[5]string, x, row int) string {
			if drawn[row][x] == on {
				return glyphs.Full
			}
			return " "
		})
	}
	if !glyphs.Halves {
		return segments(text)
	}
	return bigRows(text, BigSmall, 1, func(drawn *[5]string, x, row int) string {
		upper, lower := drawn[2*row][x] == on, 2*row+1 < len(drawn) && drawn[2*row+1][x] == on
		switch {
		case upper && lower:
			return glyphs.Full
		case upper:
			return "▀"
		case lower:
			return "▄"
		}
		return " "
	})
}

// BigWidth returns the width of the rows of Big.
func BigWidth(text string, height int) int {
	scale := 1
	if height >= BigLarge {
		scale = 2
	}
	width := 0
	for i, r := range []rune(text) {
		if i > 0 {
			width += scale
		}
		width += scale * len(shape(r)[0])
	}
	return width
}

func shape(r rune) [5]string {
	if drawn, ok := pixels[r]; ok {
		return drawn
	}
	return pixels['?']
}

// bigRows draws every character, a pixel scale cells wide. draw is told the character's pixels, the column of them and the row.
func bigRows(text string, height, scale int, draw func(drawn *[5]string, x, row int) string) []string {
	const mostBytes = 3 // of a cell
	rows := make([]string, height)
	shapes := make([][5]string, 0, len(text))
	for _, r := range text {
		shapes = append(shapes, shape(r))
	}
	var line strings.Builder
	for row := range rows {
		line.Reset()
		line.Grow(mostBytes * scale * 4 * len(shapes))
		for i := range shapes {
			if i > 0 {
				line.WriteString(blank(scale))
			}
			for x := range shapes[i][0] {
				pixel := draw(&shapes[i], x, row)
				for range scale {
					line.WriteString(pixel)
				}
			}
		}
		rows[row] = line.String()
	}
	return rows
}

// segments draws the small size without half blocks, each digit from strokes like those of a pocket calculator: an
// underscore in the bottom of a row, bars at its sides. A stroke is there where the grid has its middle pixel.
func segments(text string) []string {
	rows := make([]string, BigSmall)
	for i, r := range []rune(text) {
		for y := range rows {
			if i > 0 {
				rows[y] += " "
			}
			rows[y] += segmentRow(r, y)
		}
	}
	return rows
}

func segmentRow(r rune, row int) string {
	switch r {
	case ':':
		return [BigSmall]string{" ", ".", "."}[row]
	case '.':
		return [BigSmall]string{" ", " ", "."}[row]
	case '+':
		return [BigSmall]string{"   ", "_|_", " | "}[row]
	case '1':
		return [BigSmall]string{"   ", " | ", " | "}[row]
	}
	drawn := shape(r)
	stroke := func(y, x int, mark string) string {
		if drawn[y][x] == 'X' {
			return mark
		}
		return " "
	}
	if row == 0 {
		return " " + stroke(0, 1, "_") + " "
	}
	side := 2*row - 1 // the pixel row of the upper (1) or lower (3) bars
	return stroke(side, 0, "|") + stroke(side+1, 1, "_") + stroke(side, 2, "|")
}
