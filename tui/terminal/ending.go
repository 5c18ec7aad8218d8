package terminal

import (
	"errors"
	"fmt"
	"strings"
)

// How a program ended, other than by tea.Quit.
var (
	// ErrInterrupted: SIGINT, tea.Interrupt, or Ctrl-C twice.
	ErrInterrupted = errors.New("interrupted")
	// ErrTerminated: SIGTERM.
	ErrTerminated = errors.New("terminated")
	// ErrHungUp: SIGHUP, the end of input, or a frame that could not be written.
	ErrHungUp = errors.New("the terminal is gone")
	// ErrNoTerminal: output is not a terminal, or one that cannot place the cursor. Nothing was started.
	ErrNoTerminal = errors.New("this needs a terminal that can show a full screen")
)

// A Crash is a panic that was caught.
type Crash struct {
	Value   any    // what was panicked with
	File    string // the crash file; empty if none could be written
	Journal string // Options.JournalPath
}

// Error returns three lines for the user.
func (c *Crash) Error() string {
	fault, _, _ := strings.Cut(fmt.Sprint(c.Value), "\n")
	file := "no crash file could be written"
	if c.File != "" {
		file = "what happened is written in " + c.File + "; please send it with your report"
	}
	journal := "no flight was being recorded"
	if c.Journal != "" {
		journal = "every entry that was acknowledged is in " + c.Journal
	}
	return "stopped by a fault in the program: " + fault + "\n" + file + "\n" + journal
}

// ExitCode returns the exit status for what Run returned: 0 after a quit, 128 + the signal's number after a signal (129
// for any loss of the terminal), 70 (EX_SOFTWARE of BSD's sysexits.h) after a crash, 2 without a terminal, 1 otherwise.
func ExitCode(err error) int {
	var crash *Crash
	switch {
	case err == nil:
		return 0
	case errors.As(err, &crash):
		return 70
	case errors.Is(err, ErrHungUp):
		return 128 + 1
	case errors.Is(err, ErrInterrupted):
		return 128 + 2
	case errors.Is(err, ErrTerminated):
		return 128 + 15
	case errors.Is(err, ErrNoTerminal):
		return 2
	}
	return 1
}
