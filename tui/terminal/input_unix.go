//go:build unix

package terminal

import (
	"errors"
	"os"
	"slices"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/cancelreader"
	"golang.org/x/sys/unix"
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
	return []tea.ProgramOption{tea.WithInput(&keyboard{File: file, program: p})}, closeInput, nil
}

// A keyboard is the terminal as Bubble Tea reads it, a few hundred bytes at a time: what is read is made unambiguous, and the end of input, which
// Bubble Tea swallows, is noticed.
type keyboard struct {
	*os.File
	program *Program
	keys    []byte // reused
	held    []byte // the beginning of a key, the rest of which waits to be read
}

func (k *keyboard) Read(buffer []byte) (int, error) {
	keys := append(slices.Grow(k.keys[:0], len(buffer)/2), k.held...) // each byte may become two
	most := len(buffer)/2 - len(keys)
	n, err := k.File.Read(keys[len(keys):][:most])
	if err != nil && !errors.Is(err, cancelreader.ErrCanceled) {
		k.program.end(ErrHungUp)
	}
	keys, ends := keys[:len(keys)+n], len(keys)+n
	if n == most && k.waits() {
		ends = whole(keys)
	}
	k.keys, k.held = keys, append(k.held[:0], keys[ends:]...)
	return len(unambiguous(buffer[:0], keys[:ends])), err
}

// waits reports whether there is more to be read at once.
func (k *keyboard) waits() bool {
	input := []unix.PollFd{{Fd: int32(k.Fd()), Events: unix.POLLIN}}
	n, _ := unix.Poll(input, 0)
	return n > 0
}
