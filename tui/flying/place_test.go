package flying

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/tui/frame"
)

func sign(x int, name string) item {
	mark := "<" + name[:1] + ">"
	return item{x: x, mark: mark, letter: name[:1], texts: [levels]string{mark + " " + name + " 1:23", mark + " " + name, mark + " " + name[:2], mark}}
}

func TestPlacing(t *testing.T) {
	for name, c := range map[string]struct {
		items []item
		lanes int
		want  string
	}{
		"far apart, one lane":            {[]item{sign(0, "abba"), sign(20, "cecil")}, 4, "0 <a> abba 1:23, 0 <c> cecil 1:23"},
		"the nearer lies below":          {[]item{sign(0, "abba"), sign(5, "cecil")}, 4, "1 <a> abba 1:23, 0 <c> cecil 1:23"},
		"the nearer has the longer text": {[]item{sign(0, "abba"), sign(9, "cecil")}, 1, "0 <a> abba, 0 <c> cecil 1:23"},
		"words before whole texts":       {[]item{sign(0, "abba"), sign(7, "cecil"), sign(14, "dora")}, 1, "0 <a> ab, 0 <c> ce, 0 <d> dora 1:23"},
		"piled at one column":            {[]item{sign(0, "abba"), sign(0, "cecil"), sign(0, "dora")}, 3, "2 <a> abba 1:23, 1 <c> cecil 1:23, 0 <d> dora 1:23"},
		"one too many goes to the axis":  {[]item{sign(0, "abba"), sign(0, "cecil"), sign(0, "dora")}, 2, "1 <a> abba 1:23, 0 <c> cecil 1:23, axis d"},
		"no lanes at all":                {[]item{sign(0, "abba")}, 0, "axis a"},
		"cut at the edge":                {[]item{sign(34, "abba")}, 1, "0 <a> a~"},
	} {
		t.Run(name, func(t *testing.T) {
			shown, onAxis := place(c.items, c.lanes, 40)
			var got []string
			for _, p := range shown {
				got = append(got, fmt.Sprint(p.lane, " ", p.text))
			}
			for _, i := range onAxis {
				got = append(got, "axis "+i.letter)
			}
			require.Equal(t, c.want, strings.Join(got, ", "))
		})
	}
}

// However crowded: no two texts share a cell, no line from a sign to the axis crosses a text, and every item is either in a
// lane or on the axis.
func TestNothingCollides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const width = 70
		lanes := rapid.IntRange(0, 6).Draw(t, "lanes")
		var items []item
		x := 0
		for range rapid.IntRange(0, 20).Draw(t, "items") {
			x = min(width-3, x+rapid.SampledFrom([]int{0, 0, 1, 2, 5, 9, 20}).Draw(t, "gap"))
			items = append(items, sign(x, rapid.SampledFrom([]string{"ab", "cecilia", "a very long name of a thing"}).Draw(t, "name")))
		}
		shown, onAxis := place(items, lanes, width)
		require.Len(t, items, len(shown)+len(onAxis))
		taken := map[[2]int]string{}
		for _, p := range shown {
			require.Less(t, p.lane, lanes)
			require.LessOrEqual(t, p.x+frame.Width(p.text), width)
			for cell := range frame.Width(p.text) {
				require.Empty(t, taken[[2]int{p.lane, p.x + cell}], "%q", p.text)
				taken[[2]int{p.lane, p.x + cell}] = p.text
			}
		}
		for _, p := range shown {
			for lane := range p.lane {
				other := taken[[2]int{lane, p.x}]
				require.True(t, other == "" || p.x == 0 || onlyAt(shown, lane, p.x), "the line of %q crosses %q", p.text, other)
			}
		}
	})
}

// onlyAt reports whether the text in a lane at a column begins there: signs of one column stand below each other.
func onlyAt(shown []placed, lane, x int) bool {
	for _, p := range shown {
		if p.lane == lane && p.x == x {
			return true
		}
	}
	return false
}
