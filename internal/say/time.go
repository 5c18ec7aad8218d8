package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"
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
			return TimeOfDay{}, misread(text, right, "is not a time: minutes go to 59")
		}
		return TimeOfDay{Minutes: float64(past)}, nil
	}
	parts := clockTime().FindStringSubmatch(stated)
	if parts == nil {
		return TimeOfDay{}, misread(text, right, "is not a time of day")
	}
	seconds := 0
	for i, part := range parts[1:] {
		amount, _ := strconv.Atoi("0" + part) // digits, or none
		if i == 0 && amount > 23 || amount > 59 {
			return TimeOfDay{}, misread(text, right, "is not a time of day: hours go to 23, minutes and seconds to 59")
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

// Date is a calendar day, or a moment.
type Date struct {
	At     time.Time // UTC; of a day, its midnight
	Moment bool
}

// ParseDate reads a day, "2026-06-21", or a moment in RFC 3339, "2026-06-21T18:30:00Z".
func ParseDate(text string) (Date, error) {
	const right = "write 2026-06-21 or 2026-06-21T18:30:00Z"
	text = strings.TrimSpace(text)
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return Date{At: day}, nil
	}
	moment, err := time.Parse(time.RFC3339, strings.ToUpper(text))
	if err != nil {
		return Date{}, misread(text, right, "is not a date")
	}
	return Date{At: moment.UTC(), Moment: true}, nil
}

// String is the date as ParseDate reads it.
func (d Date) String() string {
	if d.Moment {
		return d.At.Format(time.RFC3339)
	}
	return d.At.Format(time.DateOnly)
}

const (
	spanExample  = "write 7:20, 7.3 min, 7m20s or 75 s"
	hoursExample = "write 4:20, 4.33 h, 4 h 20 or 260 min"
	longestSpan  = 100 * 60 // minutes
)

// ParseSpan reads a length of time as said of a leg, in minutes: "7:20" is minutes and seconds, "1:07:20" has hours, a bare number is
// minutes. Units may be written: "7.3 min", "75 s", "7m20s", "1 h 05"; with "h" behind it "1:30 h" is hours and minutes.
func ParseSpan(text string) (minutes float64, err error) { return parseSpan(text, false) }

// ParseHours reads a length of time as said of an endurance, in minutes: "4:20" is hours and minutes. A bare number could be
// either and is refused.
func ParseHours(text string) (minutes float64, err error) { return parseSpan(text, true) }

var (
	colons   = pattern.Of(`^(\d{1,4}):(\d+)(?::(\d+))? ?([a-z]*)$`)
	spanPart = pattern.Of(`^(\d+(?:\.\d*)?|\.\d+) ?([a-z]*) ?`)
)

func parseSpan(text string, byHours bool) (minutes float64, err error) {
	right := spanExample
	if byHours {
		right = hoursExample
	}
	stated := plain(text)
	wrong := ""
	if parts := colons().FindStringSubmatch(stated); parts != nil {
		minutes, wrong = readColons(parts[1:], byHours)
	} else {
		minutes, wrong = readParts(stated, byHours)
	}
	switch {
	case wrong != "":
		return 0, misread(text, right, "%s", wrong)
	case minutes > longestSpan:
		return 0, misread(text, right, "is longer than %d hours", longestSpan/60)
	}
	return minutes, nil
}

// readColons reads hours, minutes and seconds, or two of them, and a unit that says which.
func readColons(parts []string, byHours bool) (minutes float64, wrong string) {
	unit := 1.0
	switch stated := unitMinutes(parts[3]); {
	case parts[3] != "" && stated != 60 && stated != 1:
		return 0, fmt.Sprintf("has %q for a unit", parts[3])
	case parts[2] != "" || stated == 60 || stated == 0 && byHours:
		unit = 60
	}
	for i, part := range parts[:3] {
		if part == "" {
			break
		}
		amount, _ := strconv.Atoi(part) // digits alone
		if i > 0 && (len(part) != 2 || amount > 59) {
			return 0, "is not a time: two digits follow a colon, 00 to 59"
		}
		minutes += float64(amount) * unit
		unit /= 60
	}
	return minutes, ""
}

// readParts reads amounts with their units, the largest first. The last unit may be left out.
func readParts(text string, byHours bool) (minutes float64, wrong string) {
	const noSpan = "is not a length of time"
	smaller := math.Inf(1)
	for first := true; first || text != ""; first = false {
		part := spanPart().FindStringSubmatch(text)
		if part == nil {
			return 0, noSpan
		}
		text = text[len(part[0]):]
		amount, err := strconv.ParseFloat(part[1], 64)
		if err != nil {
			return 0, noSpan
		}
		unit := unitMinutes(part[2])
		switch {
		case part[2] != "" && unit == 0:
			return 0, fmt.Sprintf("has %q for a unit", part[2])
		case unit == 0 && !first:
			unit = smaller / 60
		case unit == 0 && byHours:
			return 0, "could be hours or minutes"
		case unit == 0:
			unit = 1
		}
		if unit >= smaller || unit < 1.0/60 || !first && amount >= 60 || part[2] == "" && text != "" {
			return 0, noSpan
		}
		minutes += amount * unit
		smaller = unit
	}
	return minutes, ""
}

// unitMinutes is how many minutes a unit of time has; 0 if it is none.
func unitMinutes(unit string) float64 {
	switch unit {
	case "h", "hr", "hrs", "hour", "hours":
		return 60
	case "m", "min", "mins", "minute", "minutes":
		return 1
	case "s", "sec", "secs", "second", "seconds":
		return 1.0 / 60
	}
	return 0
}

// SaySpan writes minutes to the second: "7:20", from an hour on "1:07:20".
func SaySpan(minutes float64) string {
	whole := int64(math.Round(math.Abs(minutes) * 60))
	sign := ""
	if minutes < 0 && whole > 0 {
		sign = "-"
	}
	return clock(sign, whole)
}

// clock writes seconds as minutes and seconds, from an hour on with the hours, behind what comes before.
func clock(before string, whole int64) string {
	var room [16]byte
	text := append(room[:0], before...)
	if whole >= secondsPerHour {
		text = appendTwo(append(strconv.AppendInt(text, whole/secondsPerHour, 10), ':'), whole/60%60)
	} else {
		text = strconv.AppendInt(text, whole/60, 10)
	}
	return string(appendTwo(append(text, ':'), whole%60))
}

// appendTwo writes a number below a hundred in two digits.
func appendTwo(text []byte, number int64) []byte {
	return append(text, byte('0'+number/10), byte('0'+number%10))
}

// SayHours writes minutes to the nearest, in hours from one on: "45 min", "1 h 05". Long cuts them off.
func SayHours(minutes float64) string {
	whole := int(math.Round(math.Abs(minutes)))
	if whole < 60 {
		return fmt.Sprintf("%d min", whole)
	}
	return fmt.Sprintf("%d h %02d", whole/60, whole%60)
}

// SayTaken writes a length of time with no more than it has: "24 min", "7:20", "1 h 05 min".
func SayTaken(minutes float64) string {
	switch seconds := int(math.Round(60 * minutes)); {
	case seconds >= 3600 && seconds%60 == 0:
		return fmt.Sprintf("%d h %02d min", seconds/3600, seconds/60%60)
	case seconds%60 == 0:
		return fmt.Sprintf("%d min", seconds/60)
	}
	return SaySpan(minutes)
}
