package entries_test

import (
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entries"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestRowsFillEverySize(t *testing.T) { screentest.Exact(t, entries.New()) }

func TestGoldenFrames(t *testing.T) {
	screentest.Golden(t, entries.New(), "../../testdata/frames/entries")
}

// marked is the text of the row under the cursor.
func marked(s *entries.Screen, snapshot flight.Snapshot) string {
	for _, row := range s.Rows(snapshot, screen.Size{Width: 80, Height: 8}, theme.Theme{}) {
		if strings.HasPrefix(row, ">") {
			return strings.Join(strings.Fields(row[1:]), " ")
		}
	}
	return ""
}

func TestTheCursorStaysOnItsEntry(t *testing.T) {
	s := entries.New()
	snapshot := screentest.Arrived()
	require.Equal(t, "14 10:33:20 on blocks", marked(s, snapshot))
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, snapshot)
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, snapshot)
	require.Equal(t, "12 09:47:20 tank left", marked(s, snapshot))
	more := snapshot
	more.Entries = append(slices.Clone(snapshot.Entries), flight.Entry{Event: &flight.Event{N: 15, T: screentest.Clock("10:34:00")}, Text: "later"})
	require.Equal(t, "12 09:47:20 tank left", marked(s, more))
	s.Press(tea.KeyMsg{Type: tea.KeyEnd}, more)
	require.Equal(t, "1 09:02:11 clock set 09:02:11Z, rate 1", marked(s, more))
	s.Press(tea.KeyMsg{Type: tea.KeyHome}, more)
	require.Equal(t, "15 10:34:00 later", marked(s, more))
}

func TestVoidAndAmend(t *testing.T) {
	s := entries.New()
	snapshot := screentest.TankLate() // the newest are 11, a note, and 10, gauges
	require.Equal(t, []screen.Intent{screen.Void(11)}, screentest.Press(s, snapshot, ":void"))
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, snapshot)

	ask := screentest.Press(s, snapshot, ":amend")[0].(screen.Ask)
	require.Equal(t, "amend 10", ask.Label)
	require.Equal(t, "gauges left 43 right 40 09:42:00", ask.Text)
	intents, err := ask.Parse("gauges left 43 right 41 09:42:00", snapshot)
	require.NoError(t, err)
	event := intents[0].(screen.Record).Event
	require.Equal(t, flight.Amend, event.Act)
	require.Equal(t, 10, event.Event)
	require.JSONEq(t, `{"tanks":{"left":43,"right":41}}`, string(event.With))

	ask = screentest.Press(s, snapshot, ":its time")[0].(screen.Ask)
	require.Equal(t, "09:42:00", ask.Text)
	_, err = ask.Parse("late", snapshot)
	require.ErrorContains(t, err, `"late" is not an entry`)
}

// What is void, or was never the pilot's to change, can't be changed.
func TestKeysVanishWhereTheyCantBeUsed(t *testing.T) {
	live := func(s *entries.Screen, snapshot flight.Snapshot) string {
		var names []string
		for _, choice := range s.Choices(snapshot) {
			names = append(names, choice.Short)
		}
		return strings.Join(names, " ")
	}
	s := entries.New()
	require.Empty(t, live(s, screentest.Empty()))
	snapshot := screentest.Cruise()
	require.Equal(t, "amend its time void", live(s, snapshot))
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, snapshot)
	s.Press(tea.KeyMsg{Type: tea.KeyDown}, snapshot)
	require.Contains(t, marked(s, snapshot), "VOID")
	require.Empty(t, live(s, snapshot))
	s.Press(tea.KeyMsg{Type: tea.KeyEnd}, snapshot)
	require.Empty(t, live(s, snapshot), "a change of the clock is undone by another")
}

// In a narrow window the marked entry is seen whole, and of every one that it is void.
func TestAnEntryIsSeenWholeInANarrowWindow(t *testing.T) {
	s := screentest.TankLate()
	long := "passing JNC, 0.4 nm right of track, and something else to be read"
	s.Entries = []flight.Entry{
		{Event: &flight.Event{N: 1, T: s.At}, Text: "passing Glen dam", Voided: true},
		{Event: &flight.Event{N: 2, T: s.At}, Text: long},
	}
	for width := 40; width <= 100; width++ {
		for _, height := range []int{7, 20} {
			rows := entries.New().Rows(s, screen.Size{Width: width, Height: height}, theme.Theme{})
			all := strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
			require.Contains(t, all, long, "%d×%d", width, height)
			require.Contains(t, all, "VOID", "%d×%d", width, height)
		}
	}
}
