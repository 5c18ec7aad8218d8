// Package worked reads the lines of a working as a student does, and says where one does not come out.
//
// It knows nothing of what a sum is about. A line is "label: 60 × 11.5 / 7.33 = 94.09 kt"; whatever stands between two "=" is
// reckoned and has to agree with the next, within what the rounding of every figure shown allows and no more. Degrees stand in sin,
// cos, tan, asin, acos and atan, "root" is the square root, 7:20 is minutes and seconds, 10:42:30Z a time of day; words and units are
// passed over, and what ends in ° counts round the circle.
//
// Tests check with it; the drill draws figures whose workings come out as they are printed.
package worked

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/legclock/internal/pattern"
)

// Check reckons a line through. A line without "=" has nothing to reckon.
func Check(line string) error {
	parts := strings.Split(line, " = ")
	if len(parts) == 1 {
		return nil
	}
	parts[0] = parts[0][strings.LastIndex(parts[0], ": ")+1:]
	for i := 1; i < len(parts); i++ {
		left, err := reckon(parts[i-1])
		if err != nil {
			return fmt.Errorf("%q: %w", line, err)
		}
		right, err := reckon(parts[i])
		if err != nil {
			return fmt.Errorf("%q: %w", line, err)
		}
		if !left.meets(right, strings.Contains(parts[i], "°")) {
			return fmt.Errorf("%q: %s lies from %.6g to %.6g, not at %s", line, strings.TrimSpace(parts[i-1]), left.low, left.high, parts[i])
		}
	}
	return nil
}

// Recompute reckons a line from the figures as they stand on the page, as whoever reads it does: what follows an "=" has to be what
// stands before it, rounded to its own last place. Check is for figures that were rounded on the way.
func Recompute(line string) error {
	parts := strings.Split(hoursAndMinutes().ReplaceAllStringFunc(line, inMinutes), " = ")
	parts[0] = parts[0][strings.LastIndex(parts[0], ": ")+1:]
	for i := 1; i < len(parts); i++ {
		left, right := parse(parts[i-1]), parse(parts[i])
		if len(left.figures) == 0 || len(right.figures) == 0 {
			return fmt.Errorf("%q: there is no figure beside an \"=\"", line)
		}
		off := left.value() - right.value()
		switch {
		case strings.Contains(line, "Z"):
			off = math.Remainder(off, 24*60)
		case math.Abs(off) > 180:
			off = math.Remainder(off, 360) // a direction
		}
		if !(math.Abs(off) <= right.place/2+1e-6) {
			return fmt.Errorf("%q: %s is %.6g, not %s", line, strings.TrimSpace(parts[i-1]), left.value(), parts[i])
		}
	}
	return nil
}

var hoursAndMinutes = pattern.Of(`\d+ h \d\d( min)?`)

func inMinutes(text string) string {
	var hours, minutes int
	fmt.Sscanf(text, "%d h %d", &hours, &minutes) //nolint:errcheck // it is of that form
	return fmt.Sprintf("%d min", 60*hours+minutes)
}

// bounds are where a value lies when every figure in it is rounded.
type bounds struct{ low, high float64 }

func (b bounds) meets(other bounds, circular bool) bool {
	if math.IsInf(b.high-b.low, 0) {
		return true
	}
	shift := 0.0
	if circular {
		shift = 360 * math.Round(((b.low+b.high)-(other.low+other.high))/720)
	}
	slack := 1e-6 * math.Max(1, math.Abs(b.high))
	return b.low-slack <= other.high+shift && other.low+shift <= b.high+slack
}

// reckon finds the bounds of an expression from all ways to round its figures: every sum here is steady in each of its figures, so
// that the extremes lie at the corners.
func reckon(text string) (bounds, error) {
	e := parse(text)
	if len(e.figures) == 0 {
		return bounds{}, fmt.Errorf("there is no figure in %q", text)
	}
	if len(e.figures) > 12 {
		return bounds{}, fmt.Errorf("there are too many figures in %q", text)
	}
	b := bounds{math.Inf(1), math.Inf(-1)}
	values := make([]float64, len(e.figures))
	for corner := range 1 << len(e.figures) {
		for i, f := range e.figures {
			values[i] = f.value + f.rounding*float64(corner>>i&1*2-1)
		}
		if value := e.at(values); !math.IsNaN(value) {
			b.low, b.high = min(b.low, value), max(b.high, value)
		}
	}
	if b.low > b.high {
		return b, fmt.Errorf("%q has no value", text)
	}
	return b, nil
}

