package worked

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/say"
)

// Lines is a working as it is written, line by line. A figure that stands in several of them has the same decimals in all.
type Lines struct {
	lines    []line
	decimals map[key]set  // of figures that do not have the usual ones
	found    map[key]bool // figures that stood behind an "="
}

// line is a line with a %s for each of its figures, and which of these were found in it or above it: the others were given.
type line struct {
	format  string
	figures []any
	found   []bool
}

// set is how a figure is written that is found: with so many decimals, noughts at the end or not.
type set struct {
	decimals int
	noughts  bool
}

// key is by what a figure is known again in another line: a heading of 003.7 is not the angle of 3.7 that led to it.
type key struct {
	size      float64 // without its sign, and without what binary fractions leave of it
	direction bool
}

func keyOf(value float64, direction bool) key {
	return key{math.Round(math.Abs(value) * 1e9), direction}
}

func (f Figure) key() key { return keyOf(f.value, f.direction) }

// equals is how many "=" a line has.
func (l line) equals() int {
	n := strings.Count(l.format, equals)
	for _, figure := range l.figures {
		if _, ok := figure.(Figure); !ok {
			n += strings.Count(fmt.Sprint(figure), equals)
		}
	}
	return n
}

// each calls visit for each of a line's figures with what stands before it and how many "=" follow, and returns what stands behind the last.
func (l line) each(visit func(i int, before string, following int)) (rest string) {
	following, rest := l.equals(), l.format
	for i, figure := range l.figures {
		before, after, _ := strings.Cut(rest, "%s")
		following -= strings.Count(before, equals)
		rest = after
		visit(i, before, following)
		if _, ok := figure.(Figure); !ok {
			following -= strings.Count(fmt.Sprint(figure), equals)
		}
	}
	return rest
}

// Line adds a line, unless it divides by a figure that is too small to be shown. Its figures are those made here, and texts.
func (l *Lines) Line(format string, figures ...any) {
	added := line{format, figures, make([]bool, len(figures))}
	if text := l.spelled(added, nil, 0); strings.Contains(text, "/ 0 ") || strings.Contains(text, "/ 0)") {
		return
	}
	if l.found == nil {
		l.found = map[key]bool{}
	}
	behind := added.equals()
	added.each(func(i int, _ string, following int) {
		if f, ok := figures[i].(Figure); ok {
			added.found[i] = following < behind || l.found[f.key()]
			l.found[f.key()] = added.found[i]
		}
	})
	l.lines = append(l.lines, added)
}

// Add goes on with the lines of another working.
func (l *Lines) Add(other Lines) {
	for of, as := range other.decimals {
		l.set(as, of)
	}
	for _, line := range other.lines {
		l.Line(line.format, line.figures...)
	}
}

// Decimals gives figures that are found so many decimals, noughts too behind the "=", whatever their sign and wherever they stand. Those that
// were given are written as they are, and so are directions.
func (l *Lines) Decimals(decimals int, figures ...float64) {
	for _, value := range figures {
		l.set(set{decimals, true}, keyOf(value, false))
	}
}

// WholeDirections writes directions that are found to the degree.
func (l *Lines) WholeDirections(degrees ...float64) {
	for _, value := range degrees {
		l.set(set{0, true}, keyOf(value, true))
	}
}

// UpTo is Decimals without noughts at the end.
func (l *Lines) UpTo(decimals int, figures ...float64) {
	for _, value := range figures {
		l.set(set{decimals, false}, keyOf(value, false))
	}
}

func (l *Lines) set(as set, of key) {
	if l.decimals == nil {
		l.decimals = map[key]set{}
	}
	l.decimals[of] = as
}

// Plain are the lines with the decimals that their figures usually have.
func (l *Lines) Plain() []string { return l.all(nil) }

const (
	equals     = " = "
	mostPlaces = 9 // more decimals than usual that a figure may get
	mostPasses = 4 // over the lines, for what one of them needs may change what another does
)

// Text are the lines with as few decimals as usual, and more where they are needed: whoever reckons a line through from the figures that
// stand in it comes to what stands behind its "=".
func (l *Lines) Text() []string {
	more := map[key]int{}
	for range mostPasses {
		settled := true
		for i := len(l.lines) - 1; i >= 0; i-- { // what a line leads to stands below it
			if !comesOut(l.spelled(l.lines[i], more, 0)) {
				l.refine(l.lines[i], more)
				settled = false
			}
		}
		if settled {
			break
		}
	}
	return l.all(more)
}

func comesOut(text string) bool { return !strings.Contains(text, equals) || Recompute(text) == nil }

// refine notes how many decimals more the figures of a line need so that it comes out; none where that does not help.
func (l *Lines) refine(of line, more map[key]int) {
	for extra := 1; extra <= mostPlaces; extra++ {
		if !comesOut(l.spelled(of, more, extra)) {
			continue
		}
		of.each(func(i int, _ string, following int) {
			if f, ok := of.figures[i].(Figure); ok {
				more[f.key()] = min(more[f.key()]+extra*following, mostPlaces)
			}
		})
		return
	}
}

