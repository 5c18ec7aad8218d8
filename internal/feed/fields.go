package feed

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
)

// fields reads a sentence's fields by number and keeps the first thing that was wrong. A field that is empty or not there is nil:
// receivers leave out what they do not know, and older ones know fewer fields.
type fields struct {
	list []string
	err  error
}

func (f *fields) text(i int) string {
	if i >= len(f.list) {
		return ""
	}
	return strings.TrimSpace(f.list[i])
}

// letter is a field of one letter, in upper case; 0 if it is empty.
func (f *fields) letter(i int, allowed string) byte {
	text := strings.ToUpper(f.text(i))
	if text == "" {
		return 0
	}
	if len(text) != 1 || !strings.Contains(allowed, text) {
		f.wrong(i, "one of the letters "+allowed)
		return 0
	}
	return text[0]
}

func (f *fields) wrong(i int, right string) {
	if f.err == nil {
		f.err = fmt.Errorf("field %d, %q: it is %s", i+1, f.text(i), right)
	}
}

// number is a decimal number within bounds.
func (f *fields) number(i int, low, high float64) *float64 {
	text := f.text(i)
	if text == "" {
		return nil
	}
	value, ok := decimal(text)
	if !ok || value < low || value > high {
		f.wrong(i, fmt.Sprintf("a number from %g to %g", low, high))
		return nil
	}
	return &value
}

// direction is a number of degrees; 360 counts as 0.
func (f *fields) direction(i int) *float64 {
	value := f.number(i, 0, 360)
	if value != nil && *value == 360 {
		*value = 0
	}
	return value
}

// signed is a number with the letter that gives its sign in the field after it: positive for the first letter. Without a letter the
// number says nothing.
func (f *fields) signed(i int, high float64, letters string) *float64 {
	value, side := f.number(i, 0, high), f.letter(i+1, letters)
	if value == nil || side == 0 {
		return nil
	}
	if side == letters[1] {
		*value = -*value
	}
	return value
}

// position is latitude, N or S, longitude, E or W from field i on; nil if any of them is missing.
func (f *fields) position(i int) *earth.Position {
	latitude, longitude := f.degrees(i, "NS", 90), f.degrees(i+2, "EW", 180)
	if latitude == nil || longitude == nil {
		return nil
	}
	return &earth.Position{Lat: *latitude, Lon: *longitude}
}

// degrees is one half of a position, ddmm.mmm or dddmm.mmm and its letter.
func (f *fields) degrees(i int, letters string, limit float64) *float64 {
	packed := f.signed(i, limit*100, letters)
	if packed == nil {
		return nil
	}
	degrees := math.Trunc(*packed / 100)
	minutes := *packed - degrees*100
	value := degrees + minutes/60
	if math.Abs(minutes) >= 60 || math.Abs(value) > limit {
		f.wrong(i, fmt.Sprintf("degrees up to %g and minutes below 60, as ddmm.mmm", limit))
		return nil
	}
	return &value
}

// timeOfDay is hhmmss.ss, kept to the millisecond; a leap second counts as the one before it.
func (f *fields) timeOfDay(i int) *time.Duration {
	text := f.text(i)
	if text == "" {
		return nil
	}
	digits, decimals, _ := strings.Cut(text, ".")
	hour, minute, second, ok := pairs(digits)
	fraction, fractionOK := 0.0, true
	if decimals != "" {
		fraction, fractionOK = decimal("0." + decimals)
	}
	if !ok || !fractionOK || hour > 23 || minute > 59 || second > 60 {
		f.wrong(i, "a time, hhmmss")
		return nil
	}
	const lastSecond, lastMillisecond = 59, 999
	total := time.Duration(hour*3600+minute*60+min(second, lastSecond)) * time.Second
	total += time.Duration(min(math.Round(fraction*1e3), lastMillisecond)) * time.Millisecond
	return &total
}

// date is ddmmyy. Years below 80 are of this century: no receiver is older than the system that it receives.
func (f *fields) date(i int) *time.Time {
	text := f.text(i)
	if text == "" {
		return nil
	}
	day, month, year, ok := pairs(text)
	if !ok {
		f.wrong(i, "a date, ddmmyy")
		return nil
	}
	year += 1900
	if year < 1980 {
		year += 100
	}
	return f.day(i, year, month, day)
}

// day is a date that exists.
func (f *fields) day(i, year, month, day int) *time.Time {
	date := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if date.Year() != year || date.Month() != time.Month(month) || date.Day() != day {
		f.wrong(i, "a date of the calendar")
		return nil
	}
	return &date
}

// pairs takes six digits apart.
func pairs(text string) (first, second, third int, ok bool) {
	if len(text) != 6 {
		return 0, 0, 0, false
	}
	packed, ok := decimal(text)
	if !ok || strings.ContainsAny(text, "+-.") {
		return 0, 0, 0, false
	}
	whole := int(packed)
	return whole / 10000, whole / 100 % 100, whole % 100, true
}

// decimal reads digits with at most one point and one sign: none of the other forms that strconv knows.
func decimal(text string) (float64, bool) {
	const longest = 40
	digits := strings.TrimLeft(text, "+-")
	if len(text)-len(digits) > 1 || len(text) > longest || strings.Trim(digits, "0123456789.") != "" || strings.Trim(digits, ".") == "" {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}
