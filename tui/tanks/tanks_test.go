package tanks_test

import (
	"math/bits"
	"slices"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/tanks"
	"example.com/legclock/tui/theme"
)

func TestFrames(t *testing.T) { screentest.Golden(t, tanks.New(), "../../testdata/frames/tanks") }

// The plot in a small window, and an aircraft with two pairs of tanks.
func TestFramesOfViews(t *testing.T) {
	small, wide := usual, screen.Size{Width: 120, Height: 32}
	for name, row := range map[string]struct {
		snapshot flight.Snapshot
		size     screen.Size
		keys     []string
	}{
		"over-time-80x20": {screentest.Cruise(), small, []string{":over time"}},
		"four-80x20":      {screentest.FourTanks(), small, nil},
		"four-over-80x20": {screentest.FourTanks(), small, []string{":over time"}},
		"four-120x32":     {screentest.FourTanks(), wide, nil},
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
			require.NotRegexp(t, `[^\x00-\x7f±°]`, text, "no drawing characters")
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
		{[]string{":select"}, []screen.Intent{screen.SelectTank("left")}},
		{[]string{"down", ":select"}, nil}, // it feeds already
		{[]string{"down", "down", "up", ":select"}, []screen.Intent{screen.SelectTank("left")}},
		{[]string{":gauges"}, []screen.Intent{screen.Ask{Text: "gauges left "}}},
		{[]string{":flow"}, []screen.Intent{screen.Ask{Text: "flow "}}},
	} {
		require.Equal(t, row.want, screentest.Press(tanks.New(), snapshot, row.keys...), "%v", row.keys)
	}
	require.Empty(t, screentest.Press(tanks.New(), screentest.Empty(), "down", "up", ":select", ":gauges"))
}

func TestTheMarkFollowsTheNextChange(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	require.Equal(t, []screen.Intent{screen.SelectTank("left")}, screentest.Press(s, snapshot, ":select"))
	snapshot.Tanks.NextChange.To = "right"
	snapshot.Tanks.Tanks[0].Selected, snapshot.Tanks.Tanks[1].Selected = true, false
	require.Equal(t, []screen.Intent{screen.SelectTank("right")}, screentest.Press(s, snapshot, ":select"))
}

func TestTanksLieAsTheyAreNamed(t *testing.T) {
	snapshot := screentest.Cruise()
	list := snapshot.Tanks.Tanks
	snapshot.Tanks.Tanks = []flight.TankNow{list[1], list[0]}
	require.Equal(t, frameOf(screentest.Cruise(), usual), frameOf(snapshot, usual), "whatever order the aircraft lists them in")
}

// Each tank's bar has as many filled cells as its share of the largest tank, to the cell, so that ends compare.
func TestBarsAreDrawnToOneScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		snapshot := screentest.Cruise()
		list := snapshot.Tanks.Tanks
		for i := range list {
			list[i].Capacity = rapid.Float64Range(20, 90).Draw(t, "capacity")
			list[i].Quantity = list[i].Capacity * rapid.Float64Range(0, 1).Draw(t, "share")
			list[i].Unusable, list[i].Gauge = 0, nil
		}
		full := max(list[0].Capacity, list[1].Capacity)
		length, filled := [2]int{}, [2]float64{}
		for i, name := range []string{"LEFT ", "RIGHT "} {
			row := rowsOf(snapshot, usual)[at(rowsOf(snapshot, usual), name+" ", name+"feeds")]
			for _, r := range row {
				if part := share(r); part > 0 || r == '░' {
					length[i]++
					filled[i] += part
				}
			}
		}
		cells := float64(max(length[0], length[1]))
		for i := range list {
			require.InDelta(t, list[i].Capacity/full*cells, float64(length[i]), 1, "length of tank %d", i)
			require.InDelta(t, list[i].Quantity/full*cells, filled[i], 1, "tank %d of %v", i, list)
		}
	})
}

// at is the first row that holds one of some texts.
func at(rows []string, texts ...string) int {
	return slices.IndexFunc(rows, func(row string) bool {
		return slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(row, text) })
	})
}

