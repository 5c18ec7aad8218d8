package strip_test

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
)

func TestTextsStandWhereTheyArePutAndNeverOverEachOther(t *testing.T) {
	s := strip.New(12)
	s.Fill(0, 12, "-", theme.Role{})
	require.True(t, s.Put(2, "abc", theme.Role{}))
	require.False(t, s.Put(4, "d", theme.Role{}), "c stands there")
	require.False(t, s.Put(10, "xyz", theme.Role{}), "beyond the end")
	require.False(t, s.Put(-1, "x", theme.Role{}))
	require.True(t, s.Centre(11, "end", theme.Role{}), "moved left to fit")
	s.Fill(0, 12, "=", theme.Role{})
	require.Equal(t, "==abc====end", s.Row())
}

func TestARowHasItsWidthWhateverIsPut(t *testing.T) {
	role := theme.Day(termenv.ANSI).Due
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(-1, 60).Draw(t, "width")
		s := strip.New(width)
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
