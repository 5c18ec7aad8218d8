package drill

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each answer stands at the end of a line of the working.
func TestTheAnswerEndsTheWorking(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, answer := range e.Answers {
			said := e.Say(answer.Reply)
			require.True(t, slices.ContainsFunc(e.Steps, func(step string) bool { return strings.HasSuffix(step, said) }), "%q ends none of %q", said, e.Steps)
		}
	})
}

// Every line of every working comes out from the figures that stand on the page, rounded to its own last place.
func TestEveryLineComesOutAsPrinted(t *testing.T) {
	eachExercise(t, func(t *testing.T, e Exercise) {
		for _, step := range e.Steps {
			parts := strings.Split(step, " = ")
			parts[0] = parts[0][strings.LastIndex(parts[0], ": ")+1:]
			for i, left := range parts[:len(parts)-1] {
				shown, _, _ := strings.Cut(parts[i+1], ", ")
				off := evaluate(left) - literal(shown, strings.HasSuffix(shown, " h"))
				place := 1.0
				if match := decimals.FindStringSubmatch(shown); match != nil {
					place = math.Pow(10, -float64(len(match[1])))
				}
				switch {
				case strings.Contains(step, "Z"):
					off, place = math.Remainder(off, 1440), 1.0/60
				case strings.Contains(shown, ":"):
					place = 1.0 / 60
				case math.Abs(off) > 180:
					off = math.Remainder(off, 360)
				}
				require.LessOrEqual(t, math.Abs(off), place/2+1e-6, "%q of %q", step, e.Steps)
			}
		}
	})
}

var decimals = regexp.MustCompile(`\.(\d+)`)

var token = regexp.MustCompile(`\d+:\d\d:\d\dZ?|\d+:\d\dZ?|\d+ h \d\d|\d+(?:\.\d+)?(?: h\b)?|asin|atan|sin|cos|tan|root|[-+×/()]`)

// perUnit are units with a stroke in them, which is no division.
var perUnit = regexp.MustCompile(`[a-zA-Z]+/(h|min)\b`)

// evaluate reckons an expression; words and units are passed over. Times are minutes, angles degrees.
func evaluate(text string) float64 {
	r := &reader{tokens: token.FindAllString(perUnit.ReplaceAllString(text, ""), -1)}
	return r.sum()
}

// literal is one figure as it stands.
func literal(text string, inHours bool) float64 {
	value := evaluate(text)
	if inHours {
		return value / 60
	}
	return value
}

type reader struct{ tokens []string }

func (r *reader) peek() string {
	if len(r.tokens) == 0 {
		return ""
	}
	return r.tokens[0]
}

func (r *reader) next() string {
	first := r.peek()
	if first != "" {
		r.tokens = r.tokens[1:]
	}
	return first
}

func (r *reader) sum() float64 {
	value := r.product()
	for r.peek() == "+" || r.peek() == "-" {
		if r.next() == "+" {
			value += r.product()
		} else {
			value -= r.product()
		}
	}
	return value
}

func (r *reader) product() float64 {
	value := r.factor()
	for r.peek() == "×" || r.peek() == "/" {
		if r.next() == "×" {
			value *= r.factor()
		} else {
			value /= r.factor()
		}
	}
	return value
}

func (r *reader) factor() float64 {
	switch next := r.next(); next {
	case "-":
		return -r.factor()
	case "(":
		value := r.sum()
		r.next()
		return value
	case "sin":
		return sinOf(r.factor())
	case "cos":
		return cosOf(r.factor())
	case "tan":
		angle := r.factor()
		return sinOf(angle) / cosOf(angle)
	case "asin":
		return arc(math.Asin(r.factor()))
	case "atan":
		return arc(math.Atan(r.factor()))
	case "root":
		return math.Sqrt(r.factor())
	default:
		return figureOf(next)
	}
}

func figureOf(text string) float64 {
	number := func(text string) float64 {
		value, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return math.NaN()
		}
		return value
	}
	if hours, minutes, ok := strings.Cut(text, " h "); ok {
		return 60*number(hours) + number(minutes)
	}
	if hours, ok := strings.CutSuffix(text, " h"); ok {
		return 60 * number(hours)
	}
	ofDay := strings.HasSuffix(text, "Z")
	parts := strings.Split(strings.TrimSuffix(text, "Z"), ":")
	switch {
	case len(parts) == 3:
		return 60*number(parts[0]) + number(parts[1]) + number(parts[2])/60
	case len(parts) == 2 && ofDay:
		return 60*number(parts[0]) + number(parts[1])
	case len(parts) == 2:
		return number(parts[0]) + number(parts[1])/60
	}
	return number(text)
}

func TestEvaluate(t *testing.T) {
	for text, want := range map[string]float64{
		"60 × 11.5 / 94":                60 * 11.5 / 94,
		"104 × cos(60) - (-13.0)":       65,
		"root(3 × 3 + 4 × 4)":           5,
		"asin(10 / 20) + atan(1)":       75,
		"10:57:40Z + 7:20":              665,
		"2 h 05":                        125,
		"2.5 h":                         150,
		"355 + 20 - 360":                15,
		"90 / root(density ratio 0.81)": 100,
	} {
		assert.InDelta(t, want, evaluate(text), 1e-9, text)
	}
	assert.True(t, math.IsNaN(evaluate("nothing")))
}

// A groundspeed in flight that lies at half a knot, of which minutes as printed fall on one side: every one that there is comes out as printed.
func TestSpeedsAtHalfAKnotComeOutAsPrinted(t *testing.T) {
	first, ties := time.Date(2026, 6, 20, 6, 0, 0, 0, time.UTC), 0
	for tenths := 30; tenths <= 250; tenths++ {
		for seconds := 180; seconds <= 1500; seconds++ {
			if doubled := 720 * tenths; doubled%seconds != 0 || doubled/seconds%2 == 0 {
				continue
			}
			ties++
			e := GroundspeedInFlight(Stretch{From: "JNC", To: "DAM", DistanceNM: float64(tenths) / 10, First: first, Second: first.Add(time.Duration(seconds) * time.Second)})
			require.True(t, comeOut(e.Steps), "%q", e.Steps)
		}
	}
	require.Greater(t, ties, 100)
}
