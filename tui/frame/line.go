package frame

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
)

// A Cell is one field of a Line: plain text in a fixed width.
type Cell struct {
	Text  string
	Width int // cells; 0: as wide as the text
	Right bool
	Style Style
}

// Line joins cells with nothing between them into a row of exactly width. What does not fit is cut.
func Line(width int, cells ...Cell) string {
	var row Row
	left := max(width, 0)
	bytes := left
	for i := range cells {
		bytes += len(cells[i].Style.On()) + len(cells[i].Style.Off())
	}
	row.Grow(bytes)
	for i := range cells {
		cell := &cells[i]
		want := cell.Width
		if want <= 0 {
			want = Width(cell.Text)
		}
		want = min(want, left)
		text, blanks := Cut(cell.Text, want)
		if want == left && want > 0 && blanks > 0 && saysMore(cells[i+1:]) { // they are cut off whole
			text = Crop(text, want-1)
			text += cutMark
			blanks = Width(text)
		}
		blanks = want - blanks
		if cell.Right {
			row.Add(blank(blanks), cell.Style)
		}
		row.Add(text, cell.Style)
		if !cell.Right {
			row.Add(blank(blanks), cell.Style)
		}
		left -= want
	}
	row.Pad(left)
	return row.String()
}

// saysMore reports whether there is anything to read in cells.
func saysMore(cells []Cell) bool {
	for i := range cells {
		if strings.TrimSpace(cells[i].Text) != "" {
			return true
		}
	}
	return false
}

// A Row is a row in the making: pieces of text from left to right, neighbours of one style dressed together.
type Row struct {
	text  strings.Builder
	style Style
}

// Grow makes room for so many bytes more.
func (r *Row) Grow(bytes int) { r.text.Grow(bytes) }

// Add appends text in a style.
func (r *Row) Add(text string, style Style) {
	if text == "" {
		return
	}
	if style != r.style {
		r.text.WriteString(r.style.Off())
		r.text.WriteString(style.On())
		r.style = style
	}
	r.text.WriteString(text)
}

// Fit appends plain text in exactly so many cells, padded on the right or cut. Styles in the text stay as they are.
func (r *Row) Fit(text string, width int) {
	text, cells := Cut(text, width)
	r.Add(text, Style{})
	r.Pad(width - cells)
}

// Pad appends plain blanks.
func (r *Row) Pad(cells int) { r.Add(blank(cells), Style{}) }

// String ends the row.
func (r *Row) String() string {
	r.text.WriteString(r.style.Off())
	r.style = Style{}
	return r.text.String()
}

// between parts a key's words from the next key.
const between = "   "

// Keys names the keys that can be used now, in their order, in a row of width cells. What has no room is left out whole.
func Keys(bindings []key.Binding, width int, name, words Style) string {
	var row Row
	row.Grow(3 * max(width, 0))
	left, gap := width, " "
	for _, binding := range bindings {
		if !binding.Enabled() {
			continue
		}
		help := binding.Help()
		needs := len(gap) + Width(help.Key) + 1 + Width(help.Desc)
		if needs > left {
			break
		}
		left -= needs
		row.Add(gap, Style{})
		row.Add(help.Key, name)
		row.Pad(1)
		row.Add(help.Desc, words)
		gap = between
	}
	row.Pad(left)
	return row.String()
}
