//go:build unix

package terminal

import (
	"errors"
	"os"
	"slices"
	"unicode/utf8"

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
	p.input = file
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

const escape = 0x1b

// unambiguous appends what was read from a terminal, each ESC that stands for the key twice. Bubble Tea reads such a pair as Alt with Esc
// whatever comes behind it, where a single one would make Alt with the next key of it. An ESC that begins a control sequence stays as it is.
func unambiguous(to, read []byte) []byte {
	for i := 0; i < len(read); {
		length := sequenceLength(read[i:])
		if length == 0 {
			to, i = append(to, read[i]), i+1
			continue
		}
		if length == 1 {
			to = append(to, escape)
		}
		to, i = append(to, read[i:i+length]...), i+length
	}
	return to
}

// sequenceLength is how many bytes the sequence at the start of text takes: a control sequence (ECMA-48, 5.4), or a key of a keypad after ESC O
// (SS3) as terminals send them. It is 1 for an ESC alone and 0 where there is none.
func sequenceLength(text []byte) int {
	if len(text) == 0 || text[0] != escape {
		return 0
	}
	if len(text) < 3 {
		return 1
	}
	switch text[1] {
	case 'O':
		switch b := text[2]; {
		case b >= 'A' && b <= 'D', b >= 'P' && b <= 'S', b >= 'a' && b <= 'd', b == 'F', b == 'H':
			return 3
		}
	case '[':
		i := 2
		for i < len(text) && text[i] >= 0x30 && text[i] <= 0x3f {
			i++
		}
		for i < len(text) && text[i] >= 0x20 && text[i] <= 0x2f {
			i++
		}
		if i < len(text) && text[i] >= 0x40 && text[i] <= 0x7e {
			return i + 1
		}
	}
	return 1
}

// whole is how much of what was read ends with a key; the rest is a character or a sequence of which the end has yet to be read.
func whole(read []byte) int {
	const longest = 16
	for i := len(read) - 1; i >= max(0, len(read)-longest); i-- {
		if read[i] == escape && sequenceLength(read[i:]) == 1 {
			return i
		}
		if utf8.RuneStart(read[i]) && i > len(read)-utf8.UTFMax && !utf8.FullRune(read[i:]) {
			return i
		}
	}
	return len(read)
}
