package practice

import (
	"fmt"
	"math"
	"time"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// Sight is something that the window or the panel shows at one moment of the true flight.
type Sight struct {
	At    time.Time
	Point string // what a passing would be logged of
	Leg   int
	Text  string // "the dam passes 0.8 nm to the left"
}

// Sights lists what is to be seen on the stretch being flown at t, in order.
func (w *World) Sights(t time.Time) []Sight {
	now := w.stretch(t)
	if now == nil {
		return nil
	}
	var sights []Sight
	for i, leg := range now.route.Legs {
		for _, checkpoint := range leg.Checkpoints {
			if at, ok := now.when(i, checkpoint.AfterNM); ok {
				sights = append(sights, Sight{At: at, Point: checkpoint.Name, Leg: i, Text: abeamText(checkpoint)})
			}
		}
		at, ok := now.when(i, leg.DistanceNM)
		if i == len(now.route.Legs)-1 {
			at, ok = now.arrival(), true
		}
		if ok {
			sights = append(sights, Sight{At: at, Point: leg.To.Ident, Leg: i, Text: overheadText(leg.To)})
		}
	}
	return sights
}

// abeamText says how a checkpoint goes by.
func abeamText(checkpoint sheet.Checkpoint) string {
	const belowNM = 0.3
	if math.Abs(checkpoint.RightNM) < belowNM {
		return checkpoint.Name + " is below"
	}
	side := "right"
	if checkpoint.RightNM < 0 {
		side = "left"
	}
	return fmt.Sprintf("%s passes %.1f nm to the %s", checkpoint.Name, math.Abs(checkpoint.RightNM), side)
}

// overheadText says what shows that a route point is reached.
func overheadText(point plan.Point) string {
	switch point.Kind {
	case plan.VOR, plan.VORDME:
		return point.Ident + ": the flag flips to FROM"
	case plan.DME:
		return point.Ident + ": the DME stops counting down"
	case plan.NDB:
		return point.Ident + ": the ADF needle swings round"
	case plan.Fix:
		if point.Radial != nil {
			return fmt.Sprintf("%s: %s reads radial %03.0f, %.1f nm", point.Ident, point.From, *point.Radial, point.DistanceNM)
		}
		return point.Title() + " is reached"
	default:
		return point.Title() + " is below"
	}
}

// sightShownFor is how long a sight stays worth telling, in flight time.
const sightShownFor = 3 * time.Minute

// Outside is the line that a person in the seat could give: the last thing seen, else the next thing to look for.
func (w *World) Outside(t time.Time) string {
	now := w.stretch(t)
	switch {
	case w.landed:
		return "on the ground"
	case now == nil:
		return "on the ground, engine running"
	}
	var next *Sight
	for _, sight := range w.Sights(t) {
		if age := t.Sub(sight.At); age >= 0 && age < sightShownFor {
			return fmt.Sprintf("%s %s", sight.At.Format("15:04:05Z"), sight.Text)
		}
		if next == nil && sight.At.After(t) {
			next = &sight
		}
	}
	place, _ := w.At(t)
	state := map[sheet.Phase]string{sheet.Climb: "climbing", sheet.Cruise: "level", sheet.Descent: "descending"}[place.Phase]
	height := math.Round(place.AltitudeFt/50) * 50
	if next == nil {
		return fmt.Sprintf("%s at %.0f ft", state, height)
	}
	return fmt.Sprintf("%s at %.0f ft, looking out for %s", state, height, next.Point)
}
