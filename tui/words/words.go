package words

import (
	"slices"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
)

// Mark is the sign of a kind of prompt: a letter in a shape of its own, three cells wide, so that kinds differ without colour.
// Angles are for turns, round brackets for receivers, square ones for tanks, braces for checks, quotes for speech, strokes
// for levels.
func Mark(kind flight.PromptKind) string {
	switch kind {
	case flight.PromptTurn:
		return "<T>"
	case flight.PromptTune:
		return "(N)"
	case flight.PromptIdentify:
		return "(I)"
	case flight.PromptTank:
		return "[F]"
	case flight.PromptConfirm:
		return "[P]"
	case flight.PromptCheck:
		return "{C}"
	case flight.PromptGyro:
		return "{G}"
	case flight.PromptQNH:
		return "{Q}"
	case flight.PromptContact:
		return `"C"`
	case flight.PromptReport:
		return `"R"`
	case flight.PromptDescent:
		return `\D\`
	case flight.PromptLevel:
		return "/L/"
	case flight.PromptAct:
		return "=A="
	default:
		return "-?-"
	}
}

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
