package say

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/fuel"
)

// Unknown stands for a figure that is not known.
const Unknown = "--"

// Time is a time to the second: "09:41:30Z".
func Time(t time.Time) string { return t.UTC().Format("15:04:05Z") }

// UTC is a time to the second in a column whose head says UTC: "09:41:30".
func UTC(t time.Time) string { return t.UTC().Format(time.TimeOnly) }

// TimeOf is Time of what may be unknown.
func TimeOf(t *time.Time) string { return Or(t, Time) }

// Moment is a date and a time to the second: "2026-06-14 09:41:30Z".
func Moment(t time.Time) string { return t.UTC().Format("2006-01-02 15:04:05Z") }

// MomentMinute is a day and a time to the minute: "2027-05-14 09:41Z".
func MomentMinute(t time.Time) string { return t.UTC().Format("2006-01-02 15:04Z") }

// Minute is a time to the minute: "09:41Z".
func Minute(t time.Time) string { return t.UTC().Format("15:04Z") }

// ColumnMinute is Minute in a column whose head says UTC: "09:41".
func ColumnMinute(t time.Time) string { return t.UTC().Format("15:04") }

// LogbookSpan is a length of time as logbooks have it, hours and minutes to the nearest: "1:07".
func LogbookSpan(minutes float64) string {
	whole := int(math.Round(minutes))
	return fmt.Sprintf("%d:%02d", whole/60, whole%60)
}

// Span is a length of time without sign: minutes and seconds, "0:09", "7:20"; from an hour on hours and minutes, "1 h 05".
func Span(seconds float64) string {
	if math.IsNaN(seconds) || math.IsInf(seconds, 0) {
		return Unknown
	}
	seconds = math.Round(math.Abs(seconds))
	if seconds >= secondsPerHour {
		return Long(seconds / 60)
	}
	return SaySpan(seconds / 60)
}

const secondsPerHour = 3600

// Duration is Span of a duration.
func Duration(d time.Duration) string { return Span(d.Seconds()) }

// Elapsed is the reading of a clock that counts up, Unknown before it starts: "07:20", "1:07:20".
func Elapsed(seconds *float64) string {
	if seconds == nil {
		return Unknown
	}
	whole, before := int64(math.Abs(*seconds)), ""
	if whole < 10*60 {
		before = "0"
	}
	return clock(before, whole)
}

// Apart is how long one time is after another, by the two as a clock shows them: what is said of two times comes out of what is read of them.
func Apart(from, to time.Time) time.Duration {
	return to.Truncate(time.Second).Sub(from.Truncate(time.Second))
}

// Between is the span from one time to another, without sign, by the two as they are shown.
func Between(from, to time.Time) string { return Duration(Apart(from, to)) }

// Countdown is how long there is until a time, or how long ago it was, no finer than it is said: those that are equal read the same.
type Countdown struct {
	whole   float64 // seconds, or minutes
	minutes bool
	past    bool
}

// ToGo counts down to a time: to the second where seconds count, else in whole minutes, so that a list of them stands still.
func ToGo(now, due time.Time) Countdown {
	const secondsCount = 5 * time.Minute
	switch left := Apart(now, due); {
	case left < secondsCount:
		return Countdown{whole: left.Abs().Seconds(), past: left < 0}
	default:
		return Countdown{whole: math.Floor(left.Minutes()), minutes: true}
	}
}

// String is a countdown in words: "4:09", "+0:20", "12 min".
func (c Countdown) String() string {
	switch {
	case c.minutes:
		return Long(c.whole)
	case c.past:
		return "+" + Span(c.whole)
	default:
		return Span(c.whole)
	}
}

// Long is a span as hours and minutes, for what nobody reads to the second: "45 min", "3 h 46". Like a clock it shows only minutes
// that are full, so that no endurance reads longer than it is.
func Long(minutes float64) string {
	if math.IsNaN(minutes) || math.IsInf(minutes, 0) {
		return Unknown
	}
	whole := int(LongMinutes(minutes))
	sign := ""
	if whole < 0 {
		whole, sign = -whole, "-"
	}
	if whole < 60 {
		return sign + strconv.Itoa(whole) + " min"
	}
	return fmt.Sprintf("%s%d h %02d", sign, whole/60, whole%60)
}

// LongMinutes are minutes no finer than Long says them.
func LongMinutes(minutes float64) float64 {
	return math.Copysign(math.Floor(math.Round(60*math.Abs(minutes))/60), minutes) + 0
}

