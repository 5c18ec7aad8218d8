package debrief

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
)

// picture is a plot with its title and what it shows. The words of the drawing were escaped as it was drawn.
type picture struct {
	Title, Says string
	SVG         string
}

// pictures are the plots of a report; those with nothing to show are left out.
func (f *Flight) pictures() []picture {
	var drawn []picture
	for _, p := range []struct {
		title, says string
		draw        func() string
	}{
		{"ETA at the destination", "How late the flight came against each ETA, over the flight. The band is the ± of the revised ETA: the line should stay in it two times out of three.", f.drawArrival},
		{"Error at each passing", "How late each point was passed against the ETAs made at the point before. The bar is the revised ETA's ±.", f.drawPassings},
		{"Tanks", "What each tank held.", f.drawTanks},
		{"Imbalance against the limit", "The difference between the tanks.", f.drawImbalance},
		{"Track", "North up. The plan, where the flight was reckoned to be, and what was logged or fed.", f.drawTrack},
		{"Wind", "Where it came from and how strong, north up; the ring is the ± of the wind found at the end of each leg.", f.drawWind},
		{"Groundspeed by leg", "Over the whole leg, planned and flown.", f.drawSpeeds},
	} {
		if svg := p.draw(); svg != "" {
			drawn = append(drawn, picture{p.title, p.says, svg})
		}
	}
	return drawn
}

// minutesFrom is an error in minutes, for an axis.
func minutesFrom(seconds float64) float64 { return seconds / 60 }

func (f *Flight) drawArrival() string {
	var judged []Estimate
	low, high := -1.0, 1.0
	reach := func(minutes float64) { low, high = math.Min(low, minutes), math.Max(high, minutes) }
	for _, e := range f.Arrival {
		if e.RevisedErrorSeconds == nil {
			continue
		}
		judged = append(judged, e)
		reach(minutesFrom(*e.RevisedErrorSeconds))
		reach(minutesFrom(e.SigmaSeconds))
		reach(-minutesFrom(e.SigmaSeconds))
		if by := e.HandErrorSeconds(); by != nil {
			reach(minutesFrom(*by))
		}
	}
	if len(judged) < 2 || f.Totals.Overhead.Actual == nil {
		return ""
	}
	a := newAxes("ETA error at the destination over the flight", low, high, "min late")
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
		a.dot("mark", a.x(e.MadeAt), a.y(minutesFrom(*e.RevisedErrorSeconds)), 2.5, fmt.Sprintf("%s %s: %s ±%s", zulu(e.MadeAt), e.After, signed(e.RevisedErrorSeconds), span(e.SigmaSeconds)))
	}
	a.key("revised", "revised", "hand", "hand sum", "plan", "plan", "bandkey", "±")
	return a.end()
}

