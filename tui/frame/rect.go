package frame

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
