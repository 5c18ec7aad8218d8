package flight_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight/flighttest"
)

// Only commit a rewrite if you understand what caused it.
var rewrite = flag.Bool("rewrite", false, "rewrite the flights' expected lines")

const flights = "../../testdata/flights"

func TestFlights(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(flights, "*.txt"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			got, err := flighttest.Run(string(text), flighttest.SheetsIn(filepath.Join(flights, "plans")))
			require.NoError(t, err, file)
			if *rewrite {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
				return
			}
			require.Equal(t, string(text), got, file)
		})
	}
}