// share is how much of a cell is filled from its left.
func share(glyph rune) float64 {
	if i := strings.IndexRune("▏▎▍▌▋▊▉█", glyph); i >= 0 {
		return float64(i/len("▏")+1) / 8
	}
	return 0
}

// What is now stands on the side of the heavy tank, and beyond the limit's mark when the imbalance is.
func TestTheScaleShowsTheImbalanceAgainstItsLimit(t *testing.T) {
	for _, row := range []struct {
		difference float64 // left less right
		side       int
		want       string
	}{
		{0, 0, "LEVEL 0.0"},
		{7.4, -1, "LEFT HEAVY 7.4"},
		{-17.5, 1, "RIGHT HEAVY 17.5"},
		{-21, 2, "OVER THE LIMIT of 19"},
		{21, -2, "OVER THE LIMIT of 19"},
		{500, -2, "LEFT HEAVY 500.0"},
	} {
		snapshot := screentest.Cruise()
		snapshot.Tanks.Pairs[0].Difference, snapshot.Tanks.NextChange = row.difference, nil
		snapshot.Tanks.MaxImbalance = new(19.0)
		rows := rowsOf(snapshot, usual)
		require.Contains(t, strings.Join(rows, "\n"), row.want)
		require.Equal(t, row.side, side(t, rows, '●'), row.want)
	}
}

// side is where a mark on the scale stands: 0 the middle, 1 right of it, 2 right of the limit, negative left.
func side(t *testing.T, rows []string, mark rune) int {
	t.Helper()
	row := []rune(rows[at(rows, string(mark))])
	column := func(r rune) int { return slices.Index(row, r) }
	middle := column('┼')
	if middle < 0 {
		return 0
	}
	switch here := column(mark); {
	case here < column('├'):
		return -2
	case here < middle:
		return -1
	case here > column('┤'):
		return 2
	default:
		return 1
	}
}

func TestWhatIsWrongIsLoud(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Tanks.ScheduleProblem = "no schedule keeps the imbalance within 19 litres: the longest time on one tank is 35 minutes"
	snapshot.Tanks.GaugeDisagreement = "left gauge 43 is 5 litres below the reckoning: 43 counts"
	for _, size := range []screen.Size{{Width: 80, Height: 20}, {Width: 40, Height: 10}, {Width: 160, Height: 44}} {
		text := strings.Join(strings.Fields(frameOf(snapshot, size)), " ")
		for _, problem := range []string{snapshot.Tanks.ScheduleProblem, snapshot.Tanks.GaugeDisagreement} {
			require.Contains(t, text, "! "+problem)
		}
	}
}

func TestOverTheLimitAtTheChangeIsSaid(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Tanks.NextChange.ImbalanceThen = 20
	require.Contains(t, frameOf(snapshot, usual), "20.0 at the change: OVER THE LIMIT")
}

// The next change stands on the side of the tank that will be the heavier by then.
func TestTheNextChangeStandsOnItsSideOfTheScale(t *testing.T) {
	snapshot := screentest.Cruise()
	require.Equal(t, -1, side(t, rowsOf(snapshot, usual), '○'))
	snapshot.Tanks.NextChange.HeavyThen = "right"
	require.Equal(t, 1, side(t, rowsOf(snapshot, usual), '○'))
}

// The figure is the time to the change, and once that is past by how long.
func TestTheFigureIsTheTimeToTheChange(t *testing.T) {
	for _, row := range []struct {
		snapshot flight.Snapshot
		title    string
		figure   string
	}{
		{screentest.Cruise(), "CHANGE TO LEFT IN", "2:20"},
		{screentest.TankLate(), "CHANGE TO LEFT LATE BY", "3:15"},
	} {
		rows := rowsOf(row.snapshot, usual)
		title := at(rows, row.title)
		require.GreaterOrEqual(t, title, 0, row.title)
		for i, digits := range frame.Big(row.figure, frame.BigSmall, frame.Drawn()) {
			require.Contains(t, rows[title+1+i], strings.TrimRight(digits, " "))
		}
		require.Contains(t, frameOf(row.snapshot, screen.Size{Width: 50, Height: 9}), row.title+" "+row.figure, "in one row where there is no other room")
	}
	require.Contains(t, frameOf(screentest.BeforeStart(), usual), "NO TANK IS SELECTED")
}

