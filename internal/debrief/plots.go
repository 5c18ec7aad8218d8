package debrief

import (
	"fmt"
	"html"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/say"
)

// picture is a plot with its title and what it shows. The words of the drawing were escaped as it was drawn.
type picture struct {
	Title, Says string
	SVG         string
	Shape       string // of report.css: it has the page's width, or more height on paper than others
}

// pictures are the plots of a report; those with nothing to show are left out.
func (f *Flight) pictures() []picture {
	var drawn []picture
	for _, p := range []struct {
		title, says string
		draw        func() string
		shape       string
	}{
		{"ETA at the destination", "How late the flight came against each ETA, over the flight. The band is the ± of the revised ETA: the line should stay in it two times out of three. A hand sum that is far out stands at the edge.", f.drawArrival, ""},
		{"Error at each passing", "How late each point was passed against the ETAs made at the point before. The bar is the revised ETA's ±; a hand sum that is far out stands at the edge.", f.drawPassings, ""},
		{"Tanks", "What each tank held; above, the tank that was changed to.", f.drawTanks, ""},
		{"Imbalance against the limit", "The difference between the tanks.", f.drawImbalance, ""},
		{"Track", "North up. The plan, where the flight was calculated to be, and what was logged or fed.", f.drawTrack, "tall"},
		{"Wind", "Where it came from and how strong, north up; the ring is the ± of the wind found at the end of each leg.", f.drawWind, "tall"},
		{"Accuracy against seconds taken", "How far each answer was from the truth, of what was allowed, over the seconds that it took. What is farther out than four times that stands at the edge.", f.drawAccuracy, ""},
		{"Groundspeed by leg", "Over the whole leg, planned and flown.", f.drawSpeeds, "wide"},
	} {
		if svg := p.draw(); svg != "" {
			drawn = append(drawn, picture{p.title, p.says, svg, p.shape})
		}
	}
	return drawn
}

// minutesFrom is an error in minutes, for an axis.
func minutesFrom(seconds float64) float64 { return seconds / 60 }

// errorReach is the range of a picture of errors, in minutes.
type errorReach struct{ low, high, handLow, handHigh float64 }

func (r *errorReach) add(e Estimate) {
	late, sigma := minutesFrom(*e.RevisedErrorSeconds), minutesFrom(e.SigmaSeconds)
	r.low, r.high = math.Min(r.low, math.Min(late, -sigma)), math.Max(r.high, math.Max(late, sigma))
	if by := e.HandErrorSeconds(); by != nil {
		r.handLow, r.handHigh = math.Min(r.handLow, minutesFrom(*by)), math.Max(r.handHigh, minutesFrom(*by))
	}
}

// span holds the revised ETAs and their ± whole, and the hand sums as far as those can still be told apart beside them.
func (r *errorReach) span() (low, high float64) {
	const farther = 2
	most := farther * math.Max(-r.low, r.high)
	return math.Min(r.low, math.Max(r.handLow, -most)), math.Max(r.high, math.Min(r.handHigh, most))
}

func (f *Flight) drawArrival() string {
	var judged []Estimate
	reach := errorReach{low: -1, high: 1}
	for _, e := range f.Arrival {
		if e.RevisedErrorSeconds != nil {
			judged = append(judged, e)
			reach.add(e)
		}
	}
	if len(judged) < 2 || f.Totals.Overhead.Actual == nil {
		return ""
	}
	low, high := reach.span()
	a := newAxes("ETA error at the destination over the flight", halfWidth, low, high, "min late")
	a.overTime(judged[0].MadeAt, *f.Totals.Overhead.Actual)
	var upper, lower, revised, hand [][2]float64
	for i, e := range judged {
		until := *f.Totals.Overhead.Actual
		if i+1 < len(judged) {
			until = judged[i+1].MadeAt
		}
		sigma, late := minutesFrom(e.SigmaSeconds), minutesFrom(*e.RevisedErrorSeconds)
		upper = append(upper, a.at(e.MadeAt, sigma), a.at(until, sigma))
		lower = append([][2]float64{a.at(until, -sigma), a.at(e.MadeAt, -sigma)}, lower...)
		revised = append(revised, a.at(e.MadeAt, late), a.at(until, late))
		if by := e.HandErrorSeconds(); by != nil {
			hand = append(hand, a.at(e.MadeAt, minutesFrom(*by)), a.at(until, minutesFrom(*by)))
		}
	}
	a.area("band", append(upper, lower...))
	if d := f.Totals.Overhead.DifferenceSeconds; d != nil {
		a.path("plan", [][2]float64{a.at(a.from, minutesFrom(*d)), a.at(a.to, minutesFrom(*d))})
	}
	a.path("hand", hand)
	a.path("revised", revised)
	for _, e := range judged {
		a.dot("mark", a.x(e.MadeAt), a.y(minutesFrom(*e.RevisedErrorSeconds)), 2.5, fmt.Sprintf("%s %s: %s ±%s", say.Time(e.MadeAt), e.After, say.SignedOf(e.RevisedErrorSeconds), say.Span(e.SigmaSeconds)))
	}
	a.key("revised", "revised", "hand", "hand sum", "plan", "plan", "bandkey", "±")
	return a.end()
}