// ReportLong is a length of time as a report to a station says it, in full minutes: "2 hours 45", "52 minutes".
func ReportLong(minutes float64) string {
	whole := int(LongMinutes(minutes))
	if whole < 60 {
		return Counted(whole, "minute", "minutes")
	}
	return fmt.Sprintf("%s %02d", Counted(whole/60, "hour", "hours"), whole%60)
}

// Minutes is a span in a sentence, to the whole minute: "1 minute", "45 minutes".
func Minutes(minutes float64) string { return Counted(int(math.Round(minutes)), "minute", "minutes") }

// ReportMiles is a distance in a call to a station, to the whole mile: "1 mile", "12 miles".
func ReportMiles(distanceNM float64) string {
	return Counted(int(math.Round(distanceNM)), "mile", "miles")
}

// Endurance is how long the usable fuel lasts, its flow named where it is not that of cruise: "3 h 46", "2 h 51 in climb", "4 h 10 holding".
func Endurance(minutes float64, at string) string {
	switch at {
	case "", "cruise":
		return Long(minutes)
	case "holding":
		return Long(minutes) + " holding"
	}
	return Long(minutes) + " in " + at
}

// FuelOnArrival is the usable fuel overhead a place, or once it is passed what is left, with one standard error where that is not 0, and what of it
// is over the final reserve, as a quantity and as time in cruise.
type FuelOnArrival struct {
	Usable, Sigma, Reserve, ExtraMinutes float64
	Unit                                 string
	Passed                               bool
}

// String is the fuel on arrival in words: "58.1 L overhead, extra 46.1 = 1 h 57". With the final reserve the quantities add up as they are written.
func (a FuelOnArrival) String() string {
	text := Amount(a.Usable)
	if a.Sigma > 0 {
		text += " ±" + Amount(a.Sigma)
	}
	text += " " + Unit(a.Unit) + " overhead, "
	if a.Passed {
		text = AmountIn(a.Usable, a.Unit) + " usable, "
	}
	if a.Usable < a.Reserve {
		return text + Shortage(a.Reserve-a.Usable, a.Unit) + " below final reserve"
	}
	return text + "extra " + Amount(Tenths(a.Usable)-Tenths(a.Reserve)) + " = " + Long(a.ExtraMinutes)
}

// FinalReserve is the fuel that is protected: "final reserve 12.0 L".
func FinalReserve(reserve float64, unit string) string {
	return "final reserve " + AmountIn(reserve, unit)
}

// Shortage is an amount of fuel that is missing, with its unit; it is never said to be nothing.
func Shortage(amount float64, unit string) string {
	const least = 0.1
	return AmountIn(max(least, amount), unit)
}

// ReportMinute is a time as a report to a station says it, minutes past the hour to the nearest minute: "45".
func ReportMinute(t time.Time) string { return t.Round(time.Minute).Format("04") }

// onTimeSeconds is how far off a time may lie and still be on time.
const onTimeSeconds = 5

// Against is how a time lies against the plan: "0:58 late", "0:12 early", "on time" within five seconds.
func Against(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return Unknown
	case math.Abs(math.Round(seconds)) <= onTimeSeconds:
		return "on time"
	case seconds > 0:
		return Span(seconds) + " late"
	default:
		return Span(seconds) + " early"
	}
}

// Signed is Against in fewer cells, for columns: "+0:58", "-0:12", "0:00".
func Signed(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return Unknown
	case math.Abs(seconds) < 0.5:
		return "0:00"
	case seconds > 0:
		return "+" + Span(seconds)
	default:
		return "-" + Span(seconds)
	}
}

// SignedOf is Signed of what may be unknown.
func SignedOf(seconds *float64) string { return Or(seconds, Signed) }

// PlusMinus is one standard error of a time: "±28 s", "±1:02".
func PlusMinus(seconds float64) string {
	if seconds < 60 {
		return fmt.Sprintf("±%.0f s", seconds)
	}
	return "±" + Span(seconds)
}

// Degrees is a direction in three digits, 360 for north.
func Degrees(direction float64) string { return fmt.Sprintf("%03d", angle.Whole(direction)) }

// DegreesOf is Degrees of what may be unknown.
func DegreesOf(direction *float64) string { return Or(direction, Degrees) }

// Side is a number of which a negative one is on the left: "9 right", "0.8 left". Decimals says how many.
func Side(value float64, decimals int) string {
	text := Fixed(math.Abs(value), decimals)
	switch {
	case strings.Trim(text, "0.") == "":
		return text
	case value < 0:
		return text + " left"
	default:
		return text + " right"
	}
}

// Miles is a distance: "16.4 nm".
func Miles(distanceNM float64) string { return fmt.Sprintf("%.1f nm", distanceNM) }

