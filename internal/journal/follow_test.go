package journal_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
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

// lines are a journal's header and its entries, each with its end.
func lines(t *testing.T, points ...string) [][]byte {
	t.Helper()
	w, path := create(t)
	for _, point := range points {
		add(t, w, passing(point))
	}
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	all := bytes.SplitAfter(data, []byte("\n"))
	return all[:len(all)-1]
}

// all reads a stream to its end or to an error.
func all(t *testing.T, from io.Reader) ([]flight.Event, error) {
	t.Helper()
	s, err := journal.ReadStream(from, "-")
	if err != nil {
		return nil, err
	}
	require.EqualValues(t, "live", s.Contents().Header.Mode)
	events := slices.Clone(s.Contents().Events)
	for {
		next, err := s.Next()
		events = append(events, next...)
		if err != nil {
			return events, err
		}
	}
}

func points(events []flight.Event) (names []string) {
	for _, e := range events {
		names = append(names, e.Point)
	}
	return names
}

func TestAStreamGivesEntriesHoweverTheyArrive(t *testing.T) {
	whole := bytes.Join(lines(t, "KVN", "GRN", "OBN"), nil)
	for name, from := range map[string]io.Reader{
		"at once":              bytes.NewReader(whole),
		"byte by byte":         iotest.OneByteReader(bytes.NewReader(whole)),
		"with the end at once": iotest.DataErrReader(bytes.NewReader(whole)),
	} {
		t.Run(name, func(t *testing.T) {
			events, err := all(t, from)
			require.ErrorIs(t, err, io.EOF)
			assert.Equal(t, []string{"KVN", "GRN", "OBN"}, points(events))
		})
	}
}

// A connection that was set up again sends everything again, and so does a follower that saw the file cut where a line was torn.
func TestAStreamThatBeginsAnewGoesOn(t *testing.T) {
	l := lines(t, "KVN", "GRN", "OBN")
	header, kvn, grn, obn := l[0], l[1], l[2], l[3]
	torn := obn[:20]
	events, err := all(t, bytes.NewReader(bytes.Join([][]byte{
		header, kvn, grn, torn, header, kvn, grn, obn, header, kvn, grn, obn,
	}, nil)))
	require.ErrorIs(t, err, io.EOF)
	assert.Equal(t, []string{"KVN", "GRN", "OBN"}, points(events))
}

func TestAStreamNamesItsDamage(t *testing.T) {
	l := lines(t, "KVN", "GRN")
	other := lines(t, "KVN", "OBN")
	for name, test := range map[string]struct {
		sent [][]byte
		says string
		read int
	}{
		"no journal":      {[][]byte{[]byte("hello\n")}, "not a journal header", 0},
		"nothing":         {nil, "ended before a header", 0},
		"another journal": {[][]byte{l[0], l[1], l[2], l[0], l[1], other[2]}, "a different journal", 2},
	} {
		t.Run(name, func(t *testing.T) {
			events, err := all(t, iotest.OneByteReader(bytes.NewReader(bytes.Join(test.sent, nil))))
			var damage *journal.Damage
			require.ErrorAs(t, err, &damage)
			assert.Contains(t, damage.Text, test.says)
			assert.Len(t, events, test.read)
		})
	}
}

func TestAStreamGoesOnBehindDamage(t *testing.T) {
	l := lines(t, "KVN", "GRN", "OBN")
	for name, test := range map[string]struct {
		sent [][]byte
		says string
		read []string
	}{
		"rubbish": {[][]byte{l[0], l[1], []byte("rubbish\n"), l[3]}, "is not an entry", []string{"KVN", "", "OBN"}},
		"a gap":   {[][]byte{l[0], l[2], l[3]}, "1 missing", []string{"", "GRN", "OBN"}},
		"again":   {[][]byte{l[0], l[1], []byte("rubbish\n"), l[0], l[1], l[2], l[3]}, "is not an entry", []string{"KVN", "", "OBN"}},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := journal.ReadStream(bytes.NewReader(bytes.Join(test.sent, nil)), "-")
			require.NoError(t, err)
			for err == nil {
				_, err = s.Next()
			}
			require.ErrorIs(t, err, io.EOF)
			assert.Equal(t, test.read, points(s.Contents().Events))
			require.Len(t, s.Contents().Damages, 1)
			assert.Contains(t, s.Contents().Damages[0].Text, test.says)
		})
	}
}

func TestAStreamHandsOnAReadersError(t *testing.T) {
	l := lines(t, "KVN")
	gone := errors.New("the line went dead")
	events, err := all(t, io.MultiReader(bytes.NewReader(bytes.Join(l, nil)), iotest.ErrReader(gone)))
	require.ErrorIs(t, err, gone)
	assert.Len(t, events, 1)
}

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
