package paint

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/tui/frame"
)

// writes keeps each Write apart.
type writes struct {
	each []string
	err  error
}

func (w *writes) Write(b []byte) (int, error) {
	if w.err != nil {
		return 0, w.err
	}
	w.each = append(w.each, string(b))
	return len(b), nil
}

// last returns what the last Paint wrote, and forgets it.
func (w *writes) last(t require.TestingT) string {
	require.LessOrEqual(t, len(w.each), 1, "one Write for a frame")
	text := strings.Join(w.each, "")
	w.each = nil
	return text
}

func line(number int, row string) string {
	return fmt.Sprintf("\x1b[%d;1H\x1b[2K%s\x1b[m", number, row)
}

func TestFirstFrameIsWhole(t *testing.T) {
	var out writes
	require.NoError(t, New(&out).Paint(5, []string{"first", "other"}))
	assert.Equal(t, syncBegin+line(1, "first")+line(2, "other")+syncEnd, out.last(t))
}

func TestNothingChangedWritesNothing(t *testing.T) {
	var out writes
	p := New(&out)
	rows := []string{"first", "other"}
	require.NoError(t, p.Paint(5, rows))
	out.last(t)
	require.NoError(t, p.Paint(5, []string{"first", "other"}))
	assert.Empty(t, out.each)
}

func TestOnlyChangedRowsAreWritten(t *testing.T) {
	var out writes
	p := New(&out)
	rows := []string{"first", "other", "third"}
	require.NoError(t, p.Paint(5, rows))
	out.last(t)

	rows[0], rows[2] = "FIRST", "thyme" // the painter keeps its own copy
	require.NoError(t, p.Paint(5, rows))
	assert.Equal(t, "\x1b[1;1H\x1b[0mFIRST\x1b[m"+"\x1b[3;3H\x1b[0myme\x1b[m", out.last(t))
}

func TestResizeAndResumePaintEverything(t *testing.T) {
	for name, c := range map[string]struct {
		width  int
		rows   []string
		forget bool
	}{
		"narrower": {3, []string{"one", "two"}, false},
		"wider":    {9, []string{"onexxxxxx", "twoxxxxxx"}, false},
		"lower":    {5, []string{"onexx"}, false},
		"higher":   {5, []string{"onexx", "twoxx", "three"}, false},
		"resumed":  {5, []string{"onexx", "twoxx"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			var out writes
			p := New(&out)
			require.NoError(t, p.Paint(5, []string{"onexx", "twoxx"}))
			out.last(t)
			if c.forget {
				p.Forget()
			}
			require.NoError(t, p.Paint(c.width, c.rows))
			whole := ""
			for i, row := range c.rows {
				whole += line(i+1, row)
			}
			assert.Equal(t, syncBegin+whole+syncEnd, out.last(t))
			require.NoError(t, p.Paint(c.width, c.rows))
			assert.Empty(t, out.each, "and then nothing")
		})
	}
}

func TestBellGoesWithTheFrame(t *testing.T) {
	var out writes
	p := New(&out)
	require.NoError(t, p.Paint(3, []string{"one"}))
	out.last(t)

	p.Ring()
	require.NoError(t, p.Paint(3, []string{"two"}))
	assert.Equal(t, "\x1b[1;1H\x1b[0mtwo\x1b[m\a", out.last(t))
	p.Ring()
	require.NoError(t, p.Paint(3, []string{"two"}))
	assert.Equal(t, "\a", out.last(t))
	require.NoError(t, p.Paint(3, []string{"two"}))
	assert.Empty(t, out.each, "once")
}

func TestTooWideRowIsCut(t *testing.T) {
	var out writes
	require.NoError(t, New(&out).Paint(4, []string{"\x1b[1mwide row\x1b[m"}))
	assert.Contains(t, out.last(t), line(1, "\x1b[1mwide\x1b[m"))
}

