package tanks_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/tanks"
	"example.com/legclock/tui/theme"
)

func TestFrames(t *testing.T) { screentest.Golden(t, tanks.New(), "../../testdata/frames/tanks") }

// The other views of a small window, and an aircraft with two pairs of tanks.
func TestFramesOfViews(t *testing.T) {
	small, wide := usual, screen.Size{Width: 120, Height: 32}
	for name, row := range map[string]struct {
		snapshot flight.Snapshot
		size     screen.Size
		keys     []string
	}{
		"over-time-80x20": {screentest.Cruise(), small, []string{"w"}},
		"figures-80x20":   {screentest.Cruise(), small, []string{"w", "w"}},
		"four-80x20":      {screentest.FourTanks(), small, nil},
		"four-over-80x20": {screentest.FourTanks(), small, []string{"w"}},
		"four-120x32":     {screentest.FourTanks(), wide, nil},
		"four-100x40":     {screentest.FourTanks(), screen.Size{Width: 100, Height: 40}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := tanks.New()
			screentest.Press(s, row.snapshot, row.keys...)
			screentest.RequireFrame(t, "../../testdata/frames/tanks/"+name+".txt", s.Rows(row.snapshot, row.size, theme.Theme{Name: "none"}))
		})
	}
}

func TestEveryRowIsExact(t *testing.T) { screentest.Exact(t, tanks.New()) }

func TestRowsInASCII(t *testing.T) {
	for _, size := range []screen.Size{usual, {Width: 160, Height: 44}} {
		for _, moment := range screentest.Moments() {
			text := strings.Join(tanks.New().Rows(moment.Snapshot, size, theme.Theme{ASCII: true}), "")
			require.Equal(t, -1, strings.IndexFunc(text, func(r rune) bool { return r >= '\u2500' && r <= '\u259f' }), "no drawing characters")
		}
	}
}

var usual = screen.Size{Width: 80, Height: 20}

func rowsOf(snapshot flight.Snapshot, size screen.Size) []string {
	return tanks.New().Rows(snapshot, size, theme.Theme{})
}

func frameOf(snapshot flight.Snapshot, size screen.Size) string {
	return strings.Join(rowsOf(snapshot, size), "\n")
}

func TestKeysWantWhatStandsUnderTheMark(t *testing.T) {
	snapshot := screentest.Cruise() // right feeds, left is next
	for _, row := range []struct {
		keys []string
		want []screen.Intent
	}{
		{[]string{"v"}, []screen.Intent{screen.SelectTank("left")}},
		{[]string{"right", "v"}, nil}, // it feeds already
		{[]string{"right", "right", "left", "v"}, []screen.Intent{screen.SelectTank("left")}},
		{[]string{"g"}, []screen.Intent{screen.Ask{Text: "gauges left "}}},
		{[]string{"r"}, []screen.Intent{screen.Ask{Text: "flow "}}},
	} {
		require.Equal(t, row.want, screentest.Press(tanks.New(), snapshot, row.keys...), "%v", row.keys)
	}
	require.Empty(t, screentest.Press(tanks.New(), screentest.Empty(), "right", "left", "v", "g"))
}

func TestTheMarkFollowsTheNextChange(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	require.Equal(t, []screen.Intent{screen.SelectTank("left")}, screentest.Press(s, snapshot, "v"))
	snapshot.Tanks.NextChange.To = "right"
	snapshot.Tanks.Tanks[0].Selected, snapshot.Tanks.Tanks[1].Selected = true, false
	require.Equal(t, []screen.Intent{screen.SelectTank("right")}, screentest.Press(s, snapshot, "v"))
}

func TestTanksHangAsTheyAreNamed(t *testing.T) {
	snapshot := screentest.Cruise()
	list := snapshot.Tanks.Tanks
	snapshot.Tanks.Tanks = []flight.TankNow{list[1], list[0]}
	require.Equal(t, frameOf(screentest.Cruise(), usual), frameOf(snapshot, usual), "whatever order the aircraft lists them in")
}

// A column through each tank has as many filled cells as its share of the highest tank, to the cell.
func TestLevelsAreDrawnToOneScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		snapshot := screentest.Cruise()
		list := snapshot.Tanks.Tanks
		for i := range list {
			list[i].Capacity = rapid.Float64Range(20, 90).Draw(t, "capacity")
			list[i].Quantity = list[i].Capacity * rapid.Float64Range(0, 1).Draw(t, "share")
			list[i].Unusable, list[i].Gauge = 0, nil
		}
		rows := rowsOf(snapshot, screen.Size{Width: 110, Height: 34})
		full := max(list[0].Capacity, list[1].Capacity)
		top, floor := pictureEdges(t, rows)
		inside := float64(floor - top - 1)
		for i, x := range []int{20, 65} {
			filled := 0.0
			for _, row := range rows[top+1 : floor] {
				filled += share([]rune(row)[x])
			}
			require.InDelta(t, list[i].Quantity/full*inside, filled, 0.6, "tank %d of %v in %v rows", i, list, inside)
		}
	})
}

