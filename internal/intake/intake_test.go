package intake_test

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/intake"
)

// endless is a file without an end.
type endless struct{ read int }

func (e *endless) Read(buffer []byte) (int, error) {
	e.read += len(buffer)
	return len(buffer), nil
}

func TestWhatIsTooLargeIsRefusedBeforeMemoryGrows(t *testing.T) {
	const most = 1 << 20
	var large *intake.TooLarge
	source := &endless{}
	_, err := intake.All(source, most)
	require.ErrorAs(t, err, &large)
	require.EqualError(t, err, "it is larger than 1 MiB: no file of its kind is that large")
	require.Less(t, source.read, 2*most)

	source = &endless{}
	n, err := io.Copy(io.Discard, intake.Limit(source, most))
	require.ErrorAs(t, err, &large)
	require.EqualValues(t, most, n)

	_, err = intake.All(strings.NewReader("12345"), 4)
	require.EqualError(t, err, "it is larger than 0 KiB: no file of its kind is that large")
	whole, err := intake.All(strings.NewReader("1234"), 4)
	require.NoError(t, err)
	require.Equal(t, "1234", string(whole))
	limited, err := io.ReadAll(intake.Limit(strings.NewReader("1234"), 4))
	require.NoError(t, err)
	require.Equal(t, "1234", string(limited))
}

// Lines are those that strings.Split finds, and their lengths add up to the file's; of one that is too long the beginning is given.
func TestLinesAreThoseOfTheFile(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const most = 8
		text := rapid.StringOf(rapid.SampledFrom([]rune("ab\n"))).Draw(t, "text")
		want := strings.Split(text, "\n")
		if want[len(want)-1] == "" {
			want = want[:len(want)-1]
		}
		lines, total := intake.NewLines(strings.NewReader(text), most), int64(0)
		for i, line := range want {
			got, length, ended, err := lines.Next()
			total += length
			require.Equal(t, i < strings.Count(text, "\n"), ended)
			if len(line) > most && (ended || len(line) > most+1) {
				var large *intake.TooLarge
				require.ErrorAs(t, err, &large)
				require.True(t, strings.HasPrefix(line, string(bytes.TrimSuffix(got, []byte("\n")))))
				continue
			}
			require.NoError(t, err)
			require.Equal(t, line, string(got))
		}
		_, _, _, err := lines.Next()
		require.ErrorIs(t, err, io.EOF)
		require.EqualValues(t, len(text), total)
	})
}

func TestNamesThatWouldBreakAMessageAreQuoted(t *testing.T) {
	for name, want := range map[string]string{
		"round.yaml": "round.yaml", "Übung 1.jsonl": "Übung 1.jsonl", "": `""`, "two\nlines": `"two\nlines"`,
		"\x1b[2Jclear": `"\x1b[2Jclear"`, "right\u202eleft": `"right\u202eleft"`, "no\xffutf": `"no\xffutf"`,
	} {
		require.Equal(t, want, intake.Quote(name))
	}
	_, err := intake.File("no\nsuch", 10)
	require.ErrorContains(t, err, `open "no\nsuch"`)
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func TestAFolderIsNoFile(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "logs")
	require.NoError(t, os.Mkdir(folder, 0o755))
	_, err := intake.Open(folder)
	require.ErrorContains(t, err, "logs is a folder")
	require.False(t, errors.Is(err, fs.ErrNotExist))
}
