package say

import (
	"math"

	"example.com/legclock/internal/angle"
)

// OnSide is a side.
func OnSide(right bool) string {
	if right {
		return "right"
	}
	return "left"
}

// LeftRight is the side of a figure of which a negative one is on the left.
func LeftRight(value float64) string { return OnSide(value >= 0) }

// MilesByEye is a distance as the eye measures it: "half a mile", "2.5 nm", "4 nm".
func MilesByEye(distanceNM float64) string {
	words := []string{"right beside", "a quarter of a mile", "half a mile", "three quarters of a mile", "a mile"}
	if quarters := int(math.Round(4 * distanceNM)); quarters < len(words) {
		return words[quarters]
	}
	if distanceNM < 3 {
		return Miles(math.Round(2*distanceNM) / 2)
	}
	return Whole(distanceNM) + " nm"
}

// OffNose says where something is seen, from the angle off the nose, right positive: "ahead", "abeam left", "behind".
func OffNose(degrees float64) string {
	switch off, where := math.Abs(degrees), LeftRight(degrees); {
	case off < 10:
		return "ahead"
	case off < 30:
		return "just " + where + " of the nose"
	case off < 70:
		return "ahead " + where
	case off < 110:
		return "abeam " + where
	case off < 160:
		return "behind " + where
	default:
		return "behind"
	}
}

// EightWinds names a direction: "north", "south-east".
func EightWinds(direction float64) string {
	names := []string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return names[int(math.Round(angle.Wrap360(direction)/45))%len(names)]
}
