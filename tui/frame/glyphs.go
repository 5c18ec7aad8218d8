package frame

// Glyphs are the characters that boxes, bars and pointers are drawn with. Each string is one cell wide.
type Glyphs struct {
	Horizontal, Vertical                        string
	TopLeft, TopRight, BottomLeft, BottomRight  string
	TeeRight, TeeLeft, TeeDown, TeeUp, Crossing string // named for where the arm points

	Full, Empty        string   // a filled and an empty cell of a bar
	Eighths            []string // a cell filled from the left by one to seven eighths; none: bars go by whole cells
	Pointer            string   // where a beam stands
	Limit              string   // a mark on a bar or beam
	Flown, Ahead, Here string   // of a way: behind, ahead, and where one is

	Halves bool // half blocks may be used, as small big digits do
}

// Drawn is the usual set: single-line box drawing and block elements.
func Drawn() Glyphs {
	return Glyphs{
		Horizontal: "─", Vertical: "│",
		TopLeft: "┌", TopRight: "┐", BottomLeft: "└", BottomRight: "┘",
		TeeRight: "├", TeeLeft: "┤", TeeDown: "┬", TeeUp: "┴", Crossing: "┼",
		Full: "█", Empty: "░", Eighths: []string{"▏", "▎", "▍", "▌", "▋", "▊", "▉"},
		Flown: "━", Ahead: "╌", Here: "●",
		Pointer: "█", Limit: "│", Halves: true,
	}
}

// ASCII is the set for terminals whose font or locale makes the usual one unreadable.
func ASCII() Glyphs {
	return Glyphs{
		Horizontal: "-", Vertical: "|",
		TopLeft: "+", TopRight: "+", BottomLeft: "+", BottomRight: "+",
		TeeRight: "+", TeeLeft: "+", TeeDown: "+", TeeUp: "+", Crossing: "+",
		Full: "#", Empty: ".", Pointer: "O", Limit: "|", Flown: "=", Ahead: "-", Here: "O",
	}
}
