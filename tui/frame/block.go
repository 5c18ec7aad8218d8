package frame

import (
	"strings"
)

// Block returns rows as a block of exactly width × height: rows are cut or padded, missing rows are blank.
func Block(rows []string, width, height int) []string {
	block := make([]string, max(height, 0))
	for i := range block {
		if i < len(rows) {
			block[i] = Fit(rows[i], width)
		} else {
			block[i] = blank(width)
		}
	}
	return block
}

// Beside joins blocks from left to right. The result is as high as the highest; a shorter one is continued in blanks as
// wide as its first row.
func Beside(blocks ...[]string) []string {
	height := 0
	for _, block := range blocks {
		height = max(height, len(block))
	}
	joined := make([]string, height)
	var row strings.Builder
	for i := range joined {
		row.Reset()
		row.Grow(rowBytes(blocks, i))
		for _, block := range blocks {
			if i < len(block) {
				row.WriteString(block[i])
			} else if len(block) > 0 {
				row.WriteString(blank(Width(block[0])))
			}
		}
		joined[i] = row.String()
	}
	return joined
}

// rowBytes is how long a joined row will be at least.
func rowBytes(blocks [][]string, i int) int {
	bytes := 0
	for _, block := range blocks {
		if i < len(block) {
			bytes += len(block[i])
		}
	}
	return bytes
}

// Above stacks blocks from top to bottom.
func Above(blocks ...[]string) []string {
	height := 0
	for _, block := range blocks {
		height += len(block)
	}
	stacked := make([]string, 0, height)
	for _, block := range blocks {
		stacked = append(stacked, block...)
	}
	return stacked
}

// Notice returns a block with one text in its middle, wrapped where it is long.
func Notice(text string, width, height int) []string {
	lines := Wrap(text, width)
	rows := make([]string, max((height-len(lines))/2, 0), max(height, 0)+len(lines))
	for _, line := range lines {
		rows = append(rows, Centre(line, width))
	}
	return Block(rows, width, height)
}

// A Border is how a box is drawn.
type Border struct {
	Glyphs Glyphs
	Line   Style // the frame
	Title  Style // the words in its top edge
}

// Box draws a border of width × height around content, with a title in the top edge. Content has width-2 cells and
// height-2 rows; where there is no room for a border, what fits of the content is returned without.
func Box(title string, content []string, width, height int, border Border) []string {
	if width < 2 || height < 2 {
		return Block(content, width, height)
	}
	side := border.Line.Render(border.Glyphs.Vertical)
	box := make([]string, 0, height)
	box = append(box, border.top(title, width))
	for i := range height - 2 {
		row := ""
		if i < len(content) {
			row = content[i]
		}
		box = append(box, side+Fit(row, width-2)+side)
	}
	bottom := border.Glyphs.BottomLeft + strings.Repeat(border.Glyphs.Horizontal, width-2) + border.Glyphs.BottomRight
	return append(box, border.Line.Render(bottom))
}

// top is the upper edge: corner, one line, title between spaces, lines, corner. A title without room for three cells of
// itself is left out.
func (b Border) top(title string, width int) string {
	const around = 5 // two corners, one line, two spaces
	room := width - around
	if title == "" || room < 3 {
		return b.Line.Render(b.Glyphs.TopLeft + strings.Repeat(b.Glyphs.Horizontal, width-2) + b.Glyphs.TopRight)
	}
	title, cells := Cut(title, room)
	return b.Line.Render(b.Glyphs.TopLeft+b.Glyphs.Horizontal) + " " + b.Title.Render(title) + " " +
		b.Line.Render(strings.Repeat(b.Glyphs.Horizontal, room-cells)+b.Glyphs.TopRight)
}

// Rule is a horizontal line.
func Rule(width int, border Border) string {
	return border.Line.Render(strings.Repeat(border.Glyphs.Horizontal, max(width, 0)))
}

// A Rect is a part of the screen, in cells and rows from the top left. A layout cuts it up once per size and hands every
// panel its own.
type Rect struct{ X, Y, Width, Height int }

// CutTop splits off the upper rows, as many of them as there are.
func (r Rect) CutTop(rows int) (top, rest Rect) {
	rows = clamp(rows, r.Height)
	return Rect{r.X, r.Y, r.Width, rows}, Rect{r.X, r.Y + rows, r.Width, r.Height - rows}
}

// CutBottom splits off the lower rows.
func (r Rect) CutBottom(rows int) (rest, bottom Rect) {
	return r.CutTop(r.Height - clamp(rows, r.Height))
}

// CutLeft splits off the left columns, as many of them as there are.
func (r Rect) CutLeft(columns int) (left, rest Rect) {
	columns = clamp(columns, r.Width)
	return Rect{r.X, r.Y, columns, r.Height}, Rect{r.X + columns, r.Y, r.Width - columns, r.Height}
}

// CutRight splits off the right columns.
func (r Rect) CutRight(columns int) (rest, right Rect) {
	return r.CutLeft(r.Width - clamp(columns, r.Width))
}

// Inside is what a border one cell thick leaves.
func (r Rect) Inside() Rect {
	if r.Width < 2 || r.Height < 2 {
		return Rect{X: r.X, Y: r.Y}
	}
	return Rect{r.X + 1, r.Y + 1, r.Width - 2, r.Height - 2}
}

func clamp(value, highest int) int { return max(0, min(value, highest)) }