func TestFailedWrite(t *testing.T) {
	lost := errors.New("lost")
	out := writes{err: lost}
	p := New(&out)
	require.ErrorIs(t, p.Paint(3, []string{"one"}), lost)
	out.err = nil
	require.NoError(t, p.Paint(3, []string{"one"}))
	assert.Equal(t, syncBegin+line(1, "one")+syncEnd, out.last(t), "everything again")
}

func TestNoEraseDisplay(t *testing.T) {
	var out writes
	p := New(&out)
	require.NoError(t, p.Paint(3, []string{"one", "two"}))
	require.NoError(t, p.Paint(3, []string{"one"}))
	assert.NotRegexp(t, `\x1b\[[0-3]?J`, strings.Join(out.each, ""))
}

func BenchmarkPaint(b *testing.B) {
	rows := make([]string, 40)
	for i := range rows {
		rows[i] = "\x1b[1m│\x1b[m" + strings.Repeat("row ", 29) + "\x1b[1m│\x1b[m"
	}
	for name, changed := range map[string]int{"nothing": 0, "three rows": 3, "all rows": 40} {
		b.Run(name, func(b *testing.B) {
			p := New(discard{})
			_ = p.Paint(120, rows)
			for n := 0; b.Loop(); n++ {
				for i := range changed {
					rows[i] = rows[i][:8] + string(rune('a'+n%26)) + rows[i][9:]
				}
				_ = p.Paint(120, rows)
			}
		})
	}
}

type discard struct{}

func (discard) Write(b []byte) (int, error) { return len(b), nil }

// Whatever a terminal takes for the width of a letter with its marks, of a wide letter or of an emoji, what stands behind it is in its column; and
// where it adds up what wcwidth says of each sign, or takes the character as a whole, no sign is drawn over another.
func TestWhatStandsBehindADoubtfulWidthIsInItsColumn(t *testing.T) {
	marks := func(r rune) bool { return unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) }
	opinions := map[string]struct {
		widthOf func(r rune) int
		odd     bool // wider than wcwidth of any system
	}{
		"every character a cell": {func(rune) int { return 1 }, true},
		"marks take none": {func(r rune) int {
			return ansi.StringWidthWc(string(r)) * (1 - bit(marks(r) || unicode.Is(unicode.Mc, r)))
		}, false},
		"marks with a body take one":  {func(r rune) int { return max(ansi.StringWidthWc(string(r)), 1) * (1 - bit(marks(r))) }, false},
		"what is beyond Latin is two": {func(r rune) int { return 1 + bit(r > 0x24f && !frame.OneCell(r)) }, true},
	}
	piece := rapid.SampledFrom([]string{"a", " ", "é", "น้ำ", "กำ", "हिन्दी", "क्षत्रिय", "ｶﾞ", "東", "e\u0301", "👩\u200d🚀", "🇳🇴", "Ж", "\x1b[1m", "\x1b[m"})
	rapid.Check(t, func(t *rapid.T) {
		const width = 24
		row := frame.Fit(strings.Join(rapid.SliceOf(piece).Draw(t, "row"), ""), width-1) + "|"
		var out writes
		require.NoError(t, New(&out).Paint(width, []string{row}))
		written := out.last(t)
		for name, opinion := range opinions {
			cells, column := map[int]rune{}, 0
			for written := written; written != ""; {
				if match := controls.FindStringSubmatch(written); match != nil {
					switch match[2] {
					case "H":
						column = 0
					case "G":
						column, _ = strconv.Atoi(match[1])
						column--
					}
					written = written[len(match[0]):]
					continue
				}
				r, size := utf8.DecodeRuneInString(written)
				for range opinion.widthOf(r) {
					before := cells[column]
					require.True(t, opinion.odd || before == 0, "%s: %c is drawn over %c in %q", name, r, before, row)
					cells[column] = r
					column++
				}
				written = written[size:]
			}
			require.Equal(t, '|', cells[width-1], "%s: %q", name, row)
			require.Equal(t, width, column, name)
		}
	})
}

var controls = regexp.MustCompile(`^\x1b\[\??([0-9;]*)([A-Za-z])`)

func bit(set bool) int {
	if set {
		return 1
	}
	return 0
}
