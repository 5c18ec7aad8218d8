package words

import (
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
)

// NewestFirst lists the last entries, at most so many, the newest first. They come in the order of their numbers.
func NewestFirst(entries []flight.Entry, most int) []flight.Entry {
	newest := slices.Clone(entries[max(0, len(entries)-most):])
	slices.Reverse(newest)
	return newest
}

// Cut shortens a text to at most so many cells.
func Cut(text string, width int) string {
	cut, _ := frame.Cut(text, width)
	return cut
}
