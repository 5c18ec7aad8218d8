package terminal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"runtime/debug"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
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

// crash ends the program because of a panic: it must be called in the deferred function that recovered it. Only the first
// panic is written down, as the others often follow from it.
func (p *Program) crash(value any, stack []byte) {
	p.mutex.Lock()
	_, again := p.ending.(*Crash)
	p.mutex.Unlock()
	if !again {
		file := p.writeCrash(fmt.Sprint(value), stack)
		p.end(&Crash{Value: value, File: file, Journal: p.options.JournalPath})
	}
}

// writeCrash returns the name of the file it wrote, or nothing if it could not.
func (p *Program) writeCrash(value string, stack []byte) string {
	now := p.options.Now().UTC()
	report := fmt.Sprintf("legclock crash report\n\nversion  %s\ntime     %s\nsystem   %s %s/%s, TERM=%s\njournal  %s\n\npanic: %s\n\n%s",
		p.options.Version, now.Format("2006-01-02T15:04:05Z"), runtime.Version(), runtime.GOOS, runtime.GOARCH, os.Getenv("TERM"),
		p.options.JournalPath, value, stack)

	for _, dir := range []string{p.options.CrashDir, os.TempDir()} {
		if dir == "" || os.MkdirAll(dir, 0o755) != nil {
			continue
		}
		name := filepath.Join(dir, now.Format("crash-20060102T150405Z"))
		if name, err := writeNew(name, report); err == nil {
			return name
		}
	}
	return ""
}

// writeNew writes name.txt or, where that exists, name-2.txt and so on.
func writeNew(name, text string) (string, error) {
	path := name + ".txt"
	for n := 2; ; n++ {
		file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if os.IsExist(err) && n < 100 {
			path = fmt.Sprintf("%s-%d.txt", name, n)
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = file.WriteString(text)
		if closing := file.Close(); err == nil {
			err = closing
		}
		return path, err
	}
}

// guard wraps a command so that a panic in it is caught before Bubble Tea would print it into the screen that is about to
// be left.
func (p *Program) guard(command tea.Cmd) tea.Cmd {
	if command == nil {
		return nil
	}
	return func() (msg tea.Msg) {
		defer func() {
			if value := recover(); value != nil {
				p.crash(value, debug.Stack())
				msg = nil
			}
		}()
		return p.guardAll(command())
	}
}

// guardAll guards the commands within the message of tea.Batch or tea.Sequence and returns any other message as it is.
// The type of a sequence is not exported, but it is a slice of commands.
func (p *Program) guardAll(msg tea.Msg) tea.Msg {
	if msg == nil {
		return nil
	}
	list := reflect.ValueOf(msg)
	if list.Kind() != reflect.Slice || list.Type().Elem() != reflect.TypeFor[tea.Cmd]() {
		return msg
	}
	guarded := reflect.MakeSlice(list.Type(), list.Len(), list.Len())
	for i := range list.Len() {
		command, _ := list.Index(i).Interface().(tea.Cmd)
		guarded.Index(i).Set(reflect.ValueOf(p.guard(command)))
	}
	return guarded.Interface()
}
