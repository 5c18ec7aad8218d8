//go:build unix

package terminal

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"golang.org/x/term"
)

// What a full screen begins and ends with, each in one write.
const (
	screenOn  = ansi.SetModeAltScreenSaveCursor + ansi.EraseEntireScreen + ansi.CursorHomePosition + ansi.HideCursor + ansi.SetModeBracketedPaste
	screenOff = ansi.ResetModeBracketedPaste + ansi.ResetModeAltScreenSaveCursor + ansi.ShowCursor
)

// displayOptions leave Bubble Tea's renderer out, and with it raw mode, the alternate screen and the terminal's size, which are taken care of here.
func displayOptions() []tea.ProgramOption { return []tea.ProgramOption{tea.WithoutRenderer()} }

// takeTerminal puts the terminal into raw mode and begins the full screen.
func (p *Program) takeTerminal() (err error) {
	if p.modes, err = term.MakeRaw(int(p.input.Fd())); err != nil {
		return fmt.Errorf("setting the terminal's modes: %w", err)
	}
	_, err = p.options.Output.WriteString(screenOn)
	return err
}

// giveTerminalBack ends the full screen and puts the terminal's modes back.
func (p *Program) giveTerminalBack() error {
	_, err := p.options.Output.WriteString(screenOff)
	if failed := term.Restore(int(p.input.Fd()), p.modes); failed != nil {
		return fmt.Errorf("giving the terminal's modes back: %w", failed)
	}
	return err
}

// askSize takes the terminal's size where that is known.
func (l *loop) askSize() {
	if width, height, err := term.GetSize(int(l.options.Output.Fd())); err == nil {
		l.resize(width, height)
	}
}
