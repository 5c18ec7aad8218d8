package frame

import (
	"math"
	"strings"
)

// Bar is a horizontal bar of width cells filled from the left by fraction, which is taken as 0 to 1. Something is always
// visible of a fraction above 0, and something empty of one below 1.
func Bar(width int, fraction float64, glyphs Glyphs, full, rest Style) string {
	if width <= 0 {
		return ""
	}
	steps := len(glyphs.Eighths) + 1 // per cell
	filled := fillSteps(width*steps, fraction)
	whole, part := filled/steps, filled%steps
	text := strings.Repeat(glyphs.Full, whole)
	if part > 0 {
		text += glyphs.Eighths[part-1]
		whole++
	}
	return full.Render(text) + rest.Render(strings.Repeat(glyphs.Empty, width-whole))
}

// fillSteps rounds fraction of total to whole steps, keeping "some" apart from "none" and "nearly all" from "all".
func fillSteps(total int, fraction float64) int {
	if !(fraction > 0) { // also when it is not a number
		return 0
	}
	if fraction >= 1 {
		return total
	}
	return max(1, min(int(math.Round(fraction*float64(total))), total-1))
}

// Beam is a balance of width cells with its pivot in the middle: value -1 puts the pointer at the left end, 0 on the
// pivot, 1 at the right end; what lies beyond stays at the end. An even width leaves the last cell blank.
func Beam(width int, value float64, glyphs Glyphs, line, pointer Style) string {
	arm := (width - 1) / 2
	if width <= 0 || arm < 1 {
		return blank(width)
	}
	at := arm
	if !math.IsNaN(value) {
		at += int(math.Round(math.Max(-1, math.Min(value, 1)) * float64(arm)))
	}
	length := 2*arm + 1
	cellAt := func(i int) string {
		switch i {
		case 0:
			return glyphs.TeeRight
		case arm:
			return glyphs.Crossing
		case length - 1:
			return glyphs.TeeLeft
		}
		return glyphs.Horizontal
	}
	var left, right strings.Builder
	for i := range length {
		if i < at {
			left.WriteString(cellAt(i))
		} else if i > at {
			right.WriteString(cellAt(i))
		}
	}
	return line.Render(left.String()) + pointer.Render(glyphs.Pointer) + line.Render(right.String()) + blank(width-length)
}

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