func (f *Flight) drawPassings() string {
	var judged []Passing
	reach := errorReach{low: -0.5, high: 0.5}
	for _, p := range f.Passings {
		if p.Estimate != nil && p.Estimate.RevisedErrorSeconds != nil {
			judged = append(judged, p)
			reach.add(*p.Estimate)
		}
	}
	if len(judged) == 0 {
		return ""
	}
	low, high := reach.span()
	a := newAxes("ETA error at each passing", halfWidth, low, high, "min late")
	slot := (a.right - a.left) / float64(len(judged))
	every := 1 + len(judged)/9
	for i, p := range judged {
		x := a.left + slot*(float64(i)+0.5)
		e := p.Estimate
		sigma := minutesFrom(e.SigmaSeconds)
		a.rect("band", x-slot*0.3, a.y(sigma), slot*0.6, a.y(-sigma)-a.y(sigma), fmt.Sprintf("%s ±%s", p.Point, say.Span(e.SigmaSeconds)))
		if by := e.HandErrorSeconds(); by != nil {
			y := a.y(minutesFrom(*by))
			a.line("hand", x-slot*0.3, y, x+slot*0.3, y)
		}
		a.dot("mark", x, a.y(minutesFrom(*e.RevisedErrorSeconds)), 3.5, fmt.Sprintf("%s at %s, revised %s, plan %s", p.Point, say.Time(p.At), say.SignedOf(e.RevisedErrorSeconds), say.SignedOf(&p.PlanErrorSeconds)))
		if i%every == 0 {
			a.text("tick", "middle", x, a.bottom+17, shortened(p.Point, int(slot*float64(every)/characterWidth)))
		}
	}
	a.key("revised", "revised", "hand", "hand sum", "bandkey", "±")
	return a.end()
}

// shortened is a text of at most so many characters.
func shortened(text string, most int) string {
	if runes := []rune(text); len(runes) > max(most, 1) {
		return string(runes[:max(most, 1)])
	}
	return text
}

func (f *Flight) drawSpeeds() string {
	var flown []Leg
	high := 10.0
	for _, leg := range f.Legs {
		if leg.ActualGroundspeedKt != nil {
			flown = append(flown, leg)
			high = math.Max(high, math.Min(*leg.ActualGroundspeedKt, 1000))
			if leg.PlannedGroundspeedKt != nil {
				high = math.Max(high, math.Min(*leg.PlannedGroundspeedKt, 1000))
			}
		}
	}
	if len(flown) == 0 {
		return ""
	}
	a := newAxes("groundspeed by leg", wholeWide, 0, high, "kt")
	slot := (a.right - a.left) / float64(len(flown))
	width := math.Min(slot*0.32, 46)
	for i, leg := range flown {
		x := a.left + slot*(float64(i)+0.5)
		if leg.PlannedGroundspeedKt != nil {
			y := a.y(*leg.PlannedGroundspeedKt)
			a.rect("planbar", x-width, y, width, a.bottom-y, "planned "+say.Knots(*leg.PlannedGroundspeedKt))
			a.text("tick", "middle", x-width/2, y-3, say.Whole(*leg.PlannedGroundspeedKt))
		}
		y := a.y(*leg.ActualGroundspeedKt)
		a.rect("bar", x, y, width, a.bottom-y, "flown "+say.Knots(*leg.ActualGroundspeedKt))
		a.text("tick", "middle", x+width/2, y-3, say.Whole(*leg.ActualGroundspeedKt))
		a.text("tick", "middle", x, a.bottom+17, shortened(leg.From+"–"+leg.To, int(slot/characterWidth)))
	}
	a.key("planbar", "planned", "bar", "flown")
	return a.end()
}

