package worked

import (
	"fmt"
	"math"
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
