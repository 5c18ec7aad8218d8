package debrief

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

// The figures of a report, written one way in every form that people read.

// none stands for what is not known.
const none = "–"

func zulu(t time.Time) string { return t.UTC().Round(time.Second).Format("15:04:05Z") }

func zuluOf(t *time.Time) string {
	if t == nil {
		return none
	}
	return zulu(*t)
}

// span is a length of time without its sign: "0:09", "7:20", "1:07:20".
func span(seconds float64) string {
	whole := int64(math.Round(math.Abs(seconds)))
	if whole >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", whole/3600, whole/60%60, whole%60)
	}
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// signed is a span with its sign: "+1:02" is late.
func signed(seconds *float64) string {
	switch {
	case seconds == nil:
		return none
	case math.Abs(*seconds) < 0.5:
		return "0:00"
	case *seconds < 0:
		return "-" + span(*seconds)
	}
	return "+" + span(*seconds)
}

func minutesOf(minutes *float64) string {
	if minutes == nil {
		return none
	}
	return span(*minutes * 60)
}

func wholeOf(value *float64) string { return formatted(value, "%.0f") }

func tenthOf(value *float64) string { return formatted(value, "%.1f") }

func formatted(value *float64, format string) string {
	if value == nil {
		return none
	}
	return fmt.Sprintf(format, *value)
}

func directionOf(degrees *float64) string {
	if degrees == nil {
		return none
	}
	return direction(*degrees)
}

func direction(degrees float64) string { return fmt.Sprintf("%03d", angle.Whole(degrees)) }

// drift is "9 R": degrees to the right.
func driftOf(degrees *float64) string {
	switch {
	case degrees == nil:
		return none
	case math.Abs(*degrees) < 0.5:
		return "0"
	case *degrees < 0:
		return fmt.Sprintf("%.0f L", -*degrees)
	}
	return fmt.Sprintf("%.0f R", *degrees)
}

func windWords(fromTrue, speedKt float64) string {
	return fmt.Sprintf("%s/%.0f", direction(fromTrue), speedKt)
}

// side is a distance to one side: "0.8 nm left"; what would read 0.0 is "on track".
func side(rightNM float64) string {
	switch {
	case math.Abs(rightNM) < 0.05:
		return "on track"
	case rightNM < 0:
		return fmt.Sprintf("%.1f nm left", -rightNM)
	}
	return fmt.Sprintf("%.1f nm right", rightNM)
}

func sideOf(rightNM *float64) string {
	if rightNM == nil {
		return none
	}
	return side(*rightNM)
}

func percentOf(share *float64) string {
	if share == nil {
		return none
	}
	return fmt.Sprintf("%.0f %%", *share*100)
}

// minutes are whole minutes in words: "less than a minute", "1 minute", "45 minutes".
func minutes(value float64) string {
	if value < 0.5 {
		return "less than a minute"
	}
	return counted(int(math.Round(value)), "minute", "minutes")
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func unitWords(unit string) string {
	switch unit {
	case "litre":
		return "L"
	case "usgal":
		return "US gal"
	case "impgal":
		return "imp gal"
	}
	return unit
}

// windDifference is the length of the vector between two winds.
func windDifference(fromTrue, speedKt, otherFrom, otherKt float64) float64 {
	n, e := air.Wind{FromTrue: fromTrue, SpeedKt: speedKt}.Components()
	otherN, otherE := air.Wind{FromTrue: otherFrom, SpeedKt: otherKt}.Components()
	return math.Hypot(n-otherN, e-otherE)
}
