package sums

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/say"
)

// working collects the lines of a sum.
type working []string

// line adds a line, unless it divides by a figure that is too small to be shown.
func (w *working) line(format string, values ...any) {
	line := fmt.Sprintf(format, values...)
	if !strings.Contains(line, "/ 0 ") && !strings.Contains(line, "/ 0)") {
		*w = append(*w, line)
	}
}

// num writes a number of the working: two decimals, four below one, none that are nought at the end.
func num(value float64) string {
	if math.Abs(value) < 1 {
		return say.SayNumber(value, 4)
	}
	return say.SayNumber(value, 2)
}

// fig writes a number that stands behind an operator: a negative one in brackets.
func fig(value float64) string {
	if text := num(value); strings.HasPrefix(text, "-") {
		return "(" + text + ")"
	}
	return num(value)
}

// dir writes a direction with three figures before the point, and its decimals.
func dir(degrees float64) string {
	text := say.SayNumber(degrees, 2)
	whole, _, _ := strings.Cut(text, ".")
	if text == "0" || text == "360" {
		return "360"
	}
	return strings.Repeat("0", max(0, 3-len(whole))) + text
}

// plus writes an addition or, of a negative number, a subtraction.
func plus(value float64) string {
	if text := num(value); strings.HasPrefix(text, "-") {
		return "- " + text[1:]
	}
	return "+ " + num(value)
}

// minus is plus of the opposite.
func minus(value float64) string { return plus(-value) }

// minutesLine works out a time from a distance and a groundspeed.
func (w *working) minutesLine(label string, distanceNM, groundspeedKt, minutes float64) {
	if known(minutes) {
		w.line("%s: 60 × %s / %s = %s min%s", label, num(distanceNM), fig(groundspeedKt), num(minutes), andSpan(minutes))
	}
}

const minutesPerHour = 60

// sayMinutes writes a span: "7:20", from an hour on "1 h 05".
func sayMinutes(minutes float64) string {
	if minutes < 0 {
		return "-" + say.Span(60*minutes)
	}
	return say.Span(60 * minutes)
}

// andSpan goes on from minutes with decimals to minutes and seconds, below an hour.
func andSpan(minutes float64) string {
	if math.Round(60*minutes) >= 60*minutesPerHour {
		return ""
	}
	return " = " + sayMinutes(minutes)
}

// distanceLine works out a distance from a speed and a time.
func (w *working) distanceLine(label string, speedKt, minutes, distanceNM float64) {
	w.line("%s: %s × %s / 60 = %s nm", label, num(speedKt), num(minutes), num(distanceNM))
}

// fuelLine works out the fuel that a time takes.
func (w *working) fuelLine(label string, flow *say.Fuel, minutes float64, used say.Fuel) {
	if flow != nil && known(used.Amount) {
		w.line("%s: %s × %s / 60 = %s", label, num(flow.Amount), num(minutes), sayFuel(used))
	}
}

// sayFuel writes an amount to the places of the working.
func sayFuel(fuel say.Fuel) string { return strings.TrimSpace(num(fuel.Amount) + " " + fuel.Unit) }

// spanLine turns a span as it was said into minutes with decimals, where that is another figure.
func (w *working) spanLine(label string, minutes float64) {
	switch {
	case minutes >= minutesPerHour:
		hours := math.Floor(minutes / minutesPerHour)
		w.line("%s: %s × 60 + %s = %s min", label, num(hours), num(minutes-minutesPerHour*hours), num(minutes))
	case minutes != math.Trunc(minutes):
		w.line("%s: %s = %s min", label, sayMinutes(minutes), num(minutes))
	}
}
