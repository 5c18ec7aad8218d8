package earth

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// Position is a place on the WGS-84 ellipsoid: geodetic latitude and longitude in degrees, north and east positive. In JSON
// it is an array, [lat, lon].
type Position struct{ Lat, Lon float64 }

// Valid reports whether the latitude lies within ±90° and the longitude within ±180°.
func (p Position) Valid() bool { return math.Abs(p.Lat) <= 90 && math.Abs(p.Lon) <= 180 }

// String gives the position in degrees and hundredths of a minute (about 20 m), as ParsePosition reads it: "N56 22.40 W003 51.70".
func (p Position) String() string {
	if !p.Valid() {
		return fmt.Sprintf("not a position (%v, %v)", p.Lat, p.Lon)
	}
	return degreesAndMinutes(p.Lat, 'N', 'S', 2) + " " + degreesAndMinutes(p.Lon, 'E', 'W', 3)
}

func degreesAndMinutes(degrees float64, positive, negative rune, width int) string {
	const perMinute, perDegree = 100, 6000
	hundredths := int(math.Round(math.Abs(degrees) * perDegree))
	side := positive
	if degrees < 0 && hundredths > 0 {
		side = negative
	}
	minutes := float64(hundredths%perDegree) / perMinute
	return fmt.Sprintf("%c%0*d %05.2f", side, width, hundredths/perDegree, minutes)
}

// MarshalJSON writes [lat, lon], unrounded.
func (p Position) MarshalJSON() ([]byte, error) { return json.Marshal([]float64{p.Lat, p.Lon}) }

// UnmarshalJSON reads [lat, lon] and refuses anything that is not a valid position.
func (p *Position) UnmarshalJSON(data []byte) error {
	var pair []*float64
	if err := json.Unmarshal(data, &pair); err != nil {
		return fmt.Errorf("position %s: want [latitude, longitude] in degrees", data)
	}
	if pair == nil { // null leaves a value as it is, by the custom of encoding/json
		return nil
	}
	if len(pair) != 2 || pair[0] == nil || pair[1] == nil {
		return fmt.Errorf("position %s: want two numbers, [latitude, longitude] in degrees", data)
	}
	read := Position{*pair[0], *pair[1]}
	if !read.Valid() {
		return fmt.Errorf("position %s: latitude must be within ±90°, longitude within ±180°", data)
	}
	*p = read
	return nil
}

// positionForms shows, in an error, what ParsePosition reads.
const positionForms = `write 56.1234, -4.5678 or N56 22.4 W003 51.7 or 562745N 0043210W or 56 27 45 N 4 32 10 W`

// ParsePosition reads a position, latitude first, in any of these forms:
//
//	56.1234, -4.5678               degrees, north and east positive
//	N56 22.4 W003 51.7             degrees and minutes
//	56 27 45 N 4 32 10 W           degrees, minutes and seconds
//	56°27'45"N 004°32'10"W         the same with unit marks
//	562745N 0043210W               ddmmss dddmmss
//	5627N 00432W                   ddmm dddmm
//
// N, S, E and W stand before the figures or after them, in either case; the last figure of each half may have decimals; a comma may
// part the halves. The error says what is wrong and shows the forms.
func ParsePosition(text string) (Position, error) {
	position, err := parsePosition(text)
	if err != nil {
		return Position{}, fmt.Errorf("position %q: %w; %s", text, err, positionForms)
	}
	return position, nil
}

func parsePosition(text string) (Position, error) {
	tokens, err := positionTokens(text)
	if err != nil {
		return Position{}, err
	}
	latitude, longitude, err := splitHalves(tokens)
	if err != nil {
		return Position{}, err
	}
	var p Position
	if p.Lat, err = latitude.degrees(latitudeHalf); err != nil {
		return Position{}, err
	}
	if p.Lon, err = longitude.degrees(longitudeHalf); err != nil {
		return Position{}, err
	}
	return p, nil
}

// coordinateHalf says how one half of a position is written.
type coordinateHalf struct {
	name          string
	letters       string // positive, negative
	limit         float64
	degreeDigits  int // in a run of digits such as ddmmss
	packedExample string
}

var (
	latitudeHalf  = coordinateHalf{"latitude", "NS", 90, 2, "ddmm or ddmmss"}
	longitudeHalf = coordinateHalf{"longitude", "EW", 180, 3, "dddmm or dddmmss"}
)

// coordinate is what was written for one half: up to three figures and a letter, 0 if there was none.
type coordinate struct {
	figures []figure
	letter  byte
}