// pictureEdges are the rows of the highest upper edge and of the floor.
func pictureEdges(t require.TestingT, rows []string) (top, floor int) {
	top, floor = -1, -1
	for i, row := range rows {
		if top < 0 && strings.Contains(row, "┌") {
			top = i
		}
		if strings.Contains(row, "┘") && strings.Contains(row, "┬") && floor < 0 {
			floor = i
		}
	}
	require.True(t, top >= 0 && floor > top)
	return top, floor
}

func share(glyph rune) float64 {
	if i := strings.IndexRune("▁▂▃▄▅▆▇█", glyph); i >= 0 {
		return float64(i/len("▁")+1) / 8
	}
	return 0
}

// The pointer stands on the side of the heavy tank, and beyond the limit's mark when the imbalance is.
func TestTheBeamShowsTheImbalanceAgainstItsLimit(t *testing.T) {
	for _, row := range []struct {
		imbalance float64
		heavy     string
		side      int
		want      string
	}{
		{0, "", 0, "level, within the limit"},
		{7.4, "left", -1, "left heavy by 7.4 L, within the limit"},
		{17.5, "right", 1, "right heavy by 17.5 L, within the limit"},
		{21, "right", 2, "OVER THE LIMIT: right heavy by 21.0 L"},
		{21, "left", -2, "OVER THE LIMIT: left heavy by 21.0 L"},
		{500, "left", -2, "OVER THE LIMIT: left heavy by 500.0 L"},
	} {
		snapshot := screentest.Cruise()
		snapshot.Tanks.Imbalance, snapshot.Tanks.HeavySide, snapshot.Tanks.NextChange = row.imbalance, row.heavy, nil
		snapshot.Tanks.MaxImbalance = new(19.0)
		rows := rowsOf(snapshot, usual)
		require.Contains(t, strings.Join(rows, "\n"), row.want)
		require.Equal(t, row.side, pointerSide(t, rows), row.want)
	}
}

// pointerSide is where the block on the beam stands: 0 the middle, 1 right of it, 2 right of the limit, negative left.
func pointerSide(t *testing.T, rows []string) int {
	t.Helper()
	for _, row := range rows {
		cells := []rune(row)
		if !strings.HasPrefix(row, " ░") && !strings.HasPrefix(row, " █") {
			continue
		}
		at, left, right := strings.IndexRune(row, '█'), strings.IndexRune(row, '├'), strings.IndexRune(row, '┤')
		at, left, right = len([]rune(row[:at])), len([]rune(row[:left])), len([]rune(row[:right]))
		middle := (left + right) / 2
		switch {
		case cells[middle] == '█':
			return 0
		case at < left:
			return -2
		case at < middle:
			return -1
		case at > right:
			return 2
		default:
			return 1
		}
	}
	t.Fatal("no beam")
	return 0
}

func TestWhatIsWrongIsLoud(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Tanks.ScheduleProblem = "no schedule keeps the imbalance within 19 litres: the longest time on one tank is 35 minutes"
	snapshot.Tanks.GaugeDisagreement = "left gauge 43 is 5 litres below the reckoning: 43 counts"
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 40, Height: 10}, {Width: 160, Height: 44}} {
		text := strings.Join(strings.Fields(frameOf(snapshot, size)), " ")
		require.Contains(t, text, "! "+snapshot.Tanks.ScheduleProblem)
		require.Contains(t, text, "! "+snapshot.Tanks.GaugeDisagreement)
	}
}

func TestOverTheLimitAtTheChangeIsSaid(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Tanks.NextChange.ImbalanceThen = 20
	require.Contains(t, frameOf(snapshot, usual), "OVER THE LIMIT AT THE CHANGE")
}

// The next change stands on the side of the tank that will be the heavier by then.
func TestTheNextChangeStandsOnItsSideOfTheBeam(t *testing.T) {
	snapshot := screentest.Cruise()
	left := func() bool {
		for _, row := range rowsOf(snapshot, usual) {
			if strings.HasPrefix(row, " ░") {
				require.Contains(t, row, "o")
				return strings.Index(row, "o") < strings.Index(row, "┼")
			}
		}
		t.Fatal("no beam")
		return false
	}
	require.True(t, left())
	snapshot.Tanks.NextChange.HeavyThen = "right"
	require.False(t, left())
}

