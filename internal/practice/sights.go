package practice

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// Sight is something that the window or the panel shows at one moment of the true flight.
type Sight struct {
	At    time.Time
	Point string // what a passing would be logged of
	Text  string // "the dam passes half a mile to the left"
}

// landmark is something on the ground that can be told from the air.
type landmark struct {
	point string // as a passing would be logged
	title string
	at    earth.Position
}

// landmarksOf are the aerodromes and visual points of a plan, and the checkpoints that it has along its legs.
func landmarksOf(s *sheet.Sheet) []landmark {
	var marks []landmark
	for _, point := range s.Plan.Points {
		if point.Kind == plan.Visual || point.Kind == plan.Aerodrome {
			marks = append(marks, landmark{point.Ident, point.Title(), point.At})
		}
	}
	for i, leg := range s.Route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if _, known := s.Plan.Point(checkpoint.Name); known {
				continue
			}
			marks = append(marks, landmark{checkpoint.Name, checkpoint.Name, s.Route.PositionAt(i, checkpoint.AfterNM)})
		}
	}
	return marks
}

// bearing is where a place lies from the aircraft.
type bearing struct{ northNM, eastNM float64 }

// from is a bearing over a flat earth: near enough within sight.
func from(here, there earth.Position) bearing {
	return bearing{60 * (there.Lat - here.Lat), 60 * angle.Wrap180(there.Lon-here.Lon) * angle.Cos(here.Lat)}
}

func (b bearing) distanceNM() float64    { return math.Hypot(b.northNM, b.eastNM) }
func (b bearing) directionTrue() float64 { return angle.Direction(b.northNM, b.eastNM) }

// closing is how fast the distance over the ground falls, in knots; negative when it grows.
func (b bearing) closing(c craft) float64 {
	return c.groundKt * angle.Cos(c.trackTrue-b.directionTrue())
}

// tunedWithinNM is how near a tuned beacon's passing is worth telling.
const tunedWithinNM = 6

// sightsBetween are what goes abeam in a second that was steered.
func (w *World) sightsBetween(before, after craft) []Sight {
	if now := w.stretch(before.time); now == nil || !now.steered || !after.flies {
		return nil
	}
	var sights []Sight
	abeam := func(place earth.Position) (bearing, bool) {
		then, now := from(before.at, place), from(after.at, place)
		return now, then.closing(before) > 0 && now.closing(after) <= 0
	}
	for _, mark := range w.landmarks {
		if b, passes := abeam(mark.at); passes && b.distanceNM() <= w.visibilityNM && !w.seenLately(mark.point, after.time) {
			sights = append(sights, Sight{after.time, mark.point, passesText(mark.title, b.distanceNM(), rightOf(after, b))})
		}
	}
	told := map[string]bool{}
	for i, set := range after.receivers {
		if b, passes := abeam(set.beacon.At); passes && set.beacon.Ident != "" && !w.offTheAir(set.beacon.Ident, after.time) && b.distanceNM() <= tunedWithinNM && !told[set.beacon.Ident] && !w.seenLately(set.beacon.Ident, after.time) {
			told[set.beacon.Ident] = true
			sights = append(sights, Sight{after.time, set.beacon.Ident, w.beaconText(i, set.beacon, b.distanceNM(), rightOf(after, b))})
		}
	}
	return sights
}

// seenLately reports whether a point has just gone abeam: a track that gusts swing does not make it do so twice.
func (w *World) seenLately(point string, t time.Time) bool {
	const lately = 2 * time.Minute
	for i := len(w.seen) - 1; i >= 0 && t.Sub(w.seen[i].At) < lately; i-- {
		if w.seen[i].Point == point {
			return true
		}
	}
	return false
}

// rightOf reports whether a place lies right of the track.
func rightOf(c craft, b bearing) bool { return angle.Turn(c.trackTrue, b.directionTrue()) > 0 }

// belowNM is how near a landmark is below rather than to one side.
const belowNM = 0.2

func passesText(title string, distanceNM float64, right bool) string {
	if distanceNM < belowNM {
		return title + " is below"
	}
	return fmt.Sprintf("%s passes %s to the %s", title, say.MilesByEye(distanceNM), say.OnSide(right))
}

// beaconText is what the panel shows when a tuned beacon goes abeam.
func (w *World) beaconText(receiver int, beacon plan.Point, distanceNM float64, right bool) string {
	name := w.sheet.Plan.Aircraft.Receivers[receiver]
	const overheadNM = 1
	switch {
	case plan.Receives(name, plan.NDB) && distanceNM < overheadNM:
		return beacon.Ident + ": the ADF needle reverses, overhead"
	case plan.Receives(name, plan.NDB):
		return fmt.Sprintf("%s: the ADF needle passes the %s wing tip", beacon.Ident, say.OnSide(right))
	case plan.SelectsCourse(name) && distanceNM < overheadNM:
		return beacon.Ident + ": the flag goes to FROM, overhead"
	case plan.SelectsCourse(name):
		return fmt.Sprintf("%s is abeam on the %s: the flag turns", beacon.Ident, say.OnSide(right))
	default:
		return beacon.Ident + ": the DME stops counting down"
	}
}

