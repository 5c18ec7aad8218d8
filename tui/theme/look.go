package theme

import (
	"strings"

	"github.com/muesli/termenv"

	"example.com/legclock/tui/frame"
)

// reset gives the terminal's own colours and weight.
const reset = "\x1b[m"

// A colour is given twice: as it should be, and as one of the sixteen colours every terminal has. The sixteen are chosen
// by hand, since the nearest by distance is often the wrong one to read.
type colour struct {
	exact   string // "#rrggbb"
	sixteen string // "0" to "15"
}

// A look is what a role is made of. A colour left empty is the page's.
type look struct {
	fore, back                      colour
	bold, faint, underline, reverse bool
}

// A maker turns looks into roles for one profile on one page.
type maker struct {
	profile termenv.Profile
	page    look // empty: the terminal's own colours
}

// role sets what differs from the page, and sets the same back: half the bytes of setting everything, on every field of
// every frame.
func (m maker) role(l look) Role {
	if l == (look{}) {
		return Role{}
	}
	if m.bleaches(l) {
		l.bold = false
	}
	on, off := attributes(l)
	if l.fore != (colour{}) && l.fore != m.page.fore {
		on, off = append(on, m.code(l.fore, false)), append(off, m.code(m.page.fore, false))
	}
	if l.back != (colour{}) && l.back != m.page.back {
		on, off = append(on, m.code(l.back, true)), append(off, m.code(m.page.back, true))
	}
	if len(on) == 0 {
		return Role{}
	}
	return frame.NewStyle(sequence(on), sequence(off))
}

// bleaches is true where bold would make text hard to read: with sixteen colours many terminals show bold as the brighter
// one of a pair (black as grey, red as pink), which helps on a dark page and harms on a light one.
func (m maker) bleaches(l look) bool {
	fore := l.fore
	if fore == (colour{}) {
		fore = m.page.fore
	}
	dark := len(fore.sixteen) == 1 && fore.sixteen < "8"
	return l.bold && dark && m.profile == termenv.ANSI && m.page.back.sixteen == "15"
}

// pageRole is the page's own colours, ended by the terminal's.
func (m maker) pageRole() Role {
	return frame.NewStyle(sequence([]string{m.code(m.page.fore, false), m.code(m.page.back, true)}), reset)
}

// attributes returns the codes of ECMA-48, 8.3.117 (SGR), that set a look's weight and that set it back.
func attributes(l look) (on, off []string) {
	if l.bold {
		on = append(on, "1")
	}
	if l.faint {
		on = append(on, "2")
	}
	if l.bold || l.faint {
		off = append(off, "22")
	}
	if l.underline {
		on, off = append(on, "4"), append(off, "24")
	}
	if l.reverse {
		on, off = append(on, "7"), append(off, "27")
	}
	return on, off
}

// code returns the code that sets a colour; an empty one is the terminal's own.
func (m maker) code(c colour, background bool) string {
	switch {
	case c == colour{} && background:
		return "49"
	case c == colour{}:
		return "39"
	}
	value := c.exact
	if m.profile == termenv.ANSI {
		value = c.sixteen
	}
	return m.profile.Color(value).Sequence(background)
}

func sequence(codes []string) string { return "\x1b[" + strings.Join(codes, ";") + "m" }