// figure is one number as written: its sign if it has one, its digits and decimals.
type figure struct {
	sign, whole, decimals string
	mark                  rune // °, ' or ", or 0 if there was none
}

// figureUnits are what the figures of a half stand for, in order.
var figureUnits = [...]struct {
	name string
	mark rune
}{{"degrees", '°'}, {"minutes", '\''}, {"seconds", '"'}}

func (f figure) String() string { return f.sign + f.whole + f.decimals }

// value is the number without its sign.
func (f figure) value() float64 {
	value, err := strconv.ParseFloat(f.whole+f.decimals, 64)
	if err != nil { // out of range: the only fault that digits can have
		return 1e300
	}
	return value
}

func (c coordinate) degrees(half coordinateHalf) (float64, error) {
	if err := c.check(half); err != nil {
		return 0, err
	}
	figures := c.figures
	if c.letter != 0 && len(figures) == 1 {
		var err error
		if figures, err = unpack(figures[0], half); err != nil {
			return 0, err
		}
	}
	degrees, share := 0.0, 1.0
	for i, f := range figures {
		if i > 0 && len(f.whole) > 2 {
			return 0, fmt.Errorf("%s: %s %s have more than two digits", half.name, f, figureUnits[i].name)
		}
		if i > 0 && f.value() >= 60 {
			return 0, fmt.Errorf("%s: %s %s are not below 60", half.name, f, figureUnits[i].name)
		}
		degrees += f.value() * share
		share /= 60
	}
	if degrees > half.limit {
		return 0, fmt.Errorf("%s: %v° is beyond %v°", half.name, degrees, half.limit)
	}
	if c.figures[0].sign == "-" || c.letter == half.letters[1] {
		degrees = -degrees
	}
	return degrees, nil
}

// check refuses what no reading of the figures could make right.
func (c coordinate) check(half coordinateHalf) error {
	switch {
	case len(c.figures) == 0:
		return fmt.Errorf("%s: no figures", half.name)
	case len(c.figures) > 3:
		return fmt.Errorf("%s: more figures than degrees, minutes and seconds", half.name)
	}
	for i, f := range c.figures {
		switch {
		case f.sign != "" && c.letter != 0:
			return fmt.Errorf("%s: both a sign and the letter %c", half.name, c.letter)
		case f.decimals != "" && i < len(c.figures)-1:
			return fmt.Errorf("%s: %s has decimals, but only the last figure may", half.name, f)
		case f.mark != 0 && f.mark != figureUnits[i].mark:
			return fmt.Errorf("%s: %s stands in the place of %s but has another mark", half.name, f, figureUnits[i].name)
		}
	}
	return nil
}

// unpack parts a single figure such as 562745.5 into degrees, minutes and seconds by its number of digits.
func unpack(f figure, half coordinateHalf) ([]figure, error) {
	d := half.degreeDigits
	switch len(f.whole) {
	case d + 2:
		if f.mark == 0 {
			return []figure{{whole: f.whole[:d]}, {whole: f.whole[d:], decimals: f.decimals}}, nil
		}
	case d + 4:
		if f.mark == 0 {
			return []figure{{whole: f.whole[:d]}, {whole: f.whole[d : d+2]}, {whole: f.whole[d+2:], decimals: f.decimals}}, nil
		}
	case 1, 2, d:
		return []figure{f}, nil
	}
	return nil, fmt.Errorf("%s: %s is neither degrees nor %s", half.name, f, half.packedExample)
}

// splitHalves finds where the latitude ends and the longitude begins.
func splitHalves(tokens []positionToken) (latitude, longitude coordinate, err error) {
	var letters []byte
	for _, token := range tokens {
		if token.kind == letterToken {
			letters = append(letters, token.letter)
		}
	}
	switch string(letters) {
	case "":
		return splitSigned(tokens)
	case "NE", "NW", "SE", "SW":
		return splitLettered(tokens)
	case "EN", "WN", "ES", "WS":
		return latitude, longitude, errors.New("the latitude (N or S) comes first")
	}
	return latitude, longitude, errors.New("there must be one of N and S, and one of E and W, or none of them")
}

var errComma = errors.New("a comma may only part latitude from longitude")

// splitSigned takes two figures without letters, a comma between them or not.
func splitSigned(tokens []positionToken) (latitude, longitude coordinate, err error) {
	var figures []figure
	for i, token := range tokens {
		if token.kind == figureToken {
			figures = append(figures, token.figure)
		} else if i != 1 {
			return latitude, longitude, errComma
		}
	}
	if len(figures) != 2 {
		return latitude, longitude, fmt.Errorf("without N or S and E or W there must be two figures, not %d", len(figures))
	}
	return coordinate{figures: figures[:1]}, coordinate{figures: figures[1:]}, nil
}

