package screentest

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"
)

// A cell of a picture, in the user units of SVG 1.1: 8 wide and 17 high suits every common fixed-width font at 13.
const (
	cellWidth  = 8
	cellHeight = 17
	fontSize   = 13
	baseline   = 13 // below the top of a cell
)

// pen is how text is drawn. An empty colour is the page's.
type pen struct {
	fore, back      string // "#rrggbb"
	bold, underline bool
}

// RequirePicture compares a frame drawn as SVG with a file, or writes it with -update, as RequireFrame does with text. The
// rows must have been styled with 24-bit colours; fore and back are the page's: "#rrggbb".
func RequirePicture(t *testing.T, path string, rows []string, fore, back string) {
	t.Helper()
	got := Picture(t, rows, fore, back)
	require.True(t, golden(t, path, got) == got, "%s is no longer what the screen looks like; run the test with -update and look at it", path)
}

// Picture is a frame as an SVG document. Each run of one look is one text that is as long as its cells, whatever font the
// reader has.
func Picture(t *testing.T, rows []string, fore, back string) string {
	t.Helper()
	width := 0
	for _, row := range rows {
		width = max(width, ansi.StringWidth(row))
	}
	var ground, text strings.Builder
	for y, row := range rows {
		p, x, run, from := pen{}, 0, "", 0
		flush := func() {
			drawRun(&ground, &text, p, run, from, x, y)
			run, from = "", x
		}
		parser, state := ansi.NewParser(), byte(0)
		for row != "" {
			sequence, cells, n, next := ansi.DecodeSequence(row, state, parser)
			row, state = row[n:], next
			if cells > 0 {
				run, x = run+sequence, x+cells
				continue
			}
			codes, ok := strings.CutPrefix(sequence, "\x1b[")
			require.True(t, ok && strings.HasSuffix(codes, "m"), "a frame holds nothing but text and looks: %q", sequence)
			flush()
			p.change(t, strings.Split(strings.TrimSuffix(codes, "m"), ";"), fore, back)
		}
		flush()
	}
	const head = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %[1]d %[2]d" width="%[1]d" height="%[2]d" font-family="DejaVu Sans Mono, Menlo, Consolas, monospace" font-size="%[3]d" fill="%[4]s" xml:space="preserve">
<rect width="100%%" height="100%%" fill="%[5]s"/>
%[6]s%[7]s</svg>
`
	return fmt.Sprintf(head, width*cellWidth, len(rows)*cellHeight, fontSize, fore, back, ground.String(), text.String())
}

// drawRun draws the cells of row y from one column to before another: their ground, and their text without blank ends.
func drawRun(ground, text *strings.Builder, p pen, run string, from, to, y int) {
	if from == to {
		return
	}
	if p.back != "" {
		fmt.Fprintf(ground, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`+"\n", from*cellWidth, y*cellHeight, (to-from)*cellWidth, cellHeight, p.back)
	}
	shown := strings.TrimLeft(run, " ")
	from += len(run) - len(shown)
	shown = strings.TrimRight(shown, " ")
	if shown == "" {
		return
	}
	fmt.Fprintf(text, `<text x="%d" y="%d" textLength="%d" lengthAdjust="spacingAndGlyphs"`, from*cellWidth, y*cellHeight+baseline, ansi.StringWidth(shown)*cellWidth)
	if p.fore != "" {
		fmt.Fprintf(text, ` fill="%s"`, p.fore)
	}
	if p.bold {
		text.WriteString(` font-weight="bold"`)
	}
	if p.underline {
		text.WriteString(` text-decoration="underline"`)
	}
	text.WriteByte('>')
	_ = xml.EscapeText(text, []byte(shown)) // a strings.Builder takes everything
	text.WriteString("</text>\n")
}

// change follows the codes of ECMA-48, 8.3.117 (SGR), as far as a theme uses them; a 24-bit colour is 38 or 48, 2, and three
// parts (ISO/IEC 8613-6, 13.1.8). A page's colour set explicitly is as good as none.
func (p *pen) change(t *testing.T, codes []string, fore, back string) {
	t.Helper()
	for i := 0; i < len(codes); i++ {
		switch codes[i] {
		case "", "0":
			*p = pen{}
		case "1":
			p.bold = true
		case "22":
			p.bold = false
		case "4":
			p.underline = true
		case "24":
			p.underline = false
		case "38", "48":
			require.Greater(t, len(codes), i+4, "a colour needs three parts: %v", codes)
			colour := "#"
			for _, part := range codes[i+2 : i+5] {
				value, err := strconv.ParseUint(part, 10, 8)
				require.NoError(t, err, "%v", codes)
				colour += fmt.Sprintf("%02x", value)
			}
			if codes[i] == "38" {
				p.fore = unless(colour, fore)
			} else {
				p.back = unless(colour, back)
			}
			i += 4
		default:
			require.Failf(t, "a look that pictures do not know", "%v", codes)
		}
	}
}

func unless(colour, page string) string {
	if colour == page {
		return ""
	}
	return colour
}