// flightSpan is the time that the tanks are known for.
func (f *Flight) flightSpan() (from, to time.Time, ok bool) {
	series := f.Tanks.Series
	if len(series) < 2 {
		return from, to, false
	}
	return series[0].At, series[len(series)-1].At, true
}

func (f *Flight) drawTanks() string {
	from, to, ok := f.flightSpan()
	if !ok {
		return ""
	}
	high := 1.0
	for _, point := range f.Tanks.Series {
		for _, quantity := range point.Quantities {
			high = math.Max(high, quantity)
		}
	}
	a := newAxes("what each tank held", halfWidth, 0, high, say.Unit(f.Tanks.Unit))
	a.overTime(from, to)
	var key []string
	for i, name := range f.Tanks.Names {
		class := classOfTank(f.Tanks.Names, name)
		var points [][2]float64
		for _, point := range f.Tanks.Series {
			points = append(points, a.at(point.At, point.Quantities[i]))
		}
		a.path(class, points)
		key = append(key, class, name)
	}
	for _, g := range f.Tanks.Gauges {
		a.dot("fill"+classOfTank(f.Tanks.Names, g.Tank), a.x(g.At), a.y(g.Reading), 3.5, fmt.Sprintf("%s gauge %s at %s", g.Tank, say.Amount(g.Reading), say.Time(g.At)))
	}
	before := a.left
	for _, change := range f.Tanks.Made {
		a.line("event", a.x(change.At), a.top, a.x(change.At), a.bottom)
		if x := a.x(change.At); x-before >= characterWidth*float64(len([]rune(change.To))+1) {
			a.text("tick", "middle", x, a.top-5, change.To)
			before = x
		}
	}
	if len(f.Tanks.Gauges) > 0 {
		key = append(key, "dotkey", "gauge read")
	}
	a.key(key...)
	return a.end()
}

// classOfTank is how a tank is drawn, by its place.
func classOfTank(names []string, name string) string {
	return fmt.Sprintf("tank%d", max(0, slices.Index(names, name))%4)
}

func (f *Flight) drawImbalance() string {
	from, to, ok := f.flightSpan()
	if !ok || len(f.Tanks.Names) < 2 {
		return ""
	}
	high := math.Max(1, f.Tanks.HighestImbalance)
	if f.Tanks.Limit != nil {
		high = math.Max(high, *f.Tanks.Limit*1.15)
	}
	a := newAxes("imbalance against the limit", halfWidth, 0, high, say.Unit(f.Tanks.Unit))
	a.overTime(from, to)
	if limit := f.Tanks.Limit; limit != nil {
		a.rect("beyond", a.left, a.top, a.right-a.left, a.y(*limit)-a.top, fmt.Sprintf("beyond the limit of %g", *limit))
		a.line("limit", a.left, a.y(*limit), a.right, a.y(*limit))
		a.text("limittext", "end", a.right-4, a.y(*limit)-4, fmt.Sprintf("limit %g", *limit))
	}
	var points [][2]float64
	for _, point := range f.Tanks.Series {
		points = append(points, a.at(point.At, point.Imbalance))
	}
	a.path("revised", points)
	for _, change := range f.Tanks.Made {
		a.dot("mark", a.x(change.At), a.y(change.Imbalance), 3.5, fmt.Sprintf("%s to %s at %s", say.Time(change.At), change.To, say.Amount(change.Imbalance)))
	}
	return a.end()
}

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
		return say.Tenth(value)
	}
	return say.Whole(value + 0) // no minus before nought
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
