package route_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/key"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/route"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestFrames(t *testing.T) { screentest.Golden(t, route.New(), "../../testdata/frames/route") }

func TestEveryRowIsExact(t *testing.T) { screentest.Exact(t, route.New()) }

func TestRowsInASCII(t *testing.T) {
	for _, size := range []screen.Size{usual, {Width: 160, Height: 44}} {
		for _, moment := range screentest.Moments() {
			text := strings.Join(route.New().Rows(moment.Snapshot, size, theme.Theme{ASCII: true}), "")
			require.NotRegexp(t, `[^\x00-\x7f±°…]`, text, "no drawing characters")
		}
	}
}

var usual = screen.Size{Width: 80, Height: 20}

// markedRow is the row that the mark stands on.
func markedRow(t *testing.T, s *route.Screen, snapshot flight.Snapshot, size screen.Size) string {
	t.Helper()
	found := ""
	for _, row := range s.Rows(snapshot, size, theme.Theme{}) {
		if strings.HasPrefix(row, ">") {
			require.Empty(t, found, "one mark")
			found = row
		}
	}
	return found
}

func TestTheMarkFollowsTheNextPointUntilItIsMoved(t *testing.T) {
	s, snapshot := route.New(), screentest.Climb()
	snapshot.Route[0].Actual = new(snapshot.Route[0].Planned)
	require.Contains(t, markedRow(t, s, snapshot, usual), "Glen dam")

	snapshot.Route[1].Actual = new(snapshot.Route[1].Planned)
	require.Contains(t, markedRow(t, s, snapshot, usual), "railway", "it follows")

	screentest.Press(s, snapshot, "down", "down", "up")
	require.Contains(t, markedRow(t, s, snapshot, usual), "KVN Kelvin")
	snapshot.Route[2].Actual = new(snapshot.Route[2].Planned)
	snapshot.Route[3].Actual = new(snapshot.Route[3].Planned)
	require.Contains(t, markedRow(t, s, snapshot, usual), "KVN Kelvin", "it stays where it was put")

	screentest.Press(s, snapshot, "down")
	snapshot.Route[4].Actual = new(snapshot.Route[4].Planned)
	require.Contains(t, markedRow(t, s, snapshot, usual), "Aldmoor mast", "moved to the next point, it follows again")
}

func TestTheMarkStaysInView(t *testing.T) {
	s, snapshot := route.New(), screentest.Cruise()
	for range 40 {
		snapshot.Route = append(snapshot.Route[:5:5], append([]flight.RoutePoint{{
			Point: "W" + time.Duration(len(snapshot.Route)).String(), Leg: 1, Checkpoint: true,
		}}, snapshot.Route[5:]...)...)
	}
	for _, name := range []string{"home", "end", "pgup", "pgup", "pgup", "down", "down", "pgdown", "up"} {
		screentest.Press(s, snapshot, name)
		for height := 1; height <= 60; height++ {
			require.NotEmpty(t, markedRow(t, s, snapshot, screen.Size{Width: 80, Height: height}), "after %s in %d rows", name, height)
		}
	}
}

func TestKeysWantWhatStandsUnderTheMark(t *testing.T) {
	snapshot := screentest.Cruise()
	turn := func(e flight.Event) []screen.Intent {
		e.Act = flight.Divert
		return []screen.Intent{screen.Record{Event: e}, screen.Open{Name: screen.Flying}}
	}
	for _, row := range []struct {
		keys []string
		want []screen.Intent
	}{
		{[]string{":passing"}, []screen.Intent{screen.Passing("Aldmoor mast")}},
		{[]string{":off track"}, []screen.Intent{screen.Ask{Text: `passing "Aldmoor mast" `}}},
		{[]string{"down", ":passing"}, []screen.Intent{screen.Passing("GRN")}},
		{[]string{"down", "down", ":direct"}, nil}, // a landmark is no way out
		{[]string{"down", ":direct"}, turn(flight.Event{To: "GRN", Rejoin: new(1)})},
		{[]string{"home", ":passing"}, nil},
		{[]string{"end", ":passing"}, nil},
		{[]string{"end", "up", ":divert to ALD"}, turn(flight.Event{To: "ALD"})},
		{[]string{"down", ":cross at"}, []screen.Intent{screen.Ask{Text: "cross GRN "}}},
		{[]string{":checkpoints", ":passing"}, []screen.Intent{screen.Passing("GRN")}},
		{[]string{"§"}, nil},
	} {
		require.Equal(t, row.want, screentest.Press(route.New(), snapshot, row.keys...), "%v", row.keys)
	}
	require.Empty(t, screentest.Press(route.New(), screentest.Empty(), "down", "end", ":passing", ":off track", ":direct", ":checkpoints"))
}

// The keys of every screen mean what the pilot marked, as long as it can be passed; the mark that follows the next point means nothing of its own.
func TestWhatIsMarked(t *testing.T) {
	s, snapshot := route.New(), screentest.Cruise()
	require.Equal(t, screen.Marked{}, s.Marked(snapshot))
	screentest.Press(s, snapshot, "down")
	require.Equal(t, screen.Marked{Row: true, Point: "GRN"}, s.Marked(snapshot))
	screentest.Press(s, snapshot, "home")
	require.Equal(t, screen.Marked{Row: true}, s.Marked(snapshot), "passed")
	s.Unmark()
	require.Equal(t, screen.Marked{}, s.Marked(snapshot))
}

func TestNoKeyIsTheRootsOrThere(t *testing.T) {
	requireNoClash(t, append(keys.NewGlobal().All(), route.New().Keys(screentest.Cruise())...))
}

