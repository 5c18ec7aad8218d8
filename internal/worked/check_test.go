package worked_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/worked"
)

// What is printed is reckoned as printed: a correctly rounded answer to figures that were rounded after the sum does not come out.
func TestRecompute(t *testing.T) {
	for line, holds := range map[string]bool{
		"60 × 13.5 / 6.67 = 121.5 kt":                false,
		"60 × 13.5 / 6.67 = 121.4 kt":                true,
		"6.71 min = 6:42":                            false,
		"6.71 min = 6:43":                            true,
		"172 min = 2 h 53":                           false,
		"172 min = 2 h 52":                           true,
		"flow: 60 × (42.5 - 37.5) / 35 = 8.57 gal/h": true,
		"17:02Z + 40:14 = 17:42:14Z":                 true,
		"23:50Z + 20:00 = 00:10Z":                    true,
		"heading: 355 + 7.85 = 003":                  true,
		"heading: 355 + 7.85 = 002":                  false,
		"first: 6 × 2 = 12 nm = 13 nm":               false,
		"no figures here":                            true,
		"time: 7:20 = 7.33 min":                      true,
		"time: 7:20 = 7.2 min":                       false,
		"on: wind correction, into the wind: asin(28.28 / 120) = 13.63° left": true,
		"wind correction: asin(28.28 / 120) = 13.36° left":                    false,
		"turn: -(-9 - 18) = 27°":                                              true,
		"wind speed: root(2.27 × 2.27 + (-32.49) × (-32.49)) = 32.57 kt":      true,
		"rate exactly: 6076.12 × tan(3) × 100 / 60 = 530.73 ft/min":           true,
		"delay: 10:50:00Z - 10:42:00Z = 8 min":                                true,
		"fuel: 16 × 8 / 60 = 2.13 l":                                          true,
		"nothing: = 3":                                                        false,
		"nothing: 3 = kt":                                                     false,
	} {
		assert.Equal(t, holds, worked.Recompute(line) == nil, line)
	}
}

// A figure gets the decimals that its line needs, in every line in which it stands; what was given exactly, and what a line comes to, do not.
func TestLinesComeOut(t *testing.T) {
	var l worked.Lines
	minutes := 22.0 / 3
	speed := 60 * 11.5 / minutes
	l.Line("time: %s = %s min", "7:20", worked.Number(minutes))
	l.Line("groundspeed: 60 × %s / %s = %s kt", worked.Number(11.5), worked.Number(minutes), worked.Number(speed))
	assert.Equal(t, []string{"time: 7:20 = 7.33 min", "groundspeed: 60 × 11.5 / 7.33 = 94.09 kt"}, l.Plain())
	assert.Equal(t, []string{"time: 7:20 = 7.3333 min", "groundspeed: 60 × 11.5 / 7.3333 = 94.09 kt"}, l.Text())
	l.Decimals(0, speed)
	assert.Equal(t, []string{"time: 7:20 = 7.33 min", "groundspeed: 60 × 11.5 / 7.33 = 94 kt"}, l.Text())
	l.Line("nothing: 1 / %s = 2", worked.Number(0))
	assert.Len(t, l.Text(), 2, "nobody divides by what is shown as nought")
}

// A heading to the degree leaves the angle of the same size, from which it came, its tenth.
func TestADirectionIsNoAngle(t *testing.T) {
	closing := 60 * 3.0 / 49
	var l worked.Lines
	l.Decimals(1, closing)
	l.WholeDirections(355 + 5 + closing - 360)
	l.Line("closing angle: 60 × 3 / 49 = %s", worked.Degrees(closing))
	l.Line("heading: 355 + 5 + %s - 360 = %s", worked.Number(closing), worked.Direction(closing))
	assert.Equal(t, []string{"closing angle: 60 × 3 / 49 = 3.7°", "heading: 355 + 5 + 3.7 - 360 = 004"}, l.Plain())
}

// The ways to write a figure: a handbook's three digits for a direction, a side for an angle, brackets behind an operator.
func TestFigures(t *testing.T) {
	for text, figure := range map[string]worked.Figure{
		"7.5": worked.Number(7.5), "0.0833": worked.Number(1.0 / 12), "12.0": worked.Rounded(12, 1), "(-3)": worked.Signed(-3), "- 3": worked.Plus(-3),
		"+ 3": worked.Minus(-3), "007.5": worked.Direction(7.5), "360": worked.Direction(0), "7.39° left": worked.Sided(-7.391), "0°": worked.Sided(0),
		"1.0833": worked.Factor(1 + 1.0/12),
	} {
		assert.Equal(t, text, figure.String())
	}
}
