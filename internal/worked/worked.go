// Package worked writes the lines of a working, and reads them as a student does.
//
// It knows nothing of what a sum is about. A line is "label: 60 × 11.5 / 7.33 = 94.09 kt": its figures have the decimals with which it comes
// out for whoever reckons it through as it stands. Whatever stands between two "=" has to be the next, rounded to its last place. Degrees stand in
// sin, cos, tan, asin, acos and atan, "root" is the square root, 7:20 is minutes and seconds, 10:42:30Z a time of day; words and units
// are passed over, and directions count round the circle.
//
// The sums write their workings so; the drill does too, and draws figures with which the usual decimals do.
package worked

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.com/legclock/internal/pattern"
)

// Recompute reckons a line from the figures as they stand on the page, as whoever reads it does: what follows an "=" has to be what
// stands before it, rounded to its own last place.
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

// expression is what stands beside an "=".
type expression struct {
	tokens  []string
	figures []float64
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

// figureOf reads a number, a span or a time of day, in minutes.
func figureOf(text string) float64 {
	plain, ofDay := strings.CutSuffix(text, "Z")
	parts := strings.Split(plain, ":")
	if len(parts) == 1 {
		value, _ := strconv.ParseFloat(plain, 64) // digits and a point
		return value
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
	return value
}

// lastPlace is the unit of the last place of a figure; a second for times.
func lastPlace(text string) float64 {
	if strings.Contains(text, ":") {
		return 1.0 / 60
	}
	_, decimals, _ := strings.Cut(text, ".")
	return math.Pow(10, -float64(len(decimals)))
}

// value is what the expression comes to.
func (e expression) value() float64 {
	r := &reader{tokens: e.tokens, values: e.figures}
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
