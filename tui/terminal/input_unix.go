//go:build unix

package terminal

import (
	"errors"
	"os"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/cancelreader"
	"golang.org/x/term"
)

// openInput returns the options by which Bubble Tea reads the keys.
func (p *Program) openInput() (options []tea.ProgramOption, closeInput func(), err error) {
	file, closeInput := p.options.Input, func() {}
	if file == nil {
		file = os.Stdin
		if !term.IsTerminal(int(file.Fd())) { // a plan or a feed is piped in
			if file, err = os.Open("/dev/tty"); err != nil {
				return nil, nil, err
			}
			closeInput = func() { _ = file.Close() }
		}
	}
	return []tea.ProgramOption{tea.WithInput(watchedInput{file, p})}, closeInput, nil
}

// watchedInput notices the end of input, which Bubble Tea's read loop swallows.
type watchedInput struct {
	*os.File
	program *Program
}

func (w watchedInput) Read(buffer []byte) (int, error) {
	n, err := w.File.Read(buffer)
	if err != nil && !errors.Is(err, cancelreader.ErrCanceled) {
		w.program.end(ErrHungUp)
	}
	return n, err
}