func TestHowUrgentAChangeIsStandsInAWord(t *testing.T) {
	snapshot := screentest.Cruise()
	require.Contains(t, frameOf(snapshot, usual), "in 2:20")
	for i := range snapshot.Prompts {
		if snapshot.Prompts[i].Kind == flight.PromptTank {
			snapshot.Prompts[i].Announce = true
		}
	}
	require.Contains(t, frameOf(snapshot, usual), "SOON 2:20")
	require.Contains(t, frameOf(screentest.TankLate(), usual), "LATE 3:15")
	require.Contains(t, frameOf(screentest.TankLate(), screen.Size{Width: 50, Height: 12}), "left LATE 3:15", "in the head where there is no other room")
	require.Contains(t, frameOf(screentest.BeforeStart(), usual), "NO TANK IS SELECTED")
}

// apart is the row above the plot of the imbalance.
func apart(rows []string) int {
	return slices.IndexFunc(rows, func(row string) bool { return strings.Contains(row, "APART") })
}

// What was is a line, what is planned is dots, and a gauge reading is a cross where it was read.
func TestThePlotHasLinesForThePastAndDotsForThePlan(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	screentest.Press(s, snapshot, "w")
	rows := s.Rows(snapshot, usual, theme.Theme{})
	now := len([]rune(strings.Split(rows[len(rows)-4], "now")[0])) + 1
	require.Contains(t, rows[len(rows)-4], "now")
	crosses := 0
	for _, row := range rows[2:apart(rows)] {
		cells := []rune(row)
		require.NotContains(t, string(cells[7:now]), "·")
		require.NotContains(t, string(cells[now+1:70]), "─")
		crosses += strings.Count(row, "x")
	}
	require.Positive(t, crosses)
	require.Contains(t, rows[len(rows)-5], "F")
	require.Contains(t, rows[len(rows)-5], "f")

	snapshot.Tanks.History, snapshot.Tanks.Ahead = nil, nil
	require.Contains(t, strings.Join(s.Rows(snapshot, usual, theme.Theme{}), "\n"), "from off-blocks on")
}

// A figure stands in the row of its share of the scale, wherever it lies.
func TestTheImbalancePlotCrossesTheLimitWhereTheImbalanceDoes(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	screentest.Press(s, snapshot, "w")
	limits := func(difference float64) (above bool) {
		last := len(snapshot.Tanks.History) - 1
		for i := range snapshot.Tanks.History {
			snapshot.Tanks.History[i].Differences = []float64{difference}
		}
		snapshot.Tanks.Pairs[0].Difference, snapshot.Tanks.Imbalance = difference, difference
		require.Positive(t, last)
		rows := s.Rows(snapshot, usual, theme.Theme{})
		for _, row := range rows[apart(rows)+1:] {
			if strings.Contains(row, "19┤") {
				return false
			}
			if strings.Contains(string([]rune(row)[8:20]), "──") {
				return true
			}
		}
		t.Fatal("no limit")
		return false
	}
	require.False(t, limits(12))
	require.True(t, limits(23.7))
}

func TestMoreAndFewerThanTwoTanks(t *testing.T) {
	snapshot := screentest.Cruise()
	list := snapshot.Tanks.Tanks
	snapshot.Tanks.Tanks = append(list, flight.TankNow{Name: "centre", Quantity: 20, Capacity: 30})
	rows := rowsOf(snapshot, usual)
	top, floor := pictureEdges(t, rows)
	require.Regexp(t, `left .* right`, rows[top])
	centre := slices.IndexFunc(rows, func(row string) bool { return strings.Contains(row, "centre") })
	require.Greater(t, centre, top, "a smaller tank is drawn smaller")
	require.Greater(t, strings.Index(rows[centre], "centre"), strings.Index(rows[top], "left"), "between the two")
	require.Regexp(t, `shut +shut +FEEDS`, rows[floor+2], "the right one feeds")

	snapshot.Tanks.Tanks = list[:1]
	text := frameOf(snapshot, usual)
	require.NotContains(t, text, "HEAVY")
	require.NotContains(t, text, "another tank")
}

func TestNoKeyIsTheRoots(t *testing.T) {
	seen := map[string]string{}
	for _, binding := range append(keys.NewGlobal().All(), tanks.New().Keys(screentest.Cruise())...) {
		for _, name := range binding.Keys() {
			require.NotContains(t, seen, name, "%s and %s", seen[name], binding.Help().Desc)
			seen[name] = binding.Help().Desc
		}
	}
}

func BenchmarkFrame(b *testing.B) {
	s, snapshot, t := tanks.New(), screentest.Cruise(), theme.Day(termenv.TrueColor)
	for b.Loop() {
		s.Rows(snapshot, screen.Size{Width: 160, Height: 44}, t)
	}
}
