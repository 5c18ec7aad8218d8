package drill

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/say"
)

// Kind is how an answer is written.
type Kind string

// The kinds of forms.
const (
	Span      Kind = "minutes and seconds" // 7:20, 7.3 min, 7m20s
	Hours     Kind = "hours and minutes"   // 1:05, 1 h 05, 65 min
	TimeOfDay Kind = "time"                // 10:42Z, 1042, 42
	Direction Kind = "direction"           // 094, 94
	Turn      Kind = "angle and side"      // 9 right, R 9
	Number    Kind = "figure"              // 94 kt
	WindForm  Kind = "wind"                // 240/15
	Choice    Kind = "choice"              // LEFT, FROM, the name of a tank
)

// Form is how an answer is written and read.
type Form struct {
	Kind     Kind     `json:"kind"`
	Unit     string   `json:"unit,omitempty"`     // of a Number; of a Direction the north: "true", "magnetic", "compass"
	Decimals int      `json:"decimals,omitempty"` // that an answer is shown with
	Choices  []string `json:"choices,omitempty"`
	near     float64  // bare minutes of a time of day are in the hour that brings them nearest to here
}

const minutesPerDay = 24 * 60

// Example shows how an answer may be written.
func (f Form) Example() string {
	switch f.Kind {
	case Span:
		return "7:20 or 7.3 min"
	case Hours:
		return "1:05 or 1 h 05"
	case TimeOfDay:
		return "10:42, 1042 or 42"
	case Direction:
		return "094, " + f.Unit
	case Turn:
		return "9 right or L 4"
	case Number:
		if f.Decimals == 0 {
			return sayNumber(94, 0, f.Unit)
		}
		return sayNumber(12.5, f.Decimals, f.Unit)
	case WindForm:
		return "240/15"
	case Choice:
		return strings.Join(f.Choices, " or ")
	}
	return ""
}

// Say writes an answer as a pilot does.
func (f Form) Say(r Reply) string {
	switch f.Kind {
	case Span:
		return sayWhole(say.SaySpan, r.Value)
	case Hours:
		return say.SayHours(r.Value)
	case TimeOfDay:
		return sayWhole(say.SayTimeOfDay, r.Value)
	case Direction:
		return say.Degrees(r.Value)
	case Turn:
		return sayAngle(r.Value, f.Decimals)
	case Number:
		return sayNumber(r.Value, f.Decimals, f.Unit)
	case WindForm:
		return fmt.Sprintf("%s/%02.0f", say.Degrees(r.Value), r.SpeedKt)
	case Choice:
		if i := int(r.Value); i >= 0 && i < len(f.Choices) {
			return f.Choices[i]
		}
	}
	return fmt.Sprint(r.Value)
}

// sayWhole says a time to the whole second, half of one upwards in spite of binary fractions: a span, and the time of day that it leads to,
// are then rounded alike.
func sayWhole(of func(minutes float64) string, minutes float64) string { return of(minutes + slack) }

// sayAngle is an angle with its side: "9° right".
func sayAngle(degrees float64, decimals int) string { return say.Angle.SaySide(degrees, decimals) }

// sayNumber keeps the decimals that were asked for: 44.0 nm says that it is not 44.1.
func sayNumber(value float64, decimals int, unit string) string {
	if unit != "°" {
		unit = " " + unit
	}
	return fmt.Sprintf("%.*f%s", decimals, value, unit)
}

// Apart is how far two replies are from each other, in the unit of the form.
func (f Form) Apart(a, b Reply) float64 {
	switch f.Kind {
	case TimeOfDay:
		return math.Abs(math.Remainder(a.Value-b.Value, minutesPerDay))
	case Direction:
		return math.Abs(angle.Turn(a.Value, b.Value))
	case WindForm:
		aNorth, aEast := air.Wind{FromTrue: a.Value, SpeedKt: a.SpeedKt}.Components()
		bNorth, bEast := air.Wind{FromTrue: b.Value, SpeedKt: b.SpeedKt}.Components()
		return math.Hypot(aNorth-bNorth, aEast-bEast)
	case Choice:
		if a.Value != b.Value {
			return math.Inf(1)
		}
		return 0
	}
	return math.Abs(a.Value - b.Value)
}

// Within says how far a tolerance reaches, with its unit: "0:17", "2 kt", "2°"; nothing for a choice.
func (e Exercise) Within() string {
	by := e.Tolerance.By
	switch e.Form.Kind {
	case Span, TimeOfDay:
		return say.SaySpan(by)
	case Hours:
		return figure(by) + " min"
	case Direction, Turn:
		return figure(by) + "°"
	case Number:
		return e.Form.quantity().Say(by, e.Form.Decimals+1)
	case WindForm:
		return figure(by) + " kt, end to end"
	}
	return ""
}

// Side says on which side of an answer a reply lies: "too much", "early", "too far left". A choice has none.
func (f Form) Side(r, answer Reply) string {
	switch f.Kind {
	case Direction, Turn:
		return "too far " + say.LeftRight(angle.Turn(answer.Value, r.Value))
	case Choice, WindForm:
		return ""
	case Span, Hours:
		return strings.TrimSpace(f.way(r, answer, "too short", "too long"))
	}
	return strings.TrimSpace(f.way(r, answer, "too little", "too much"))
}

// off says how far a reply is from the answer.
func (f Form) off(r, answer Reply) string {
	by := f.Apart(r, answer)
	switch f.Kind {
	case Span, TimeOfDay:
		return say.SaySpan(by) + f.way(r, answer, " too short", " too long")
	case Hours:
		return say.SayHours(by) + f.way(r, answer, " too short", " too long")
	case Direction:
		if by > 90 {
			return fmt.Sprintf("%.0f° off", by)
		}
		return fmt.Sprintf("%.0f° %s", by, say.LeftRight(angle.Turn(answer.Value, r.Value)))
	case Turn:
		return fmt.Sprintf("%.*f° off", f.Decimals, by)
	case Number:
		return sayNumber(by, f.Decimals, f.Unit) + f.way(r, answer, " too little", " too much")
	case WindForm:
		return fmt.Sprintf("%.0f kt off, end to end", by)
	}
	return ""
}

func (f Form) way(r, answer Reply, less, more string) string {
	difference := r.Value - answer.Value
	if f.Kind == TimeOfDay {
		less, more = " early", " late"
		difference = math.Remainder(difference, minutesPerDay)
	}
	if difference < 0 {
		return less
	}
	return more
}
