package drill

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/legclock/internal/angle"
)

// largest bounds what is read as a figure; no answer is near it.
const largest = 1e6

// Parse reads an answer in any of the forms that its kind knows; upper and lower case are one. The error quotes the text and shows
// how it may be written.
func (f Form) Parse(text string) (Reply, error) {
	reply, err := f.read(piecesOf(text))
	if err != nil {
		return Reply{}, fmt.Errorf("%q: %w", strings.TrimSpace(text), err)
	}
	return reply, nil
}

func (f Form) read(p pieces) (Reply, error) {
	var value float64
	var err error
	switch f.Kind {
	case Span:
		value, err = readSpan(p, false)
	case Hours:
		value, err = readSpan(p, true)
	case TimeOfDay:
		value, err = f.readTimeOfDay(p)
	case Direction:
		value, err = f.readDirection(p)
	case Turn:
		value, err = readTurn(p)
	case Number:
		value, err = f.readNumber(p)
	case WindForm:
		return readWind(p)
	case Choice:
		value, err = f.readChoice(p)
	default:
		err = errors.New("there is no way to write this answer")
	}
	return Reply{Value: value}, err
}

// readSpan reads a length of time. With byHours "1:05" is an hour and five minutes and a bare number is not enough.
func readSpan(p pieces, byHours bool) (minutes float64, err error) {
	what := `write 7:20, 7.3 min or 7m20s`
	if byHours {
		what = `write 1:05, 1 h 05 or 65 min`
	}
	if len(p) > 0 && strings.Contains(p[0].text, ":") {
		if len(p) > 2 || len(p) == 2 && unitMinutes(p[1].text) == 0 {
			return 0, errors.New(what)
		}
		return readColons(p[0].text, byHours)
	}
	smaller := math.Inf(1) // units come in falling order
	for i := 0; i < len(p); i += 2 {
		amount, err := p[i].number()
		if err != nil {
			return 0, errors.New(what)
		}
		unit := 1.0
		switch {
		case i+1 < len(p):
			unit = unitMinutes(p[i+1].text)
		case i > 0: // the last unit may be left out: 1 h 05, 7 min 20
			unit = smaller / 60
		case byHours:
			return 0, errors.New("hours or minutes? " + what)
		}
		if unit == 0 || unit >= smaller || i > 0 && amount >= 60 {
			return 0, errors.New(what)
		}
		minutes += amount * unit
		smaller = unit
	}
	if len(p) == 0 {
		return 0, errors.New(what)
	}
	return minutes, nil
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

// readColons reads 7:20 and 1:07:20.
func readColons(text string, byHours bool) (minutes float64, err error) {
	parts := strings.Split(text, ":")
	if len(parts) > 3 {
		return 0, errors.New("too many colons")
	}
	unit := 1.0
	if byHours || len(parts) == 3 {
		unit = 60
	}
	for i, part := range parts {
		amount, err := strconv.ParseUint(part, 10, 16)
		switch {
		case err != nil:
			return 0, errors.New("whole numbers stand around a colon")
		case i > 0 && (amount >= 60 || len(part) != 2):
			return 0, errors.New("after a colon stand two digits, 00 to 59")
		}
		minutes += float64(amount) * unit
		unit /= 60
	}
	return minutes, nil
}

// readTimeOfDay reads 10:42, 10:42:30, 1042 and, as said on the radio, the minutes alone; each with or without Z.
func (f Form) readTimeOfDay(p pieces) (minutes float64, err error) {
	const what = "write 10:42, 10:42:30, 1042 or the minutes alone, UTC"
	if len(p) == 2 && (p[1].text == "z" || p[1].text == "utc") {
		p = p[:1]
	}
	if len(p) != 1 {
		return 0, errors.New(what)
	}
	text := p[0].text
	switch {
	case strings.Contains(text, ":"):
		minutes, err = readColons(text, true)
	case len(text) == 4 && p[0].digits():
		minutes, err = readColons(text[:2]+":"+text[2:], true)
	case len(text) <= 2 && p[0].digits():
		minutes, err = readColons("0:"+fmt.Sprintf("%02s", text), true)
		if err == nil {
			minutes = f.near + math.Remainder(minutes-f.near, 60)
		}
	default:
		return 0, errors.New(what)
	}
	if err == nil && minutes >= minutesPerDay+60 {
		err = errors.New("hours go to 23")
	}
	return math.Mod(minutes+minutesPerDay, minutesPerDay), err
}

// readDirection reads 094, 94 and 94°, with or without the letter of the north that is wanted.
func (f Form) readDirection(p pieces) (degrees float64, err error) {
	p = p.without("deg", "degrees")
	if len(p) == 0 || len(p) > 2 {
		return 0, errors.New("write a direction from 001 to 360")
	}
	degrees, err = p[0].number()
	if err != nil || degrees > 360 {
		return 0, errors.New("a direction lies between 001 and 360")
	}
	if len(p) == 2 && !strings.HasPrefix(f.Unit, p[1].text) {
		if isNorth(p[1].text) {
			return 0, fmt.Errorf("the direction is wanted %s", f.Unit)
		}
		return 0, fmt.Errorf("%q is not known: write a direction from 001 to 360", p[1].text)
	}
	return angle.Wrap360(degrees), nil
}

func isNorth(text string) bool {
	for _, north := range []string{"true", "magnetic", "compass"} {
		if text != "" && strings.HasPrefix(north, text) {
			return true
		}
	}
	return false
}

// readTurn reads 9 right, R 9 and 9R; 0 has no side.
func readTurn(p pieces) (degrees float64, err error) {
	p = p.without("deg", "degrees")
	if len(p) == 2 && p[1].isNumber && !p[0].isNumber {
		p = pieces{p[1], p[0]}
	}
	if len(p) == 0 || len(p) > 2 {
		return 0, errors.New("write 9 right or L 4")
	}
	degrees, err = p[0].number()
	if err != nil {
		return 0, errors.New("write 9 right or L 4")
	}
	if len(p) == 1 {
		if degrees == 0 {
			return 0, nil
		}
		return 0, errors.New("left or right? write 9 right or L 4")
	}
	switch p[1].text {
	case "r", "right":
		return degrees, nil
	case "l", "left":
		return -degrees, nil
	}
	return 0, fmt.Errorf("%q is neither left nor right", p[1].text)
}

// unitWords are the ways to write a unit.
var unitWords = map[string][]string{
	"nm":       {"nm", "mile", "miles", "nautical"},
	"kt":       {"kt", "kts", "knot", "knots"},
	"ft":       {"ft", "feet", "foot"},
	"ft/min":   {"ft/min", "fpm", "ft"},
	"°":        {"deg", "degree", "degrees"},
	"L":        {"l", "litre", "litres", "liter", "liters"},
	"L/h":      {"l/h", "l", "lph"},
	"US gal":   {"us gal", "gal", "usg", "gallon", "gallons", "us gallons"},
	"US gal/h": {"us gal/h", "gal/h", "gph", "gal"},
	"min":      {"min", "mins", "m", "minute", "minutes"},
}

// readNumber reads a figure with or without its unit.
func (f Form) readNumber(p pieces) (value float64, err error) {
	negative := len(p) > 0 && p[0].text == "-"
	if negative {
		p = p[1:]
	}
	if len(p) == 0 {
		return 0, fmt.Errorf("write a figure in %s", f.Unit)
	}
	if value, err = p[0].number(); err != nil {
		return 0, fmt.Errorf("write a figure in %s", f.Unit)
	}
	if unit := p[1:].join(); unit != "" && !contains(unitWords[f.Unit], unit) {
		return 0, fmt.Errorf("the answer is wanted in %s, not in %q", f.Unit, unit)
	}
	if negative {
		value = -value
	}
	return value, nil
}

func contains(words []string, word string) bool {
	for _, known := range words {
		if known == word {
			return true
		}
	}
	return false
}

// readWind reads 240/15, 240 15, 240 at 15 and 24015, with or without kt.
func readWind(p pieces) (Reply, error) {
	what := errors.New("write where it blows from and the knots: 240/15")
	p = p.without("kt", "kts", "knots", "/", "at", "from", "deg", "degrees", "true", "t")
	if len(p) == 1 && len(p[0].text) == 5 && p[0].digits() {
		p = pieces{{p[0].text[:3], true}, {p[0].text[3:], true}}
	}
	if len(p) != 2 {
		return Reply{}, what
	}
	from, err1 := p[0].number()
	speed, err2 := p[1].number()
	if err1 != nil || err2 != nil || from > 360 {
		return Reply{}, what
	}
	return Reply{Value: angle.Wrap360(from), SpeedKt: speed}, nil
}

// readChoice reads one of the choices or as much of its beginning as no other shares.
func (f Form) readChoice(p pieces) (float64, error) {
	text, found, count := p.join(), 0, 0
	for i, choice := range f.Choices {
		choice = strings.ToLower(choice)
		if choice == text {
			return float64(i), nil
		}
		if text != "" && strings.HasPrefix(choice, text) {
			found, count = i, count+1
		}
	}
	if count != 1 {
		return 0, fmt.Errorf("write %s", f.Example())
	}
	return float64(found), nil
}
