// Package screen is what the root model and the screens agree on: a screen answers a key with intents and turns a Snapshot
// into rows.
//
// A screen holds where its mark stands, its scroll position and nothing of the flight. It reads no clock, records nothing, looks nothing
// up and computes nothing of the flight: all of that is in the Snapshot. Its Rows are a function of the Snapshot, the
// screen's own mark, the size and the theme.
//
// What the root does and a screen need not: the header with the leg clock, the row that is kept for what is late, the entry line, the echo of
// what was recorded, the row of keys, the keys of keys.Global, and the choices that enter opens. Keys reach a screen only after those.
//
// Duties of a screen, tested over all of them: Rows returns exactly Size.Height rows, each exactly Size.Width cells wide, at
// any size from 1×1; every state that has a colour has a word or a shape as well; text that a user typed is cut to its
// cells and holds no control character (frame does both).
package screen
