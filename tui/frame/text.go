package frame

import (
	"iter"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"

	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
)

// A Style dresses text (colour, bold) by what is written before it and after it; its width stays as it is. The zero Style leaves
// text plain. It is one word, as fields carry it by the hundred.
type Style struct{ *dress }

type dress struct{ on, off string }

// NewStyle makes a style of the control sequences that switch it on and off.
func NewStyle(on, off string) Style {
	if on == "" {
		return Style{}
	}
	return Style{&dress{on, off}}
}

// On is what switches the style on.
func (s Style) On() string {
	if s.dress == nil {
		return ""
	}
	return s.on
}

// Off is what switches the style off.
func (s Style) Off() string {
	if s.dress == nil {
		return ""
	}
	return s.off
}

// Render dresses text that holds no other style.
func (s Style) Render(text string) string {
	if text == "" || s.dress == nil {
		return text
	}
	return s.on + text + s.off
}

// cutMark ends a text that was cut, so that a cut number is not taken for a whole one.
const cutMark = "…"

// Width returns the number of cells text takes at most (say.FirstCharacter); escape sequences take none.
func Width(text string) int {
	cells := 0
	for i := 0; i < len(text); {
		b := text[i]
		switch {
		case b >= 0x20 && b < 0x7f:
			cells++
			i++
		case b == 0x1b:
			end := sequenceEnd(text, i)
			if end == 0 {
				return widthOfAny(text)
			}
			i = end
		default:
			r, size := utf8.DecodeRuneInString(text[i:])
			if !OneCell(r) {
				return widthOfAny(text)
			}
			cells++
			i += size
		}
	}
	return cells
}

// widthOfAny is Width without regard to what is quick.
func widthOfAny(text string) (cells int) {
	for _, takes := range Pieces(text) {
		cells += takes
	}
	return cells
}

// Pieces goes through a text, sequence by sequence and character by character, each with the number of cells it takes at most.
func Pieces(text string) iter.Seq2[string, int] {
	return func(yield func(string, int) bool) {
		for text != "" {
			var piece string
			var cells int
			if text[0] < 0x20 {
				piece, _, _, _ = ansi.DecodeSequence(text, ansi.NormalState, nil)
			} else {
				piece, cells = say.FirstCharacter(text)
			}
			if !yield(piece, cells) {
				return
			}
			text = text[len(piece):]
		}
	}
}

// sequenceEnd returns the index after the control sequence (ESC [ … final byte) at start, or 0 if there is none.
func sequenceEnd(text string, start int) int {
	if start+1 >= len(text) || text[start+1] != '[' {
		return 0
	}
	for i := start + 2; i < len(text); i++ {
		if b := text[i]; b >= 0x40 && b <= 0x7e {
			return i + 1
		} else if b < 0x20 || b > 0x7e {
			return 0
		}
	}
	return 0
}

// OneCell is true for the characters beyond ASCII that take one cell without a look at any table and without regard to
// their neighbours: Latin-1 and Latin Extended letters, box drawing and block elements. What could join with them (marks,
// selectors) is not among them.
func OneCell(r rune) bool {
	return r >= 0xa1 && r <= 0x24f && r != 0xad || r >= 0x2500 && r <= 0x259f || r == '…' || r == '●'
}

// Fit returns text in exactly width cells: padded on the right, or cut with a mark in the last cell.
func Fit(text string, width int) string {
	text, cells := Cut(text, width)
	return text + blank(width-cells)
}

// FitRight is Fit with the text at the right edge.
func FitRight(text string, width int) string {
	text, cells := Cut(text, width)
	return blank(width-cells) + text
}

// Centre is Fit with the text in the middle; an odd cell goes to the right.
func Centre(text string, width int) string {
	text, cells := Cut(text, width)
	left := (width - cells) / 2
	return blank(left) + text + blank(width-cells-left)
}

// Cut shortens text to at most width cells, with a mark in the last, and returns it with its width, which is less where a wide character
// had no room.
func Cut(text string, width int) (string, int) {
	if width <= 0 {
		return "", 0
	}
	cells := Width(text)
	if cells <= width {
		return text, cells
	}
	if len(text) == cells { // ASCII throughout: one byte is one cell
		return text[:width-1] + cutMark, width
	}
	return truncate(text, width, cutMark)
}

