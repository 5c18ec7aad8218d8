package sheet

import (
	"fmt"
	"math"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// The figures of a printed sheet, written one way in every format that people read.

// directionOf is direction of what may not be there.
func directionOf(degrees *float64) string {
	if degrees == nil {
		return ""
	}
	return say.Degrees(*degrees)
}

// signed is a whole number with its sign: "+7", "-12", "0".
func signed(value float64) string {
	if math.Round(value) == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", value)
}

// levelWords is a level without its unit: "4000", "FL065".
func levelWords(level plan.Level) string {
	if level.FlightLevel != 0 {
		return level.String()
	}
	return say.Whole(level.AltitudeFt)
}

// side says how far right or left of the track a point lies: "0.6 nm left"; empty within a tenth of a mile of it.
func side(rightNM float64) string {
	if math.Abs(rightNM) < 0.1 {
		return ""
	}
	return say.MilesAside(rightNM)
}