// Knots is a speed: "112 kt".
func Knots(speedKt float64) string { return fmt.Sprintf("%.0f kt", speedKt) }

// KnotsOf is Knots of what may be unknown.
func KnotsOf(speedKt *float64) string { return Or(speedKt, Knots) }

// Feet is a height: "4000 ft".
func Feet(altitudeFt float64) string { return fmt.Sprintf("%.0f ft", altitudeFt) }

// FeetPerMinute is a rate of climb or descent: "500 ft/min".
func FeetPerMinute(rateFtMin float64) string { return fmt.Sprintf("%.0f ft/min", rateFtMin) }

// Wind is where the wind blows from, true, and its speed: "262/17".
func Wind(fromTrue, speedKt float64) string {
	return fmt.Sprintf("%s/%.0f", Degrees(fromTrue), speedKt)
}

// Amount is an amount of fuel to a tenth, without its unit.
func Amount(amount float64) string { return Tenth(amount) }

// AmountIn is an amount of fuel, or of a flow, with its unit: "11.5 L".
func AmountIn(amount float64, unit string) string { return Amount(amount) + " " + Unit(unit) }

// Unit is a fuel unit in few cells: "L", "US gal", "imp gal".
func Unit(unit string) string {
	if known, err := fuel.ParseUnit(unit); err == nil {
		return known.Short()
	}
	return unit
}

// Mass is a mass of fuel as goes with its unit: in kilograms, with gallons in pounds.
func Mass(kilograms float64, unit string) string {
	known, _ := fuel.ParseUnit(unit)
	return known.MassText(kilograms)
}

// Frequency is a beacon's as the receiver shows it: "114.35", an NDB's "404".
func Frequency(frequency float64) string {
	if frequency >= 190 { // the lowest NDB band begins above the highest VOR channel
		return fmt.Sprintf("%g", frequency)
	}
	return fmt.Sprintf("%.2f", frequency)
}

// Voice is a frequency to talk on as it is selected, or the name of an 8.33 kHz channel: "124.750", "118.005".
func Voice(frequencyMHz float64) string { return fmt.Sprintf("%.3f", frequencyMHz) }

// Named is an ident with its name, once where they are the same: "KVN Kelvin".
func Named(ident, name string) string {
	if name == "" || name == ident {
		return ident
	}
	return ident + " " + name
}

// In is how long it is until a time, or how long it is past: "in 2:20", "3:15 ago".
func In(now, t time.Time) string {
	if t.Before(now) {
		return Between(t, now) + " ago"
	}
	return "in " + Between(now, t)
}

// Or is a figure that may be unknown, said by the function for one that is known.
func Or[T any](value *T, known func(T) string) string {
	if value == nil {
		return Unknown
	}
	return known(*value)
}

// Whole is a figure without decimals, never minus nought.
func Whole(value float64) string { return fmt.Sprintf("%.0f", math.Round(value)+0) }

// Tenth is a figure with one decimal, never minus nought.
func Tenth(value float64) string { return strconv.FormatFloat(Tenths(value), 'f', 1, 64) }

// Tenths is a figure no finer than Tenth says it.
func Tenths(value float64) float64 { return math.Round(10*value)/10 + 0 }

// Fixed is a figure with so many decimals, noughts at the end too: 44.0 says that it is not 44.1. It is never minus nought.
func Fixed(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

const onTrack = "on track"

// MilesAside is how far right of a track, or left of it where negative: "0.6 nm left"; what would read 0.0 is "on track".
func MilesAside(rightNM float64) string {
	switch {
	case math.Round(10*rightNM) == 0:
		return onTrack
	case rightNM < 0:
		return Miles(-rightNM) + " left"
	}
	return Miles(rightNM) + " right"
}

// OffTrack is MilesAside where the track is not named otherwise: "0.6 nm left of track", "on track".
func OffTrack(rightNM float64) string {
	if text := MilesAside(rightNM); text != onTrack {
		return text + " of track"
	}
	return onTrack
}

// Share is a part of one in per cent: "12 %".
func Share(share float64) string { return Whole(100*share) + " %" }

// Counted is a number of things: "1 leg", "3 legs", "0 legs".
func Counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Caution stands on every printed sheet, report and export, on every exercise on paper, and in the guide.
const Caution = "For simulators, practice and as a back-up to your own log. Not certified: the aircraft's handbook, " +
	"the published charts, local rules and your instructor decide."

// ShortCaution is Caution in one row of a screen of 80 cells.
const ShortCaution = "For simulators, practice, back-up: handbook, charts, rules, instructor decide."

// ShortestCaution is Caution in one row of a screen of 40 cells.
const ShortestCaution = "Not certified: for practice and back-up"
