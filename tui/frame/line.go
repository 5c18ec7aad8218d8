package frame

import "strings"

// A Cell is one field of a Line: plain text in a fixed width.
type Cell struct {
	Text  string
	Width int // cells; 0: as wide as the text
	Right bool
	Style Style
}

// Line joins cells with nothing between them into a row of exactly width. What does not fit is cut.
func Line(width int, cells ...Cell) string {
	var row strings.Builder
	left := max(width, 0)
	row.Grow(2*left + 32*len(cells)) // room for the escape sequences of styles
	for _, cell := range cells {
		want := cell.Width
		if want <= 0 {
			want = Width(cell.Text)
		}
		want = min(want, left)
		text := cell.Text
		if cell.Right {
			text = FitRight(text, want)
		} else {
			text = Fit(text, want)
		}
		cell.Style.Write(&row, text)
		left -= want
	}
	row.WriteString(blank(left))
	return row.String()
}
