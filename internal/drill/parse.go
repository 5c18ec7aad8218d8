package drill

import (
	"errors"
	"fmt"
	"strings"

	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
)

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
		return 0, f.misread(text, fmt.Sprintf("is wanted %s, not %s", f.Unit, said))
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
