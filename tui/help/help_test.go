package help_test

import (
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/help"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func sections(s flight.Snapshot) []keys.Section {
	dead := keys.New("can't be used now", "D")
	dead.SetEnabled(false)
	return append(keys.Sections(keys.NewGlobal()), keys.Section{Title: "Elsewhere", Keys: []key.Binding{dead}})
}

func TestRowsFillEverySize(t *testing.T) { screentest.Exact(t, help.New(sections)) }

// Scrolled from the first line to the last, the screen has named every key that can be used, and none that can't.
func TestEveryLiveKeyIsNamed(t *testing.T) {
	for _, width := range []int{80, 160} {
		s := help.New(sections)
		seen := ""
		for range 12 {
			seen += strings.Join(s.Rows(screentest.Cruise(), screen.Size{Width: width, Height: 20}, theme.Theme{}), "\n")
			s.Press(tea.KeyMsg{Type: tea.KeyPgDown}, screentest.Cruise())
		}
		for _, binding := range keys.NewGlobal().All() {
			require.Contains(t, seen, binding.Help().Desc)
		}
		require.NotContains(t, seen, "can't be used now")
		require.NotContains(t, seen, "Elsewhere")
	}
}

func TestScrollingStopsAtTheEnds(t *testing.T) {
	s := help.New(sections)
	rows := func() string {
		return strings.Join(s.Rows(screentest.Cruise(), screen.Size{Width: 80, Height: 20}, theme.Theme{}), "\n")
	}
	first := rows()
	s.Press(tea.KeyMsg{Type: tea.KeyUp}, screentest.Cruise())
	require.Equal(t, first, rows())
	s.Press(tea.KeyMsg{Type: tea.KeyEnd}, screentest.Cruise())
	last := rows()
	require.NotEqual(t, first, last)
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, screentest.Cruise())
	require.Equal(t, last, rows())
	s.Press(tea.KeyMsg{Type: tea.KeyHome}, screentest.Cruise())
	require.Equal(t, first, rows())
}
