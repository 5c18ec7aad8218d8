package frame

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(0, 80).Draw(t, "width")
		a, b := rapid.Float64().Draw(t, "a"), rapid.Float64().Draw(t, "b")
		glyphs := drawGlyphs(t)
		requireWidth(t, width, Bar(width, a, glyphs, drawStyle(t), drawStyle(t)))

		full := func(fraction float64) int {
			return strings.Count(Bar(width, fraction, ASCII(), Style{}, Style{}), "#")
		}
		if a <= b {
			require.LessOrEqual(t, full(a), full(b), "more is never shown as less")
		}
	})
	for _, c := range []struct {
		fraction float64
		bar      string
	}{
		{0, "...."},
		{0.5, "##.."},
		{1, "####"},
		{7, "####"},
		{-1, "...."},
		{math.NaN(), "...."},
		{0.001, "#..."}, // not empty
		{0.999, "###."}, // not full
	} {
		assert.Equal(t, c.bar, Bar(4, c.fraction, ASCII(), Style{}, Style{}), "%v", c.fraction)
	}
	assert.Equal(t, "█▎░░", Bar(4, 0.3125, Drawn(), Style{}, Style{}), "ten eighths")
}

func TestBeam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(0, 80).Draw(t, "width")
		requireWidth(t, width, Beam(width, rapid.Float64().Draw(t, "value"), drawGlyphs(t), drawStyle(t), drawStyle(t)))
	})
	for value, beam := range map[float64]string{
		-1: "O--+--+", -0.4: "+-O+--+", 0: "+--O--+", 0.3: "+--+O-+", 1: "+--+--O", 9: "+--+--O", math.Inf(-1): "O--+--+",
	} {
		assert.Equal(t, beam, Beam(7, value, ASCII(), Style{}, Style{}), "%v", value)
	}
}

func TestBigTextHasOneWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("0123456789:.-+ ?hxé")), 0, 9, -1).Draw(t, "text")
		glyphs := drawGlyphs(t)
		for _, height := range []int{BigSmall, BigLarge} {
			requireBlock(t, BigWidth(text, height), height, Big(text, height, glyphs))
		}
	})
}

// No two characters look alike, in any size and set.
func TestBigCharactersDiffer(t *testing.T) {
	for _, glyphs := range []Glyphs{Drawn(), ASCII()} {
		for _, height := range []int{BigSmall, BigLarge} {
			seen := map[string]rune{}
			for _, r := range "0123456789:.-+ h" {
				look := strings.Join(Big(string(r), height, glyphs), "\n")
				require.Zero(t, seen[look], "%q and %q, %d rows", r, seen[look], height)
				seen[look] = r
			}
		}
	}
}

func ExampleBig() {
	for _, row := range Big("12:07", BigSmall, Drawn()) {
		fmt.Println(strings.TrimRight(row, " "))
	}
	for _, row := range Big("-4.5", BigLarge, Drawn()) {
		fmt.Println(strings.TrimRight(row, " "))
	}
	for _, row := range Big("2468", BigSmall, ASCII()) {
		fmt.Println(strings.TrimRight(row, " "))
	}
	// Output:
	// ▄█  ▀▀▄ ▄ ▄▀▄ ▀▀█
	//  █   ▄▀   █ █  ▄▀
	// ▄█▄ █▄▄ ▀ ▀▄▀  █
	//       ██ ██   █████
	//       ██ ██   ██
	// █████ █████   ████▄
	//          ██      ██
	//          ██ █ ████▀
	//  _       _   _
	//  _| |_| |_  |_|
	// |_    | |_| |_|
}

func ExampleBox() {
	rows := Box("Tanks", []string{"left  41.5", "right 44.0"}, 16, 4, Border{Glyphs: Drawn()})
	fmt.Println(strings.Join(rows, "\n"))
	// Output:
	// ┌─ Tanks ──────┐
	// │left  41.5    │
	// │right 44.0    │
	// └──────────────┘
}

func BenchmarkFit(b *testing.B) {
	for name, text := range map[string]string{
		"ascii":  "NAV1 114.35 KVN inbound 024",
		"styled": shout.Render("NAV1 114.35") + " KVN " + shout.Render("inbound 024") + "│─┤",
		"wide":   "東京 114.35",
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				_ = Fit(text, 60)
			}
		})
	}
}

func BenchmarkBox(b *testing.B) {
	content := make([]string, 20)
	for i := range content {
		content[i] = shout.Render("Aldmoor mast") + "  22.9  09:46:12"
	}
	border := Border{Glyphs: Drawn(), Line: shout, Title: shout}
	for b.Loop() {
		_ = Box("Route", content, 60, 22, border)
	}
}

func BenchmarkBig(b *testing.B) {
	glyphs := Drawn()
	for b.Loop() {
		_ = Big("09:43:50", BigSmall, glyphs)
	}
}
