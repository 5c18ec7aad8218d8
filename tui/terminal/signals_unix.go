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

// dumpPatience is how long a dump waits for the terminal.
const dumpPatience = time.Second

// watchSignals turns signals into messages and endings. The function it returns is for when the program has ended.
func (p *Program) watchSignals() (ended func()) {
	signals := make(chan os.Signal, 8)
	signal.Notify(signals, syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGTSTP, syscall.SIGCONT, syscall.SIGQUIT, syscall.SIGWINCH)
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
			case syscall.SIGWINCH:
				go p.Send(resizedMsg{})
			case syscall.SIGQUIT:
				p.dump()
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

// dump gives the terminal back and lets SIGQUIT do what it does to every Go program: it prints all stacks and ends it with status 2. It is how
// one asks a program what it hangs on, so it waits only so long for the terminal.
func (p *Program) dump() {
	released := make(chan struct{})
	go func() {
		defer close(released)
		_ = p.release() // what can't be given back is left as it is
	}()
	select {
	case <-released:
	case <-time.After(dumpPatience):
	}
	signal.Reset(syscall.SIGQUIT)
	_ = syscall.Kill(os.Getpid(), syscall.SIGQUIT)
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
