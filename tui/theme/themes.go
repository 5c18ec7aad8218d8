package theme

import "github.com/muesli/termenv"

// Day is black on white. On white most of the sixteen colours are too pale to read, so what matters most stands on a
// coloured ground, in black or white.
func Day(profile termenv.Profile) Theme {
	if profile == termenv.Ascii {
		return named("day", Plain())
	}
	var (
		black   = colour{"#000000", "0"}
		white   = colour{"#ffffff", "15"}
		grey    = colour{"#555555", "8"}
		blue    = colour{"#003c8f", "4"}
		green   = colour{"#0b5a1e", "2"}
		purple  = colour{"#5e1a8c", "5"}
		red     = colour{"#9c0018", "1"}
		brown   = colour{"#7a3400", "1"}
		amber   = colour{"#ffc400", "3"}
		yellow  = colour{"#fff4b0", "11"}
		skyBlue = colour{"#9fe3ea", "6"}
	)
	m := maker{profile, look{fore: black, back: white}}
	return Theme{
		Name: "day",
		page: m.pageRole(),

		Title:    m.role(look{fore: black, bold: true}),
		Frame:    m.role(look{fore: grey}),
		Label:    m.role(look{fore: grey}),
		Headline: m.role(look{fore: black, bold: true}),
		Muted:    m.role(look{fore: grey}),
		Key:      m.role(look{fore: blue, bold: true}),
		Selected: m.role(look{fore: white, back: black}),
		Entry:    m.role(look{fore: black, underline: true}),

		NextAct: m.role(look{fore: white, back: blue, bold: true}),
		Coming:  m.role(look{fore: blue}),
		Due:     m.role(look{fore: black, back: amber, bold: true}),
		Late:    m.role(look{fore: white, back: red, bold: true}),
		Done:    m.role(look{fore: grey}),

		Estimate: m.role(look{fore: purple}),
		Good:     m.role(look{fore: green}),
		Caution:  m.role(look{fore: brown, underline: true}),
		Warning:  m.role(look{fore: red, back: yellow, bold: true}),
		Tank:     m.role(look{fore: black, back: skyBlue}),
	}
}

// Dusk is red and amber on black. No colour has much blue, none more green than red, and nothing is brighter than it
// must be to be read.
func Dusk(profile termenv.Profile) Theme {
	if profile == termenv.Ascii {
		return named("dusk", Plain())
	}
	var (
		black  = colour{"#000000", "0"}
		amber  = colour{"#c8702e", "3"}
		bright = colour{"#e09038", "3"}
		due    = colour{"#e8a040", "11"}
		red    = colour{"#d64a30", "1"}
		late   = colour{"#f0503c", "9"}
		dim    = colour{"#b06038", "1"}
		deep   = colour{"#94482a", "1"}
	)
	m := maker{profile, look{fore: amber, back: black}}
	return Theme{
		Name: "dusk",
		page: m.pageRole(),

		Title:    m.role(look{fore: bright, bold: true}),
		Frame:    m.role(look{fore: deep}),
		Label:    m.role(look{fore: dim}),
		Headline: m.role(look{fore: bright, bold: true}),
		Muted:    m.role(look{fore: deep}),
		Key:      m.role(look{fore: bright, bold: true}),
		Selected: m.role(look{fore: bright, underline: true, bold: true}),
		Entry:    m.role(look{fore: bright, underline: true}),

		NextAct: m.role(look{fore: black, back: amber}),
		Coming:  m.role(look{fore: bright, underline: true}),
		Due:     m.role(look{fore: black, back: due}),
		Late:    m.role(look{fore: black, back: late}),
		Done:    m.role(look{fore: deep}),

		Estimate: m.role(look{fore: dim, underline: true}),
		Good:     m.role(look{fore: amber, bold: true}),
		Caution:  m.role(look{fore: late}),
		Warning:  m.role(look{fore: due, underline: true, bold: true}),
		Tank:     m.role(look{fore: black, back: red}),
	}
}

// Plain uses no colour.
func Plain() Theme {
	m := maker{profile: termenv.Ascii}
	return Theme{
		Name: "plain",

		Title:    m.role(look{bold: true}),
		Headline: m.role(look{bold: true}),
		Muted:    m.role(look{faint: true}),
		Key:      m.role(look{bold: true}),
		Selected: m.role(look{reverse: true}),
		Entry:    m.role(look{underline: true}),

		NextAct: m.role(look{reverse: true, bold: true}),
		Coming:  m.role(look{bold: true}),
		Due:     m.role(look{reverse: true, underline: true}),
		Late:    m.role(look{reverse: true, bold: true, underline: true}),
		Done:    m.role(look{faint: true}),

		Estimate: m.role(look{underline: true}),
		Caution:  m.role(look{bold: true, underline: true}),
		Warning:  m.role(look{reverse: true, bold: true}),
		Tank:     m.role(look{reverse: true}),
	}
}

func named(name string, theme Theme) Theme {
	theme.Name = name
	return theme
}