// Sights lists what is to be seen on the stretch being flown at t, in order: on one that the reckoner flies all of it, on one that is
// steered what has been seen, and nothing while nobody looks.
func (w *World) Sights(t time.Time) []Sight {
	now := w.stretch(t)
	if now == nil || now.missed {
		return nil
	}
	if now.steered {
		w.to(t)
		return slices.DeleteFunc(slices.Clone(w.seen), func(s Sight) bool { return s.At.After(t) || s.At.Before(now.from) })
	}
	var sights []Sight
	for i, leg := range now.route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if at, ok := now.when(i, checkpoint.AfterNM); ok {
				sights = append(sights, Sight{At: at, Point: checkpoint.Name, Text: passesText(w.title(checkpoint.Name), math.Abs(checkpoint.RightNM), checkpoint.RightNM > 0)})
			}
		}
		at, ok := now.when(i, leg.DistanceNM)
		if i == len(now.route.Legs)-1 {
			at, ok = now.arrival(), true
		}
		if ok {
			sights = append(sights, Sight{At: at, Point: leg.To.Ident, Text: overheadText(leg.To)})
		}
	}
	return sights
}

// title is what a pilot calls a point.
func (w *World) title(name string) string {
	if point, ok := w.sheet.Plan.Point(name); ok {
		return point.Title()
	}
	return name
}

// overheadText says what shows that a route point is reached.
func overheadText(point plan.Point) string {
	switch point.Kind {
	case plan.VOR, plan.VORDME:
		return point.Ident + ": the flag flips to FROM"
	case plan.DME:
		return point.Ident + ": the DME stops counting down"
	case plan.NDB:
		return point.Ident + ": the ADF needle reverses"
	case plan.Fix:
		if point.Radial != nil {
			return fmt.Sprintf("%s: %s reads radial %03.0f, %s", point.Ident, point.From, *point.Radial, say.Miles(point.DistanceNM))
		}
		return point.Title() + " is reached"
	default:
		return point.Title() + " is below"
	}
}

// inView names the landmarks that can be seen, nearest first.
func (w *World) inView(c craft) []string {
	type seen struct {
		landmark
		bearing
	}
	var near []seen
	for _, mark := range w.landmarks {
		if b := from(c.at, mark.at); b.distanceNM() <= w.visibilityNM {
			near = append(near, seen{mark, b})
		}
	}
	slices.SortStableFunc(near, func(a, b seen) int {
		switch d := a.distanceNM() - b.distanceNM(); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	views := []string{}
	for _, s := range near {
		if s.distanceNM() < belowNM {
			where := "below"
			if !c.flies {
				where = "here"
			}
			views = append(views, s.title+", "+where)
			continue
		}
		nose := angle.Turn(w.headingTrue(c), s.directionTrue())
		views = append(views, fmt.Sprintf("%s, %s, %s", s.title, say.OffNose(nose), say.MilesByEye(s.distanceNM())))
	}
	return views
}

func (w *World) headingTrue(c craft) float64 { return angle.Wrap360(c.magnetic + c.field) }

// sightShownFor is how long a sight stays worth telling, in flight time.
const sightShownFor = 3 * time.Minute

// Outside is the line that a person in the seat could give: the last thing seen, else the next thing to look for.
func (w *World) Outside(t time.Time) string {
	now := w.stretch(t)
	switch {
	case !w.landed.IsZero():
		return "on the ground"
	case now == nil:
		return "on the ground, engine running"
	}
	next := ""
	sights := w.Sights(t)
	for i := len(sights) - 1; i >= 0; i-- {
		if age := t.Sub(sights[i].At); age >= 0 && age < sightShownFor {
			return fmt.Sprintf("%s %s", say.Time(sights[i].At), sights[i].Text)
		}
		if sights[i].At.After(t) {
			next = sights[i].Point
		}
	}
	c := w.to(t)
	state := map[sheet.Phase]string{sheet.Climb: "climbing", sheet.Cruise: "level", sheet.Descent: "descending"}[c.phase]
	at := fmt.Sprintf("%s at %s", state, say.Feet(math.Round(c.altitudeFt/50)*50))
	if now.byPilot() { // who steers by hand sees from every screen what is steered
		at += ", compass " + say.Degrees(w.compassOf(c.magnetic))
	}
	if next == "" {
		return at
	}
	return at + ", looking out for " + next
}