// apart is the row above the plot of the imbalance.
func apart(rows []string) int { return at(rows, "IMBALANCE") }

// What was is a line and what is planned is dots, which fill fewer cells; a gauge reading is a cross where it was read. The tanks differ by more than
// their place: one line is twice as thick as the other.
func TestThePlotHasLinesForThePastAndDotsForThePlan(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	screentest.Press(s, snapshot, ":over time")
	rows := s.Rows(snapshot, usual, theme.Theme{})
	axis := at(rows, "now") - 1
	now := len([]rune(strings.Split(rows[axis+1], "now")[0])) + 1
	lines, dots, crosses := 0, 0, 0
	for _, row := range rows[3:apart(rows)] {
		for x, r := range []rune(row) {
			if r >= 0x2800 && r <= 0x28ff && x <= now {
				lines += bits.OnesCount32(uint32(r - 0x2800))
			} else if r >= 0x2800 && r <= 0x28ff {
				dots += bits.OnesCount32(uint32(r - 0x2800))
			}
		}
		crosses += strings.Count(row, "x")
	}
	require.Positive(t, crosses)
	require.Greater(t, float64(lines)/float64(now-7), 2*float64(dots)/float64(60-now), "dots by the cell")
	require.Contains(t, strings.Join(rows, "\n"), "left thin, right thick, dotted: planned")
	require.Regexp(t, ` right .* left .* right `, rows[axis], "the changes made and planned")

	snapshot.Tanks.History, snapshot.Tanks.Ahead = nil, nil
	require.Contains(t, strings.Join(s.Rows(snapshot, usual, theme.Theme{}), "\n"), "from off-blocks on")
}

// A figure stands in the row of its share of the scale: above the line of the limit when it is over the limit.
func TestTheImbalancePlotCrossesTheLimitWhereTheImbalanceDoes(t *testing.T) {
	s, snapshot := tanks.New(), screentest.Cruise()
	screentest.Press(s, snapshot, ":over time")
	above := func(difference float64) bool {
		for i := range snapshot.Tanks.History {
			snapshot.Tanks.History[i].Differences = []float64{difference}
		}
		snapshot.Tanks.Pairs[0].Difference, snapshot.Tanks.Imbalance = difference, difference
		rows := s.Rows(snapshot, screen.Size{Width: 80, Height: 40}, theme.Theme{})
		for _, row := range rows[apart(rows)+1:] {
			if strings.Contains(row, "19┤") {
				return false
			}
			if strings.ContainsFunc(string([]rune(row)[8:20]), func(r rune) bool { return r > 0x2800 && r <= 0x28ff }) {
				return true
			}
		}
		t.Fatal("no limit")
		return false
	}
	require.False(t, above(12))
	require.True(t, above(25))
}

func TestMoreAndFewerThanTwoTanks(t *testing.T) {
	snapshot := screentest.Cruise()
	list := snapshot.Tanks.Tanks
	snapshot.Tanks.Tanks = append(list, flight.TankNow{Name: "centre", Quantity: 20, Capacity: 30})
	rows := rowsOf(snapshot, usual)
	left, centre, right := at(rows, ">LEFT"), at(rows, " CENTRE"), at(rows, " RIGHT  feeds")
	require.Positive(t, left)
	require.Equal(t, []int{left + 1, left + 2}, []int{centre, right}, "between the two")
	require.Less(t, strings.Count(rows[centre], "█")+strings.Count(rows[centre], "░"), 40, "a smaller tank is drawn smaller")

	snapshot.Tanks.Tanks, snapshot.Tanks.Pairs = list[:1], nil
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
