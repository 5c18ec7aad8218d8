package journal_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
)

func TestFollowerSeesEntriesAsTheyAreCompleted(t *testing.T) {
	w, path := create(t)
	follower, err := journal.Follow(path)
	require.NoError(t, err)
	require.EqualValues(t, "live", follower.Contents().Header.Mode)
	next, err := follower.Next()
	require.NoError(t, err)
	require.Empty(t, next)
	add(t, w, passing("KVN"), passing("GRN"))
	next, err = follower.Next()
	require.NoError(t, err)
	require.Len(t, next, 2)
	require.NoError(t, w.Close())

	// A line that is still being written waits for its end, and may be cut off again.
	extend(t, path, `{"n":3,"t":"2026-06-14T09:03:11Z",`)
	next, err = follower.Next()
	require.NoError(t, err)
	require.Empty(t, next)
	w, _, _, err = journal.Resume(path, nil, wall)
	require.NoError(t, err)
	add(t, w, passing("DUN"))
	next, err = follower.Next()
	require.NoError(t, err)
	require.Len(t, next, 1)
	require.Equal(t, "DUN", next[0].Point)
	require.Len(t, follower.Contents().Events, 3)
	require.NoError(t, w.Close())

	extend(t, path, "rubbish\n")
	next, err = follower.Next()
	require.NoError(t, err)
	require.Equal(t, flight.Damaged, next[0].Act)
	require.Len(t, follower.Contents().Damages, 1)
	require.Equal(t, 5, follower.Contents().Damages[0].Line)
}

func TestFollowNeedsAHeader(t *testing.T) {
	path := filepath.Join(t.TempDir(), "empty.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o644))
	_, err := journal.Follow(path)
	require.ErrorContains(t, err, "no header yet")
	_, err = journal.Follow(path + "x")
	require.ErrorIs(t, err, os.ErrNotExist)
}
