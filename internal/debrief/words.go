package debrief

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
)

// none stands for what is not known.
const none = say.Unknown

func minutesOf(minutes *float64) string {
	return say.Or(minutes, func(m float64) string { return say.Span(60 * m) })
}

// driftOf is "9 R": degrees to the right.
func driftOf(degrees *float64) string {
	return say.Or(degrees, func(d float64) string {
		switch {
		case math.Round(d) == 0:
			return "0"
		case d < 0:
			return fmt.Sprintf("%.0f L", -d)
		}
		return fmt.Sprintf("%.0f R", d)
	})
}

// windDifference is the length of the vector between two winds.
func windDifference(fromTrue, speedKt, otherFrom, otherKt float64) float64 {
	n, e := air.Wind{FromTrue: fromTrue, SpeedKt: speedKt}.Components()
	otherN, otherE := air.Wind{FromTrue: otherFrom, SpeedKt: otherKt}.Components()
	return math.Hypot(n-otherN, e-otherE)
}

// minutes are whole minutes in words: "less than a minute", "1 minute", "45 minutes".
func minutes(value float64) string {
	if value < 0.5 {
		return "less than a minute"
	}
	return say.Counted(int(math.Round(value)), "minute", "minutes")
}
