package frame

import "slices"

// A Column is one column of a table whose rows are made from values of type R.
type Column[R any] struct {
	Head  string
	Width int  // cells, without the gap to the next column
	Right bool // at the right edge of the column, as numbers are
	Rank  int  // 0: always shown; of the others the lowest comes first
	Grow  int  // cells that it may take beyond Width when there is room
	Spill bool // what has no room runs on over the empty cells of the columns behind it
	// Cell gives text and its look; width and side are the column's.
	Cell func(R) Cell
	// Wordings are the text and what is shorter, for where the column is too narrow for it; nil: the text is cut.
	Wordings func(R) []string
}

// The gap between columns, in cells: the least, what comes before columns grow, and the most.
const (
	narrowGap = 1
	usualGap  = 2
	widestGap = 4
)

// A Table is the columns of figures that fit a width. Columns of rank 0 are always there, the others come in the order of their ranks as the
// width allows, each at its own place in the row.
type Table[R any] struct {
	columns []Column[R]
	gap     int
	width   int
}

// FitTable chooses columns for a width, spaces them, and lets those grow that may.
func FitTable[R any](columns []Column[R], width int) Table[R] {
	t := Table[R]{columns: chosen(columns, width), gap: narrowGap, width: width}
	spare := t.widen(width-needed(t.columns), usualGap)
	for i := range t.columns {
		more := max(0, min(t.columns[i].Grow, spare))
		t.columns[i].Width += more
		spare -= more
	}
	t.widen(spare, widestGap)
	return t
}

// widen spends spare cells on the gaps, up to a width of theirs, and returns what is left.
func (t *Table[R]) widen(spare, gap int) int {
	gaps := len(t.columns) - 1
	if gaps < 1 || spare < gaps {
		return spare
	}
	more := min(gap-t.gap, spare/gaps)
	t.gap += more
	return spare - more*gaps
}

// chosen takes the columns in the order of their ranks until one does not fit, and returns them in their own order.
func chosen[R any](columns []Column[R], width int) []Column[R] {
	order := make([]int, len(columns))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return columns[a].Rank - columns[b].Rank })
	left := width + narrowGap
	for n, i := range order {
		left -= columns[i].Width + narrowGap
		if left < 0 && columns[i].Rank > 0 {
			order = order[:n]
			break
		}
	}
	slices.Sort(order)
	fitting := make([]Column[R], len(order))
	for n, i := range order {
		fitting[n] = columns[i]
	}
	return fitting
}

func needed[R any](columns []Column[R]) int {
	cells := -narrowGap
	for _, c := range columns {
		cells += c.Width + narrowGap
	}
	return cells
}

// Shows reports whether a column with that head is among those that fit.
func (t Table[R]) Shows(head string) bool {
	return slices.ContainsFunc(t.columns, func(c Column[R]) bool { return c.Head == head })
}

// Head is the row of the columns' names; the first name stands in title, the others in label.
func (t Table[R]) Head(title, label Style) string {
	first := slices.IndexFunc(t.columns, func(c Column[R]) bool { return c.Head != "" })
	return t.line(func(i int) Cell {
		style := label
		if i == first {
			style = title
		}
		return Cell{Text: t.columns[i].Head, Style: style}
	}, nil)
}

// Row is the row of a value.
func (t Table[R]) Row(value R) string {
	return t.line(func(i int) Cell { return t.columns[i].Cell(value) }, &value)
}

// Marked is the row of a value in one look from edge to edge.
func (t Table[R]) Marked(value R, style Style) string {
	row := t.line(func(i int) Cell { return Cell{Text: t.columns[i].Cell(value).Text} }, &value)
	return style.Render(row)
}

// line sets the columns side by side. The blanks beside a text are left plain, so that no line is drawn under them.
func (t Table[R]) line(cellOf func(column int) Cell, value *R) string {
	var row Row
	left := max(t.width, 0)
	row.Grow(2 * left)
	for i := 0; i < len(t.columns); i++ {
		if i > 0 {
			gap := min(t.gap, left)
			row.Pad(gap)
			left -= gap
		}
		width, cell, column := t.columns[i].Width, cellOf(i), &t.columns[i]
		right := t.columns[i].Right
		if t.columns[i].Spill {
			for Width(cell.Text) > width && i+1 < len(t.columns) && cellOf(i+1).Text == "" {
				i++
				width += t.gap + t.columns[i].Width
			}
		}
		width = min(width, left)
		if value != nil && column.Wordings != nil && Width(cell.Text) > width {
			cell.Text = Fitting(width, column.Wordings(*value)...)
		}
		text, cells := Cut(cell.Text, width)
		if right {
			row.Pad(width - cells)
		}
		row.Add(text, cell.Style)
		if !right {
			row.Pad(width - cells)
		}
		left -= width
	}
	row.Pad(left)
	return row.String()
}

// Window returns which of total rows is the first in view when height of them are and the marked one is to stand near the
// middle.
func Window(total, height, marked int) (first int) {
	return max(0, min(marked-(height-1)/2, total-height))
}