var errLetterPlaces = errors.New("the letters must both stand before their figures or both after them")

// splitLettered takes figures with two letters, either before their figures or after.
func splitLettered(tokens []positionToken) (latitude, longitude coordinate, err error) {
	before := tokens[0].kind == letterToken
	if before == (tokens[len(tokens)-1].kind == letterToken) {
		return latitude, longitude, errLetterPlaces
	}
	var halves [2]coordinate
	current := 0
	for i, token := range tokens {
		switch token.kind {
		case letterToken:
			if before && i > 0 {
				current = 1
			}
			if !before && len(halves[current].figures) == 0 {
				return latitude, longitude, errLetterPlaces
			}
			halves[current].letter = token.letter
			if !before && current == 0 {
				current = 1
			}
		case figureToken:
			halves[current].figures = append(halves[current].figures, token.figure)
		case commaToken:
			if !partsHalves(tokens, i, before) {
				return latitude, longitude, errComma
			}
		}
	}
	return halves[0], halves[1], nil
}

// partsHalves reports whether the comma at an index stands between latitude and longitude.
func partsHalves(tokens []positionToken, comma int, lettersBefore bool) bool {
	if comma == 0 || comma == len(tokens)-1 {
		return false
	}
	neighbour := comma - 1
	if lettersBefore {
		neighbour = comma + 1
	}
	return tokens[neighbour].kind == letterToken
}

// positionToken is one piece of a written position: a figure, one of the letters N S E W, or a comma.
type positionToken struct {
	kind   tokenKind
	figure figure
	letter byte
}

type tokenKind int

const (
	figureToken tokenKind = iota
	letterToken
	commaToken
)

// unitMark is the mark for degrees, minutes or seconds that a character of keyboards and typesetters stands for; 0 for none.
func unitMark(r rune) rune {
	switch r {
	case '°', 'º', '˚':
		return '°'
	case '\'', '′', '’', 'ʹ':
		return '\''
	case '"', '″', '”', 'ʺ':
		return '"'
	}
	return 0
}

func positionTokens(text string) ([]positionToken, error) {
	const longest = 100
	if len(text) > longest {
		return nil, errors.New("too long")
	}
	for _, same := range [...][2]string{{"−", "-"}, {"''", `"`}, {"′′", "″"}, {"’’", "”"}} {
		text = strings.ReplaceAll(text, same[0], same[1])
	}
	runes := []rune(text)
	const most = 9 // of a position: two halves of three figures and a letter, and a comma
	tokens := make([]positionToken, 0, most)
	for i := 0; i < len(runes); {
		r := runes[i]
		switch {
		case unicode.IsSpace(r):
			i++
		case r == ',':
			tokens = append(tokens, positionToken{kind: commaToken})
			i++
		case strings.ContainsRune("NSEWnsew", r):
			tokens = append(tokens, positionToken{kind: letterToken, letter: byte(unicode.ToUpper(r))})
			i++
		case unitMark(r) != 0:
			if len(tokens) == 0 || tokens[len(tokens)-1].kind != figureToken || tokens[len(tokens)-1].figure.mark != 0 {
				return nil, fmt.Errorf("%q does not follow a figure", string(r))
			}
			tokens[len(tokens)-1].figure.mark = unitMark(r)
			i++
		default:
			read, next, err := readFigure(runes, i)
			if err != nil {
				return nil, err
			}
			tokens = append(tokens, positionToken{kind: figureToken, figure: read})
			i = next
		}
	}
	if len(tokens) == 0 {
		return nil, errors.New("nothing is written")
	}
	return tokens, nil
}

// readFigure reads a number: a sign or none, digits, and a point with decimals or none.
func readFigure(runes []rune, begin int) (read figure, end int, err error) {
	i := begin
	if runes[i] == '-' || runes[i] == '+' {
		read.sign = string(runes[i])
		i++
	}
	digits := func() string {
		from := i
		for i < len(runes) && runes[i] >= '0' && runes[i] <= '9' {
			i++
		}
		return string(runes[from:i])
	}
	if read.whole = digits(); read.whole == "" {
		return figure{}, 0, fmt.Errorf("%q is not part of a position", string(runes[begin]))
	}
	if i < len(runes) && runes[i] == '.' {
		i++
		read.decimals = "." + digits()
	}
	return read, i, nil
}
