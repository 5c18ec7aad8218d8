package terminal

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
	"sync/atomic"

	tea "github.com/charmbracelet/bubbletea"
	"golang.org/x/term"

	_ "example.com/legclock/tui/terminal/noquery" // before Bubble Tea's own init
)

// A Program runs one Screen once.
type Program struct {
	screen  Screen
	options Options

	input *os.File    // the terminal that keys come from; unused on Windows
	modes *term.State // its modes before; likewise

	tea   *tea.Program
	ready chan struct{} // closed when tea is set
	done  chan struct{} // closed when Run returns

	mutex  sync.Mutex
	ending error // why the program ends; nil while it runs, and after tea.Quit

	unsettle func() // puts back what settle set; nil before

	stopped   atomic.Bool   // a stop of ours is on
	continued chan struct{} // and is over
}

// New prepares a program. Nothing touches the terminal before Run.
func New(screen Screen, options Options) *Program {
	if options.Output == nil {
		options.Output = os.Stdout
	}
	return &Program{
		screen: screen, options: options,
		ready: make(chan struct{}), done: make(chan struct{}),
		continued: make(chan struct{}, 1),
	}
}

// Run shows the screen until it ends and gives the terminal back as it was. It returns nil after tea.Quit, else one of
// ErrInterrupted, ErrTerminated, ErrHungUp, ErrNoTerminal, a *Crash, the cause of the context's end, or what kept it from
// starting. ExitCode turns that into an exit status.
func (p *Program) Run(ctx context.Context) error {
	defer close(p.done)
	if !term.IsTerminal(int(p.options.Output.Fd())) || os.Getenv("TERM") == "dumb" {
		return ErrNoTerminal
	}
	input, closeInput, err := p.openInput()
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNoTerminal, err)
	}
	defer closeInput()

	p.tea = tea.NewProgram(newLoop(p), append(append(input, displayOptions()...),
		tea.WithOutput(p.options.Output),
		tea.WithoutSignalHandler(),
	)...)
	close(p.ready)
	defer p.watchSignals()()
	defer context.AfterFunc(ctx, func() { p.end(context.Cause(ctx)) })()

	defer p.restore()
	if err := p.takeTerminal(); err != nil {
		return fmt.Errorf("%w: %w", ErrNoTerminal, err)
	}
	defer func() { _ = p.giveTerminalBack() }() // what can't be given back is left as it is
	_, err = p.tea.Run()
	return p.outcome(err)
}

// settle makes the process as small and as quiet as a flight needs it, some seconds after its start, when the first frames are on the screen: doing
// so is itself a collection, and gives a processor up with all that it holds.
func (p *Program) settle() tea.Msg {
	const garbage = 50 // percent: what is held is small, and collecting it twice as often costs little
	p.mutex.Lock()
	defer p.mutex.Unlock()
	percent := debug.SetGCPercent(garbage)
	debug.FreeOSMemory() // what starting took and flying does not need: files read, plans searched, the first look at everything
	// One goroutine does nearly all: more processors only wake each other. What one holds that is given up goes into lists of which each takes a page:
	// after the collection it holds little.
	processors := runtime.GOMAXPROCS(1)
	p.unsettle = func() {
		runtime.GOMAXPROCS(processors)
		debug.SetGCPercent(percent)
	}
	return nil
}

// restore puts back what settle set, if it did.
func (p *Program) restore() {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if p.unsettle != nil {
		p.unsettle()
		p.unsettle = nil
	}
}

// Send delivers a message to Screen.Update from another goroutine. It waits until the program takes it; after the
// program has ended it does nothing. Never call it from a Screen's methods.
func (p *Program) Send(msg tea.Msg) {
	select {
	case <-p.ready:
		p.tea.Send(msg)
	case <-p.done:
	}
}

// Go runs work in a goroutine. A panic in it ends the program as one in the Screen does: crash file, terminal restored.
func (p *Program) Go(work func()) {
	go func() {
		defer func() {
			if value := recover(); value != nil {
				p.crash(value, debug.Stack())
			}
		}()
		work()
	}()
}

// end makes the program quit and Run return reason. It may be called from any goroutine and returns at once.
func (p *Program) end(reason error) {
	p.because(reason)
	go p.Send(tea.QuitMsg{})
}

// because remembers why the program ends. The first reason stands, but a crash outranks the others.
func (p *Program) because(reason error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	var crash *Crash
	if p.ending == nil || errors.As(reason, &crash) && !errors.As(p.ending, &crash) {
		p.ending = reason
	}
}

// outcome is what Run returns, from what Bubble Tea returned.
func (p *Program) outcome(err error) error {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	switch {
	case p.ending != nil:
		return p.ending
	case errors.Is(err, tea.ErrInterrupted):
		return ErrInterrupted
	case err != nil:
		return fmt.Errorf("running the screen: %w", err)
	}
	return nil
}
