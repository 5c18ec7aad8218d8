package debrief

import (
	"fmt"
	"math"
	"slices"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// roseHalf is half of a side of the wind's picture, in pixels.
const roseHalf = 170.0

// rose is the wind's picture: each wind a point, in the direction that it comes from and as far from calm as it is strong, north up. Winds that lie
// close together away from calm are looked at from near, so that calm may lie outside.
type rose struct {
	*svg
	middle          float64
	eastKt, northKt float64 // what stands in the middle
	halfKt          float64 // what half of a side shows
	taken           []box   // by signs and labels
}

type box struct{ left, top, right, bottom float64 }

func (b box) meets(other box) bool {
	return b.left < other.right && other.left < b.right && b.top < other.bottom && other.top < b.bottom
}

// newRose chooses what to show of so many winds, each an east and a north component in knots.
func newRose(winds [][2]float64, sigmaKt float64) *rose {
	const size = 420.0
	r := &rose{svg: newSVG(size, size+24, "wind found and forecast"), middle: size / 2}
	low, high, strongest := winds[0], winds[0], 10.0
	for _, w := range winds {
		for i := range w {
			low[i], high[i] = math.Min(low[i], w[i]), math.Max(high[i], w[i])
		}
		strongest = math.Max(strongest, math.Hypot(w[0], w[1])+sigmaKt)
	}
	step := stepFor(strongest, 4)
	r.halfKt = step * math.Ceil(strongest/step)
	const margin, nearer = 2.0, 0.6
	if half := math.Max(high[0]-low[0], high[1]-low[1])/2 + math.Max(sigmaKt, 3) + margin; half < nearer*r.halfKt {
		r.eastKt, r.northKt, r.halfKt = (low[0]+high[0])/2, (low[1]+high[1])/2, half
	}
	return r
}

func (r *rose) scale() float64 { return roseHalf / r.halfKt }

// at is where a wind stands.
func (r *rose) at(eastKt, northKt float64) (x, y float64) {
	return r.middle + (eastKt-r.eastKt)*r.scale(), r.middle - (northKt-r.northKt)*r.scale()
}

// within is what of a line, given by many points, lies in the picture.
func (r *rose) within(points [][2]float64) (parts [][][2]float64) {
	broken := true
	for _, p := range points {
		if math.Abs(p[0]-r.middle) > roseHalf || math.Abs(p[1]-r.middle) > roseHalf {
			broken = true
			continue
		}
		if broken {
			parts, broken = append(parts, nil), false
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], p)
	}
	return parts
}

// grid draws the rings of strength and the directions, each named where it leaves the picture: the rings on the right or below, the directions
// on the left or above.
func (r *rose) grid() {
	const fine = 720
	ends := func(class string, points [][2]float64, text string, sense float64) {
		var best *[2]float64
		for _, part := range r.within(points) {
			r.path(class, part)
			for i := range part {
				if best == nil || sense*(part[i][0]+part[i][1]) > sense*(best[0]+best[1]) {
					best = &part[i]
				}
			}
		}
		if best == nil {
			return
		}
		width := characterWidth * float64(len([]rune(text)))
		x, y := math.Min(math.Max(best[0]-width/2, 2), r.width-width-2), math.Min(math.Max(best[1]+4+sense*16, 12), r.middle+roseHalf+18)
		if place := (box{x, y - 11, x + width, y + 3}); !r.isTaken(place) {
			r.taken = append(r.taken, place)
			r.text("tick", "start", x, y, text)
		}
	}
	farthest := math.Hypot(r.eastKt, r.northKt) + 1.5*r.halfKt
	step := stepFor(2*r.halfKt, 6)
	if r.eastKt == 0 && r.northKt == 0 {
		step = stepFor(r.halfKt, 4)
		farthest = r.halfKt + step/2
	}
	for speed := step; speed <= farthest; speed += step {
		var ring [][2]float64
		for i := range fine + 1 {
			bearing := 360 * float64(i) / fine
			x, y := r.at(speed*angle.Sin(bearing), speed*angle.Cos(bearing))
			ring = append(ring, [2]float64{x, y})
		}
		ends("grid", ring, label(speed, step)+" kt", 1)
	}
	between := 30
	if r.eastKt != 0 || r.northKt != 0 {
		between = 10
	}
	for bearing := between; bearing <= 360; bearing += between {
		var ray [][2]float64
		for i := 1; i <= fine; i++ {
			speed := farthest * float64(i) / fine
			x, y := r.at(speed*angle.Sin(float64(bearing)), speed*angle.Cos(float64(bearing)))
			ray = append(ray, [2]float64{x, y})
		}
		ends("grid", ray, say.Degrees(float64(bearing)), -1)
	}
}

func (r *rose) isTaken(place box) bool {
	return slices.ContainsFunc(r.taken, place.meets)
}

