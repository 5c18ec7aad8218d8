package table_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/table"
)

func columns() []table.Column[int] {
	number := func(n int) frame.Cell { return frame.Cell{Text: fmt.Sprint(n)} }
	return []table.Column[int]{
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
		require.Equal(t, want, table.Fit(columns(), width).Row(7), "width %d", width)
	}
}

// angled is a look that can be seen.
var angled = frame.NewStyle("<", ">")

func TestHeadAndMark(t *testing.T) {
	fitted := table.Fit(columns(), 20)
	require.Equal(t, "name   extra  nm  kt", fitted.Head(frame.Style{}, frame.Style{}))
	require.Equal(t, "<name>   extra  nm  kt", fitted.Head(angled, frame.Style{}), "the first head is the table's title")
	require.Equal(t, "<nnn        3   3   3>", fitted.Marked(3, angled))
	require.True(t, fitted.Shows("extra"))
	require.False(t, table.Fit(columns(), 19).Shows("extra"))
}

func TestWhatHasNoRoomRunsOnOverEmptyCells(t *testing.T) {
	cell := func(text string) func(int) frame.Cell {
		return func(int) frame.Cell { return frame.Cell{Text: text} }
	}
	columns := []table.Column[int]{
		{Width: 4, Spill: true, Cell: cell("a long name")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("")},
		{Width: 3, Cell: cell("end")},
	}
	require.Equal(t, "a long name      end", table.Fit(columns, 20).Row(0))
	columns[2].Cell = cell("x")
	require.Equal(t, "a long … x       end", table.Fit(columns, 20).Row(0), "to the next that is not empty")
	columns[0].Spill = false
	require.Equal(t, "a l…     x       end", table.Fit(columns, 20).Row(0))
}

func TestARowHasItsWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(0, 80).Draw(t, "width")
		fitted := table.Fit(columns(), width)
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
		first := table.Window(total, height, marked)
		require.GreaterOrEqual(t, first, 0)
		require.True(t, first <= marked && marked < first+height)
		require.LessOrEqual(t, first+height, max(total, height), "no blank rows while there is something to show")
	})
}
