package frame_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/theme"
)

func columns() []frame.Column[int] {
	number := func(n int) frame.Cell { return frame.Cell{Text: fmt.Sprint(n)} }
	return []frame.Column[int]{
		{Head: "name", Width: 6, Grow: 4, Cell: func(n int) frame.Cell { return frame.Cell{Text: strings.Repeat("n", n)} }},
		{Head: "extra", Width: 5, Right: true, Rank: 2, Cell: number},
		{Head: "nm", Width: 3, Right: true, Cell: number},
		{Head: "kt", Width: 3, Right: true, Rank: 1, Cell: number},
	}
}

func TestColumnsComeByRankAndStandInTheirOrder(t *testing.T) {
	for width, want := range map[int]string{
		3:  "nn…",
		8:  "nnnnn… 7",
		13: "nnnnnnn     7",
		14: "nnnnn…   7   7",
		19: "nnnnnnn      7    7",
		20: "nnnnn…     7   7   7",
		27: "nnnnnnn         7    7    7",
	} {
		require.Equal(t, want, frame.FitTable(columns(), width).Row(7), "width %d", width)
	}
}

// angled is a look that can be seen.
var angled = frame.NewStyle("<", ">")

func TestHeadAndMark(t *testing.T) {
	fitted := frame.FitTable(columns(), 20)
	require.Equal(t, "name   extra  nm  kt", fitted.Head(frame.Style{}, frame.Style{}))
	require.Equal(t, "<name>   extra  nm  kt", fitted.Head(angled, frame.Style{}), "the first head is the table's title")
	require.Equal(t, "<nnn        3   3   3>", fitted.Marked(3, angled))
	require.True(t, fitted.Shows("extra"))
	require.False(t, frame.FitTable(columns(), 19).Shows("extra"))
}

func TestWhatHasNoRoomRunsOnOverEmptyCells(t *testing.T) {
	cell := func(text string) func(int) frame.Cell {
		return func(int) frame.Cell { return frame.Cell{Text: text} }
	}
	columns := []frame.Column[int]{
		{Width: 4, Spill: true, Cell: cell("a long name")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("end")},
	}
	require.Equal(t, "a long name      end", frame.FitTable(columns, 20).Row(0))
	columns[2].Cell = cell("x")
	require.Equal(t, "a long … x       end", frame.FitTable(columns, 20).Row(0), "to the next that is not empty")
	columns[0].Spill = false
	require.Equal(t, "a l…     x       end", frame.FitTable(columns, 20).Row(0))
}

func TestARowHasItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(0, 80).Draw(t, "width")
		fitted := frame.FitTable(columns(), width)
		n := rapid.IntRange(0, 50).Draw(t, "n")
		require.Equal(t, width, frame.Width(fitted.Row(n)))
		require.Equal(t, width, frame.Width(fitted.Marked(n, frame.Style{})))
		require.Equal(t, width, frame.Width(fitted.Head(frame.Style{}, frame.Style{})))
	})
}

func TestTheMarkedRowIsInView(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.IntRange(1, 60).Draw(t, "total")
		height := rapid.IntRange(1, 60).Draw(t, "height")
		marked := rapid.IntRange(0, total-1).Draw(t, "marked")
		first := frame.Window(total, height, marked)
		require.GreaterOrEqual(t, first, 0)
		require.True(t, first <= marked && marked < first+height)
		require.LessOrEqual(t, first+height, max(total, height), "no blank rows while there is something to show")
	})
}

func TestTextsStandWhereTheyArePutAndNeverOverEachOther(t *testing.T) {
	s := frame.NewStrip(12)
	s.Fill(0, 12, "-", theme.Role{})
	require.True(t, s.Put(2, "abc", theme.Role{}))
	require.False(t, s.Put(4, "d", theme.Role{}), "c stands there")
	require.False(t, s.Put(10, "xyz", theme.Role{}), "beyond the end")
	require.False(t, s.Put(-1, "x", theme.Role{}))
	require.True(t, s.Centre(11, "end", theme.Role{}), "moved left to fit")
	s.Fill(0, 12, "=", theme.Role{})
	require.Equal(t, "==abc====end", s.Row())
}

func TestWhatStandsApartTouchesNothing(t *testing.T) {
	s := frame.NewStrip(20)
	require.True(t, s.Put(5, "words", frame.Style{}))
	for x, free := range map[int]bool{0: true, 1: false, 2: false, 10: false, 11: true, 16: true, 17: false, -1: false} {
		require.Equal(t, free, s.FreeApart(x, 4), "at %d", x)
	}
}

func TestARowHasItsWidthWhateverIsPut(t *testing.T) {
	role := theme.Day(termenv.ANSI).Due
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(-1, 60).Draw(t, "width")
		s := frame.NewStrip(width)
		for range rapid.IntRange(0, 8).Draw(t, "texts") {
			x := rapid.IntRange(-5, 70).Draw(t, "x")
			text := frame.Clean(rapid.String().Draw(t, "text"))
			if rapid.Bool().Draw(t, "centre") {
				s.Centre(x, text, role)
			} else {
				s.Put(x, text, role)
			}
			s.Fill(x, x+3, "-", theme.Role{})
		}
		require.Equal(t, max(width, 0), frame.Width(s.Row()))
	})
}

func TestOnlyKeysThatCanBeUsedAndFit(t *testing.T) {
	dead := keys.New("never", "n")
	dead.SetEnabled(false)
	bindings := []key.Binding{keys.New("one", "a"), dead, keys.New("another", "b", "f1")}
	for width, want := range map[int]string{
		26: " a one   b / F1 another   ",
		23: " a one   b / F1 another",
		22: " a one                ",
		5:  "     ",
		0:  "",
	} {
		require.Equal(t, want, frame.Keys(bindings, width, frame.Style{}, frame.Style{}), "width %d", width)
	}
}
