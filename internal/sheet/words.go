package sheet

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/plan"
)

// The figures of a printed sheet, written one way in every format that people read.

// zulu is a time to the minute, "09:41Z".
func zulu(t time.Time) string { return t.UTC().Round(time.Minute).Format("15:04Z") }

// zuluSeconds is a time to the second, "09:41:07Z".
func zuluSeconds(t time.Time) string { return t.UTC().Round(time.Second).Format("15:04:05Z") }

// span is a length of time to the second: "15:46", "1:07:20".
func span(minutes float64) string {
	seconds := int64(math.Round(minutes * 60))
	if seconds >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
}

// direction is three digits, 360 for north.
func direction(degrees float64) string { return fmt.Sprintf("%03d", angle.Whole(degrees)) }

// directionOf is direction of what may not be there.
func directionOf(degrees *float64) string {
	if degrees == nil {
		return ""
	}
	return direction(*degrees)
}

func whole(value float64) string { return fmt.Sprintf("%.0f", value) }

func tenth(value float64) string { return fmt.Sprintf("%.1f", value) }

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
	return whole(level.AltitudeFt)
}

// frequencyWords is a beacon's frequency as it is set: "114.35", an NDB's "404".
func frequencyWords(beacon plan.Point) string {
	if beacon.Kind == plan.NDB {
		return strconv.FormatFloat(beacon.Frequency, 'f', -1, 64)
	}
	return fmt.Sprintf("%.2f", beacon.Frequency)
}

// side says how far right or left of the track a point lies: "0.6 nm left"; empty within a tenth of a mile of it.
func side(rightNM float64) string {
	switch {
	case math.Abs(rightNM) < 0.1:
		return ""
	case rightNM < 0:
		return tenth(-rightNM) + " nm left"
	}
	return tenth(rightNM) + " nm right"
}
