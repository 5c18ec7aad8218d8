// Package theme says how the parts of a screen look: roles named by meaning, each with its colours and weight.
//
// It knows nothing of layout or of what a screen says, and asks neither terminal nor environment: a theme is
// made by name for a colour profile that the caller found (termenv.EnvColorProfile minds NO_COLOR, TERM and COLORTERM
// and sends no query).
//
// Three themes:
//
//	day    black on white, for a sunny room
//	dusk   red and amber on black, dim, without blue, for eyes that must stay used to the dark
//	plain  no colour at all, the terminal's own colours with bold, underline and reverse
//
// Day and dusk set a background of their own on every cell. The terminal's colours are unknown and are not to be asked
// for: a dark red would vanish on a dark terminal by day, and on a white one dusk would be a lamp. With NO_COLOR both
// fall back to plain.
//
// No meaning hangs on colour alone: every state also has a word or a shape, which is the screens' job.
//
// A Role is two strings, made once. Role.Render joins them around the text; it measures nothing and does not nest.
package theme
