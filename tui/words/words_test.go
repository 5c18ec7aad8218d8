package words_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/words"
)

func ref(v float64) *float64 { return &v }

func TestFigures(t *testing.T) {
	for want, got := range map[string]string{
		"0:09":       words.Span(9.4),
		"7:20":       words.Span(-440),
		"1:00:00":    words.Span(3599.6),
		"1:07:20":    words.Span(4040),
		"07:20":      words.Elapsed(ref(440.9)),
		"--":         words.Elapsed(nil),
		"45 min":     words.Long(45.2),
		"3 h 46":     words.Long(226),
		"-12 min":    words.Long(-12),
		"on time":    words.Against(-0.4),
		"0:58 late":  words.Against(58),
		"1:00 early": words.Against(-60),
		"+0:58":      words.Signed(58),
		"-0:12":      words.Signed(-12),
		"±28 s":      words.PlusMinus(28),
		"±1:02":      words.PlusMinus(62),
		"360":        words.Degrees(0.2),
		"359":        words.Degrees(-1),
		"084":        words.Degrees(84.4),
		"0.8 left":   words.Side(-0.8, 1),
		"0":          words.Side(-0.3, 0),
		"9 right":    words.Side(9.1, 0),
		"262/17":     words.Wind(262, 17.2),
		"114.35":     words.Frequency(114.35),
		"116.20":     words.Frequency(116.2),
		"404":        words.Frequency(404),
		"356.5":      words.Frequency(356.5),
		"09:41:30Z":  words.Time(time.Date(2026, 6, 14, 9, 41, 30, 999, time.UTC)),
	} {
		require.Equal(t, want, got)
	}
}

func TestDirectionsHaveThreeDigitsFrom001To360(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		require.Regexp(t, `^(00[1-9]|0[1-9]\d|[12]\d\d|3[0-5]\d|360)$`, words.Degrees(rapid.Float64Range(-1e4, 1e4).Draw(t, "direction")))
	})
}

func TestNoFigureIsNotANumber(t *testing.T) {
	for _, value := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		require.Equal(t, words.Unknown, words.Span(value))
		require.Equal(t, words.Unknown, words.Long(value))
	}
}

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
