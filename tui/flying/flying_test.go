package flying_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestRowsFillEverySize(t *testing.T) { screentest.Exact(t, flying.New()) }

func TestRowsInASCII(t *testing.T) {
	s := flying.New()
	for _, size := range []screen.Size{{Width: 72, Height: 18}, {Width: 80, Height: 20}, {Width: 120, Height: 32}, {Width: 200, Height: 56}} {
		rows := s.Rows(screentest.Cruise(), size, theme.Theme{ASCII: true})
		screentest.RequireExact(t, rows, size)
		for _, row := range rows {
			require.NotRegexp(t, `[─-▟]`, row)
		}
	}
}

// text is a screen as one line, without the room between its words.
func text(s flight.Snapshot, width, height int) string {
	rows := flying.New().Rows(s, screen.Size{Width: width, Height: height}, theme.Theme{})
	return strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
}

// Beside a heading that is not the leg's, or not what is steered, stands which the other one is: at every width.
func TestWhatTheOtherHeadingIs(t *testing.T) {
	for width := 40; width <= 120; width++ {
		s := screentest.Cruise()
		s.Steer.Steering, s.Steer.WasMagnetic = nil, new(126.0)
		require.Regexp(t, "leg (heading|HDG) 126 ", text(s, width, 9), "%d columns", width)
		s.Steer.Steering = new(301.0)
		require.Regexp(t, "(you steer|steering) 301 ", text(s, width, 9), "%d columns", width)
	}
	for _, moment := range screentest.Demo(t) {
		if moment.Name == "turn-late" {
			require.Contains(t, text(moment.Snapshot, 80, 20), "from 055, LKM not logged")
			require.Contains(t, text(moment.Snapshot, 40, 7), "from 055 ")
			require.Contains(t, text(moment.Snapshot, 40, 7), "overdue 1:58 by")
		}
	}
}

// What has no room in the note below what is to be done goes on in the row below that.
func TestALongDetailGoesOnBelow(t *testing.T) {
	s := screentest.Cruise()
	s.Prompts[0] = flight.Prompt{
		ID: "level", Kind: flight.PromptDescent, Text: "top of descent, to 1210 ft", State: flight.Late, Due: s.At,
		Detail: []string{"late: 1003 ft/min from here for 1210 ft at DUN"},
	}
	rows := flying.New().Rows(s, screen.Size{Width: 80, Height: 20}, theme.Theme{})
	at := -1
	for i, row := range rows {
		if strings.Contains(row, "late: 1003 ft/min from ") {
			at = i
		}
	}
	require.GreaterOrEqual(t, at, 0)
	require.Contains(t, rows[at+1], "here for 1210 ft at DUN")
}

// No entry of the log is cut where it is listed.
func TestTheLogIsListedWhole(t *testing.T) {
	s := screentest.TankLate()
	s.Entries = []flight.Entry{{Event: &flight.Event{T: s.At}, Text: "gauges left 41.5, right 36, centre 12.5, in the tail 3"}}
	require.Contains(t, text(s, 120, 44), s.Entries[0].Text)
	for _, words := range []string{"gauges left 41.5, right", "36, centre 12.5, in the", "tail 3"} {
		require.Contains(t, text(s, 200, 56), words)
	}
}

// Where what is wrong with an alternate has no room, by how much it is wrong is seen.
func TestWhatIsWrongWithAnAlternateIsNotCut(t *testing.T) {
	s := screentest.Cruise()
	require.Regexp(t, "ROS Rosskeen .* -5 min ", text(s, 160, 48))
	require.Contains(t, text(s, 189, 48), "-5 min ")
	require.Regexp(t, "ROS 212.0 004 2 h 21 -5 min ", text(s, 200, 56))
}
