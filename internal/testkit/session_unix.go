//go:build unix

package testkit

import (
	"bytes"
	"cmp"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"
)

// patience is how long a test waits for something to be seen before it fails.
const patience = 30 * time.Second

// Session is a program running in a pseudo-terminal.
type Session struct {
	t       *testing.T
	Command *exec.Cmd
	Before  *term.State // the terminal's modes before the program
	tty     *os.File
	slave   *os.File // kept open until the program's end, so that the terminal's modes can be read

	mutex  sync.Mutex
	screen *Screen
	raw    bytes.Buffer
	news   chan struct{}
	gone   chan struct{}
	err    error       // how the program ended; read after gone
	modes  *term.State // at the program's end; nil until then
}

// Start runs a command in a pseudo-terminal of the given size; one of 0 by 0 says no size. A standard input that the command has been
// given stays: then its keys come from the terminal that its output goes to. The terminal controls the program unless the command has
// attributes of its own.
func Start(t *testing.T, command *exec.Cmd, columns, rows uint16) *Session {
	t.Helper()
	tty, slave, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(tty, &pty.Winsize{Cols: columns, Rows: rows}))
	const standardOutput = 1
	if command.SysProcAttr == nil {
		command.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true, Ctty: standardOutput}
	}
	if command.Stdin == nil {
		command.Stdin = slave
	}
	command.Stdout, command.Stderr = slave, slave
	s := &Session{
		t: t, Command: command, tty: tty, slave: slave,
		screen: NewScreen(int(cmp.Or(columns, 80)), int(cmp.Or(rows, 24))),
		news:   make(chan struct{}, 1), gone: make(chan struct{}),
	}
	s.Before = s.Modes()
	require.NoError(t, command.Start())
	read := make(chan struct{})
	go s.read(read)
	go func() {
		s.err = command.Wait()
		s.mutex.Lock()
		s.modes, _ = term.GetState(int(slave.Fd()))
		_ = slave.Close() // what the program wrote last is still read
		s.mutex.Unlock()
		<-read
		close(s.gone)
	}()
	t.Cleanup(func() {
		_ = command.Process.Kill()
		<-s.gone
		_ = tty.Close()
	})
	return s
}

func (s *Session) read(done chan struct{}) {
	defer close(done)
	buffer := make([]byte, 32<<10)
	for {
		n, err := s.tty.Read(buffer)
		s.mutex.Lock()
		_, _ = s.screen.Write(buffer[:n])
		s.raw.Write(buffer[:n])
		s.mutex.Unlock()
		select {
		case s.news <- struct{}{}:
		default:
		}
		if err != nil { // the program closed its side
			return
		}
	}
}

// Type sends keys in one write.
func (s *Session) Type(keys string) {
	s.t.Helper()
	if _, err := s.tty.WriteString(keys); err != nil {
		s.t.Fatalf("typing %q: %v\n%s", keys, err, s.Text())
	}
}

// Text is what the screen shows now.
func (s *Session) Text() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.screen.String()
}

// Raw is every byte that the program wrote.
func (s *Session) Raw() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.raw.String()
}

// Alternate reports whether the alternate screen is up.
func (s *Session) Alternate() bool {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.screen.Alternate
}

// Resize changes the size of the terminal.
func (s *Session) Resize(columns, rows uint16) {
	s.t.Helper()
	s.mutex.Lock()
	s.screen.Resize(int(columns), int(rows))
	s.mutex.Unlock()
	if err := pty.Setsize(s.tty, &pty.Winsize{Cols: columns, Rows: rows}); err != nil {
		s.t.Fatalf("resizing: %v", err)
	}
}

// Await waits until the screen satisfies a condition, and fails the test with the screen when it never does.
func (s *Session) Await(what string, holds func(screen string) bool) {
	s.t.Helper()
	s.AwaitFor(patience, what, holds)
}

// AwaitFor is Await with a patience of its own. The condition is looked at whenever the program has written something.
func (s *Session) AwaitFor(patience time.Duration, what string, holds func(screen string) bool) {
	s.t.Helper()
	deadline := time.After(patience)
	for !holds(s.Text()) {
		select {
		case <-s.news:
		case <-s.gone:
			if holds(s.Text()) {
				return
			}
			s.t.Fatalf("the program ended (%v) before %s; the screen:\n%s", s.err, what, s.Text())
		case <-deadline:
			s.t.Fatalf("never saw %s; the screen:\n%s", what, s.Text())
		}
	}
}

// AwaitText waits until the screen holds a text.
func (s *Session) AwaitText(text string) {
	s.t.Helper()
	s.Await("«"+text+"»", func(screen string) bool { return strings.Contains(screen, text) })
}

// Wait waits for the program's end and returns its exit code, -1 when a signal ended it.
func (s *Session) Wait() int {
	s.t.Helper()
	select {
	case <-s.gone:
	case <-time.After(patience):
		s.t.Fatalf("the program did not end; the screen:\n%s", s.Text())
	}
	return s.Command.ProcessState.ExitCode()
}

// Modes are the modes of the terminal: now, or as the program left them.
func (s *Session) Modes() *term.State {
	s.t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.modes != nil {
		return s.modes
	}
	modes, err := term.GetState(int(s.slave.Fd()))
	require.NoError(s.t, err)
	return modes
}

// HangUp closes the terminal under the program.
func (s *Session) HangUp() { _ = s.tty.Close() }
