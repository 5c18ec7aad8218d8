package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
)

// quantity says what a number means and between which bounds, themselves included, it makes sense.
type quantity struct {
	unit      string
	low, high float64
	above     bool   // the low bound itself is not allowed
	because   string // what sets the bounds, where that is not plain
}

// bounds is the range as advice: "870 to 1085 hPa".
func (q quantity) bounds() string {
	text := fmt.Sprintf("%s to %s", formatNumber(q.low), formatNumber(q.high))
	if q.above {
		text = fmt.Sprintf("above %s, up to %s", formatNumber(q.low), formatNumber(q.high))
	}
	if q.unit != "" {
		text += " " + q.unit
	}
	return text
}

func (q quantity) advice() string {
	if q.because == "" {
		return q.bounds()
	}
	return q.bounds() + ": " + q.because
}

func (q quantity) holds(number float64) bool {
	return number >= q.low && number <= q.high && !(q.above && number == q.low)
}

// number reads a number; NaN stands for one that could not be read, with which no later check finds fault again.
func (v value) number(q quantity) float64 {
	text, ok := v.plainScalar()
	if !ok {
		v.scalar(q.advice()) // says what stands there instead
		return math.NaN()
	}
	number, wrong := parseNumber(text)
	switch {
	case wrong != nil:
		if wrong.hint == "" {
			wrong.hint = q.advice()
		}
		v.fail(wrong.text, wrong.hint)
		return math.NaN()
	case !q.holds(number):
		v.fail(fmt.Sprintf("%s is out of range", text), q.advice())
		return math.NaN()
	}
	return number
}

// longestName is longer than any name that fits on a line of the screen.
const longestName = 200

// name reads a text that will be shown on one line.
func (v value) name(wanted string) string {
	text, ok := v.scalar(wanted)
	switch {
	case !ok:
		return ""
	case text == "":
		v.fail("the text is empty", wanted)
	case len(text) > longestName:
		v.fail(fmt.Sprintf("the text is too long: %d bytes", len(text)), fmt.Sprintf("at most %d", longestName))
	case strings.ContainsFunc(text, func(c rune) bool { return !unicode.IsPrint(c) }):
		v.fail("the text has a line break or another control character in it", "one line of plain text")
	default:
		return text
	}
	return ""
}

// choice reads one word of a few.
func (v value) choice(words ...string) string {
	text, ok := v.plainScalar()
	if !ok {
		text, _ = v.scalar(oneOf(words))
		return text
	}
	if slices.Contains(words, text) {
		return text
	}
	v.fail(fmt.Sprintf("%s is not known here", v.is()), meant(text, words))
	return ""
}

const positionHint = `[56.1234, -4.5678] or "N56 22.4 W003 51.7"`

// position reads a place: [latitude, longitude] in degrees, or a text as pilots write it.
func (v value) position() (at earth.Position, ok bool) {
	text, isPair := "", v.node.Content != nil
	if isPair {
		pair, isList := v.items(positionHint)
		if !isList {
			return at, false
		}
		if len(pair) != 2 {
			v.fail(fmt.Sprintf("a position is two values, latitude and longitude; here are %d", len(pair)), positionHint)
			return at, false
		}
		at.Lat = pair[0].number(quantity{unit: "degrees", low: -90, high: 90, because: "the latitude comes first, north positive"})
		at.Lon = pair[1].number(quantity{unit: "degrees", low: -180, high: 180, because: "the longitude comes second, east positive"})
		return at, at.Valid()
	}
	if text, ok = v.scalar(positionHint); !ok {
		return at, false
	}
	at, err := earth.ParsePosition(text)
	if err != nil {
		v.fail(err.Error(), "")
		return at, false
	}
	return at, true
}

// need says whether a key must be given.
const (
	required = "required"
	optional = "optional"
)

// fact is what the reader knows of one key; the documentation is checked against them.
type fact struct {
	path   string // with [] for an index: route.legs[].to
	what   string // "number", "text", "list", …
	bounds string
	need   string // required, optional or "default …"
}

func (o *object) tell(key, what, bounds, need string) {
	if o.learn != nil {
		o.learn(fact{o.join(key), what, bounds, need})
	}
}