func requireNoClash(t *testing.T, bindings []key.Binding) {
	t.Helper()
	seen := map[string]string{}
	for _, binding := range bindings {
		require.NotEmpty(t, binding.Help().Desc)
		for _, name := range binding.Keys() {
			require.NotContains(t, seen, name, "%s and %s", seen[name], binding.Help().Desc)
			seen[name] = binding.Help().Desc
		}
	}
}

func TestWhatADiversionLeftOutIsSaidInWords(t *testing.T) {
	snapshot := screentest.Cruise()
	for i := 5; i < len(snapshot.Route); i++ {
		snapshot.Route[i].Diverted = true
	}
	snapshot.Route = append(snapshot.Route, flight.RoutePoint{Point: "ALD", Name: "Aldmoor", Leg: 3, Revised: new(screentest.Clock("09:48:10"))})
	snapshot.Leg.Index = 3
	text := strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Equal(t, 4, strings.Count(text, "left out"))
	require.Contains(t, markedRow(t, route.New(), snapshot, usual), "ALD Aldmoor")
}

func TestWhatWasFlownByWithoutAnEntryIsSaidInWords(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Route[2].Actual, snapshot.Route[2].Revised = nil, nil
	text := strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Regexp(t, `railway .* -- +no entry`, text)
	require.Contains(t, markedRow(t, route.New(), snapshot, usual), "Aldmoor mast", "it is not next")
}

func TestAPointThatShouldHaveBeenPassedIsOverdue(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.At = screentest.Clock("09:46:05")
	require.Regexp(t, `Aldmoor mast .* 45:55 +0:40 +overdue`, markedRow(t, route.New(), snapshot, usual))
	require.Contains(t, strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n"), "LEG 2 of 3, Aldmoor mast overdue")
}

func TestAnArrivalInTheDarkOrWithoutReserveIsSaidInWords(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Destination.BeforeDarkMinutes = new(-12.0)
	snapshot.Destination.ReserveHeldMinutes, snapshot.Destination.ExtraFuel = 31, -5
	text := strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Contains(t, text, "below final reserve: 5.0 L short; by night: 12 min after civil twilight")
}

func TestNoDirectionToWhereTheAircraftIs(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Alternates[1].DistanceNM = 0
	text := strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Regexp(t, `ALD Aldmoor +-- +0\.0 `, text)
}

// All of a usual flight, its destination and where else to land are there on 80×24 cells, and what is not in view is counted.
func TestAUsualFlightIsThereAsAWhole(t *testing.T) {
	for _, moment := range screentest.Demo(t) {
		rows := route.New().Rows(moment.Snapshot, usual, theme.Theme{})
		text := strings.Join(rows, "\n")
		for _, point := range moment.Snapshot.Route {
			if !point.Checkpoint || point.Actual == nil {
				require.Contains(t, text, point.Name, moment.Name)
			}
		}
		require.Contains(t, text, "LAND AT")
		require.Equal(t, !strings.Contains(text, "passed"), strings.Contains(text, "railway junction"), "%s: packed away or there", moment.Name)
	}
	snapshot := screentest.Cruise()
	rows := strings.Join(route.New().Rows(snapshot, screen.Size{Width: 80, Height: 7}, theme.Theme{}), "\n")
	require.Regexp(t, `… \d+ more below`, rows)
}

// Hours stand where they change, and so do levels.
func TestHoursAndLevelsStandWhereTheyChange(t *testing.T) {
	rows := route.New().Rows(screentest.Cruise(), usual, theme.Theme{})
	hours, levels := regexp.MustCompile(`\d\d:\d\d:\d\d +\d\d:\d\d:\d\d`), regexp.MustCompile(` (35|4000|3000) `)
	var hour, level []string
	for _, row := range rows {
		if strings.Contains(row, "LAND AT") {
			break
		}
		if hours.MatchString(row) {
			hour = append(hour, strings.Fields(row)[0])
		}
		if levels.MatchString(row) {
			level = append(level, strings.Fields(row)[0])
		}
	}
	require.Equal(t, []string{"STR", "Castle"}, hour)
	require.Equal(t, []string{"STR", "Glen", "Castle"}, level)
}

func BenchmarkFrame(b *testing.B) {
	s, snapshot, t := route.New(), screentest.Cruise(), theme.Day(termenv.TrueColor)
	for b.Loop() {
		s.Rows(snapshot, screen.Size{Width: 160, Height: 44}, t)
	}
}

// A hold and a turn off the route stand in rows of their own, where they were flown.
func TestWhatIsFlownBetweenThePointsHasRowsOfItsOwn(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Holds = []flight.HoldFlown{{Point: "KVN", Leg: 0, AfterNM: 28.7, From: screentest.Clock("09:34:40"), To: screentest.Clock("09:38:46")}}
	snapshot.HoldAt = "GRN"
	rows := route.New().Rows(snapshot, usual, theme.Theme{})
	text := strings.Join(rows, "\n")
	require.Regexp(t, `KVN Kelvin.*\n +hold at KVN 4:06 from 09:34:40 +09:38:46 +left *\n +two lakes`, text)
	require.Regexp(t, `GRN Grenan.*\n +then hold at GRN *\n +Castle Erran`, text)

	snapshot.HoldAt, snapshot.Holding = "", &flight.HoldingNow{Point: "GRN", Since: screentest.Clock("09:41:00"), LeaveBy: new(screentest.Clock("10:20:10"))}
	text = strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Regexp(t, `two lakes.*\n +holding at GRN since 09:41:00, latest departure 10:20:10 +0:30 *\n>`, text)

	snapshot.Holding = nil
	snapshot.Route[6].Turned = new(screentest.Clock("09:41:10"))
	text = strings.Join(route.New().Rows(snapshot, usual, theme.Theme{}), "\n")
	require.Regexp(t, `two lakes.*\n +off the route, direct to `+snapshot.Route[6].Point+` +09:41:10 +turned`, text)
}
