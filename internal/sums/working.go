package sums

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// Working is the working of a sum. The steps that several sums have, and the exercises on them, are written here once.
type Working struct{ worked.Lines }

// The figures of a working, in few letters: they stand in every line.
var (
	num   = worked.Number
	fig   = worked.Signed
	dir   = worked.Direction
	plus  = worked.Plus
	minus = worked.Minus
	kt    = worked.Knots
	nm    = worked.Miles
)

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

// inSecondsToo goes on from minutes with decimals to minutes and seconds, below an hour.
func inSecondsToo(minutes float64) string {
	if math.Round(60*minutes) >= 60*minutesPerHour {
		return ""
	}
	return sayMinutes(minutes)
}

// Took works out a length of time: in minutes and, where that is another way, as it is said.
func (w *Working) Took(minutes float64, said, format string, figures ...any) {
	if said == w.Spelled(num(minutes))+" min" {
		said = ""
	}
	if said != "" {
		said = " = " + said
	}
	w.Line(format+" = %s min%s", append(figures, num(minutes), said)...)
}

// Time works out a time from a distance and a groundspeed.
func (w *Working) Time(label string, distanceNM, groundspeedKt, minutes float64) {
	if known(minutes) {
		w.Took(minutes, inSecondsToo(minutes), label+": 60 × %s / %s", num(distanceNM), fig(groundspeedKt))
	}
}

// Span turns a span as it was said into minutes with decimals, where that is another figure.
func (w *Working) Span(label string, minutes float64) {
	switch {
	case minutes >= minutesPerHour:
		hours := math.Floor(minutes / minutesPerHour)
		w.Line("%s: %s × 60 + %s = %s min", label, num(hours), num(minutes-minutesPerHour*hours), num(minutes))
	case minutes != math.Trunc(minutes):
		w.Line("%s: %s = %s min", label, sayMinutes(minutes), num(minutes))
	}
}

// Groundspeed works out a speed over the ground from a distance and a time.
func (w *Working) Groundspeed(distanceNM, minutes, groundspeedKt float64) {
	w.Line("groundspeed: 60 × %s / %s = %s", num(distanceNM), num(minutes), kt(groundspeedKt))
}

// Distance works out a distance from a speed and a time.
func (w *Working) Distance(label string, speedKt, minutes, distanceNM float64) {
	w.Line("%s: %s × %s / 60 = %s", label, num(speedKt), num(minutes), nm(distanceNM))
}

// Fuel works out the fuel that a time takes.
func (w *Working) Fuel(label string, flowPerHour, minutes, used float64, unit string) {
	w.Line("%s: %s × %s / 60 = %s", label, num(flowPerHour), num(minutes), worked.Amount(used, unit))
}

// Turned adds an angle, right positive, to a direction, and a full circle more or less where that is needed.
func (w *Working) Turned(label string, degrees, by, result float64) {
	w.Line("%s: %s %s%s = %s", label, dir(degrees), plus(by), circle(w.shown(degrees)+by, w.shown(result)), dir(result))
}

// shown is a direction with north as it is shown: 360.
func (w *Working) shown(degrees float64) float64 {
	if w.Spelled(dir(degrees)) == "360" {
		return 360
	}
	return degrees
}

// circle is what brings a total of directions back onto the circle.
func circle(total, result float64) string {
	switch turns := math.Round((result - total) / 360); {
	case turns < 0:
		return " - 360"
	case turns > 0:
		return " + 360"
	}
	return ""
}

// Magnetic turns a true direction into a magnetic one, or a magnetic one into one by the compass: a variation, a deviation to the east is
// taken away.
func (w *Working) Magnetic(label string, degrees, east, result float64) {
	w.Turned(label+eastOrWest(east, "taken away", "added"), degrees, -east, result)
}

// True is the way back.
func (w *Working) True(label string, degrees, east, result float64) {
	w.Turned(label+eastOrWest(east, "added", "taken away"), degrees, east, result)
}

func eastOrWest(east float64, whenEast, whenWest string) string {
	switch {
	case east > 0:
		return ", east is " + whenEast
	case east < 0:
		return ", west is " + whenWest
	}
	return ""
}

// WindOff works out how far a wind comes from off a direction, a track or a heading, right positive.
func (w *Working) WindOff(what, direction string, degreesTrue float64, wind air.Wind) (offDeg float64) {
	return w.Between(what+"wind off the "+direction, degreesTrue, wind.FromTrue)
}

// Between works out the angle from one direction to another, right positive.
func (w *Working) Between(label string, from, to float64) (degrees float64) {
	degrees = angle.Turn(from, to)
	more, less := to, from
	if degrees < 0 {
		more, less = less, more
	}
	w.Line("%s: %s - %s%s = %s", label, dir(more), dir(less), circle(w.shown(more)-w.shown(less), math.Abs(degrees)), worked.Sided(degrees))
	return degrees
}

// Across works out the part of a wind across a direction, from the right positive.
func (w *Working) Across(what, direction string, windKt, offDeg, crosswindKt float64) {
	w.Line("%sacross the %s: %s × sin(%s) = %s%s", what, direction, num(windKt), num(math.Abs(offDeg)), kt(math.Abs(crosswindKt)), fromSide(crosswindKt))
}

func fromSide(crosswindKt float64) string {
	if crosswindKt == 0 {
		return ""
	}
	return " from the " + say.LeftRight(crosswindKt)
}

func aheadOrBehind(headwindKt float64) string {
	if headwindKt < 0 {
		return "behind"
	}
	return "ahead"
}

