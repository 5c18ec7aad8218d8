package flight

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// keptLines are the entries of the journals that are kept, without their checks.
func keptLines(t require.TestingT) (lines [][]byte) {
	paths, err := filepath.Glob("../../testdata/journals/*.jsonl")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		lines = append(lines, bytes.Split(bytes.TrimSpace(text), []byte("\n"))[1:]...)
	}
	return lines
}

// Whatever the scanner takes, it reads as the general decoder does.
func FuzzScanReadsAsTheDecoder(f *testing.F) {
	for _, line := range keptLines(f) {
		f.Add(line)
	}
	for _, line := range []string{
		`{}`, `{"n":1}`, `{"n":1,"n":2}`, `{"n":-0}`, `{"n":01}`, `{"heading":1e400}`, `{"heading":-0.5E+2}`, `{"t":"2026-02-30T00:00:00Z"}`,
		`{"t":"0000-01-01T00:00:00.000000001Z"}`, `{"t":"2026-06-14T23:59:60Z"}`, `{"text":"\u00e9"}`, "{\"text\":\"\xff\"}", `{"text":"é กำ"}`,
		`{"at":[52.1,14]}`, `{"at":[91,0]}`, `{"at":[]}`, `{"paused":false,"confirmed":true}`, `{"qnh":1014.9,"inches":true}`, `{"T":1}`, `{"rejoin":2}`, `{"set":"2026-06-14T09:00:00Z"}`, `{"n":1},`,
	} {
		f.Add([]byte(line))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		var scanned, decoded Event
		if !scanned.scan(line) {
			return
		}
		require.NoError(t, decoded.decode(line))
		require.Equal(t, decoded, scanned)
	})
}

// Of the entries that flights consist of, few need the general decoder.
func TestMostEntriesAreScanned(t *testing.T) {
	lines, scanned := keptLines(t), 0
	for _, line := range lines {
		var e Event
		if e.scan(line) {
			scanned++
		}
	}
	require.Greater(t, scanned, len(lines)*9/10, "of %d", len(lines))
}
