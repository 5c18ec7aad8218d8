package terminal

import (
	"context"

	tea "github.com/charmbracelet/bubbletea"

	_ "example.com/legclock/tui/terminal/noquery" // before Bubble Tea's own init
)

// A Program runs one Screen once.
type Program struct{ screen Screen }

// New prepares a program. Nothing touches the terminal before Run.
func New(screen Screen, options Options) *Program { return &Program{screen: screen} }

// Run shows the screen until it ends and gives the terminal back as it was. It returns nil after tea.Quit, else one of
// ErrInterrupted, ErrTerminated, ErrHungUp, ErrNoTerminal, a *Crash, the context's error, or what kept it from starting.
// ExitCode turns that into an exit status.
func (p *Program) Run(ctx context.Context) error { return nil }

// Send delivers a message to Screen.Update from another goroutine. It waits until the program takes it; after the
// program has ended it does nothing. Never call it from a Screen's methods.
func (p *Program) Send(msg tea.Msg) {}

// Go runs work in a goroutine. A panic in it ends the program as one in the Screen does: crash file, terminal restored.
func (p *Program) Go(work func()) { go work() }
