package theme

import "github.com/muesli/termenv"

// A palette is the few colours that a theme is made of. Only what is due, late or to be acted on has one that differs from the
// page's: a pilot who sees a colour has something to do.
type palette struct {
	page        look   // of all text; empty: the terminal's own
	dim, line   colour // of labels and of lines; empty: the page's
	bright      colour // of the largest figures; empty: the page's
	accent      look   // what can be acted on
	key         colour
	due, late   look // lettering and ground
	selected    look
	faintIsDone bool // what is over is faint instead of dim
}

// theme gives each role its look.
func (p palette) theme(name string, profile termenv.Profile) Theme {
	m := maker{profile, p.page}
	strong := look{fore: p.bright, bold: true}
	done := m.role(look{fore: p.dim, faint: p.faintIsDone})
	due, late := p.due, p.late
	due.bold, late.bold = false, false
	t := Theme{
		Name: name,

		Title:    m.role(strong),
		Frame:    m.role(look{fore: p.line, faint: p.faintIsDone}),
		Label:    m.role(look{fore: p.dim}),
		Headline: m.role(strong),
		Muted:    m.role(look{fore: p.dim}),
		Key:      m.role(look{fore: p.key, bold: true}),
		Selected: m.role(p.selected),
		Entry:    m.role(look{fore: p.bright, underline: true}),

		NextAct: m.role(p.accent),
		Due:     m.role(p.due),
		Late:    m.role(p.late),
		Done:    done,

		Caution: m.role(due),
		Warning: m.role(late),
		Tank:    m.role(strong),
	}
	if p.page != (look{}) {
		t.page = m.pageRole()
	}
	return t
}

var (
	black = colour{"#000000", "0"}
	white = colour{"#ffffff", "15"}
)

// Terminal leaves the terminal its own colours, whatever they are. What is due, late or to be acted on brings its ground along, so that its
// lettering can be read on any. No amber and red are 3 to 1 apart from each other and from a black and from a white page too: that would need two
// luminances (WCAG 2.2) from 0.1 to 0.3 that are 3 to 1 apart, and there are none. So amber and red are 3 to 1 from each other, and what tells
// either from the page, whatever that is, is a line in the colour of its lettering along the band's lower edge. Sixteen colours have no such
// line: what they are is the terminal's business, and the Linux console shows a line as a colour of its own, which can't be read on amber.
func Terminal(profile termenv.Profile) Theme {
	if profile == termenv.Ascii {
		return named("terminal", Plain())
	}
	edged := profile != termenv.ANSI
	return palette{
		accent:      look{fore: white, back: colour{"#0060b0", "4"}, bold: true},
		due:         look{fore: black, back: colour{"#e0a800", "3"}, bold: true, underline: edged},
		late:        look{fore: white, back: colour{"#c00000", "1"}, bold: true, underline: edged},
		selected:    look{reverse: true},
		faintIsDone: true,
	}.theme("terminal", profile)
}

// Day is black on white.
func Day(profile termenv.Profile) Theme {
	if profile == termenv.Ascii {
		return named("day", Plain())
	}
	grey, blue := colour{"#555555", "8"}, colour{"#003c8f", "4"}
	return palette{
		page: look{fore: black, back: white},
		dim:  grey, line: grey, bright: black, key: blue,
		accent:   look{fore: white, back: blue, bold: true},
		due:      look{fore: black, back: colour{"#d08000", "3"}, bold: true},
		late:     look{fore: white, back: colour{"#8f0016", "1"}, bold: true},
		selected: look{fore: white, back: black},
	}.theme("day", profile)
}

// Dusk is red and amber on black. No colour has much blue, none more green than red, and nothing is brighter than it
// must be to be read.
func Dusk(profile termenv.Profile) Theme {
	if profile == termenv.Ascii {
		return named("dusk", Plain())
	}
	bright, dim := colour{"#e09038", "3"}, colour{"#b06038", "1"}
	return palette{
		page: look{fore: colour{"#c8702e", "3"}, back: black},
		dim:  dim, line: colour{"#94482a", "1"}, bright: bright, key: bright,
		accent:   look{fore: bright, underline: true, bold: true},
		due:      look{fore: black, back: colour{"#e8a040", "3"}},
		late:     look{fore: colour{"#ffdca8", "15"}, back: colour{"#b02010", "1"}, bold: true},
		selected: look{fore: black, back: dim},
	}.theme("dusk", profile)
}

// Plain uses no colour.
func Plain() Theme {
	return palette{
		accent:      look{underline: true, bold: true},
		due:         look{reverse: true},
		late:        look{reverse: true, bold: true, underline: true},
		selected:    look{reverse: true},
		faintIsDone: true,
	}.theme("plain", termenv.Ascii)
}

func named(name string, theme Theme) Theme {
	theme.Name = name
	return theme
}