// tellWorded is tell for bounds and a need that are put into words only where somebody listens: a plan has hundreds of values.
func (o *object) tellWorded(key, what string, bounds, need func() string) {
	if o.learn != nil {
		o.tell(key, what, bounds(), need())
	}
}

func always(text string) func() string { return func() string { return text } }

func (o *object) number(key string, q quantity) float64 {
	o.tellWorded(key, "number", q.bounds, always(required))
	v, ok := o.need(key, q.advice())
	if !ok {
		return math.NaN()
	}
	return v.number(q)
}

// numberOr takes a default, and says so, where the key is not given.
func (o *object) numberOr(key string, q quantity, otherwise float64) float64 {
	o.tellWorded(key, "number", q.bounds, func() string { return "default " + formatNumber(otherwise) })
	v, ok := o.get(key)
	if !ok {
		o.assumed(key, strings.TrimSpace(formatNumber(otherwise)+" "+q.unit)+" is used")
		return otherwise
	}
	return v.number(q)
}

func (o *object) numberIfGiven(key string, q quantity) *float64 {
	o.tellWorded(key, "number", q.bounds, always(optional))
	v, ok := o.get(key)
	if !ok {
		return nil
	}
	number := v.number(q)
	return &number
}

// eastIfGiven reads a variation or a station declination: with its letter, or as a number that is positive to the east.
func (o *object) eastIfGiven(key string) *float64 {
	o.tellWorded(key, "angle", func() string { return eastward.bounds() + ", or 180W to 180E" }, always(optional))
	v, ok := o.get(key)
	if !ok {
		return nil
	}
	degrees := math.NaN()
	if text, ok := v.scalar("3W, 0.5E or -3, east being positive"); ok {
		var wrong *say.Misread
		read, err := say.ParseEast(text)
		if errors.As(err, &wrong) {
			v.fail(wrong.Fault(), wrong.Right)
		} else {
			degrees = read
		}
	}
	return &degrees
}

func (o *object) text(key, wanted string) string {
	o.tell(key, "text", "", required)
	v, ok := o.need(key, wanted)
	if !ok {
		return ""
	}
	return v.name(wanted)
}

func (o *object) textIfGiven(key, wanted string) string {
	o.tell(key, "text", "", optional)
	v, ok := o.get(key)
	if !ok {
		return ""
	}
	return v.name(wanted)
}

func (o *object) choice(key string, words ...string) string {
	o.tellWorded(key, "word", func() string { return strings.Join(words, ", ") }, always(required))
	v, ok := o.need(key, oneOf(words))
	if !ok {
		return ""
	}
	return v.choice(words...)
}

// list reads a list of at least so many values.
func (o *object) list(key string, atLeast int, wanted string) []value {
	need := required
	if atLeast == 0 {
		need = optional
	}
	o.tell(key, "list", "", need)
	v, ok := o.get(key)
	if !ok {
		if atLeast > 0 {
			o.missing(key, wanted)
		}
		return nil
	}
	items, ok := v.items(wanted)
	if ok && len(items) < atLeast {
		v.fail(fmt.Sprintf("the list needs %d of them and has %d", atLeast, len(items)), wanted)
	}
	return items
}