func (l *Lines) all(more map[key]int) []string {
	texts := make([]string, len(l.lines))
	for i, line := range l.lines {
		texts[i] = l.spelled(line, more, 0)
	}
	return texts
}

// spelled fills in a line's figures, each %s in turn: with the decimals more that they need, and so many for each "=" that follows.
func (l *Lines) spelled(of line, more map[key]int, extra int) string {
	var b strings.Builder
	behind := of.equals()
	rest := of.each(func(i int, before string, following int) {
		b.WriteString(before)
		f, ok := of.figures[i].(Figure)
		if !ok {
			b.WriteString(fmt.Sprint(of.figures[i]))
			return
		}
		if as, ok := l.decimals[f.key()]; ok && of.found[i] {
			f.places, f.noughts = as.decimals, as.noughts && following < behind
		}
		f.places += min(more[f.key()]+extra*following, mostPlaces)
		b.WriteString(f.String())
	})
	return b.String() + rest
}

// Spelled is a figure that is found as it usually stands in these lines.
func (l *Lines) Spelled(f Figure) string {
	if as, ok := l.decimals[f.key()]; ok {
		f.places, f.noughts = as.decimals, as.noughts
	}
	return f.String()
}

// Figure is a figure of a working: usually with two decimals, four below one, none that are nought at the end.
type Figure struct {
	value     float64
	places    int
	noughts   bool // at the end are written too
	direction bool // is rounded half up: 218.5 is 219
	style     func(text string) string
}

// String is the figure as it usually stands in a line.
func (f Figure) String() string {
	if f.direction {
		place := math.Pow(10, float64(f.places))
		f.value = math.Round(f.value*place) / place
	}
	text := say.SayNumber(f.value, f.places)
	if f.noughts {
		text = say.Fixed(f.value, f.places)
	}
	if f.style == nil {
		return text
	}
	return f.style(text)
}

// Number is a number as it stands.
func Number(value float64) Figure {
	if math.Abs(value) < 1 {
		return Figure{value: value, places: 4}
	}
	return Figure{value: value, places: 2}
}

// Rounded is a number with so many decimals, those that are nought at the end too.
func Rounded(value float64, decimals int) Figure {
	return Figure{value: value, places: decimals, noughts: true}
}

// Factor is a bare factor, of which two decimals are too few.
func Factor(value float64) Figure { return Figure{value: value, places: 4} }

// Knots is a speed.
func Knots(speedKt float64) Figure { return Number(speedKt).In(say.Speed) }

// Miles is a distance.
func Miles(distanceNM float64) Figure { return Number(distanceNM).In(say.Distance) }

// Feet is a height.
func Feet(heightFt float64) Figure { return Number(heightFt).In(say.Height) }

// Degrees is an angle that has no side.
func Degrees(angle float64) Figure { return Number(angle).In(say.Angle) }

// Amount is an amount of fuel, or a flow, in the unit that was said with it, if one was.
func Amount(amount float64, unit string) Figure { return Number(amount).In(say.Quantity{Unit: unit}) }

// In is a figure with its unit.
func (f Figure) In(q say.Quantity) Figure {
	style := f.style
	return f.styled(func(text string) string {
		if style != nil {
			text = style(text)
		}
		return q.Behind(text)
	})
}

func (f Figure) styled(style func(text string) string) Figure {
	f.style = style
	return f
}

// Signed is a number that stands behind an operator: a negative one in brackets.
func Signed(value float64) Figure {
	return Number(value).styled(func(text string) string {
		if strings.HasPrefix(text, "-") {
			return "(" + text + ")"
		}
		return text
	})
}

// Plus is an addition or, of a negative number, a subtraction.
func Plus(value float64) Figure {
	return Number(value).styled(func(text string) string {
		if strings.HasPrefix(text, "-") {
			return "- " + text[1:]
		}
		return "+ " + text
	})
}

// Minus is Plus of the opposite.
func Minus(value float64) Figure { return Plus(-value) }

// Direction has three figures before the point; north is 360.
func Direction(degrees float64) Figure {
	return Figure{value: degrees, places: 2, direction: true, style: func(text string) string {
		text = trimmed(text)
		whole, _, _ := strings.Cut(text, ".")
		if text == "0" || text == "360" {
			return "360"
		}
		return strings.Repeat("0", max(0, 3-len(whole))) + text
	}}
}

// Sided is an angle with its side, right positive: "7.4° left".
func Sided(degrees float64) Figure {
	return Number(degrees).styled(func(text string) string {
		text = trimmed(text)
		size := strings.TrimPrefix(text, "-") + say.Angle.Unit
		if text == "0" || text == "-0" {
			return "0" + say.Angle.Unit
		}
		return size + " " + say.LeftRight(degrees)
	})
}

func trimmed(text string) string {
	if strings.Contains(text, ".") {
		return strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
