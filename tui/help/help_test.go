package help_test

import (
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/help"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func sections(flight.Snapshot) []keys.Section {
	dead := keys.New("can't be used now", "D")
	dead.SetEnabled(false)
	return append(keys.Sections(keys.NewGlobal()), keys.Section{Title: "Elsewhere", Keys: []key.Binding{dead}})
}

func TestRowsFillEverySize(t *testing.T) { screentest.Exact(t, help.New(sections)) }

// leafed is every page, one after the other, all blanks as one.
func leafed(s *help.Screen, size screen.Size) (pages []string) {
	for {
		rows := s.Rows(screentest.Cruise(), size, theme.Theme{})
		column := size.Width / max(1, min(3, size.Width/38))
		text := ""
		for from := 0; from+column <= size.Width; from += column {
			for _, row := range rows[:len(rows)-1] {
				text += string([]rune(row)[from:from+column]) + "\n"
			}
		}
		pages = append(pages, strings.Join(strings.Fields(text), " "))
		if !strings.Contains(rows[len(rows)-1], "page down:") {
			return pages
		}
		s.Press(tea.KeyMsg{Type: tea.KeyPgDown}, screentest.Cruise())
	}
}

// Leafed from the first page to the last, the screen has named every key that can be used, none that can't, and every act that can be typed, with
// names of the flight at hand.
func TestEveryLiveKeyAndEveryActIsNamed(t *testing.T) {
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 200, Height: 56}, {Width: 40, Height: 8}} {
		seen := strings.Join(leafed(help.New(sections), size), " ")
		for _, binding := range keys.NewGlobal().All() {
			if len(binding.Help().Key) > 1 || binding.Help().Key > "9" || binding.Help().Key < "1" {
				require.Contains(t, seen, binding.Help().Desc, "%v", size)
			}
		}
		require.Contains(t, seen, "1 to 6 flying, route, radio, tanks")
		require.NotContains(t, seen, "can't be used now")
		require.NotContains(t, seen, "Elsewhere")
		for _, form := range entry.Forms() {
			require.Contains(t, seen, form.ExampleIn(screentest.Cruise()), "%v", size)
		}
		require.Contains(t, seen, "passing GRN 0.8 left")
	}
	require.Len(t, leafed(help.New(sections), screen.Size{Width: 200, Height: 56}), 1, "one screen where it fits")
}

func TestPagesStopAtTheEnds(t *testing.T) {
	s := help.New(sections)
	rows := func() string {
		return strings.Join(s.Rows(screentest.Cruise(), screen.Size{Width: 80, Height: 20}, theme.Theme{}), "\n")
	}
	first := rows()
	press := func(kind tea.KeyType) { s.Press(tea.KeyMsg{Type: kind}, screentest.Cruise()) }
	press(tea.KeyUp)
	require.Equal(t, first, rows())
	press(tea.KeyEnd)
	last := rows()
	require.NotEqual(t, first, last)
	press(tea.KeyDown)
	require.Equal(t, last, rows())
	press(tea.KeyHome)
	require.Equal(t, first, rows())
}
