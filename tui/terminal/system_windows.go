package terminal

import (
	"os"
	"os/signal"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"
)

// Nothing stops a program on Windows.
const processGroup = 0

func thisProcess() int { return 0 }

// displayOptions are for Bubble Tea's renderer, which has the console's modes, the alternate screen and its size. It is to draw nothing, and wakes as
// often as it may draw.
func displayOptions() []tea.ProgramOption {
	return []tea.ProgramOption{tea.WithAltScreen(), tea.WithFPS(1), tea.WithFilter(keepSizeFromRenderer)}
}

// keepSizeFromRenderer hides sizes from Bubble Tea's renderer, which would clear and cut lines by them.
func keepSizeFromRenderer(_ tea.Model, msg tea.Msg) tea.Msg {
	if size, ok := msg.(tea.WindowSizeMsg); ok {
		return sizeMsg{size.Width, size.Height}
	}
	return msg
}

func (p *Program) takeTerminal() error { return nil }

func (p *Program) giveTerminalBack() error { return nil }

func (l *loop) askSize() { l.commands = append(l.commands, tea.WindowSize()) }

func (l *loop) suspend(int) {}

func (l *loop) takeTerminalAnew() {}

// openInput leaves the input alone: the console tells of resizes only through a standard input that nothing is wrapped
// around.
func (p *Program) openInput() (options []tea.ProgramOption, closeInput func(), err error) {
	return nil, func() {}, nil
}

// watchSignals ends the program on Ctrl-Break (os.Interrupt) and when the window is closed, which Go tells as SIGTERM.
func (p *Program) watchSignals() (ended func()) {
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM)
	go func() {
		for s := range signals {
			if s == os.Interrupt {
				p.end(ErrInterrupted)
			} else {
				p.end(ErrTerminated)
			}
		}
	}()
	return func() {
		signal.Stop(signals)
		close(signals)
	}
}
