//go:build unix

package terminal

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"
)

// patience is for a busy machine; a test that passes never waits it out.
const patience = 20 * time.Second

const (
	altScreenOn  = "\x1b[?1049h"
	altScreenOff = "\x1b[?1049l"
)

// A session is a program on a pseudo-terminal.
type session struct {
	t       *testing.T
	master  *os.File
	slave   *os.File // kept open, so that the terminal's modes can be read after the program has gone
	before  *term.State
	command *exec.Cmd
	ended   chan struct{} // closed when the program has ended
	crashes string        // the folder for crash files

	mutex  sync.Mutex
	grown  *sync.Cond
	output bytes.Buffer
	read   int // how much of output was matched by expect
}

// how a session is started.
type setting struct {
	role          string // see TestMain
	width, height int
	through       []string // a command line to run the program through
	noControl     bool     // the terminal is not the program's controlling terminal: losing it sends no SIGHUP
}

func start(t *testing.T, s setting) *session {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	t.Cleanup(func() { _ = master.Close(); _ = slave.Close() })
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Cols: uint16(s.width), Rows: uint16(s.height)}))
	before, err := term.GetState(int(slave.Fd()))
	require.NoError(t, err)

	p := &session{t: t, master: master, slave: slave, before: before, crashes: t.TempDir(), ended: make(chan struct{})}
	p.grown = sync.NewCond(&p.mutex)
	line := append(s.through, os.Args[0])
	p.command = exec.Command(line[0], line[1:]...)
	p.command.Env = append(os.Environ(), roleVariable+"="+s.role, crashVariable+"="+p.crashes, "TERM=xterm-256color")
	p.command.Stdin, p.command.Stdout, p.command.Stderr = slave, slave, slave
	p.command.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: !s.noControl}
	require.NoError(t, p.command.Start())
	go p.collect()
	go func() { _ = p.command.Wait(); close(p.ended) }()
	t.Cleanup(func() { _ = p.command.Process.Kill(); <-p.ended })
	return p
}

func (p *session) collect() {
	buffer := make([]byte, 4096)
	for {
		n, err := p.master.Read(buffer)
		p.mutex.Lock()
		p.output.Write(buffer[:n])
		p.grown.Broadcast()
		p.mutex.Unlock()
		if err != nil {
			return
		}
	}
}

// expect waits until text is written, after what was expected before, and returns what came between.
func (p *session) expect(text string) string {
	p.t.Helper()
	var between string
	p.wait(text, func(output string) bool {
		at := strings.Index(output[p.read:], text)
		if at < 0 {
			return false
		}
		between = output[p.read : p.read+at]
		p.read += at + len(text)
		return true
	})
	return between
}

// shows waits until text stands on the screen, in one line.
func (p *session) shows(text string) {
	p.t.Helper()
	p.wait(text, func(output string) bool { return strings.Contains(screenAfter(output), text) })
}

// wait waits until the output satisfies a condition.
func (p *session) wait(text string, satisfied func(output string) bool) {
	p.t.Helper()
	late := false
	timer := time.AfterFunc(patience, func() {
		p.mutex.Lock()
		late = true
		p.grown.Broadcast()
		p.mutex.Unlock()
	})
	defer timer.Stop()
	p.mutex.Lock()
	defer p.mutex.Unlock()
	for !satisfied(p.output.String()) {
		if late {
			output := p.output.String()
			p.t.Fatalf("waited for %q in vain; the screen is\n%s\nafter …%q", text, screenAfter(output), output[max(0, len(output)-500):])
		}
		p.grown.Wait()
	}
}

var element = regexp.MustCompile(`\x1b\[(\??[0-9;]*)([A-Za-z])|\x1b|[^\x1b]`)

// screenAfter is what a terminal shows after the output: the last alternate screen, or nothing when that was left.
func screenAfter(output string) string {
	var lines [100][300]string
	row, column := 0, 0
	for _, match := range element.FindAllStringSubmatch(output, -1) {
		switch match[2] + match[1] {
		case "h?1049", "l?1049", "J2":
			lines = [100][300]string{}
		case "K2":
			lines[row] = [300]string{}
		}
		switch {
		case match[2] == "H":
			row, column = 1, 1
			_, _ = fmt.Sscanf(match[1], "%d;%d", &row, &column)
			row, column = row-1, column-1
		case match[2] == "" && match[0] >= " ":
			lines[row][min(column, 299)] = match[0]
			column++
		}
	}
	var screen strings.Builder
	for _, line := range lines {
		if text := strings.TrimRight(strings.Join(line[:], ""), " "); text != "" {
			screen.WriteString(text + "\n")
		}
	}
	return screen.String()
}

func (p *session) typeKeys(keys string) {
	p.t.Helper()
	_, err := p.master.WriteString(keys)
	require.NoError(p.t, err)
}

func (p *session) resize(width, height int) {
	p.t.Helper()
	require.NoError(p.t, pty.Setsize(p.master, &pty.Winsize{Cols: uint16(width), Rows: uint16(height)}))
}

func (p *session) signal(s os.Signal) {
	p.t.Helper()
	require.NoError(p.t, p.command.Process.Signal(s))
}

// exit waits for the end of the program and returns its exit status.
func (p *session) exit() int {
	p.t.Helper()
	select {
	case <-p.ended:
	case <-time.After(patience):
		p.t.Fatal("the program did not end")
	}
	return p.command.ProcessState.ExitCode()
}

// restored asserts that the terminal has the modes it had before the program.
func (p *session) restored() {
	p.t.Helper()
	now, err := term.GetState(int(p.slave.Fd()))
	require.NoError(p.t, err)
	require.Equal(p.t, p.before, now, "modes of the terminal")
}
