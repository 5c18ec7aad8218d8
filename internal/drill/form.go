package drill

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/pattern"
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
		return sayWind(r.Value, r.SpeedKt)
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
	return say.Fixed(value, decimals) + unit
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

// Parse reads an answer in any of the forms that its kind knows; upper and lower case are one. The error is a *say.Misread, which
// quotes the text and shows how it may be written.
func (f Form) Parse(text string) (Reply, error) {
	stated := text
	text = f.inOurWay(text)
	reply, err := f.parse(text)
	var misread *say.Misread
	if errors.As(err, &misread) && text != stated {
		misread.Text = strings.TrimSpace(stated)
	}
	return reply, err
}

var (
	decimalComma = pattern.Of(`(\d),(\d)`)
	hourLetter   = pattern.Of(`^\s*(\d{1,2}) ?[hH] ?(\d{2})`)
	windHyphen   = pattern.Of(`^(\s*\d{1,3}) ?- ?(\d)`)
	signedAngle  = pattern.Of(`^\s*([-+−])\s*(\d.*)$`)
)

// inOurWay brings other ways to write a figure into the one that is read: a decimal comma, the hour's letter in a time of day, a hyphen in
// a wind, the sign of an angle, right being positive.
func (f Form) inOurWay(text string) string {
	text = decimalComma().ReplaceAllString(text, "$1.$2")
	switch f.Kind {
	case TimeOfDay:
		text = hourLetter().ReplaceAllString(text, "$1:$2")
	case WindForm:
		text = windHyphen().ReplaceAllString(text, "$1/$2")
	case Turn:
		if parts := signedAngle().FindStringSubmatch(text); parts != nil && !strings.ContainsAny(parts[2], "lLrR") {
			side := " right"
			if parts[1] != "+" {
				side = " left"
			}
			text = parts[2] + side
		}
	}
	return text
}

func (f Form) parse(text string) (Reply, error) {
	var value float64
	var err error
	switch f.Kind {
	case Span:
		value, err = say.ParseSpan(text)
	case Hours:
		value, err = say.ParseHours(text)
	case TimeOfDay:
		value, err = f.parseTimeOfDay(text)
	case Direction:
		value, err = f.parseDirection(text)
	case Turn:
		value, err = say.Angle.ParseSide(text)
	case Number:
		value, err = f.quantity().Parse(text)
	case WindForm:
		w, err := say.ParseWind(text)
		return Reply{w.FromTrue, w.SpeedKt}, err
	case Choice:
		value, err = f.parseChoice(text)
	default:
		err = f.misread(text, "cannot be an answer")
	}
	return Reply{Value: value}, err
}

// misread is a text that is no answer in the form.
func (f Form) misread(text, wrong string) *say.Misread {
	return &say.Misread{Text: strings.TrimSpace(text), Wrong: wrong, Right: "write " + f.Example()}
}

// quantity is what a Number is a figure of. Anything that a slip can lead to is read.
func (f Form) quantity() say.Quantity {
	q := say.Quantity{Unit: f.Unit}
	switch f.Unit {
	case say.Distance.Unit:
		q = say.Distance
	case say.Speed.Unit:
		q = say.Speed
	case say.Rate.Unit:
		q = say.Rate
	case say.Angle.Unit:
		q = say.Angle
	case litres:
		q.Also = []string{"l", "litre", "litres", "liter", "liters"}
	case litres + anHour:
		q.Also = []string{"l/h", "l", "litres an hour", "lph"}
	case gallons:
		q.Also = []string{"us gal", "gal", "usg", "gallon", "gallons", "us gallons"}
	case gallons + anHour:
		q.Also = []string{"us gal/h", "gal/h", "gph", "gal", "gallons an hour"}
	}
	const largest = 1e6
	q.High, q.Example = largest, "write "+f.Example()
	return q
}

// The units of fuel in the exercises.
const (
	litres  = "L"
	gallons = "US gal"
	anHour  = "/h"
)

// parseTimeOfDay reads a time of day; bare minutes are in the hour that puts them nearest to the answer.
func (f Form) parseTimeOfDay(text string) (minutes float64, err error) {
	at, err := say.ParseTimeOfDay(text)
	return at.NearMinutes(f.near), err
}

// parseDirection reads a direction; a north that is said has to be the one that is wanted.
func (f Form) parseDirection(text string) (degrees float64, err error) {
	direction, err := say.ParseDirection(text)
	if err != nil {
		return 0, err
	}
	if said := direction.North.String(); said != "" && said != f.Unit {
		return 0, f.misread(text, fmt.Sprintf("is needed %s, not %s", f.Unit, said))
	}
	return direction.Degrees, nil
}

// parseChoice reads one of the choices or as much of its beginning as no other shares.
func (f Form) parseChoice(text string) (float64, error) {
	stated := strings.ToLower(strings.TrimSpace(text))
	found, count := 0, 0
	for i, choice := range f.Choices {
		choice = strings.ToLower(choice)
		if choice == stated {
			return float64(i), nil
		}
		if stated != "" && strings.HasPrefix(choice, stated) {
			found, count = i, count+1
		}
	}
	if count != 1 {
		return 0, f.misread(text, "is none of the choices")
	}
	return float64(found), nil
}
