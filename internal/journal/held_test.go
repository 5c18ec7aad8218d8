package journal_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
)

// A journal is held from its beginning until its writer ends, and looking changes nothing.
func TestAJournalIsHeldWhileItIsWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "flight.jsonl")
	writer, err := journal.Create(path, journal.Header{Mode: "live"}, &plan.Plan{}, time.Now)
	require.NoError(t, err)
	for range 3 {
		assert.True(t, journal.Held(path))
	}
	require.NoError(t, writer.Close())
	assert.False(t, journal.Held(path))
}