// sign marks a place as taken by a dot or a cross.
func (r *rose) sign(x, y float64) {
	const half = 5
	r.taken = append(r.taken, box{x - half, y - half, x + half, y + half})
}

// name writes a label beside a point, as near as there is room, with a line to it from where it does not touch.
func (r *rose) name(x, y float64, text string) {
	width := characterWidth*float64(len([]rune(text))) + 2
	const beside, farthest, step = 9.0, 90.0, 9.0
	for away := beside; away <= farthest; away += step {
		for _, bearing := range []float64{45, 135, 315, 225, 90, 270, 0, 180} {
			cx, cy := x+(away+width/2)*angle.Sin(bearing), y-(away+3)*angle.Cos(bearing)
			place := box{cx - width/2, cy - 8, cx + width/2, cy + 6}
			if r.isTaken(place) || place.left < 2 || place.right > r.width-2 || place.top < 2 || place.bottom > r.middle+roseHalf {
				continue
			}
			if away > beside {
				r.line("leader", x, y, x+(away-4)*angle.Sin(bearing), y-(away-4)*angle.Cos(bearing))
			}
			r.taken = append(r.taken, place)
			r.text("name", "middle", cx, cy+4, text)
			return
		}
	}
}

// drawWind draws the winds found, leg by leg, beside the forecast and, where it is known, what really blew.
func (f *Flight) drawWind() string {
	var found []Wind
	var winds [][2]float64
	sigma := 0.0
	const strongest = 300 // what a picture is drawn for
	components := func(from, kt float64) [2]float64 {
		kt = math.Min(kt, strongest)
		return [2]float64{kt * angle.Sin(from), kt * angle.Cos(from)}
	}
	for _, leg := range f.Legs {
		if w := leg.Wind; w != nil {
			found = append(found, *w)
			winds = append(winds, components(w.FromTrue, w.SpeedKt), components(w.ForecastFrom, w.ForecastKt))
			sigma = math.Max(sigma, math.Min(w.SigmaKt, strongest))
			if w.TrueFrom != nil && w.TrueKt != nil {
				winds = append(winds, components(*w.TrueFrom, *w.TrueKt))
			}
		}
	}
	if len(found) == 0 {
		return ""
	}
	s := newRose(winds, sigma)
	at := func(from, kt float64) (x, y float64) { // a wind from the east stands on the right
		c := components(from, kt)
		return s.at(c[0], c[1])
	}
	for _, wind := range found { // the grid's names keep clear of the signs
		s.sign(at(wind.FromTrue, wind.SpeedKt))
		s.sign(at(wind.ForecastFrom, wind.ForecastKt))
	}
	s.grid()
	for _, wind := range found {
		fx, fy := at(wind.ForecastFrom, wind.ForecastKt)
		x, y := at(wind.FromTrue, wind.SpeedKt)
		s.line("plan", fx, fy, x, y)
		s.dot("band", x, y, math.Min(wind.SigmaKt*s.scale(), roseHalf), "±"+say.Knots(wind.SigmaKt))
		s.dot("hollow", fx, fy, 4, fmt.Sprintf("forecast %s", say.Wind(wind.ForecastFrom, wind.ForecastKt)))
		s.dot("mark", x, y, 4, fmt.Sprintf("leg %d, found %s", wind.Leg+1, say.Wind(wind.FromTrue, wind.SpeedKt)))
		if wind.TrueFrom != nil && wind.TrueKt != nil {
			tx, ty := at(*wind.TrueFrom, *wind.TrueKt)
			s.line("truth", tx-5, ty-5, tx+5, ty+5)
			s.line("truth", tx-5, ty+5, tx+5, ty-5)
			s.sign(tx, ty)
		}
	}
	for _, wind := range found {
		x, y := at(wind.FromTrue, wind.SpeedKt)
		s.name(x, y, fmt.Sprint(wind.Leg+1))
	}
	const below = 434.0
	s.dot("hollow", 60, below-4, 4, "")
	s.text("tick", "start", 70, below, "forecast")
	s.dot("mark", 140, below-4, 4, "")
	s.text("tick", "start", 150, below, "found, by leg")
	if found[0].TrueFrom != nil {
		s.line("truth", 245, below-9, 255, below+1)
		s.line("truth", 245, below+1, 255, below-9)
		s.text("tick", "start", 262, below, "as it really was")
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
	all = append(append(append(append(all, t.Diverted...), t.Reckoned...), t.Fixed...), t.True...)
	project, s, scale := projection(all)
	points := func(places []Place) (drawn [][2]float64) {
		for _, place := range places {
			drawn = append(drawn, project(place.Pos))
		}
		return drawn
	}
	s.path("plan", points(t.Planned))
	for from, place := range t.Diverted { // each begins at a place without a name
		if place.Name != "" {
			s.path("plan", points(t.Diverted[from-1:from+1]))
		}
	}
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
	for _, place := range slices.Concat(t.Planned, t.Diverted) {
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
