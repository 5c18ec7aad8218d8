package screentest

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/screen"
)

// Press presses keys on a screen, one after the other, and gives all that they want. Keys are their characters, or the names of special ones; a word
// after a colon takes the choice that is called so in short, if there is one.
func Press(s screen.Screen, snapshot flight.Snapshot, keys ...string) (intents []screen.Intent) {
	special := map[string]tea.KeyType{
		"up": tea.KeyUp, "down": tea.KeyDown, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
		"left": tea.KeyLeft, "right": tea.KeyRight,
	}
	for _, name := range keys {
		if short, chosen := strings.CutPrefix(name, ":"); chosen {
			for _, choice := range s.Choices(snapshot) {
				if choice.Short == short {
					intents = append(intents, choice.Does()...)
				}
			}
			continue
		}
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
		if kind, ok := special[name]; ok {
			msg = tea.KeyMsg{Type: kind}
		}
		intents = append(intents, s.Press(msg, snapshot)...)
	}
	return intents
}
