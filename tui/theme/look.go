package theme

import (
	"strings"

	"github.com/muesli/termenv"
)

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
	page    look
}

// sequence returns the escape sequence that sets a look, complete with the page's colours where it names none.
func (m maker) sequence(l look) string {
	parts := []string{"0"}
	for _, attribute := range []struct {
		on   bool
		code string
	}{{l.bold, "1"}, {l.faint, "2"}, {l.underline, "4"}, {l.reverse, "7"}} {
		if attribute.on {
			parts = append(parts, attribute.code)
		}
	}
	fore, back := l.fore, l.back
	if fore == (colour{}) {
		fore = m.page.fore
	}
	if back == (colour{}) {
		back = m.page.back
	}
	parts = m.appendColour(parts, fore, false)
	parts = m.appendColour(parts, back, true)
	return "\x1b[" + strings.Join(parts, ";") + "m"
}

func (m maker) appendColour(parts []string, c colour, background bool) []string {
	if c == (colour{}) || m.profile == termenv.Ascii {
		return parts
	}
	value := c.exact
	if m.profile == termenv.ANSI {
		value = c.sixteen
	}
	return append(parts, m.profile.Color(value).Sequence(background))
}

// role returns the look as a role that hands the cell after it back to the page.
func (m maker) role(l look) Role {
	if l == (look{}) {
		return Role{}
	}
	return Role{prefix: m.sequence(l), suffix: m.pageRole().prefix + m.plainReset()}
}

// pageRole is the page's own colours, ended by the terminal's.
func (m maker) pageRole() Role {
	if m.page == (look{}) {
		return Role{}
	}
	return Role{prefix: m.sequence(m.page), suffix: reset}
}

// plainReset ends a role where there are no page colours to go back to.
func (m maker) plainReset() string {
	if m.page == (look{}) {
		return reset
	}
	return ""
}
