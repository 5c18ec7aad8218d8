package help_test

import (
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
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
func leafed(s *help.Screen, snapshot flight.Snapshot, size screen.Size, least int) (pages []string) {
	for {
		rows := s.Rows(snapshot, size, theme.Theme{})
		column := size.Width / max(1, min(3, size.Width/least))
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
		s.Press(tea.KeyMsg{Type: tea.KeyPgDown}, snapshot)
	}
}

// Leafed from the first page to the last, the screen has named every key that can be used, none that can't, and every act that can be typed, with
// names of the flight at hand.
func TestEveryLiveKeyAndEveryActIsNamed(t *testing.T) {
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 200, Height: 56}, {Width: 40, Height: 8}} {
		seen := strings.Join(leafed(help.New(sections), screentest.Cruise(), size, 38), " ")
		for _, binding := range keys.NewGlobal().All() {
			if len(binding.Help().Key) > 1 || binding.Help().Key > "9" || binding.Help().Key < "1" {
				require.Contains(t, seen, " "+keys.First(binding)+" ", "%v", size)
			}
		}
		require.Contains(t, seen, "1 to 6 the screens named at the top")
		require.NotContains(t, seen, "can't be used now")
		require.NotContains(t, seen, "Elsewhere")
		for _, form := range entry.Forms() {
			require.Contains(t, seen, form.ExampleIn(screentest.Cruise()), "%v", size)
		}
		require.Contains(t, seen, "passing GRN 0.8 left")
	}
	require.Len(t, leafed(help.New(sections), screentest.Cruise(), screen.Size{Width: 200, Height: 56}, 38), 1, "one screen where it fits")
}

// In a window of 80×24 the first page holds every key of the screen, and three pages everything.
func TestTheFirstPageHoldsTheKeys(t *testing.T) {
	pages := leafed(help.New(sections), screentest.Cruise(), screen.Size{Width: 80, Height: 20}, 38)
	require.Len(t, pages, 3)
	for _, section := range keys.Sections(keys.NewGlobal())[:4] {
		require.Contains(t, pages[0], section.Title)
		for _, binding := range section.Keys {
			if name := keys.First(binding); name < "1" || name > "9" {
				require.Contains(t, " "+pages[0], " "+name+" ")
			}
		}
	}
}

// A card stands on one page, in one column, where it fits into any.
func TestCardsAreNotBroken(t *testing.T) {
	s := screentest.Cruise()
	s.Lists = cards.All(plan.Cards{Lost: []string{"the owner's own step"}})
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 120, Height: 32}} {
		pages := leafed(help.NewPapers(), s, size, 58)
		for _, card := range s.Lists {
			whole := false
			for _, page := range pages {
				page = strings.ReplaceAll(page, " - ", " ")
				whole = whole || strings.Contains(page, strings.Join(card.Lines(), " "))
			}
			require.True(t, whole, "%s, %v", card.Title, size)
		}
	}
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

// The papers name what was written down, every VOR check with its limit, the plan's remarks and every card, in any window; before the flight the
// list before departure stands below what was written down, in want of fuel the card for it stands first.
func TestPapers(t *testing.T) {
	s := screentest.Cruise()
	s.Lists, s.Remarks = cards.All(plan.Cards{}), []string{"gliders at Garnock"}
	s.Cleared = []flight.ClearedNow{{Kind: flight.ClearedSquawk, At: screentest.Clock("09:01:00"), Squawk: "4271", Line: "squawk 4271"}}
	s.VORChecks = []flight.VORCheckNow{
		{At: screentest.Clock("09:02:11"), Receiver: "NAV1", Beacon: "KVN", Reading: 121, Expected: 118, ErrorDeg: 3, LimitDeg: 4},
		{At: screentest.Clock("09:52:11"), Receiver: "NAV2", Beacon: "GRN", Reading: 121, Expected: 114, ErrorDeg: 7, LimitDeg: 6, Airborne: true},
	}
	screentest.Exact(t, help.NewPapers())
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 200, Height: 56}, {Width: 40, Height: 8}} {
		seen := strings.Join(leafed(help.NewPapers(), s, size, 58), " ")
		for _, text := range []string{
			"WRITTEN DOWN", "09:01:00Z squawk 4271", "121 for 118, limit 4° on the ground -", "121 for 114, limit 6° in the air: OVER THE LIMIT",
			"REMARKS OF THE PLAN", "gliders at Garnock", "LOST", "RADIO FAILURE", "LOW FUEL", "NIGHT OR WEATHER CLOSING IN", cards.Closing,
		} {
			require.Contains(t, seen, text, "%v", size)
		}
		require.NotContains(t, seen, "BEFORE DEPARTURE")
	}
	s.FuelState = &flight.FuelState{Name: flight.MinimumFuel}
	require.Regexp(t, `^- LOW FUEL|^LOW FUEL`, leafed(help.NewPapers(), s, screen.Size{Width: 80, Height: 20}, 58)[0])
	s.Phase = flight.BeforeStart
	s.Lists = append([]cards.Card{{Key: "pre-departure", Title: "BEFORE DEPARTURE", Steps: []string{"clock"}}}, s.Lists...)
	require.Regexp(t, `^WRITTEN DOWN.*OVER THE LIMIT BEFORE DEPARTURE`, leafed(help.NewPapers(), s, screen.Size{Width: 80, Height: 20}, 58)[0])
}
