package terminal

import "errors"

// How a program ended, other than by tea.Quit.
var (
	// ErrInterrupted: SIGINT, tea.Interrupt, or Ctrl-C twice.
	ErrInterrupted = errors.New("interrupted")
	// ErrTerminated: SIGTERM.
	ErrTerminated = errors.New("terminated")
	// ErrHungUp: SIGHUP, the end of input, or a frame that could not be written: the terminal is gone.
	ErrHungUp = errors.New("the terminal is gone")
	// ErrNoTerminal: output is not a terminal, or one that cannot place the cursor. Nothing was started.
	ErrNoTerminal = errors.New("this needs a terminal that can show a full screen")
)

// A Crash is a panic that was caught. Its text is three lines for the user.
type Crash struct {
	Value   any    // what was panicked with
	File    string // the crash file; empty if none could be written
	Journal string // Options.JournalPath
}

func (c *Crash) Error() string { return "" }

// ExitCode returns the exit status for what Run returned: 0 after a quit, 128 + the signal's number after a signal,
// 70 (EX_SOFTWARE of sysexits.h) after a crash, 2 without a terminal, 1 otherwise.
func ExitCode(err error) int { return 0 }
