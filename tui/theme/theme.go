// Package theme says how the parts of a screen look: roles named by meaning, each with its colours and weight.
//
// It knows nothing of layout or of what a screen says, and asks neither terminal nor environment: a theme is
// made by name for a colour profile that the caller found (termenv.EnvColorProfile minds NO_COLOR, TERM and COLORTERM
// and sends no query).
//
// Four themes:
//
//	terminal  the terminal's own colours; the default, since a white page is a lamp beside a dark simulator
//	day       black on white, for a sunny room
//	dusk      red and amber on black, dim, without blue, for eyes that must stay used to the dark
//	plain     no colour at all: bold, underline and reverse
//
// While all is well there is no colour. Amber is due or near a limit, red is late or beyond one, and one accent is for what can be acted on;
// none without its word, which is the screens' job. Lettering has a contrast of at least 4.5:1 on its ground, and what is well, due and late one of
// at least 3:1 from each other, so that they are told apart without seeing hues: by their grounds, or on the terminal's own, which can be any, by a
// line along the band. With NO_COLOR every theme falls back to plain.
//
// A Role is two strings, made once. Role.Render joins them around the text; it measures nothing and does not nest.
package theme

import (
	"fmt"
	"strings"

	"github.com/muesli/termenv"

	"example.com/legclock/tui/frame"
)

// A Role is one look, ready to be put around text.
type Role = frame.Style

// A Theme is the look of a whole screen. Text outside any role has the page's colours.
type Theme struct {
	Name  string
	ASCII bool // draw boxes and bars with ASCII alone; for the caller to set

	// The page: its parts that say nothing of the flight.
	Title    Role // name of a panel
	Frame    Role // lines around and between panels
	Label    Role // what a value is
	Value    Role // a value
	Headline Role // the largest values, big digits
	Muted    Role // what may be overlooked
	Key      Role // a key to press
	Selected Role // the row or field under the cursor
	Entry    Role // half-typed input

	// What there is to do.
	NextAct Role // what can be acted on: the one accent
	Coming  Role // will be due; no look of its own
	Due     Role // to be done now: amber
	Late    Role // should have been done: red
	Done    Role // done, passed or skipped

	// What a value is worth.
	Estimate Role // reckoned, not measured; no look of its own
	Good     Role // within its limit; no look of its own
	Caution  Role // near its limit, or in doubt: amber
	Warning  Role // beyond its limit: red
	Tank     Role // the tank in use

	page Role
}

// Glyphs are the characters to draw with.
func (t Theme) Glyphs() frame.Glyphs {
	if t.ASCII {
		return frame.ASCII()
	}
	return frame.Drawn()
}

// Border is how a panel is framed.
func (t Theme) Border() frame.Border {
	return frame.Border{Glyphs: t.Glyphs(), Line: t.Frame, Title: t.Title}
}

// Page puts the page's colours under rows, in place, and returns them; drawn with ASCII alone, they lose their last signs beyond it. It is the last
// step before painting; every row must have its full width by then, or the terminal's own background shows.
func (t Theme) Page(rows []string) []string {
	for i, row := range rows {
		if t.ASCII {
			row = inASCII.Replace(row)
		}
		rows[i] = t.page.Render(row)
	}
	return rows
}

// inASCII stands in for the signs whose width depends on the terminal's locale (Unicode Standard Annex 11, ambiguous), cell for cell: what is cut
// ends in "+", for there is more; ">" is the mark.
var inASCII = strings.NewReplacer("±", "~", "·", "/", "×", "x", "°", " ", "…", "+", "²", "2", "³", "3", "½", "~", "•", "*", "–", "-", "—", "-", "’", "'")

// Names lists the themes, the default first.
func Names() []string { return []string{"terminal", "day", "dusk", "plain"} }

// Named makes the theme of that name for a colour profile.
func Named(name string, profile termenv.Profile) (Theme, error) {
	switch name {
	case "terminal":
		return Terminal(profile), nil
	case "day":
		return Day(profile), nil
	case "dusk":
		return Dusk(profile), nil
	case "plain":
		return Plain(), nil
	}
	return Theme{}, fmt.Errorf("unknown theme %q; there are %s", name, strings.Join(Names(), ", "))
}
