package frame

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyText is what a plan or a pilot may hold: letters of every script, emoji, escape sequences, control characters and
// broken UTF-8.
func anyText() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.String(),
		rapid.StringN(0, 200, -1),
		rapid.Custom(func(t *rapid.T) string { return string(rapid.SliceOfN(rapid.Byte(), 0, 60).Draw(t, "bytes")) }),
		rapid.StringOf(rapid.RuneFrom([]rune("aZ9 éßÅ°±─│█░東京\U0001f469\U0001f3fd\u200d\u2708\ufe0f\U0001f1e9\U0001f1ea가각\u1100\u0301\u0308\u200d\u202e\ufe0f\x1b[31mm\t\n\a"))),
		rapid.StringOf(rapid.RuneFrom(nil, unicode.Latin, unicode.Han, unicode.Hangul, unicode.Devanagari, unicode.Thai, unicode.Mn, unicode.So)),
	)
}

func cleanText() *rapid.Generator[string] { return rapid.Map(anyText(), Clean) }

// shout is a style as a theme's are: it dresses text and leaves its width alone.
var shout = NewStyle("\x1b[1;38;2;200;40;7m", "\x1b[m")

func drawGlyphs(t *rapid.T) Glyphs {
	return rapid.SampledFrom([]Glyphs{Drawn(), ASCII()}).Draw(t, "glyphs")
}

func drawStyle(t *rapid.T) Style {
	return rapid.SampledFrom([]Style{{}, shout}).Draw(t, "style")
}

// opinions are what terminals may take for the width of a text: all of a character at once, as x/ansi measures it, or each of its signs by
// itself, those beside a letter with a cell of their own or without.
var opinions = map[string]func(text string) int{
	"by character": ansi.StringWidth,
	"by sign":      func(text string) int { return bySign(text, func(rune) int { return 0 }) },
	"by sign, those beside a letter with cells": func(text string) int {
		return bySign(text, func(r rune) int { return max(1, ansi.StringWidth(string(r))) })
	},
}

func bySign(text string, beside func(rune) int) (cells int) {
	for _, r := range ansi.Strip(text) {
		switch {
		case unicode.Is(unicode.Mc, r):
			cells += beside(r)
		case !unicode.In(r, unicode.Mn, unicode.Me):
			cells += ansi.StringWidthWc(string(r))
		}
	}
	return cells
}

// requireWidth holds that a row takes so many cells, and more in no terminal.
func requireWidth(t require.TestingT, width int, row string) {
	most := 0
	for _, opinion := range opinions {
		most = max(most, opinion(row))
	}
	require.Equal(t, width, Width(row), "%q", row)
	require.LessOrEqual(t, most, width, "%q", row)
}

func requireBlock(t require.TestingT, width, height int, block []string) {
	require.Len(t, block, height)
	for _, row := range block {
		requireWidth(t, width, row)
	}
}

// The width of a character is the largest that a terminal may give it, and that of a text the sum of its characters'.
func TestWidthIsTheLargestOpinion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, want := cleanText().Draw(t, "text"), 0
		for left := text; left != ""; {
			character, _ := ansi.FirstGraphemeCluster(left, ansi.GraphemeWidth)
			left = left[len(character):]
			most := 0
			for _, opinion := range opinions {
				most = max(most, opinion(character))
			}
			want += most
		}
		require.Equal(t, want, Width(drawStyle(t).Render(text)), "%q", text)
	})
	for text, want := range map[string]int{"กำ": 2, "น้ำ": 2, "हिन्दी": 5, "東": 2, "ｶﾞ": 2, "e\u0301": 1, "Ж": 1, "تونس": 4, "→": 1} {
		assert.Equal(t, want, Width(text), text)
	}
}

func TestCleanTextIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := Clean(anyText().Draw(t, "text"))
		require.True(t, utf8.ValidString(text))
		for _, r := range text {
			require.False(t, unicode.IsControl(r) || unicode.Is(unicode.Cf, r), "%U in %q", r, text)
		}
		require.Equal(t, text, Clean(text), "cleaned twice")
	})
	assert.Equal(t, "red alert", Clean("\x1b[31mred\talert\x1b[0m"))
	assert.Equal(t, "one two", Clean("one\ntwo\u202e\ufe0f"))
}

func TestFitIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := cleanText().Draw(t, "text")
		width := rapid.IntRange(0, 120).Draw(t, "width")
		for _, fit := range []func(string, int) string{Fit, FitRight, Centre} {
			requireWidth(t, width, fit(text, width))
			requireWidth(t, width, fit(shout.Render(text), width))
		}
	})
}

