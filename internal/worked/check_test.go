package worked_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/legclock/internal/worked"
)

func TestLinesThatHold(t *testing.T) {
	for _, line := range []string{
		"groundspeed: 60 × 11.5 / 7.33 = 94.09 kt",
		"time: 7:20 = 7.33 min",
		"out: 215 × 210 / (240 + 210) = 100.33 min = 1:40:20",
		"on: wind correction, right positive: asin(-28.28 / 120) = -13.63°",
		"heading true: 355 + 7.85 = 002.85°",
		"wind from the track: 240 - 329 = -89°",
		"wind from the track: 350 - 010 = -20°",
		"turn: -(-9 - 18) = 27°",
		"wind speed: root(2.27 × 2.27 + (-32.49) × (-32.49)) = 32.57 kt",
		"rate exactly: 6076.12 × tan(3) × 100 / 60 = 530.73 ft/min",
		"delay: 10:50:00Z - 10:42:00Z = 8 min",
		"fuel: 16 × 8 / 60 = 2.13 l",
		"track true: 000.9 + 0.0947 = 000.99°",
		"as long again: 6:00",
		"no figures here",
	} {
		assert.NoError(t, worked.Check(line))
	}
}

// What is wrong by one in the last place, or has a sign or a sixty wrong, is found.
func TestLinesThatDoNot(t *testing.T) {
	for _, line := range []string{
		"groundspeed: 60 × 11.5 / 7.33 = 94.29 kt",
		"groundspeed: 11.5 / 7.33 = 94.09 kt",
		"time: 7:20 = 7.2 min",
		"time: 60 × 36 / 147.24 = 14.67 min = 14:42",
		"wind correction: asin(28.28 / 120) = -13.63°",
		"heading true: 355 + 7.85 = 003.85°",
		"crosswind: 40 × sin(45) = 28.30 kt",
		"distance: 120 × 7.2 / 60 = 14.5 nm",
		"nothing: = 3",
		"nothing: 3 = kt",
	} {
		assert.Error(t, worked.Check(line), line)
	}
}

// What is printed is reckoned as printed: the first line is the correctly rounded answer to figures that were rounded after the sum.
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
	} {
		assert.Equal(t, holds, worked.Recompute(line) == nil, line)
	}
}
