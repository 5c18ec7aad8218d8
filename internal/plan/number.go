package plan

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/pattern"
)

// misread says why a text is not what was asked for and what would be right.
type misread struct{ text, mend string }

var (
	basedNumber    = pattern.Of(`^[+-]?0[xXoObB][0-9a-fA-F_]+$`)
	groupedNumber  = pattern.Of(`^[+-]?[\d_]+(\.[\d_]+)?$`)
	commaNumber    = pattern.Of(`^[+-]?\d+,\d+$`)
	exponentNumber = pattern.Of(`^[+-]?[\d.]+[eE][+-]?\d{1,2}$`)
	unitNumber     = pattern.Of(`^([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*[\pL°'"%/]+$`)
	clockTime      = pattern.Of(`^(\d{1,2}):(\d{2})(?::(\d{2}))?Z?$`)
	bareTime       = pattern.Of(`^(\d{2})(\d{2})Z?$`)
	flightLevel    = pattern.Of(`^[fF][lL] ?(\d{2,3})$`)
)

// parseNumber reads a number as a pilot types it: decimal, with or without leading zeros. YAML's other ways to write a number
// (octal, hexadecimal, underscores, exponents) are refused, since 045 would otherwise be 37.
func parseNumber(text string) (float64, *misread) {
	if isPlainNumber(text) {
		number, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsInf(number, 0) {
			return math.NaN(), &misread{"the number is too large", ""}
		}
		return number + 0, nil // -0 becomes 0
	}
	return math.NaN(), whyNotANumber(text)
}

// isPlainNumber reports whether a text is digits with at most one sign before and one point among them.
func isPlainNumber(text string) bool {
	digits, points := 0, 0
	for i := range len(text) {
		switch b := text[i]; {
		case b >= '0' && b <= '9':
			digits++
		case b == '.':
			points++
		case i == 0 && (b == '+' || b == '-'):
		default:
			return false
		}
	}
	return digits > 0 && points <= 1
}

func whyNotANumber(text string) *misread {
	switch {
	case basedNumber().MatchString(text):
		return &misread{fmt.Sprintf("%q is not a decimal number", text), "write it with the digits 0 to 9 alone"}
	case groupedNumber().MatchString(text):
		return &misread{
			fmt.Sprintf("%q has underscores in it", text),
			fmt.Sprintf("write %s", strings.ReplaceAll(text, "_", "")),
		}
	case commaNumber().MatchString(text):
		return &misread{
			fmt.Sprintf("%q has a comma in it", text),
			fmt.Sprintf("write the decimal point: %s", strings.Replace(text, ",", ".", 1)),
		}
	case exponentNumber().MatchString(text):
		return &misread{fmt.Sprintf("%q has an exponent", text), "write the number out in full"}
	}
	if parts := unitNumber().FindStringSubmatch(text); parts != nil {
		return &misread{fmt.Sprintf("%q has a unit in it", text), fmt.Sprintf("write %s alone", parts[1])}
	}
	return &misread{fmt.Sprintf("%q is not a number", text), ""}
}

// formatNumber writes a number as a plan file would have it.
func formatNumber(number float64) string { return strconv.FormatFloat(number, 'f', -1, 64) }

// parseClock reads a time of day in UTC, "09:10" or "09:10:30", as the time since midnight.
func parseClock(text string) (time.Duration, *misread) {
	parts := clockTime().FindStringSubmatch(text)
	if parts == nil {
		mend := `hours and minutes, UTC: "09:10" or "09:10:30"`
		if bare := bareTime().FindStringSubmatch(text); bare != nil {
			mend = fmt.Sprintf("write \"%s:%s\"", bare[1], bare[2])
		}
		return 0, &misread{fmt.Sprintf("%q is not a time", text), mend}
	}
	var fields [3]int
	for i, part := range parts[1:] {
		fields[i], _ = strconv.Atoi(part) // two digits, or none where no seconds are given
	}
	if fields[0] > 23 || fields[1] > 59 || fields[2] > 59 {
		return 0, &misread{fmt.Sprintf("there is no time %s", text), "00:00 to 23:59:59"}
	}
	return time.Duration(fields[0])*time.Hour + time.Duration(fields[1])*time.Minute + time.Duration(fields[2])*time.Second, nil
}

// parseDate reads a calendar date, "2026-06-14".
func parseDate(text string) (time.Time, *misread) {
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, &misread{fmt.Sprintf("%q is not a date", text), "year-month-day: 2026-06-14"}
	}
	return date, nil
}

const levelMend = "4000, feet above sea level, or FL065, a flight level"

// parseLevel reads a level: feet above sea level, or a flight level with two or three digits.
func parseLevel(text string) (Level, *misread) {
	if parts := flightLevel().FindStringSubmatch(text); parts != nil {
		hundreds, _ := strconv.Atoi(parts[1]) // two or three digits
		if hundreds == 0 {
			return Level{AltitudeFt: math.NaN()}, &misread{"there is no flight level 0", levelMend}
		}
		return Level{FlightLevel: hundreds}, nil
	}
	altitude, wrong := parseNumber(text)
	if wrong != nil && wrong.mend == "" {
		wrong.mend = levelMend
	}
	return Level{AltitudeFt: altitude}, wrong
}
