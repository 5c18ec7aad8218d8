package terminal

import (
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"
)

// singleKeys takes a key message apart into the keys that were pressed. A paste stays one message, with its control
// characters removed and its line breaks and tabs made spaces.
func singleKeys(msg tea.KeyMsg) []tea.KeyMsg {
	if msg.Paste {
		msg.Runes = []rune(strings.Map(pastedRune, string(msg.Runes)))
		return []tea.KeyMsg{msg}
	}
	var keys []tea.KeyMsg
	if msg.Alt {
		// One byte or character after ESC may be two presses; a whole sequence after ESC, an arrow say, is not.
		if msg.Type < 0 && msg.Type != tea.KeyRunes && msg.Type != tea.KeySpace {
			return nil
		}
		msg.Alt = false
		keys = append(keys, tea.KeyMsg{Type: tea.KeyEsc})
	}
	if msg.Type != tea.KeyRunes {
		return append(keys, msg)
	}
	for _, r := range msg.Runes {
		key := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
		if r == ' ' {
			key.Type = tea.KeySpace
		}
		keys = append(keys, key)
	}
	return keys
}

func pastedRune(r rune) rune {
	switch {
	case r == '\n' || r == '\r' || r == '\t':
		return ' '
	case unicode.IsControl(r):
		return -1
	}
	return r
}
