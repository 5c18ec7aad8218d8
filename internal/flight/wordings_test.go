package flight_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
)

// Whatever room there is, the number of a prompt stands, of a turn the side, and of a radio its receiver.
func TestEveryWordingHasItsNumberAndSide(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(flights, "*.txt"))
	require.NoError(t, err)
	kinds := map[flight.PromptKind]int{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		r, err := flighttest.Fly(string(text), flighttest.SheetsIn(filepath.Join(flights, "plans")))
		require.NoError(t, err, file)
		prompts := r.State.At(r.Events[len(r.Events)-1].T).Prompts
		for i := range prompts {
			p := &prompts[i]
			texts := p.Wording().Texts()
			require.Equal(t, p.Text, texts[0])
			for j, text := range texts {
				if p.Number != nil {
					require.Contains(t, text, p.Number.String())
				}
				for _, side := range []string{"left", "right"} {
					require.Equal(t, p.Kind == flight.PromptTurn && strings.Contains(p.Text, side), p.Kind == flight.PromptTurn && strings.Contains(text, side), text)
				}
				if p.Kind == flight.PromptTune && !strings.HasPrefix(p.Text, "hold ") {
					require.Contains(t, text, p.Answer.Receiver)
				}
				if j > 0 {
					require.LessOrEqual(t, len(text), len(texts[j-1]))
					kinds[p.Kind]++
				}
			}
		}
	}
	for _, kind := range []flight.PromptKind{flight.PromptTurn, flight.PromptTune, flight.PromptIdentify, flight.PromptContact} {
		require.NotZero(t, kinds[kind], kind)
	}
}
