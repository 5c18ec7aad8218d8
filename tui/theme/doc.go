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
// none without its word, which is the screens' job. Lettering has a contrast of at least 4.5:1 on its ground, and the grounds of what is well,
// due and late one of at least 3:1 from each other, so that they are told apart without seeing hues. With NO_COLOR every theme falls back to plain.
//
// A Role is two strings, made once. Role.Render joins them around the text; it measures nothing and does not nest.
package theme
