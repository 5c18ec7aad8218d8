package words_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/words"
)

// Kinds of prompts must be told apart without colour, in the cells that the ribbon gives them.
func TestEveryKindHasAMarkOfItsOwn(t *testing.T) {
	kinds := []flight.PromptKind{
		flight.PromptAct, flight.PromptTurn, flight.PromptTune, flight.PromptIdentify, flight.PromptTank, flight.PromptConfirm,
		flight.PromptCheck, flight.PromptGyro, flight.PromptQNH, flight.PromptReport, flight.PromptDescent, flight.PromptLevel, "newer",
	}
	seen := map[string]flight.PromptKind{}
	for _, kind := range kinds {
		mark := words.Mark(kind)
		require.Equal(t, 3, frame.Width(mark), "%q", kind)
		require.NotContains(t, seen, mark, "%q and %q", kind, seen[mark])
		seen[mark] = kind
	}
}