// Letters must not join the border or the space beside them.
func TestNeighboursKeepTheirWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		left, right := cleanText().Draw(t, "left"), cleanText().Draw(t, "right")
		requireWidth(t, Width(left)+Width(right)+3, "│"+left+" "+right+"x")
		width := rapid.IntRange(0, 30).Draw(t, "width")
		requireWidth(t, 2*width+3, "│"+Fit(left, width)+"|"+Fit(right, width)+"─")
	})
}

func TestCutTextSaysSo(t *testing.T) {
	assert.Equal(t, "118.…", Fit("118.350", 5))
	assert.Equal(t, "…", Fit("118.350", 1))
	assert.Equal(t, "118.350", Fit("118.350", 7))
	assert.Equal(t, "東… ", Fit("東京都庁", 4), "half a wide letter is left out")
	assert.Equal(t, " 090", FitRight("090", 4))
	assert.Equal(t, " 090  ", Centre("090", 6))
}

func TestLineIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.Custom(func(t *rapid.T) Cell {
			return Cell{
				Text: cleanText().Draw(t, "text"), Width: rapid.IntRange(-1, 30).Draw(t, "width"),
				Right: rapid.Bool().Draw(t, "right"), Style: drawStyle(t),
			}
		})
		width := rapid.IntRange(0, 100).Draw(t, "line")
		var cells []Cell
		for _, c := range rapid.SliceOfN(cell, 0, 6).Draw(t, "cells") {
			cells = append(cells, c, Cell{Text: " "})
		}
		requireWidth(t, width, Line(width, cells...))
	})
}

func TestBlocksAreExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width, height := rapid.IntRange(0, 60).Draw(t, "width"), rapid.IntRange(0, 20).Draw(t, "height")
		rows := rapid.SliceOfN(cleanText(), 0, 25).Draw(t, "rows")
		title := cleanText().Draw(t, "title")
		border := Border{Glyphs: drawGlyphs(t), Line: drawStyle(t), Title: drawStyle(t)}

		block := Block(rows, width, height)
		requireBlock(t, width, height, block)
		requireBlock(t, width, height, Box(title, rows, width, height, border))
		requireBlock(t, width, height, Notice(title, width, height))
		requireWidth(t, width, Rule(width, border))
		if height > 0 {
			other := Box(title, nil, 7, height+2, border)
			requireBlock(t, width+7, height+2, Beside(block, other))
			requireBlock(t, width, 2*height, Above(block, block))
		}
	})
}

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z]{1,9} ){0,12}[a-z]{1,9}`).Draw(t, "text")
		width := rapid.IntRange(1, 40).Draw(t, "width")
		lines := Wrap(text, width)
		for _, line := range lines {
			require.LessOrEqual(t, Width(line), width)
		}
		require.Equal(t, strings.ReplaceAll(text, " ", ""), strings.ReplaceAll(strings.Join(lines, ""), " ", ""))
		if width >= 9 {
			require.Equal(t, strings.Fields(text), strings.Fields(strings.Join(lines, " ")), "no word is broken that has room")
		}
	})
}

func TestRectsCoverWithoutOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := Rect{3, 5, rapid.IntRange(0, 80).Draw(t, "width"), rapid.IntRange(0, 40).Draw(t, "height")}
		n := rapid.IntRange(-3, 90).Draw(t, "n")

		top, below := whole.CutTop(n)
		require.Equal(t, whole.Height, top.Height+below.Height)
		require.Equal(t, top.Y+top.Height, below.Y)
		above, bottom := whole.CutBottom(n)
		require.Equal(t, top.Height, bottom.Height)
		require.Equal(t, above.Y+above.Height, bottom.Y)

		left, rest := whole.CutLeft(n)
		require.Equal(t, whole.Width, left.Width+rest.Width)
		require.Equal(t, left.X+left.Width, rest.X)
		other, right := whole.CutRight(n)
		require.Equal(t, left.Width, right.Width)
		require.Equal(t, other.X+other.Width, right.X)

		for _, r := range []Rect{top, below, left, rest, whole.Inside()} {
			require.True(t, r.Width >= 0 && r.Height >= 0, "%+v", r)
		}
	})
}

func TestFittingTakesTheLongestThatHasRoom(t *testing.T) {
	wordings := []string{"turn right over LKM onto 120", "turn right onto 120", "right 120"}
	for width, want := range map[int]string{40: wordings[0], 28: wordings[0], 27: wordings[1], 18: wordings[2], 8: "right 1…"} {
		require.Equal(t, want, Fitting(width, wordings...), "%d cells", width)
	}
}

func TestClausesLosesNoFigureOfThoseThatStay(t *testing.T) {
	for width, want := range map[int]string{40: "08:35:03Z, 0:12 late", 19: "08:35:03Z", 8: "08:35:03", 7: "08:35:…"} {
		require.Equal(t, want, Clauses("08:35:03Z, 0:12 late", width), "%d cells", width)
	}
}