// figure is a number as it stands, and how far it may have been rounded.
type figure struct{ value, rounding float64 }

// expression is an expression whose figures can be moved.
type expression struct {
	tokens  []string
	figures []figure
	place   float64 // the unit of the last place of its first figure
}

var token = pattern.Of(`\d+(?::\d\d)+Z?|\d+(?:\.\d+)?|asin|acos|atan|\bsin\b|\bcos\b|\btan\b|root|[-+×/()]|[\pL°²%]+`)

func parse(text string) expression {
	var e expression
	all := token().FindAllString(strings.ReplaceAll(text, "ft/min", ""), -1)
	for i, one := range all {
		switch {
		case one[0] >= '0' && one[0] <= '9':
			if len(e.figures) == 0 {
				e.place = lastPlace(one)
			}
			e.tokens = append(e.tokens, "#")
			e.figures = append(e.figures, figureOf(one))
		case strings.Contains(" asin acos atan sin cos tan root ", " "+one+" ") || strings.Contains("-+×/()", one):
			if one == "/" && (i+1 == len(all) || all[i+1] == "h") { // a unit's stroke
				continue
			}
			e.tokens = append(e.tokens, one)
		}
	}
	return e
}

// figureOf reads a number, a span or a time of day. Numbers are shown with two decimals, those below one with four unless they are
// directions, which have three digits before the point; times to the second.
func figureOf(text string) figure {
	const second = 1.0 / 60
	plain, ofDay := strings.CutSuffix(text, "Z")
	parts := strings.Split(plain, ":")
	if len(parts) == 1 {
		value, _ := strconv.ParseFloat(text, 64) // digits and a point
		if value < 1 && !strings.HasPrefix(text, "00") {
			return figure{value, 0.00005}
		}
		return figure{value, 0.005}
	}
	unit, value := 1.0, 0.0
	if len(parts) == 3 || ofDay {
		unit = 60
	}
	for _, part := range parts {
		amount, _ := strconv.ParseFloat(part, 64) // digits
		value += amount * unit
		unit /= 60
	}
	return figure{value, second / 2}
}

// lastPlace is the unit of the last place of a figure; a second for times.
func lastPlace(text string) float64 {
	if strings.Contains(text, ":") {
		return 1.0 / 60
	}
	_, decimals, _ := strings.Cut(text, ".")
	return math.Pow(10, -float64(len(decimals)))
}

// value is that of the figures as they stand.
func (e expression) value() float64 {
	values := make([]float64, len(e.figures))
	for i, f := range e.figures {
		values[i] = f.value
	}
	return e.at(values)
}

// at is the value of an expression for figures of one's own.
func (e expression) at(values []float64) float64 {
	r := &reader{tokens: e.tokens, values: values}
	return r.sum()
}

type reader struct {
	tokens []string
	values []float64
}

func (r *reader) take(tokens string) string {
	if len(r.tokens) == 0 || !strings.Contains(tokens, r.tokens[0]) {
		return ""
	}
	first := r.tokens[0]
	r.tokens = r.tokens[1:]
	return first
}

func (r *reader) sum() float64 {
	value := r.product()
	for {
		switch r.take("+-") {
		case "+":
			value += r.product()
		case "-":
			value -= r.product()
		default:
			return value
		}
	}
}

func (r *reader) product() float64 {
	value := r.factor()
	for {
		switch r.take("×/") {
		case "×":
			value *= r.factor()
		case "/":
			value /= r.factor()
		default:
			return value
		}
	}
}

func (r *reader) factor() float64 {
	if len(r.tokens) == 0 {
		return math.NaN()
	}
	first := r.tokens[0]
	r.tokens = r.tokens[1:]
	switch first {
	case "-":
		return -r.factor()
	case "(":
		value := r.sum()
		r.take(")")
		return value
	case "#":
		value := r.values[0]
		r.values = r.values[1:]
		return value
	}
	return apply(first, r.factor())
}

func apply(function string, of float64) float64 {
	const degree = math.Pi / 180
	switch function {
	case "sin":
		return math.Sin(of * degree)
	case "cos":
		return math.Cos(of * degree)
	case "tan":
		return math.Tan(of * degree)
	case "asin":
		return math.Asin(of) / degree
	case "acos":
		return math.Acos(of) / degree
	case "atan":
		return math.Atan(of) / degree
	case "root":
		return math.Sqrt(of)
	}
	return math.NaN()
}
