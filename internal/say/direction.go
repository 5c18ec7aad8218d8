package say

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/angle"
)

// North says which north a direction counts from.
type North int

// The norths.
const (
	Unsaid North = iota
	True
	Magnetic
)

// String is the word for a north; nothing where none was said.
func (n North) String() string {
	switch n {
	case True:
		return "true"
	case Magnetic:
		return "magnetic"
	}
	return ""
}

// Direction is a direction and the north that was said with it.
type Direction struct {
	Degrees float64 // [0, 360)
	North   North
}

// Or is the direction, counted from a north where none was said.
func (d Direction) Or(north North) Direction {
	if d.North == Unsaid {
		d.North = north
	}
	return d
}

// String is a direction as a pilot says it: "076 true".
func (d Direction) String() string {
	return strings.TrimSpace(Degrees(d.Degrees) + " " + d.North.String())
}

// ParseDirection reads a direction from 0 to 360, with the north it counts from or without: "045", "045M", "60° true".
func ParseDirection(text string) (Direction, error) {
	const right = "write a direction from 001 to 360, with M or T for its north: 045M"
	degrees, rest, ok := split(plain(text))
	if !ok {
		return Direction{}, misread(text, right, "is not a direction")
	}
	if degrees < 0 || degrees > 360 {
		return Direction{}, misread(text, right, "lies outside 0 to 360")
	}
	direction := Direction{Degrees: angle.Wrap360(degrees)}
	for _, unit := range []string{"°", "degrees", "deg"} {
		rest = strings.TrimSpace(strings.TrimPrefix(rest, unit))
	}
	switch rest {
	case "":
	case "t", "true":
		direction.North = True
	case "m", "mag", "magnetic":
		direction.North = Magnetic
	default:
		return Direction{}, misread(text, right, "has %q after it", rest)
	}
	return direction, nil
}

// ParseSide reads a figure with its side, right positive: "2 left", "2 nm left", "L2". Nought has no side.
func (q Quantity) ParseSide(text string) (float64, error) {
	right := fmt.Sprintf("write 2 left or R 2, in %s", q.Unit)
	stated, side := plain(text), 0.0
	for _, of := range sides {
		if rest, ok := cutWord(stated, of.word); ok {
			stated, side = rest, of.sign
			break
		}
	}
	value, err := q.Parse(stated)
	var wrong *Misread
	_, unit, number := split(stated)
	switch {
	case strings.HasPrefix(stated, "-"):
		return 0, misread(text, right, "has a sign in place of its side")
	case !number || unit != "" && !IsUnit(unit) && !HasComma(stated):
		return 0, misread(text, right, "is not a figure with a side")
	case errors.As(err, &wrong):
		return 0, misread(text, right, "%s", wrong.Wrong)
	case side == 0 && value != 0:
		return 0, misread(text, right, "has no side: left or right?")
	}
	return side*value + 0, nil
}

var sides = []struct {
	word string
	sign float64
}{{"left", -1}, {"l", -1}, {"right", 1}, {"r", 1}}

// cutWord takes a word off the beginning or the end, where no other letter touches it. "of track" may follow it.
func cutWord(text, word string) (rest string, ok bool) {
	text = strings.TrimSuffix(text, " of track")
	if rest, ok := strings.CutPrefix(text, word); ok && !startsWithLetter(rest) {
		return strings.TrimSpace(rest), true
	}
	if rest, ok := strings.CutSuffix(text, word); ok && !endsWithLetter(rest) {
		return strings.TrimSpace(rest), true
	}
	return text, false
}

func isLetter(b byte) bool { return b >= 'a' && b <= 'z' }

func startsWithLetter(text string) bool { return text != "" && isLetter(text[0]) }

func endsWithLetter(text string) bool { return text != "" && isLetter(text[len(text)-1]) }

// SaySide writes a figure with its side, right positive: "9° right", "0.8 nm left".
func (q Quantity) SaySide(value float64, decimals int) string {
	text := SayNumber(math.Abs(value), decimals)
	switch {
	case text == "0":
		return text + unitAfter(q.Unit)
	case value < 0:
		return text + unitAfter(q.Unit) + " left"
	}
	return text + unitAfter(q.Unit) + " right"
}

// cutEast parts the letter or the word of its side from an angle that is written with one, "3 w", "0.5° east".
func cutEast(text string) (number string, west, ok bool) {
	for _, side := range [...]string{"east", "west", "e", "w"} {
		angle, ok := strings.CutSuffix(text, side)
		if !ok {
			continue
		}
		angle = strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(angle, " "), "°"), " ")
		number, rest := cutNumber(angle)
		return number, side[0] == 'w', number != "" && rest == ""
	}
	return "", false, false
}

// ParseEast reads a declination, east positive: "3W", "0.5 E", "-3".
func ParseEast(text string) (float64, error) {
	const right = "write 3W, 0.5E or -3, east being positive"
	stated := plain(text)
	if number, west, ok := cutEast(stated); ok {
		stated = number
		if west {
			stated = "-" + stated
		}
	}
	value, rest, ok := split(stated)
	switch {
	case !ok || !slices.Contains([]string{"", "°", "deg", "degrees"}, rest):
		return 0, misread(text, right, "is not a variation")
	case math.Abs(value) > 180:
		return 0, misread(text, right, "lies outside 180° W to 180° E")
	}
	return value, nil
}

// ParseDeviation reads a compass deviation, east positive, with its letter: "2E". A sign alone is refused: compass cards give
// what to add to the magnetic heading, which is the deviation with the other sign.
func ParseDeviation(text string) (float64, error) {
	const right = "write 2E where the compass shows too little, 2W where it shows too much; a card's +2 is 2W"
	value, err := ParseEast(text)
	_, _, lettered := cutEast(plain(text))
	switch {
	case err != nil:
		return 0, misread(text, right, "is not a deviation")
	case value != 0 && !lettered:
		return 0, misread(text, right, "has no letter")
	}
	return value, nil
}

// SayEast writes an angle with its letter: "3° W".
func SayEast(value float64, decimals int) string {
	text := SayNumber(math.Abs(value), decimals) + "°"
	switch {
	case text == "0°":
		return text
	case value < 0:
		return text + " W"
	}
	return text + " E"
}

// OnSide is a side.
func OnSide(right bool) string {
	if right {
		return "right"
	}
	return "left"
}

// LeftRight is the side of a figure of which a negative one is on the left.
func LeftRight(value float64) string { return OnSide(value >= 0) }

// MilesByEye is a distance as the eye measures it: "half a mile", "2.5 nm", "4 nm".
func MilesByEye(distanceNM float64) string {
	words := []string{"right beside", "a quarter of a mile", "half a mile", "three quarters of a mile", "a mile"}
	if quarters := int(math.Round(4 * distanceNM)); quarters < len(words) {
		return words[quarters]
	}
	if distanceNM < 3 {
		return Miles(math.Round(2*distanceNM) / 2)
	}
	return Whole(distanceNM) + " nm"
}

// OffNose says where something is seen, from the angle off the nose, right positive: "ahead", "abeam left", "behind".
func OffNose(degrees float64) string {
	switch off, where := math.Abs(degrees), LeftRight(degrees); {
	case off < 10:
		return "ahead"
	case off < 30:
		return "just " + where + " of the nose"
	case off < 70:
		return "ahead " + where
	case off < 110:
		return "abeam " + where
	case off < 160:
		return "behind " + where
	default:
		return "behind"
	}
}

// EightWinds names a direction: "north", "south-east".
func EightWinds(direction float64) string {
	names := []string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return names[int(math.Round(angle.Wrap360(direction)/45))%len(names)]
}
