package say

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.com/legclock/internal/pattern"
)

const minutesPerDay = 24 * 60

// TimeOfDay is a time of day, UTC, or the minutes past an hour that was not said, as on the radio.
type TimeOfDay struct {
	Minutes  float64 // since midnight; without the hour, since that
	HourSaid bool
}

var (
	clockTime   = pattern.Of(`^(\d{1,2}):?(\d{2})(?::(\d{2}))? ?(?:z|utc)?$`)
	bareMinutes = pattern.Of(`^\d{1,2}$`)
)

// ParseTimeOfDay reads "10:42", "10:42:30" or "1042", each with Z or without, and the minutes alone: "42".
func ParseTimeOfDay(text string) (TimeOfDay, error) {
	const right = "write 10:42, 1042 or 42"
	stated := plain(text)
	if bareMinutes().MatchString(stated) {
		past, _ := strconv.Atoi(stated) // one or two digits
		if past > 59 {
			return TimeOfDay{}, misread(text, right, "is no time: minutes go to 59")
		}
		return TimeOfDay{Minutes: float64(past)}, nil
	}
	parts := clockTime().FindStringSubmatch(stated)
	if parts == nil {
		return TimeOfDay{}, misread(text, right, "is no time of day")
	}
	seconds := 0
	for i, part := range parts[1:] {
		amount, _ := strconv.Atoi("0" + part) // digits, or none
		if i == 0 && amount > 23 || amount > 59 {
			return TimeOfDay{}, misread(text, right, "is no time of day: hours go to 23, minutes and seconds to 59")
		}
		seconds = 60*seconds + amount
	}
	return TimeOfDay{Minutes: float64(seconds) / 60, HourSaid: true}, nil
}

// NearMinutes is the minute of the day: where the hour was not said, in the hour that puts it nearest to another.
func (t TimeOfDay) NearMinutes(near float64) float64 {
	if t.HourSaid {
		return t.Minutes
	}
	minutes := near + math.Remainder(t.Minutes-near, 60)
	return math.Mod(math.Mod(minutes, minutesPerDay)+minutesPerDay, minutesPerDay)
}

// Near is the time on the day, and in the hour, that puts it nearest to another.
func (t TimeOfDay) Near(near time.Time) time.Time {
	near = near.UTC()
	midnight := near.Truncate(24 * time.Hour)
	nearMinutes := near.Sub(midnight).Minutes()
	past := time.Duration(math.Round(t.NearMinutes(nearMinutes)*60)) * time.Second
	at := midnight.Add(past)
	switch gap := at.Sub(near); {
	case gap > 12*time.Hour:
		return at.AddDate(0, 0, -1)
	case gap <= -12*time.Hour:
		return at.AddDate(0, 0, 1)
	}
	return at
}

// SayTimeOfDay writes minutes since midnight, with the seconds where there are any: "10:42Z", "10:42:30Z".
func SayTimeOfDay(minutes float64) string {
	seconds := int(math.Round(60*minutes)) % (60 * minutesPerDay)
	if seconds < 0 {
		seconds += 60 * minutesPerDay
	}
	if seconds%60 == 0 {
		return fmt.Sprintf("%02d:%02dZ", seconds/3600, seconds/60%60)
	}
	return fmt.Sprintf("%02d:%02d:%02dZ", seconds/3600, seconds/60%60, seconds%60)
}
