//go:build unix

package terminal

import (
	"errors"
	"os"
	"os/signal"
	"sync"
	"syscall"
	"time"
)

// signalPatience is how long after the first signal that ends the program further ones are ignored.
const signalPatience = 5 * time.Second

// watchSignals turns signals into messages and endings. The function it returns is for when the program has ended.
func (p *Program) watchSignals() (ended func()) {
	signals := make(chan os.Signal, 8)
	signal.Notify(signals, syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGTSTP, syscall.SIGCONT)
	release := sync.OnceFunc(func() {
		signal.Stop(signals)
		close(signals)
	})
	releaseLater := sync.OnceFunc(func() { time.AfterFunc(signalPatience, release) })

	go func() {
		for s := range signals {
			switch s {
			case syscall.SIGTSTP:
				go p.Send(suspendMsg{})
			case syscall.SIGCONT:
				p.wasContinued()
			default:
				releaseLater()
				p.end(reasonOf(s))
			}
		}
	}()
	return func() {
		if !p.endedBySignal() {
			release()
		}
	}
}

func reasonOf(s os.Signal) error {
	switch s {
	case syscall.SIGINT:
		return ErrInterrupted
	case syscall.SIGHUP:
		return ErrHungUp
	}
	return ErrTerminated
}

// endedBySignal is true when what must be closed after Run is yet to be protected by signalPatience.
func (p *Program) endedBySignal() bool {
	reason := p.outcome(nil)
	return errors.Is(reason, ErrInterrupted) || errors.Is(reason, ErrHungUp) || errors.Is(reason, ErrTerminated)
}
