package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"example.com/legclock/internal/earth"
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
		if wrong.mend == "" {
			wrong.mend = q.advice()
		}
		v.fail(wrong.text, wrong.mend)
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

const positionMend = `[56.1234, -4.5678] or "N56 22.4 W003 51.7"`

// position reads a place: [latitude, longitude] in degrees, or a text as pilots write it.
func (v value) position() (at earth.Position, ok bool) {
	text, isPair := "", v.node.Content != nil
	if isPair {
		pair, isList := v.items(positionMend)
		if !isList {
			return at, false
		}
		if len(pair) != 2 {
			v.fail(fmt.Sprintf("a position is two values, latitude and longitude; here are %d", len(pair)), positionMend)
			return at, false
		}
		at.Lat = pair[0].number(quantity{unit: "degrees", low: -90, high: 90, because: "the latitude comes first, north positive"})
		at.Lon = pair[1].number(quantity{unit: "degrees", low: -180, high: 180, because: "the longitude comes second, east positive"})
		return at, at.Valid()
	}
	if text, ok = v.scalar(positionMend); !ok {
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

// tellNumber is tell for a number. Its bounds are put into words only where somebody listens: a plan has hundreds of numbers.
func (o *object) tellNumber(key string, q quantity, need func() string) {
	if o.learn != nil {
		o.tell(key, "number", q.bounds(), need())
	}
}

func always(need string) func() string { return func() string { return need } }

func (o *object) number(key string, q quantity) float64 {
	o.tellNumber(key, q, always(required))
	v, ok := o.get(key)
	if !ok {
		o.missing(key, q.advice())
		return math.NaN()
	}
	return v.number(q)
}

// numberOr takes a default, and says so, where the key is not given.
func (o *object) numberOr(key string, q quantity, otherwise float64) float64 {
	o.tellNumber(key, q, func() string { return "default " + formatNumber(otherwise) })
	v, ok := o.get(key)
	if !ok {
		o.assumed(key, strings.TrimSpace(formatNumber(otherwise)+" "+q.unit)+" is used")
		return otherwise
	}
	return v.number(q)
}

func (o *object) numberIfGiven(key string, q quantity) *float64 {
	o.tellNumber(key, q, always(optional))
	v, ok := o.get(key)
	if !ok {
		return nil
	}
	number := v.number(q)
	return &number
}

func (o *object) text(key, wanted string) string {
	o.tell(key, "text", "", required)
	v, ok := o.get(key)
	if !ok {
		o.missing(key, wanted)
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
	o.tell(key, "word", strings.Join(words, ", "), required)
	v, ok := o.get(key)
	if !ok {
		o.missing(key, oneOf(words))
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
	v, ok := o.get(key)
	if !ok {
		o.missing(key, wanted)
		return &object{value: value{reader: o.reader, file: o.file, path: o.join(key), node: o.node}}, false
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
	v, ok := o.get(key)
	if !ok {
		o.missing(key, wanted)
		return true
	}
	text, ok := v.scalar(wanted)
	if ok && text != "1" {
		v.fail(fmt.Sprintf("version %q is not known", text), fmt.Sprintf("this program reads %s: 1", key))
		return false
	}
	return true
}
