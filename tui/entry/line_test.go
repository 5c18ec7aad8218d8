package entry_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestComplete(t *testing.T) {
	s := screentest.Cruise()
	for line, want := range map[string]string{
		"pas":            "passing ",
		"passing ca":     `passing "Castle Erran" `,
		`passing "cas`:   `passing "Castle Erran" `,
		"passing K":      "passing KVN ",
		"tank r":         "tank right ",
		"gauges left 4":  "gauges left 4",
		"gauges left 4 ": "gauges left 4 ", // left and right share no letter
		"tuned n":        "tuned NAV",
		"st":             "steer ",
		"o":              "o",
		"off":            "off-",
		"zzz":            "zzz",
		"steer 09":       "steer 09",
	} {
		require.Equal(t, want, entry.Complete(line, s), line)
	}
}

// Whatever a tab makes of a line begins like the line, so that a tab never loses what was typed.
func FuzzComplete(f *testing.F) {
	f.Add("passing c")
	f.Add(`gauges "l`)
	s := screentest.Cruise()
	f.Fuzz(func(t *testing.T, line string) {
		got := strings.TrimLeft(entry.Complete(line, s), " ")
		typed := strings.ReplaceAll(strings.TrimLeft(line, " "), `"`, "")
		require.True(t, len(got) >= len(typed) && strings.EqualFold(strings.ReplaceAll(got, `"`, "")[:len(typed)], typed), "%q became %q", line, got)
	})
}

func press(l *entry.Line, s flight.Snapshot, names ...string) (outcome entry.Outcome, intents []screen.Intent) {
	for _, name := range names {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
		switch name {
		case "enter":
			msg = tea.KeyMsg{Type: tea.KeyEnter}
		case "esc":
			msg = tea.KeyMsg{Type: tea.KeyEsc}
		case "tab":
			msg = tea.KeyMsg{Type: tea.KeyTab}
		case "left":
			msg = tea.KeyMsg{Type: tea.KeyLeft}
		}
		outcome, intents = l.Press(msg, s)
	}
	return outcome, intents
}

func TestLineKeepsWhatWasTypedAfterAFault(t *testing.T) {
	s := screentest.Cruise()
	l := entry.NewLine(screen.Ask{})
	outcome, _ := press(l, s, "s", "t", "e", "tab", "4", "0", "0", "enter")
	require.Equal(t, entry.Typing, outcome)
	require.Equal(t, "steer 400", l.Text())
	require.Contains(t, strings.Join(l.Rows(s, 80, 5, theme.Theme{}), "\n"), "400 is outside 0 to 360")
	press(l, s, "left", "left", "left")
	outcome, intents := press(l, s, "0", "9", "4", "enter")
	require.Equal(t, entry.Typing, outcome, "094400")
	require.Nil(t, intents)
	outcome, _ = press(l, s, "esc")
	require.Equal(t, entry.Closed, outcome)
}

// What has no room is refused whole and with words; what was typed stays.
func TestNothingTypedIsCut(t *testing.T) {
	s := screentest.Cruise()
	l := entry.NewLine(screen.Ask{})
	paste := func(text string) { l.Press(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true}, s) }
	remark := "note " + strings.Repeat("gliders ", 200)
	paste(remark)
	require.Equal(t, remark, l.Text())
	paste(remark)
	require.Equal(t, remark, l.Text())
	shown := func() string { return strings.Join(l.Rows(s, 80, 3, theme.Theme{}), "\n") }
	require.Contains(t, shown(), "not pasted: the 1605 characters would make 3210, and a line has room for 2000")
	require.Contains(t, shown(), "enter > …", "its beginning is out of sight")
	paste(strings.Repeat("x", 395))
	full := l.Text()
	press(l, s, "y")
	require.Equal(t, full, l.Text())
	require.Contains(t, shown(), "the line is full: it has 2000 characters. Record it, and go on in another")
	_, intents := press(l, s, "enter")
	require.Equal(t, strings.TrimPrefix(full, "note "), intents[0].(screen.Record).Event.Text)
	require.Contains(t, strings.Join(entry.NewLine(screen.Ask{Text: strings.Repeat("long ", 500) + "end"}).Rows(s, 40, 1, theme.Theme{}), ""), " long end")
}

func TestLineGivesIntents(t *testing.T) {
	s := screentest.Cruise()
	outcome, intents := press(entry.NewLine(screen.Ask{Text: "steer 09"}), s, "4", "enter")
	require.Equal(t, entry.Accepted, outcome)
	require.Equal(t, []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Steering, Heading: new(94.0)}}}, intents)
}

func TestLineFillsItsRows(t *testing.T) {
	s := screentest.Cruise()
	for _, typed := range []string{"", "p", "passing 東京 and a very long line that goes on", "nonsense"} {
		for width := 1; width < 120; width++ {
			l := entry.NewLine(screen.Ask{Label: "amend 12", Text: typed})
			press(l, s, "left", "enter")
			rows := l.Rows(s, width, 4, theme.Plain())
			require.LessOrEqual(t, len(rows), 4)
			screentest.RequireExact(t, rows, screen.Size{Width: width, Height: len(rows)})
		}
	}
}

// How an act goes on is seen whole at every width: its example first, where there is little room.
func TestHowAnActGoesOnIsSeenWhole(t *testing.T) {
	s := screentest.Cruise()
	for _, form := range entry.Forms() {
		l := entry.NewLine(screen.Ask{Text: form.Verb + " "})
		for width := 40; width <= 100; width++ {
			shown := strings.Join(strings.Fields(strings.Join(l.Rows(s, width, 8, theme.Theme{}), " ")), " ")
			if example := "as in: " + form.ExampleIn(s); len(example) < width {
				require.Contains(t, shown, example, "%d columns", width)
			}
			require.Contains(t, shown, strings.TrimSpace(form.Verb+" "+form.Usage), "%d columns", width)
		}
	}
}