func (f *Flight) drawPassings() string {
	var judged []Passing
	low, high := -0.5, 0.5
	reach := func(seconds *float64) {
		if seconds != nil {
			low, high = math.Min(low, minutesFrom(*seconds)), math.Max(high, minutesFrom(*seconds))
		}
	}
	for _, p := range f.Passings {
		if p.Estimate == nil || p.Estimate.RevisedErrorSeconds == nil {
			continue
		}
		judged = append(judged, p)
		sigma := p.Estimate.SigmaSeconds
		reach(p.Estimate.RevisedErrorSeconds)
		reach(p.Estimate.HandErrorSeconds())
		reach(ref(sigma))
		reach(ref(-sigma))
	}
	if len(judged) == 0 {
		return ""
	}
	a := newAxes("ETA error at each passing", low, high, "min late")
	slot := (a.right - a.left) / float64(len(judged))
	every := 1 + len(judged)/14
	for i, p := range judged {
		x := a.left + slot*(float64(i)+0.5)
		e := p.Estimate
		sigma := minutesFrom(e.SigmaSeconds)
		a.rect("band", x-slot*0.3, a.y(sigma), slot*0.6, a.y(-sigma)-a.y(sigma), fmt.Sprintf("%s ±%s", p.Point, span(e.SigmaSeconds)))
		if by := e.HandErrorSeconds(); by != nil {
			y := a.y(minutesFrom(*by))
			a.line("hand", x-slot*0.3, y, x+slot*0.3, y)
		}
		a.dot("mark", x, a.y(minutesFrom(*e.RevisedErrorSeconds)), 3.5, fmt.Sprintf("%s at %s, revised %s, plan %s", p.Point, zulu(p.At), signed(e.RevisedErrorSeconds), signed(&p.PlanErrorSeconds)))
		if i%every == 0 {
			a.text("tick", "middle", x, a.bottom+14, shortened(p.Point, int(slot*float64(every)/6)))
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
	a := newAxes("groundspeed by leg", 0, high, "kt")
	slot := (a.right - a.left) / float64(len(flown))
	width := math.Min(slot*0.32, 46)
	for i, leg := range flown {
		x := a.left + slot*(float64(i)+0.5)
		if leg.PlannedGroundspeedKt != nil {
			y := a.y(*leg.PlannedGroundspeedKt)
			a.rect("planbar", x-width, y, width, a.bottom-y, fmt.Sprintf("planned %.0f kt", *leg.PlannedGroundspeedKt))
			a.text("tick", "middle", x-width/2, y-3, fmt.Sprintf("%.0f", *leg.PlannedGroundspeedKt))
		}
		y := a.y(*leg.ActualGroundspeedKt)
		a.rect("bar", x, y, width, a.bottom-y, fmt.Sprintf("flown %.0f kt", *leg.ActualGroundspeedKt))
		a.text("tick", "middle", x+width/2, y-3, fmt.Sprintf("%.0f", *leg.ActualGroundspeedKt))
		a.text("tick", "middle", x, a.bottom+14, shortened(leg.From+"–"+leg.To, int(slot/6)))
	}
	a.key("plan", "planned", "revised", "flown")
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
	a := newAxes("what each tank held", 0, high, unitWords(f.Tanks.Unit))
	a.overTime(from, to)
	classes := []string{"tank0", "tank1", "tank2", "tank3"}
	var key []string
	for i, name := range f.Tanks.Names {
		class := classes[i%len(classes)]
		var points [][2]float64
		for _, point := range f.Tanks.Series {
			points = append(points, a.at(point.At, point.Quantities[i]))
		}
		a.path(class, points)
		key = append(key, class, name)
	}
	for _, g := range f.Tanks.Gauges {
		a.dot("mark", a.x(g.At), a.y(g.Reading), 3.5, fmt.Sprintf("%s gauge %.1f at %s", g.Tank, g.Reading, zulu(g.At)))
	}
	for _, change := range f.Tanks.Made {
		a.line("event", a.x(change.At), a.top, a.x(change.At), a.bottom)
		a.text("tick", "middle", a.x(change.At), a.top-3, "to "+change.To)
	}
	a.key(key...)
	return a.end()
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
	a := newAxes("imbalance against the limit", 0, high, unitWords(f.Tanks.Unit))
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
		a.dot("mark", a.x(change.At), a.y(change.Imbalance), 3.5, fmt.Sprintf("%s to %s at %.1f", zulu(change.At), change.To, change.Imbalance))
	}
	return a.end()
}

// drawWind draws each wind as a point: its bearing where the wind comes from, its distance from the middle how strong it is.
func (f *Flight) drawWind() string {
	var found []Wind
	high := 10.0
	for _, leg := range f.Legs {
		if leg.Wind == nil {
			continue
		}
		found = append(found, *leg.Wind)
		high = math.Max(high, math.Min(math.Max(leg.Wind.SpeedKt+leg.Wind.SigmaKt, leg.Wind.ForecastKt), 300))
	}
	if len(found) == 0 {
		return ""
	}
	const size, middle, reach = 420.0, 210.0, 178.0
	s := newSVG(size, size+24, "wind found and forecast")
	step := stepFor(high, 4)
	high = step * math.Ceil(high/step)
	scale := reach / high
	for speed := step; speed <= high+step/2; speed += step {
		fmt.Fprintf(s, `<circle class="ring" cx="%g" cy="%g" r="%.1f"/>`, middle, middle, speed*scale)
		s.text("tick", "start", middle+3, middle-speed*scale-2, label(speed, step)+" kt")
	}
	for i, name := range []string{"N", "E", "S", "W"} {
		x, y := middle+(reach+16)*angle.Sin(90*float64(i)), middle-(reach+16)*angle.Cos(90*float64(i))
		s.line("grid", middle, middle, middle+reach*angle.Sin(90*float64(i)), middle-reach*angle.Cos(90*float64(i)))
		s.text("tick", "middle", x, y+4, name)
	}
	at := func(from, kt float64) (x, y float64) { // a wind from the east stands on the right
		kt = math.Min(kt, high)
		return middle + kt*scale*angle.Sin(from), middle - kt*scale*angle.Cos(from)
	}
	for i, wind := range found {
		fx, fy := at(wind.ForecastFrom, wind.ForecastKt)
		x, y := at(wind.FromTrue, wind.SpeedKt)
		s.line("plan", fx, fy, x, y)
		s.dot("band", x, y, math.Min(wind.SigmaKt, high)*scale, fmt.Sprintf("±%.0f kt", wind.SigmaKt))
		s.dot("hollow", fx, fy, 4, fmt.Sprintf("forecast %s", windWords(wind.ForecastFrom, wind.ForecastKt)))
		s.dot("mark", x, y, 4, fmt.Sprintf("leg %d, found %s", i+1, windWords(wind.FromTrue, wind.SpeedKt)))
		if wind.TrueFrom != nil && wind.TrueKt != nil {
			tx, ty := at(*wind.TrueFrom, *wind.TrueKt)
			s.line("truth", tx-5, ty-5, tx+5, ty+5)
			s.line("truth", tx-5, ty+5, tx+5, ty-5)
		}
		s.text("name", "start", x+6, y-5, fmt.Sprint(wind.Leg+1))
	}
	s.dot("hollow", 60, size+10, 4, "")
	s.text("tick", "start", 70, size+14, "forecast")
	s.dot("mark", 140, size+10, 4, "")
	s.text("tick", "start", 150, size+14, "found, by leg")
	if found[0].TrueFrom != nil {
		s.line("truth", 245, size+5, 255, size+15)
		s.line("truth", 245, size+15, 255, size+5)
		s.text("tick", "start", 262, size+14, "as it really was")
	}
	return s.end()
}

// drawTrack draws places on a plane about the middle of them: a degree of longitude is shortened as it is at the middle's latitude.
func (f *Flight) drawTrack() string {
	t := f.Track
	if len(t.Planned) < 2 {
		return ""
	}
	all := append(append(append([]Place{}, t.Planned...), t.Passed...), t.Fed...)
	all = append(append(all, t.Reckoned...), t.Fixed...)
	project, s, scale := projection(all)
	points := func(places []Place) (drawn [][2]float64) {
		for _, place := range places {
			drawn = append(drawn, project(place.Pos))
		}
		return drawn
	}
	s.path("plan", points(t.Planned))
	s.path("fed", points(t.Fed))
	for _, place := range t.Reckoned {
		at := project(place.Pos)
		s.dot("dr", at[0], at[1], 1.8, "reckoned "+zuluOf(place.At))
	}
	for _, place := range t.Fixed {
		at := project(place.Pos)
		s.rect("fix", at[0]-4, at[1]-4, 8, 8, place.Name+" "+zuluOf(place.At))
	}
	for _, place := range t.Passed {
		at := project(place.Pos)
		s.dot("mark", at[0], at[1], 4, place.Name+" "+zuluOf(place.At))
	}
	named := map[string]bool{}
	for _, place := range t.Planned {
		if place.Name != "" && !named[place.Name] {
			named[place.Name] = true
			at := project(place.Pos)
			s.dot("hollow", at[0], at[1], 6, place.Name)
			s.text("name", "start", at[0]+9, at[1]-6, place.Name)
		}
	}
	scaleBar(s, scale)
	return s.end()
}

// projection fits places into a picture, north up.
func projection(all []Place) (project func(earth.Position) [2]float64, s *svg, pixelsPerNM float64) {
	const width, height, margin = 640.0, 460.0, 46.0
	first := all[0].Pos
	east := func(p earth.Position) float64 { return angle.Turn(first.Lon, p.Lon) }
	south, north, west, eastmost := first.Lat, first.Lat, 0.0, 0.0
	for _, place := range all {
		south, north = math.Min(south, place.Pos.Lat), math.Max(north, place.Pos.Lat)
		west, eastmost = math.Min(west, east(place.Pos)), math.Max(eastmost, east(place.Pos))
	}
	shrink := math.Max(0.01, angle.Cos((south+north)/2))
	const nmPerDegree = 60
	wide, tall := (eastmost-west)*shrink*nmPerDegree, (north-south)*nmPerDegree
	pixelsPerNM = math.Min((width-2*margin)/math.Max(wide, 0.5), (height-2*margin)/math.Max(tall, 0.5))
	s = newSVG(width, height, "track")
	project = func(p earth.Position) [2]float64 {
		x := (east(p)-(west+eastmost)/2)*shrink*nmPerDegree*pixelsPerNM + width/2
		y := height/2 - (p.Lat-(south+north)/2)*nmPerDegree*pixelsPerNM
		return [2]float64{x, y}
	}
	return project, s, pixelsPerNM
}

// scaleBar draws a length in nautical miles, an arrow to the north and what the signs mean.
func scaleBar(s *svg, pixelsPerNM float64) {
	length := stepFor(160/pixelsPerNM, 1)
	for length*pixelsPerNM > 220 {
		length /= 2
	}
	x, y := 20.0, s.height-16
	s.line("bar2", x, y, x+length*pixelsPerNM, y)
	s.line("bar2", x, y-4, x, y+4)
	s.line("bar2", x+length*pixelsPerNM, y-4, x+length*pixelsPerNM, y+4)
	s.text("tick", "start", x+length*pixelsPerNM+6, y+4, fmt.Sprintf("%g nm", length))
	s.line("bar2", s.width-22, 40, s.width-22, 14)
	s.line("bar2", s.width-22, 14, s.width-26, 22)
	s.line("bar2", s.width-22, 14, s.width-18, 22)
	s.text("tick", "middle", s.width-22, 54, "N")
	x = s.width - 330
	s.line("plan", x, y, x+18, y)
	s.text("tick", "start", x+22, y+4, "plan")
	s.dot("dr", x+68, y, 1.8, "")
	s.text("tick", "start", x+74, y+4, "reckoned")
	s.dot("mark", x+140, y, 4, "")
	s.text("tick", "start", x+148, y+4, "passed")
	s.rect("fix", x+198, y-4, 8, 8, "")
	s.text("tick", "start", x+211, y+4, "fix")
	s.line("fed", x+240, y, x+258, y)
	s.text("tick", "start", x+262, y+4, "fed")
}
