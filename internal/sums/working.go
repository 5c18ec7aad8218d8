package sums

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// working collects the lines of a sum.
type working []string

// mostPlaces is how many decimals more than usual the figures of a line may get.
const mostPlaces = 9

// line adds a line, unless it divides by a figure that is too small to be shown. Whoever reckons it through from the figures that stand in
// it comes to what stands behind its "=": where that needs more decimals before it than usual, they are shown.
func (w *working) line(format string, values ...any) {
	usual := spelled(format, values, 0)
	if strings.Contains(usual, "/ 0 ") || strings.Contains(usual, "/ 0)") {
		return
	}
	line := usual
	for more := 1; strings.Contains(line, equals) && worked.Recompute(line) != nil; more++ {
		if more > mostPlaces {
			line = usual
			break
		}
		line = spelled(format, values, more)
	}
	*w = append(*w, line)
}

const equals = " = "

// spelled fills in a line's figures, each %s in turn: with so many decimals more than usual for each "=" that follows.
func spelled(format string, values []any, more int) string {
	following := strings.Count(fmt.Sprintf(format, values...), equals)
	var b strings.Builder
	for _, value := range values {
		before, after, _ := strings.Cut(format, "%")
		b.WriteString(before)
		format = after[len("s"):]
		if n, ok := value.(number); ok {
			b.WriteString(n.with(more * (following - strings.Count(b.String(), equals))))
		} else {
			fmt.Fprint(&b, value)
		}
	}
	return b.String() + format
}

// number is a figure of the working: usually with two decimals, four below one, none that are nought at the end.
type number struct {
	value  float64
	places int
	style  func(text string) string
}

func (n number) String() string { return n.with(0) }

// with is the figure with more decimals than usual.
func (n number) with(more int) string { return n.style(say.SayNumber(n.value, n.places+more)) }

func places(value float64) int {
	if math.Abs(value) < 1 {
		return 4
	}
	return 2
}

// num is a number of the working.
func num(value float64) number {
	return number{value, places(value), func(text string) string { return text }}
}

// ratioOf is a bare factor, of which two decimals are too few.
func ratioOf(value float64) number { return number{value, 4, func(text string) string { return text }} }

// fig is a number that stands behind an operator: a negative one in brackets.
func fig(value float64) number {
	return number{value, places(value), func(text string) string {
		if strings.HasPrefix(text, "-") {
			return "(" + text + ")"
		}
		return text
	}}
}

// dir is a direction with three figures before the point, and its decimals.
func dir(degrees float64) number {
	return number{degrees, 2, func(text string) string {
		whole, _, _ := strings.Cut(text, ".")
		if text == "0" || text == "360" {
			return "360"
		}
		return strings.Repeat("0", max(0, 3-len(whole))) + text
	}}
}

// plus is an addition or, of a negative number, a subtraction.
func plus(value float64) number {
	return number{value, places(value), func(text string) string {
		if strings.HasPrefix(text, "-") {
			return "- " + text[1:]
		}
		return "+ " + text
	}}
}

// minus is plus of the opposite.
func minus(value float64) number { return plus(-value) }

// minutesLine works out a time from a distance and a groundspeed.
func (w *working) minutesLine(label string, distanceNM, groundspeedKt, minutes float64) {
	if known(minutes) {
		w.line("%s: 60 × %s / %s = %s min%s", label, num(distanceNM), fig(groundspeedKt), num(minutes), andSpan(minutes))
	}
}

const (
	minutesPerHour = 60
	longSpan       = 600 // minutes, from where on nobody asks for seconds
)

// sayMinutes writes a span: "7:20", from an hour on "1 h 05", to ten hours with all its minutes and
// seconds beside it where they are not full ones.
func sayMinutes(minutes float64) string {
	if minutes < 0 {
		return "-" + sayMinutes(-minutes)
	}
	text := say.Span(60 * minutes)
	if seconds := int(math.Round(60 * minutes)); minutes >= minutesPerHour && minutes < longSpan && seconds%60 != 0 {
		text += fmt.Sprintf(" (%d:%02d)", seconds/60, seconds%60)
	}
	return text
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
func sayFuel(fuel say.Fuel) string {
	return strings.TrimSpace(num(fuel.Amount).String() + " " + fuel.Unit)
}

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
