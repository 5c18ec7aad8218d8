package terminal

import (
	"io"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// A Screen is the whole of what the program shows and does with keys. Every method is called on one goroutine, so a
// Screen needs no locks; none of them may call Program.Send, which would wait for itself.
type Screen interface {
	// Init returns the first command, or nil. It is called once, before the first Update.
	Init() tea.Cmd

	// Update takes one message. Beside the results of commands and what Program.Send delivers, these come from the
	// terminal:
	//
	//	tea.KeyMsg         one key; never with Alt; with Paste only while Typing is true
	//	tea.WindowSizeMsg  a new size, never zero, never the size it had
	//	Tick               once a second
	//	Resumed            after the program was stopped and continued
	//
	// Ctrl-Z never arrives (the program is stopped); a second Ctrl-C in a row never arrives (the program is
	// interrupted, whatever the screen made of the first).
	Update(tea.Msg) Effect

	// Rows returns exactly height rows, each exactly width cells wide, and changes nothing.
	Rows(width, height int) []string

	// Typing says that a text entry is open, which alone accepts pasted text.
	Typing() bool
}

// An Effect is what a Screen asks for after a message.
type Effect struct {
	Redraw  bool    // something on the screen changed: call Rows and paint. Left false, nothing is built or written
	Ring    bool    // sound the bell, in the same write as the frame
	Command tea.Cmd // runs in a goroutine of its own; what it returns comes back to Update. tea.Quit ends the program
}

// Tick arrives within a millisecond or two of every wall-clock second. It is a reason to look at the clock, never a
// measure of time: under load or while the program is stopped, ticks are lost.
type Tick struct {
	At time.Time // wall clock, without monotonic reading
}

// Resumed arrives after the program was stopped and continued: by Ctrl-Z and fg, or from outside. Everything is painted
// again after it. The flight went on meanwhile, so a screen should say what became due.
type Resumed struct {
	At   time.Time     // wall clock, without monotonic reading
	Away time.Duration // wall time since the stop; 0 if it came without warning
}

// Options are the outside of a program. Now is required.
type Options struct {
	Input  *os.File // nil: standard input or, if that is not a terminal, the controlling terminal. Ignored on Windows
	Output *os.File // nil: standard output

	Now func() time.Time // wall clock

	CrashDir    string // folder for crash files, made when needed; the temporary folder if it cannot be written
	JournalPath string // named in a crash file and in what is said after a crash; may be empty
	Version     string // named in a crash file

	MessageLog io.Writer // for debugging: one line for every message but ticks; nil for none
}
