package debrief

import (
	"fmt"
	"html"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/say"
)

// svg collects the elements of one picture. Colours are the page's, by class, so that a picture follows light, dark and print.
type svg struct {
	strings.Builder
	width, height float64
}

func newSVG(width, height float64, title string) *svg {
	s := &svg{width: width, height: height}
	fmt.Fprintf(s, `<svg viewBox="0 0 %g %g" role="img" aria-label="%s">`, width, height, html.EscapeString(title))
	return s
}

func (s *svg) end() string { return s.String() + "</svg>" }

func (s *svg) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(s, `<line class="%s" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/>`, class, x1, y1, x2, y2)
}

func (s *svg) text(class, anchor string, x, y float64, text string) {
	fmt.Fprintf(s, `<text class="%s" text-anchor="%s" x="%.1f" y="%.1f">%s</text>`, class, anchor, x, y, html.EscapeString(clean(text)))
}

func (s *svg) path(class string, points [][2]float64) {
	if len(points) == 0 {
		return
	}
	fmt.Fprintf(s, `<polyline class="%s" points="%s"/>`, class, pointList(points))
}

func (s *svg) area(class string, points [][2]float64) {
	if len(points) > 2 {
		fmt.Fprintf(s, `<polygon class="%s" points="%s"/>`, class, pointList(points))
	}
}

func pointList(points [][2]float64) string {
	var b strings.Builder
	for i, p := range points {
		if i > 0 {
			b.WriteByte(' ')
		}
		fmt.Fprintf(&b, "%.1f,%.1f", p[0], p[1])
	}
	return b.String()
}

// dot is a point with words that show when it is pointed at.
func (s *svg) dot(class string, x, y, radius float64, tip string) {
	fmt.Fprintf(s, `<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f"><title>%s</title></circle>`, class, x, y, radius, html.EscapeString(clean(tip)))
}

func (s *svg) rect(class string, x, y, width, height float64, tip string) {
	fmt.Fprintf(s, `<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"><title>%s</title></rect>`, class, x, y, math.Max(0, width), math.Max(0, height), html.EscapeString(clean(tip)))
}

// characterWidth is about that of a character of the pictures' words.
const characterWidth = 7.2

// axes is a picture with time or legs to the right and a quantity upwards.
type axes struct {
	*svg
	left, right, top, bottom float64 // of the drawn part
	from, to                 time.Time
	low, high                float64
}

// The widths of a picture, in its own units: of one of two beside each other, and of one that has the page's width.
const (
	halfWidth = 540.0
	wholeWide = 1100.0
)

// newAxes makes axes that hold values from low to high, with a grid.
func newAxes(title string, width, low, high float64, unit string) *axes {
	a := &axes{svg: newSVG(width, 276, title), left: 52, right: width - 10, top: 22, bottom: 228}
	step := stepFor(high-low, 6)
	a.low, a.high = step*math.Floor(low/step), step*math.Ceil(high/step)
	if a.high <= a.low {
		a.high = a.low + step
	}
	for value := a.low; value <= a.high+step/2; value += step {
		class := "grid"
		if math.Abs(value) < step/2 {
			class = "zero"
		}
		a.line(class, a.left, a.y(value), a.right, a.y(value))
		a.text("tick", "end", a.left-6, a.y(value)+4, label(value, step))
	}
	a.text("tick", "start", 4, 12, unit)
	return a
}

// label is a value on an axis, without more places than its step has.
func label(value, step float64) string {
	if step < 1 {
		return fmt.Sprintf("%.1f", value)
	}
	return fmt.Sprintf("%.0f", value+0) // no minus before nought
}

// stepFor is a round step that divides a span into at most so many parts.
func stepFor(span, parts float64) float64 {
	if !(span > 0) || math.IsInf(span, 0) {
		return 1
	}
	step := math.Pow(10, math.Floor(math.Log10(span/parts)))
	for _, times := range []float64{1, 2, 5, 10} {
		if span/(step*times) <= parts {
			return step * times
		}
	}
	return step * 10
}

func (a *axes) y(value float64) float64 {
	return a.bottom - (math.Max(a.low, math.Min(value, a.high))-a.low)/(a.high-a.low)*(a.bottom-a.top)
}

// overTime gives the axes a time to the right.
func (a *axes) overTime(from, to time.Time) {
	if !to.After(from) {
		to = from.Add(time.Minute)
	}
	a.from, a.to = from, to
	step := 5 * time.Minute
	for _, longer := range []time.Duration{5, 10, 15, 30, 60, 120, 240, 720, 1440, 14400, 525600} {
		step = longer * time.Minute
		if to.Sub(from) <= 7*step {
			break
		}
	}
	for t := from.Truncate(step).Add(step); !t.After(to); t = t.Add(step) {
		a.line("grid", a.x(t), a.top, a.x(t), a.bottom)
		a.text("tick", "middle", a.x(t), a.bottom+16, say.Minute(t))
	}
}

// overDays gives the axes dates to the right.
func (a *axes) overDays(from, to time.Time) {
	a.from, a.to = from.Add(-to.Sub(from)/40), to.Add(to.Sub(from)/40)
	const day = 24 * time.Hour
	step := day
	for _, days := range []time.Duration{1, 2, 7, 14, 28, 91, 182, 364, 1820} {
		step = days * day
		if a.to.Sub(a.from) <= 6*step {
			break
		}
	}
	layout := "2 Jan"
	if a.to.Year() != a.from.Year() {
		layout = "2 Jan 2006"
	}
	for t := a.from.UTC().Truncate(day).Add(day); !t.After(a.to); t = t.Add(step) {
		a.line("grid", a.x(t), a.top, a.x(t), a.bottom)
		a.text("tick", "middle", a.x(t), a.bottom+16, t.Format(layout))
	}
}

func (a *axes) x(t time.Time) float64 {
	share := float64(t.Sub(a.from)) / float64(a.to.Sub(a.from))
	return a.left + math.Max(0, math.Min(share, 1))*(a.right-a.left)
}

func (a *axes) at(t time.Time, value float64) [2]float64 { return [2]float64{a.x(t), a.y(value)} }

// key names what is drawn, below the axes: a class and its words by turns.
func (a *axes) key(pairs ...string) {
	x := a.left
	for i := 0; i+1 < len(pairs); i += 2 {
		switch pairs[i] {
		case "bar", "planbar":
			a.rect(pairs[i], x+4, a.bottom+30, 12, 12, "")
		case "dotkey":
			a.dot("hollow", x+10, a.bottom+36, 3.5, "")
		default:
			a.line(pairs[i], x, a.bottom+36, x+20, a.bottom+36)
		}
		a.text("tick", "start", x+25, a.bottom+40, pairs[i+1])
		x += 40 + characterWidth*float64(len([]rune(pairs[i+1])))
	}
}
