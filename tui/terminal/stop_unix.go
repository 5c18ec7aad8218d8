//go:build unix

package terminal

import (
	"cmp"
	"fmt"
	"os"
	"syscall"
	"time"
)

const (
	// stopPatience is how long a stop may take to happen; if nothing happened by then, the system refused it.
	stopPatience = 300 * time.Millisecond
	// continueDelay is how long the news of being continued may take within the process.
	continueDelay = 50 * time.Millisecond
)

// Whom a stop is for, as the first argument of kill. Ctrl-Z stops all that run in front (a pipeline, `go run` and its
// child), as it does outside raw mode. A SIGTSTP was sent to each of them already.
const processGroup = 0

func thisProcess() int { return os.Getpid() }

// suspend gives the terminal back, stops and, when continued, takes it again.
func (l *loop) suspend(whom int) {
	since := l.now()
	if !l.check(l.release()) {
		return
	}
	l.stop(whom)
	if l.check(l.retake()) {
		l.resumed(l.now().Sub(since))
	}
}

// takeTerminalAnew is for a return from a stop that came without warning, when a shell has changed the terminal's modes.
func (l *loop) takeTerminalAnew() {
	if l.check(l.release()) && l.check(l.retake()) {
		l.resumed(0)
	}
}

// release gives the terminal back for a while; nothing is read from it until it is retaken.
func (p *Program) release() error {
	return cmp.Or(p.tea.ReleaseTerminal(), p.giveTerminalBack())
}

func (p *Program) retake() error {
	return cmp.Or(p.takeTerminal(), p.tea.RestoreTerminal())
}

// check ends the program when the terminal's modes cannot be set.
func (l *loop) check(err error) bool {
	if err != nil {
		l.end(fmt.Errorf("%w: %w", ErrHungUp, err))
	}
	return err == nil
}

// stop stops whom and returns when continued. The signal is SIGTTIN: SIGTSTP is caught by this program, and Go cannot give
// a signal that it caught once its first meaning back; SIGSTOP would stop a program that nobody is there to continue,
// while the system drops SIGTTIN for a process group without a shell that could.
func (p *Program) stop(whom int) {
	p.stopped.Store(true)
	defer p.stopped.Store(false)
	select {
	case <-p.continued: // left over
	default:
	}
	if syscall.Kill(whom, syscall.SIGTTIN) != nil {
		return
	}
	select {
	case <-p.continued:
		return
	case <-time.After(stopPatience):
	}
	// The time may have run out during the stop, so that both are due now.
	select {
	case <-p.continued:
	case <-time.After(continueDelay):
	}
}

// wasContinued takes a SIGCONT to whom it concerns.
func (p *Program) wasContinued() {
	if !p.stopped.Load() {
		go p.Send(continuedMsg{})
		return
	}
	select {
	case p.continued <- struct{}{}:
	default:
	}
}