// Along works out the part of a wind along a direction, from ahead positive.
func (w *Working) Along(what, direction string, windKt, offDeg, headwindKt float64) {
	w.Line("%salong the %s: %s × cos(%s) = %s, %s", what, direction, num(windKt), num(math.Abs(offDeg)), kt(headwindKt), aheadOrBehind(headwindKt))
}

// Correction works out the angle into the wind, right positive.
func (w *Working) Correction(what string, crosswindKt, tasKt, correctionDeg float64) {
	w.Line("%scorrection into the wind: asin(%s / %s) = %s", what, num(math.Abs(crosswindKt)), num(tasKt), worked.Sided(correctionDeg))
}

// GroundspeedAlong works out the groundspeed along a track.
func (w *Working) GroundspeedAlong(what string, tasKt, correctionDeg, headwindKt, groundspeedKt float64) {
	w.Line("%sgroundspeed: %s × cos(%s) %s = %s", what, num(tasKt), num(math.Abs(correctionDeg)), minus(headwindKt), kt(groundspeedKt))
}

// Vector works out the length of a vector by its parts along and across.
func (w *Working) Vector(label string, along, across, lengthKt float64) {
	along, across = math.Abs(along), math.Abs(across)
	w.Line("%s: root(%s × %s + %s × %s) = %s", label, num(along), num(along), num(across), num(across), kt(lengthKt))
}

// Off works out the angle, right positive, of a vector off a direction by its parts across and along.
func (w *Working) Off(label string, across, along, degrees float64) {
	switch across = math.Abs(across); {
	case along > 0:
		w.Line("%s: atan(%s / %s) = %s", label, num(across), num(along), worked.Sided(degrees))
	case along < 0:
		w.Line("%s: 180 - atan(%s / %s) = %s", label, num(across), num(-along), worked.Sided(degrees))
	default:
		w.Line("%s: straight across, %s", label, worked.Sided(degrees))
	}
}

// Against works out what is left of a true airspeed against the part of a wind along the heading.
func (w *Working) Against(tasKt, headwindKt float64) (alongKt float64) {
	alongKt = tasKt - headwindKt
	w.Line("over the ground along the heading: %s %s = %s", num(tasKt), minus(headwindKt), kt(alongKt))
	return alongKt
}

// OneInSixty works out an angle by the rule.
func (w *Working) OneInSixty(label string, offNM, alongNM float64, degrees worked.Figure) {
	w.Line("%s: 60 × %s / %s = %s", label, num(math.Abs(offNM)), num(alongNM), degrees)
}

// Exactly works the same angle out exactly.
func (w *Working) Exactly(offNM, alongNM float64, degrees worked.Figure) {
	w.Line("exactly: atan(%s / %s) = %s", num(math.Abs(offNM)), num(alongNM), degrees)
}

// Both adds the track error and the closing angle, which turns towards the track.
func (w *Working) Both(label string, trackErrorDeg, closingDeg, turnDeg float64) {
	w.Line("%s: %s + %s = %s", label, num(math.Abs(trackErrorDeg)), num(math.Abs(closingDeg)), worked.Sided(turnDeg))
}

// EqualTime works out the point of equal time.
func (w *Working) EqualTime(distanceNM, onKt, backKt, pointNM float64) {
	w.Line("from the start, distance × back / (on + back): %s × %s / (%s + %s) = %s", num(distanceNM), num(backKt), num(onKt), num(backKt), nm(pointNM))
}

// NoReturn works out the time to the point of no return.
func (w *Working) NoReturn(enduranceMinutes, outKt, homeKt, minutes float64, said string) {
	w.Took(minutes, said, "out, time × home / (out + home): %s × %s / (%s + %s)", num(enduranceMinutes), num(homeKt), num(outKt), num(homeKt))
}

// ByRule and Precisely work out the time to a beacon from the change of its bearing from abeam.
func (w *Working) ByRule(seconds, changeDeg, minutes float64, said string) {
	w.Took(minutes, said, "by the rule, seconds / degrees: %s / %s", num(seconds), num(changeDeg))
}

// Precisely is the same exactly.
func (w *Working) Precisely(seconds, changeDeg, minutes float64, said string) {
	w.Took(minutes, said, "exactly: %s / 60 / sin(%s)", num(seconds), num(changeDeg))
}

// HeightInMiles turns a height into miles.
func (w *Working) HeightInMiles(heightFt float64) (heightNM float64) {
	heightNM = heightFt / air.FeetPerNM
	w.Line("height: %s / %s = %s", num(heightFt), worked.Rounded(air.FeetPerNM, 0), nm(heightNM))
	return heightNM
}

// Leg works out the other side of a right-angled triangle, and Slant the longest.
func (w *Working) Leg(label string, longestNM, otherNM, legNM float64) {
	w.Line("%s: root(%s × %s - %s × %s) = %s", label, num(longestNM), num(longestNM), num(otherNM), num(otherNM), nm(legNM))
}

// Slant is the longest side.
func (w *Working) Slant(label string, sideNM, otherNM, longestNM float64) {
	w.Line("%s: root(%s × %s + %s × %s) = %s", label, num(sideNM), num(sideNM), num(otherNM), num(otherNM), nm(longestNM))
}

// PressureRule works out a pressure altitude by so many feet for each hectopascal.
func (w *Working) PressureRule(altitudeFt, qnhHPa, pressureAltitudeFt float64) {
	w.Line("pressure altitude, by %s ft for each hPa: %s + %s × (1013.25 - %s) = %s", FeetPerHPa, num(altitudeFt), FeetPerHPa, num(qnhHPa), worked.Feet(pressureAltitudeFt))
}
