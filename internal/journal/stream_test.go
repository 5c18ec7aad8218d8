package journal_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"slices"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
)

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
		"no journal":      {[][]byte{[]byte("hello\n")}, "no journal header", 0},
		"nothing":         {nil, "ended before a header", 0},
		"another journal": {[][]byte{l[0], l[1], l[2], l[0], l[1], other[2]}, "another journal", 2},
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
		"rubbish": {[][]byte{l[0], l[1], []byte("rubbish\n"), l[3]}, "is no entry", []string{"KVN", "", "OBN"}},
		"a gap":   {[][]byte{l[0], l[2], l[3]}, "1 missing", []string{"", "GRN", "OBN"}},
		"again":   {[][]byte{l[0], l[1], []byte("rubbish\n"), l[0], l[1], l[2], l[3]}, "is no entry", []string{"KVN", "", "OBN"}},
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