// names reads a list of names.
func (o *object) names(key string, wanted string) []string {
	var names []string
	for _, item := range o.list(key, 0, wanted) {
		if name := item.name(wanted); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// group opens the group of keys below a key; where it is missing or is none, which is reported, it is empty and ok is false.
func (o *object) group(key, wanted string) (inner *object, ok bool) {
	o.tell(key, "group", "", required)
	v, ok := o.need(key, wanted)
	if !ok {
		return &object{value: o.value}, false
	}
	return v.object(wanted)
}

// groupIfGiven is group for one that may be missing.
func (o *object) groupIfGiven(key, wanted string) (inner *object, ok bool) {
	o.tell(key, "group", "", optional)
	v, ok := o.get(key)
	if !ok {
		return nil, false
	}
	return v.object(wanted)
}

// version reads the first key of a file; ok is false where the file is of another version, whose keys are not known.
func (o *object) version(key string) (ok bool) {
	wanted := fmt.Sprintf("begin the file with %s: 1", key)
	o.tell(key, "number", "1", required)
	v, ok := o.need(key, wanted)
	if !ok {
		return true
	}
	text, ok := v.scalar(wanted)
	if ok && text != "1" {
		v.fail(fmt.Sprintf("version %q is not known", text), fmt.Sprintf("this program reads %s: 1", key))
		return false
	}
	return true
}

// misread says why a text is not what was asked for and what would be right.
type misread struct{ text, hint string }

var (
	basedNumber    = pattern.Of(`^[+-]?0[xXoObB][0-9a-fA-F_]+$`)
	groupedNumber  = pattern.Of(`^[+-]?[\d_]+(\.[\d_]+)?$`)
	exponentNumber = pattern.Of(`^[+-]?[\d.]+[eE][+-]?\d{1,2}$`)
	unitNumber     = pattern.Of(`^([+-]?(?:\d+(?:\.\d*)?|\.\d+))\s*[\pL°'"%/]+$`)
	bareTime       = pattern.Of(`^(\d{2})(\d{2})Z?$`)
)

// parseNumber reads a number as a pilot types it: decimal, with or without leading zeros. YAML's other ways to write a number
// (octal, hexadecimal, underscores, exponents) are refused, since 045 would otherwise be 37.
func parseNumber(text string) (float64, *misread) {
	if isPlainNumber(text) {
		number, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsInf(number, 0) {
			return math.NaN(), &misread{"the number is too large", ""}
		}
		return number + 0, nil // -0 becomes 0
	}
	return math.NaN(), whyNotANumber(text)
}

// isPlainNumber reports whether a text is digits with at most one sign before and one point among them.
func isPlainNumber(text string) bool {
	digits, points := 0, 0
	for i := range len(text) {
		switch b := text[i]; {
		case b >= '0' && b <= '9':
			digits++
		case b == '.':
			points++
		case i == 0 && (b == '+' || b == '-'):
		default:
			return false
		}
	}
	return digits > 0 && points <= 1
}

// isDigits reports whether a text is one digit or more and nothing else.
func isDigits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

func whyNotANumber(text string) *misread {
	switch {
	case basedNumber().MatchString(text):
		return &misread{fmt.Sprintf("%q is not a decimal number", text), "write it with the digits 0 to 9 alone"}
	case groupedNumber().MatchString(text):
		return &misread{
			fmt.Sprintf("%q has underscores in it", text),
			fmt.Sprintf("write %s", strings.ReplaceAll(text, "_", "")),
		}
	case say.HasComma(text):
		return &misread{fmt.Sprintf("%q has a comma in it", text), say.WithoutComma(text)}
	case exponentNumber().MatchString(text):
		return &misread{fmt.Sprintf("%q has an exponent", text), "write the number out in full"}
	}
	if parts := unitNumber().FindStringSubmatch(text); parts != nil {
		return &misread{fmt.Sprintf("%q has a unit in it", text), fmt.Sprintf("write %s alone", parts[1])}
	}
	return &misread{fmt.Sprintf("%q is not a number", text), ""}
}

// formatNumber writes a number as a plan file would have it.
func formatNumber(number float64) string { return strconv.FormatFloat(number, 'f', -1, 64) }

// parseClock reads a time of day in UTC, "09:10" or "09:10:30", as the time since midnight.
func parseClock(text string) (time.Duration, *misread) {
	parts := strings.Split(strings.TrimSuffix(text, "Z"), ":")
	wellFormed := len(parts) == 2 || len(parts) == 3
	for i, part := range parts {
		wellFormed = wellFormed && isDigits(part) && (len(part) == 2 || len(part) == 1 && i == 0)
	}
	if !wellFormed {
		hint := `hours and minutes, UTC: "09:10" or "09:10:30"`
		if bare := bareTime().FindStringSubmatch(text); bare != nil {
			hint = fmt.Sprintf("write \"%s:%s\"", bare[1], bare[2])
		}
		return 0, &misread{fmt.Sprintf("%q is not a time", text), hint}
	}
	var fields [3]int
	for i, part := range parts {
		fields[i], _ = strconv.Atoi(part) // two digits at most
	}
	if fields[0] > 23 || fields[1] > 59 || fields[2] > 59 {
		return 0, &misread{fmt.Sprintf("there is no time %s", text), "00:00 to 23:59:59"}
	}
	return time.Duration(fields[0])*time.Hour + time.Duration(fields[1])*time.Minute + time.Duration(fields[2])*time.Second, nil
}

// parseDate reads a calendar date, "2026-06-14".
func parseDate(text string) (time.Time, *misread) {
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, &misread{fmt.Sprintf("%q is not a date", text), "year-month-day: 2026-06-14"}
	}
	return date, nil
}

const levelHint = "4000, feet above sea level, or FL065, a flight level"

// parseLevel reads a level: feet above sea level, or a flight level with two or three digits.
func parseLevel(text string) (Level, *misread) {
	if digits, ok := flightLevel(text); ok {
		hundreds, _ := strconv.Atoi(digits) // two or three
		if hundreds == 0 {
			return Level{AltitudeFt: math.NaN()}, &misread{"there is no flight level 0", levelHint}
		}
		return Level{FlightLevel: hundreds}, nil
	}
	altitude, wrong := parseNumber(text)
	if wrong != nil && wrong.hint == "" {
		wrong.hint = levelHint
	}
	return Level{AltitudeFt: altitude}, wrong
}

// flightLevel is the digits of a flight level, "FL065" or "fl 65".
func flightLevel(text string) (digits string, ok bool) {
	if len(text) < 2 || !strings.EqualFold(text[:2], "FL") {
		return "", false
	}
	digits = strings.TrimPrefix(text[2:], " ")
	return digits, isDigits(digits) && (len(digits) == 2 || len(digits) == 3)
}

// nearest returns the known word that a misspelt one most likely means, by the number of letters put in, left out, changed or
// swapped, capitals and small letters being the same; empty when none is near enough to be meant.
func nearest(word string, known []string) string {
	word = strings.ToLower(word)
	farthest := max(1, len([]rune(word))/3)
	best, bestDistance := "", math.Inf(1)
	for _, candidate := range known {
		letters := strings.ToLower(candidate)
		distance := float64(editDistance(word, letters))
		if distance > float64(farthest) {
			continue
		}
		if sameLetters(word, letters) { // of two as near, the one with its letters only shuffled
			distance -= 0.5
		}
		if distance < bestDistance {
			best, bestDistance = candidate, distance
		}
	}
	return best
}

func sameLetters(a, b string) bool {
	return slices.Equal(slices.Sorted(slices.Values([]rune(a))), slices.Sorted(slices.Values([]rune(b))))
}

// editDistance counts the letters to put in, leave out, change or swap with a neighbour that make one word of another
// (optimal string alignment).
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	beforeLast, last, row := make([]int, len(to)+1), make([]int, len(to)+1), make([]int, len(to)+1)
	for j := range last {
		last[j] = j
	}
	for i := range from {
		row[0] = i + 1
		for j := range to {
			change := last[j]
			if from[i] != to[j] {
				change++
			}
			row[j+1] = min(change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && from[i] == to[j-1] && from[i-1] == to[j] {
				row[j+1] = min(row[j+1], beforeLast[j-1]+1)
			}
		}
		beforeLast, last, row = last, row, beforeLast
	}
	return last[len(to)]
}

const mostNames = 18 // as many as can be read in one line

// meant is the advice on a name that is not known: the nearest one, else the names there are.
func meant(word string, known []string) string {
	if candidate := nearest(word, known); candidate != "" {
		return fmt.Sprintf("did you mean %q?", candidate)
	}
	return oneOf(known)
}

// oneOf lists what would be right.
func oneOf(known []string) string {
	switch {
	case len(known) == 0:
		return ""
	case len(known) == 1:
		return fmt.Sprintf("only %q", known[0])
	case len(known) > mostNames:
		return fmt.Sprintf("there are %s and %d more", strings.Join(known[:mostNames], ", "), len(known)-mostNames)
	}
	return "one of " + strings.Join(known, ", ")
}
