package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/debrief"
)

// A flight teaches the same alone, among several and among several with a report of each, whatever the hidden world of a practice flight has to be
// asked for.
func TestAFlightTeachesTheSameAmongSeveral(t *testing.T) {
	kept, err := filepath.Glob("../../testdata/journals/*.jsonl")
	require.NoError(t, err)
	folder := t.TempDir()
	for _, path := range kept {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, filepath.Base(path)), text, 0o600))
	}
	reports := t.TempDir()
	var brief, whole debrief.Flights
	tell(t, &brief, "debrief", folder, "--format", "json")
	said(t, "debrief", folder, "--format", "json", "--out", reports)
	text, err := os.ReadFile(filepath.Join(reports, "flights.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &whole))
	require.Equal(t, whole.Rows, brief.Rows)
	require.Len(t, brief.Rows, len(kept))
	byHand := 0
	for _, row := range brief.Rows {
		var alone debrief.Flight
		tell(t, &alone, "debrief", row.Name, "--format", "json")
		alone.Name, alone.Notes = row.Name, nil
		require.Equal(t, row, alone.Row())
		if alone.Practice != nil && alone.Practice.HandsOn {
			byHand++
		}
	}
	require.Positive(t, byHand)
}
