package divert_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/divert"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestFrames(t *testing.T) { screentest.Golden(t, divert.New(), "../../testdata/frames/divert") }

func TestEveryRowIsExact(t *testing.T) { screentest.Exact(t, divert.New()) }

var usual = screen.Size{Width: 80, Height: 20}

func text(s *divert.Screen, snapshot flight.Snapshot) string {
	return strings.Join(s.Rows(snapshot, usual, theme.Theme{ASCII: true}), "\n")
}

func TestTheMarkStandsOnTheSuggestedDiversion(t *testing.T) {
	snapshot := screentest.Cruise()
	require.Contains(t, text(divert.New(), snapshot), "IF DIVERTING TO ALD Aldmoor")
	snapshot.SuggestedDiversion = "DUN"
	require.Contains(t, text(divert.New(), snapshot), "IF DIVERTING TO DUN Dunmore")
}

func TestOneChoiceTurnsAndAnotherTakesThePlanUpAgain(t *testing.T) {
	snapshot := screentest.Cruise()
	turn := func(e flight.Event) []screen.Intent {
		e.Act = flight.Divert
		return []screen.Intent{screen.Record{Event: e}, screen.Open{Name: screen.Flying}}
	}
	require.Equal(t, turn(flight.Event{To: "ALD"}), screentest.Press(divert.New(), snapshot, ":divert to ALD"))
	require.Equal(t, turn(flight.Event{To: "GRN", Rejoin: new(1)}), screentest.Press(divert.New(), snapshot, "end", "up", ":direct"))
	require.Equal(t, turn(flight.Event{To: "ROS"}), screentest.Press(divert.New(), snapshot, "end", "up", "up", ":divert to ROS"))
	require.Empty(t, screentest.Press(divert.New(), snapshot, "end", "up", ":divert to GRN"), "GRN is a beacon: nobody lands there")
	require.Empty(t, screentest.Press(divert.New(), snapshot, ":direct"), "ALD is not on the plan")
	require.Empty(t, screentest.Press(divert.New(), screentest.Empty(), ":direct", "down", "end"))
	for i := range snapshot.WaysOut.All() {
		snapshot.WaysOut.All()[i].Turn = nil
	}
	require.Empty(t, screentest.Press(divert.New(), snapshot, ":divert to ALD", ":direct"), "on the ground there is nothing to turn")
}

func TestWhatIsWrongIsSaidBesideTheHeading(t *testing.T) {
	s := divert.New()
	screentest.Press(s, screentest.Cruise(), "end", "up", "up")
	rows := text(s, screentest.Cruise())
	require.Contains(t, rows, "IF DIVERTING TO ROS Rosskeen")
	require.Contains(t, rows, "below final reserve: 2.3 L short")
}

// ICAO's words of a want of fuel stand above the heading, with what to say.
func TestAFuelStateIsSaidWithItsCall(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.FuelState = &flight.FuelState{Name: flight.MinimumFuel, Point: "DUN", Why: "3 minutes over the final reserve at DUN", Say: "X-ABCD, MINIMUM FUEL, landing DUN"}
	rows := text(divert.New(), snapshot)
	require.Contains(t, rows, "MINIMUM FUEL: 3 minutes over the final reserve at DUN")
	require.Contains(t, rows, "say: X-ABCD, MINIMUM FUEL, landing DUN")
	require.Contains(t, rows, "IF DIVERTING TO ALD Aldmoor")
}

// At every size that the screens are for, the heading to the marked place is seen, and no figure beside it is cut.
func TestTheHeadingIsSeenAtEverySize(t *testing.T) {
	snapshot := screentest.Cruise()
	to := snapshot.WaysOut.All()[0]
	require.Equal(t, snapshot.SuggestedDiversion, to.Point)
	for width := 40; width <= 100; width++ {
		for _, height := range []int{7, 12, 20} {
			rows := divert.New().Rows(snapshot, screen.Size{Width: width, Height: height}, theme.Theme{})
			marked := slices.IndexFunc(rows, func(row string) bool { return strings.HasPrefix(row, ">") })
			require.Contains(t, rows[marked], " "+say.Degrees(to.HeadingMagnetic)+" ", "%d×%d", width, height)
			for _, row := range rows[:marked] {
				require.NotContains(t, row, "…", "%d×%d", width, height)
			}
		}
	}
}
