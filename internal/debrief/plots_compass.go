package debrief

import (
	"fmt"
	"math"
	"slices"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

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
	const size, middle, reach = 420.0, 210.0, 170.0
	s := newSVG(size, size+24, "wind found and forecast")
	step := stepFor(high, 4)
	high = step * math.Ceil(high/step)
	scale := reach / high
	for speed := step; speed <= high+step/2; speed += step {
		fmt.Fprintf(s, `<circle class="ring" cx="%g" cy="%g" r="%.1f"/>`, middle, middle, speed*scale)
		s.text("tick", "start", middle+3, middle-speed*scale-2, label(speed, step)+" kt")
	}
	for i, name := range []string{"N", "E", "S", "W"} {
		x, y := middle+(reach+26)*angle.Sin(90*float64(i)), middle-(reach+26)*angle.Cos(90*float64(i))
		s.line("grid", middle, middle, middle+reach*angle.Sin(90*float64(i)), middle-reach*angle.Cos(90*float64(i)))
		s.text("tick", "middle", x, y+4, name)
	}
	at := func(from, kt float64) (x, y float64) { // a wind from the east stands on the right
		kt = math.Min(kt, high)
		return middle + kt*scale*angle.Sin(from), middle - kt*scale*angle.Cos(from)
	}
	var labels [][2]float64
	for i, wind := range found {
		fx, fy := at(wind.ForecastFrom, wind.ForecastKt)
		x, y := at(wind.FromTrue, wind.SpeedKt)
		s.line("plan", fx, fy, x, y)
		s.dot("band", x, y, math.Min(wind.SigmaKt, high)*scale, fmt.Sprintf("±%s", say.Knots(wind.SigmaKt)))
		s.dot("hollow", fx, fy, 4, fmt.Sprintf("forecast %s", say.Wind(wind.ForecastFrom, wind.ForecastKt)))
		s.dot("mark", x, y, 4, fmt.Sprintf("leg %d, found %s", i+1, say.Wind(wind.FromTrue, wind.SpeedKt)))
		if wind.TrueFrom != nil && wind.TrueKt != nil {
			tx, ty := at(*wind.TrueFrom, *wind.TrueKt)
			s.line("truth", tx-5, ty-5, tx+5, ty+5)
			s.line("truth", tx-5, ty+5, tx+5, ty-5)
		}
		if !crowded(labels, x, y) {
			labels = append(labels, [2]float64{x, y})
			s.text("name", "start", x+7, y-6, fmt.Sprint(wind.Leg+1))
		}
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

// crowded reports whether a label would stand on another.
func crowded(labels [][2]float64, x, y float64) bool {
	const apart = 17
	return slices.ContainsFunc(labels, func(l [2]float64) bool { return math.Abs(l[0]-x) < apart && math.Abs(l[1]-y) < apart })
}

// drawTrack draws places on a plane about the middle of them: a degree of longitude is shortened as it is at the middle's latitude.
func (f *Flight) drawTrack() string {
	t := f.Track
	if len(t.Planned) < 2 {
		return ""
	}
	all := append(append(append([]Place{}, t.Planned...), t.Passed...), t.Fed...)
	all = append(append(append(all, t.Reckoned...), t.Fixed...), t.True...)
	project, s, scale := projection(all)
	points := func(places []Place) (drawn [][2]float64) {
		for _, place := range places {
			drawn = append(drawn, project(place.Pos))
		}
		return drawn
	}
	s.path("plan", points(t.Planned))
	s.path("fed", points(t.Fed))
	s.path("truth", points(t.True))
	for _, place := range t.Reckoned {
		at := project(place.Pos)
		s.dot("dr", at[0], at[1], 1.8, "calculated "+say.TimeOf(place.At))
	}
	for _, place := range t.Fixed {
		at := project(place.Pos)
		s.rect("fix", at[0]-4, at[1]-4, 8, 8, place.Name+" "+say.TimeOf(place.At))
	}
	for _, place := range t.Passed {
		at := project(place.Pos)
		s.dot("mark", at[0], at[1], 4, place.Name+" "+say.TimeOf(place.At))
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
	t.key(s)
	return s.end()
}

// projection fits places into a picture, north up.
func projection(all []Place) (project func(earth.Position) [2]float64, s *svg, pixelsPerNM float64) {
	const width, height, margin = halfWidth, 450.0, 50.0
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

// scaleBar draws a length in nautical miles, and an arrow to the north.
func scaleBar(s *svg, pixelsPerNM float64) {
	length := stepFor(130/pixelsPerNM, 1)
	for length*pixelsPerNM > 180 {
		length /= 2
	}
	x, y := 14.0, s.height-14
	s.line("bar2", x, y, x+length*pixelsPerNM, y)
	s.line("bar2", x, y-4, x, y+4)
	s.line("bar2", x+length*pixelsPerNM, y-4, x+length*pixelsPerNM, y+4)
	s.text("tick", "start", x+length*pixelsPerNM+6, y+4, fmt.Sprintf("%g nm", length))
	s.line("bar2", s.width-22, 40, s.width-22, 14)
	s.line("bar2", s.width-22, 14, s.width-26, 22)
	s.line("bar2", s.width-22, 14, s.width-18, 22)
	s.text("tick", "middle", s.width-22, 56, "N")
}

// key says what the signs of a track mean, of those that are in it.
func (t Track) key(s *svg) {
	x, y := s.width-8, s.height-14
	add := func(shown bool, words string, sign func(x float64)) { // from the right
		if !shown {
			return
		}
		x -= characterWidth * float64(len([]rune(words)))
		s.text("tick", "start", x, y+4, words)
		x -= 14
		sign(x)
		x -= 18
	}
	add(len(t.Fed) > 0, "fed", func(x float64) { s.line("fed", x-10, y, x+8, y) })
	add(len(t.Fixed) > 0, "fix", func(x float64) { s.rect("fix", x-2, y-4, 8, 8, "") })
	add(len(t.Passed) > 0, "passed", func(x float64) { s.dot("mark", x+2, y, 4, "") })
	add(len(t.Reckoned) > 0, "calculated", func(x float64) { s.dot("dr", x+4, y, 1.8, "") })
	add(true, "plan", func(x float64) { s.line("plan", x-10, y, x+8, y) })
	x, y = s.width-8, y-18 // beside the others there is the scale
	add(len(t.True) > 0, "really", func(x float64) { s.line("truth", x-10, y, x+8, y) })
}
