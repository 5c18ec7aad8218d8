// Package angle holds the few operations on directions that every other package needs: wrapping, differences and
// trigonometry in degrees.
//
// It knows nothing of true or magnetic north: that is the caller's to say. Directions are degrees clockwise from
// north; a difference is positive to the right (clockwise).
package angle

import "math"

// Degrees converts an angle in radians to degrees.
func Degrees(radians float64) float64 { return radians * (180 / math.Pi) }

// Radians converts an angle in degrees to radians.
func Radians(degrees float64) float64 { return degrees * (math.Pi / 180) }

// Wrap360 returns the same direction in the range [0, 360).
func Wrap360(degrees float64) float64 {
	wrapped := math.Mod(degrees, 360)
	if wrapped < 0 {
		wrapped += 360
	}
	if wrapped >= 360 || wrapped == 0 { // a tiny negative input rounds up to exactly 360, and none is -0
		wrapped = 0
	}
	return wrapped
}

// Wrap180 returns the same direction in the range (-180, 180].
func Wrap180(degrees float64) float64 {
	wrapped := Wrap360(degrees)
	if wrapped > 180 {
		wrapped -= 360
	}
	return wrapped
}

// Turn returns the shortest turn from one direction to another, in (-180, 180], right positive.
func Turn(from, to float64) float64 { return Wrap180(to - from) }

// Reciprocal returns the opposite direction in [0, 360).
func Reciprocal(degrees float64) float64 { return Wrap360(degrees + 180) }

// Sin is the sine of an angle in degrees.
func Sin(degrees float64) float64 { return math.Sin(Radians(degrees)) }

// Cos is the cosine of an angle in degrees.
func Cos(degrees float64) float64 { return math.Cos(Radians(degrees)) }

// Direction returns the direction in [0, 360) of a vector given by its north and east components.
func Direction(north, east float64) float64 { return Wrap360(Degrees(math.Atan2(east, north))) }

// Whole returns a direction as a pilot says it: whole degrees from 1 to 360, north being 360.
func Whole(degrees float64) int {
	whole := int(math.Round(Wrap360(degrees)))
	if whole == 0 {
		return 360
	}
	return whole
}
