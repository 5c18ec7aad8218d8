package paint

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPatch(t *testing.T) {
	for name, c := range map[string]struct{ shown, row, want string }{
		"one letter":              {"leg 7:20 ", "leg 7:21 ", "\x1b[1;8H\x1b[0m1\x1b[m"},
		"from first to last":      {"a b c d", "a x c y", "\x1b[1;3H\x1b[0mx c y\x1b[m"},
		"box drawing is one cell": {"│a│─b█", "│a│─c█", "\x1b[1;5H\x1b[0mc\x1b[m"},
		"the pen in force there":  {"\x1b[1;31mab\x1b[m", "\x1b[1;31mac\x1b[m", "\x1b[1;2H\x1b[0;1;31mc\x1b[m"},
		"back at the page's pen": {
			"\x1b[30;107m\x1b[34mab\x1b[30mc\x1b[m", "\x1b[30;107m\x1b[34mab\x1b[30md\x1b[m", "\x1b[1;3H\x1b[0;30;107md\x1b[m",
		},
		"a colour alone":         {"\x1b[38;5;9ma\x1b[mb", "\x1b[38;5;10ma\x1b[mb", "\x1b[1;1H\x1b[0;38;5;10ma\x1b[m"},
		"true colours":           {"\x1b[38;2;1;2;3;48;2;4;5;6ma", "\x1b[38;2;1;2;3;48;2;4;5;6mb", "\x1b[1;1H\x1b[0;38;2;1;2;3;48;2;4;5;6mb\x1b[m"},
		"sequences on the way":   {"ab\x1b[1mc\x1b[md", "xb\x1b[1mc\x1b[my", "\x1b[1;1H\x1b[0mxb\x1b[1mc\x1b[my\x1b[m"},
		"the same picture":       {"\x1b[1;31ma\x1b[m", "\x1b[31m\x1b[1ma\x1b[m", ""},
		"a wide letter":          {"東b", "東c", "\x1b[1;1H\x1b[2K東\x1b[3Gc\x1b[m"},
		"a mark":                 {"e\u0301b", "e\u0301c", "\x1b[1;1H\x1b[2Ke\u0301\x1b[2Gc\x1b[m"},
		"a sequence unknown":     {"\x1b[9mab", "\x1b[9mac", "\x1b[1;1H\x1b[2K\x1b[9mac\x1b[m"},
		"another kind of one":    {"\x1b[Kab", "\x1b[Kac", "\x1b[1;1H\x1b[2K\x1b[Kac\x1b[m"},
		"a colour without value": {"\x1b[38;5mab", "\x1b[38;5mac", "\x1b[1;1H\x1b[2K\x1b[38;5mac\x1b[m"},
		"an unfinished sequence": {"ab\x1b[", "ac\x1b[", "\x1b[1;1H\x1b[2Kac\x1b[\x1b[m"},
		"a row that grew":        {"ab", "abc", "\x1b[1;1H\x1b[2Kabc\x1b[m"},
	} {
		t.Run(name, func(t *testing.T) {
			var out writes
			p := New(&out)
			require.NoError(t, p.Paint(9, []string{c.shown}))
			out.last(t)
			require.NoError(t, p.Paint(9, []string{c.row}))
			assert.Equal(t, c.want, out.last(t))
		})
	}
}

// Whatever frames follow each other, a terminal that does as it is told shows the last one, pens included.
func TestTerminalShowsTheLastFrame(t *testing.T) {
	piece := rapid.SampledFrom([]string{
		"a", "b", " ", "│", "é", "a", "b", " ", "\x1b[m", "\x1b[1m", "\x1b[22m", "\x1b[0;4m", "\x1b[24;7m", "\x1b[27m", "\x1b[2m", "\x1b[31m", "\x1b[97m",
		"\x1b[107m", "\x1b[38;5;7;48;5;1m", "\x1b[48;2;4;5;1m", "\x1b[38;2;1;2;22m", "\x1b[30;40m",
	})
	rapid.Check(t, func(t *rapid.T) {
		var out writes
		p := New(&out)
		var shown terminal
		width := 5
		for range rapid.IntRange(1, 8).Draw(t, "frames") {
			if rapid.IntRange(0, 5).Draw(t, "resize") == 0 {
				width = rapid.IntRange(1, 6).Draw(t, "width")
			}
			rows := make([]string, 2)
			for i := range rows {
				row := strings.Join(rapid.SliceOfN(piece, 0, 16).Draw(t, "row"), "")
				rows[i] = ansi.Truncate(row, width, "")
				rows[i] += strings.Repeat(" ", width-ansi.StringWidth(rows[i]))
			}
			require.NoError(t, p.Paint(width, rows))
			shown.play(t, out.last(t))
			for i, row := range rows {
				var want terminal
				want.play(t, fmt.Sprintf("\x1b[%d;1H%s", i+1, row))
				require.Equal(t, want.lines[i][:width], shown.lines[i][:width], "line %d", i)
			}
		}
	})
}

// terminal is what stands on a terminal of two lines: every cell as its character and the codes in force.
type terminal struct {
	lines [2][8]string
	pen   map[string]string // by what a code governs
}

var (
	element = regexp.MustCompile(`\x1b\[\??([0-9;]*)([HKmhl])|.`)
	code    = regexp.MustCompile(`[34]8;2;\d+;\d+;\d+|[34]8;5;\d+|\d+`)
)

func (s *terminal) play(t require.TestingT, written string) {
	line, column := 0, 0
	for _, match := range element.FindAllStringSubmatch(written, -1) {
		switch match[2] {
		case "H":
			_, err := fmt.Sscanf(match[1], "%d;%d", &line, &column)
			require.NoError(t, err)
			line, column = line-1, column-1
		case "K":
			require.Equal(t, "2", match[1])
			s.lines[line] = [8]string{}
		case "m":
			s.setPen(match[1])
		case "":
			s.lines[line][column] = match[0] + fmt.Sprint(s.pen) // maps print sorted
			column++
		}
	}
}

func (s *terminal) setPen(codes string) {
	if codes == "" {
		codes = "0"
	}
	for _, c := range code.FindAllString(codes, -1) {
		switch {
		case c == "0":
			s.pen = nil
		case c == "22":
			delete(s.pen, "bold")
			delete(s.pen, "faint")
		case c == "24" || c == "27":
			delete(s.pen, c)
		default:
			if s.pen == nil {
				s.pen = map[string]string{}
			}
			governs := map[string]string{"1": "bold", "2": "faint", "4": "24", "7": "27"}[c]
			if governs == "" {
				governs = "fore"
				if c[0] == '4' || strings.HasPrefix(c, "10") {
					governs = "back"
				}
			}
			s.pen[governs] = c
		}
	}
}
