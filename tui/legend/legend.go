// Package legend names a screen's keys in one row.
//
// It knows nothing of what the keys do: the words are the bindings' own. Keys that can't be used now are not there, and what has
// no room is left out whole.
package legend

import (
	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// between parts a key's words from the next key.
const between = "   "

// Row names the keys that can be used now, in their order, in a row of width cells.
func Row(bindings []key.Binding, width int, t theme.Theme) string {
	var row frame.Row
	row.Grow(3 * max(width, 0))
	left, gap := width, " "
	for _, binding := range bindings {
		if !binding.Enabled() {
			continue
		}
		help := binding.Help()
		needs := len(gap) + frame.Width(help.Key) + 1 + frame.Width(help.Desc)
		if needs > left {
			break
		}
		left -= needs
		row.Add(gap, theme.Role{})
		row.Add(help.Key, t.Key)
		row.Pad(1)
		row.Add(help.Desc, t.Muted)
		gap = between
	}
	row.Pad(left)
	return row.String()
}
