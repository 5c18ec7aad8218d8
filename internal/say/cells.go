package say

import (
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/mattn/go-runewidth"
)

// Cells is how many columns of a terminal a text without control characters takes at most.
func Cells(text string) int {
	cells := 0
	for text != "" {
		if text[0] < utf8.RuneSelf && (len(text) == 1 || text[1] < utf8.RuneSelf) {
			cells++
			text = text[1:]
			continue
		}
		character, takes := FirstCharacter(text)
		cells += takes
		text = text[len(character):]
	}
	return cells
}

// Within is the beginning of a text that takes so many columns at most.
func Within(text string, cells int) string {
	for i := 0; i < len(text); {
		character, takes := FirstCharacter(text[i:])
		if cells -= takes; cells < 0 {
			return text[:i]
		}
		i += len(character)
	}
	return text
}

// FirstCharacter is the first character of a text, the marks that belong to it included (Unicode Standard Annex 29), and how many columns it takes at
// most. Terminals differ: some give the whole as many as its widest sign, others add up what wcwidth of POSIX says of each, and a sign that is
// written beside its letter (general category Mc) takes a column or none. With the most of these no terminal writes one sign over another.
func FirstCharacter(text string) (character string, cells int) {
	character, cells = ansi.FirstGraphemeCluster(text, ansi.GraphemeWidth)
	added := 0
	for _, r := range character {
		switch {
		case unicode.Is(unicode.Mc, r):
			added += max(1, ansi.StringWidth(string(r))) // two for the tone marks of Hangul
		case !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
			added += runeWidth.RuneWidth(r)
		}
	}
	return character, max(cells, added)
}

var runeWidth = runewidth.Condition{StrictEmojiNeutral: true} // outside East Asia, whatever the environment says
