package flighttest

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
)

// What is kept from one look to the next never shows, whatever has happened and in whatever order one looks: at every step of every script a flight
// that is looked at often answers as one that nobody has looked at.
func TestLooksAtScriptsAreOfTheMoment(t *testing.T) {
	const folder = "../../../testdata/flights"
	files, err := filepath.Glob(folder + "/*.txt")
	require.NoError(t, err)
	moments := []time.Duration{0, 150 * time.Second, 30 * time.Second, 5 * time.Minute, 47 * time.Minute, time.Minute}
	steps := 0
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		r := &Runner{load: SheetsIn(folder + "/plans")}
		for line := range strings.Lines(string(text)) {
			step, _, _ := strings.Cut(line, "#")
			if strings.HasPrefix(line, indent) || strings.TrimSpace(step) == "" {
				continue
			}
			_, err := r.step(strings.TrimSpace(step))
			require.NoError(t, err)
			if r.State == nil {
				continue
			}
			steps++
			fresh, err := flight.Fold(r.Sheet, flight.Live, r.Events, nil)
			if err != nil {
				continue // a journal that is read on its own
			}
			at := r.State.Setting().At(r.wall)
			for i, later := range moments {
				seen := r.State.At(at.Add(later))
				if i == steps%len(moments) {
					require.JSONEq(t, inJSON(t, fresh.At(at.Add(later))), inJSON(t, seen), "%s, %s after %s", file, later, step)
				}
			}
		}
	}
	require.Greater(t, steps, 100)
}

func inJSON(t *testing.T, s flight.Snapshot) string {
	text, err := json.Marshal(s)
	require.NoError(t, err)
	return string(text)
}