// truncate cuts text that is wider than so many cells, and returns it with its width. Sequences behind the cut stay: they may end a style.
func truncate(text string, width int, mark string) (string, int) {
	var kept strings.Builder
	room, cut := width-Width(mark), false
	for piece, cells := range Pieces(text) {
		switch {
		case cells == 0 && (!cut || piece[0] == ansi.ESC):
			kept.WriteString(piece)
		case !cut && cells <= room: // a wide character at the edge leaves a cell
			kept.WriteString(piece)
			room -= cells
		case !cut:
			kept.WriteString(mark)
			cut = true
		}
	}
	return kept.String(), width - room
}

// Crop is text cut to at most width cells, without a mark.
func Crop(text string, width int) string {
	if Width(text) <= width {
		return text
	}
	text, _ = truncate(text, width, "")
	return text
}

// Fitting is the first of the wordings of something that has room in a width; the last of them is cut where none has.
func Fitting(width int, wordings ...string) string {
	for _, text := range wordings {
		if Width(text) <= width {
			return text
		}
	}
	return Shorten(wordings[len(wordings)-1], width)
}

// Clauses is text without those of its last clauses that have no room in a width. Of a time it keeps the figures; only what is one clause is cut.
func Clauses(text string, width int) string {
	for Width(text) > width {
		at := strings.LastIndex(text, ", ")
		if at < 0 {
			break
		}
		text = text[:at]
	}
	if Width(text) == width+1 && zulu().MatchString(text) {
		return strings.TrimSuffix(text, "Z")
	}
	return Shorten(text, width)
}

var zulu = pattern.Of(`:[0-9]{2}Z$`)

// Shorten is text cut to at most width cells.
func Shorten(text string, width int) string {
	text, _ = Cut(text, width)
	return text
}

// Short is the first of texts, the last of them marked where there are more.
func Short(texts []string, most int) []string {
	if len(texts) <= most {
		return texts
	}
	short := append([]string{}, texts[:most]...)
	if most > 0 {
		short[most-1] += cutMark
	}
	return short
}

const spaces = "                                                                                                    " +
	"                                                                                                    "

// blank returns cells spaces, none for a negative number.
func blank(cells int) string {
	if cells <= 0 {
		return ""
	}
	if cells <= len(spaces) {
		return spaces[:cells]
	}
	return strings.Repeat(" ", cells)
}

// Clean makes text from outside safe to place in a row: one line, without control characters, escape sequences, invisible
// characters or such as turn the direction of writing, and with nothing at its ends that joins a border or a space. Tabs
// and line breaks become spaces. Two cleaned texts must not touch: put a space or a line between them.
func Clean(text string) string {
	if isPlain(text) {
		return text
	}
	const border = "│"
	text = strings.Map(cleanRune, ansi.Strip(strings.ToValidUTF8(text, "?")))
	for text != "" { // a mark without its letter
		first, size := utf8.DecodeRuneInString(text)
		if !unicode.Is(unicode.M, first) && ansi.StringWidth(border+text) == 1+ansi.StringWidth(text) {
			break
		}
		text = text[size:]
	}
	for text != "" && ansi.StringWidth(text+border) != 1+ansi.StringWidth(text) { // a sign written before its letter
		_, size := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-size]
	}
	return text
}

// cleanRune returns the rune to show for r, or -1 for none. Emoji are kept from joining, as terminals differ in how wide
// the joined sign is: skin tones go, and the letters of a flag are shown as letters.
func cleanRune(r rune) rune {
	switch {
	case r == '\t' || r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
		return ' '
	case unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r):
		return -1
	case r >= 0x1f3fb && r <= 0x1f3ff:
		return -1
	case r >= 0x1f1e6 && r <= 0x1f1ff:
		return 'A' + r - 0x1f1e6
	}
	return r
}

// isPlain is true for printable ASCII.
func isPlain(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < 0x20 || text[i] > 0x7e {
			return false
		}
	}
	return true
}

// Wrap breaks text into lines of at most width cells, between words where it can.
func Wrap(text string, width int) []string {
	if width <= 0 {
		return nil
	}
	var lines []string
	for _, line := range strings.Split(ansi.Wrap(text, width, ""), "\n") {
		narrower := width
		for wrapped := []string{line}; ; wrapped = strings.Split(ansi.Wrap(line, narrower, ""), "\n") {
			if narrower--; narrower == 0 || !slices.ContainsFunc(wrapped, func(line string) bool { return Width(line) > width }) {
				lines = append(lines, wrapped...)
				break
			}
		}
	}
	return lines
}
