//go:build unix

package terminal

import (
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/testkit"
)

// patience is for a busy machine; a test that passes never waits it out.
const patience = 20 * time.Second

const (
	altScreenOn  = "\x1b[?1049h"
	altScreenOff = "\x1b[?1049l"
)

// A session is a program on a pseudo-terminal, of which every byte is looked at.
type session struct {
	*testkit.Session
	t       *testing.T
	crashes string // the folder for crash files
	read    int    // how much of the output was matched by expect
}

// how a session is started.
type setting struct {
	role          string // see TestMain
	width, height uint16
	through       []string // a command line to run the program through
	noControl     bool     // the terminal is not the program's controlling terminal: losing it sends no SIGHUP
}

func start(t *testing.T, s setting) *session {
	t.Helper()
	p := &session{t: t, crashes: t.TempDir()}
	line := append(s.through, os.Args[0])
	command := exec.Command(line[0], line[1:]...)
	command.Env = append(os.Environ(), roleVariable+"="+s.role, crashVariable+"="+p.crashes, "TERM=xterm-256color")
	if s.noControl {
		command.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	}
	p.Session = testkit.Start(t, command, s.width, s.height)
	return p
}

// expect waits until text is written, after what was expected before, and returns what came between.
func (p *session) expect(text string) (between string) {
	p.t.Helper()
	p.AwaitFor(patience, text, func(string) bool {
		output := p.Raw()[p.read:]
		at := strings.Index(output, text)
		if at < 0 {
			return false
		}
		between = output[:at]
		p.read += at + len(text)
		return true
	})
	return between
}

// restored asserts that the terminal has the modes it had before the program.
func (p *session) restored() {
	p.t.Helper()
	require.Equal(p.t, p.Before, p.Modes(), "modes of the terminal")
}
