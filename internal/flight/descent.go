package flight

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// wayDown is a descent ahead: from a level to a height over a place, at the aircraft's rate.
type wayDown struct {
	to           place
	leave        place
	leaveAt      time.Time // as it is when nothing delays the flight
	fromFt, toFt float64
	minutes      float64 // of the descent itself
	distanceNM   float64
	levelNM      float64 // from where it is over to the place
	wished       bool    // to the altitude that is wanted of a point, not the last descent
}

// lastDown is the last descent, as it is reckoned or, where it is under way, as it was last reckoned from the level.
func (f *fold) lastDown(t time.Time) (w wayDown, ok bool) {
	pieces := f.outlook.trajectory.LastDescent()
	toFt, descends := f.legs[f.leg].way.route.ArrivalFt()
	if len(pieces) == 0 || !descends || f.complete {
		return w, false
	}
	w = wayDown{to: f.destination(), fromFt: pieces[0].FromFt, toFt: toFt}
	over := len(pieces) // the level part, unless all of it is level already
	for over > 1 && pieces[over-1].FromFt == pieces[over-1].ToFt {
		over--
	}
	for i, piece := range pieces {
		if i >= over {
			w.levelNM += piece.ToNM - piece.FromNM
			continue
		}
		w.minutes += piece.Minutes
		w.distanceNM += piece.ToNM - piece.FromNM
	}
	w.leave = place{f.outlook.way.first + pieces[0].Leg, pieces[0].FromNM}
	w.leaveAt = f.outlook.after(pieces[0].StartMinutes)
	if opened, late := f.prompts.opened.Find(f.descentID()); late && f.descended.IsZero() {
		w.leaveAt, w.leave = opened, place{leg: f.leg}
	}
	return w, true
}

// wishedDown is the descent to the altitude that is wanted of a point ahead, at the aircraft's rate and airspeed of descent, in the wind
// half-way down.
func (f *ahead) wishedDown(t time.Time) (w wayDown, ok bool) {
	to, ahead := f.wished()
	n, flying := f.here(t)
	if !ahead || !flying || f.told.wish.altitudeFt == nil {
		return w, false
	}
	w = wayDown{to: to, fromFt: f.levelLeft(n), toFt: *f.told.wish.altitudeFt, wished: true}
	groundspeed, err := f.descentGroundspeed(to, (w.fromFt+w.toFt)/2)
	if !different(w.fromFt, w.toFt) || w.toFt > w.fromFt || err != nil {
		return w, false
	}
	w.minutes, w.distanceNM = deadreckon.LevelChange(w.fromFt-w.toFt, f.sheet.Plan.Aircraft.Descent.RateFtMin, groundspeed)
	w.leave = f.placeBefore(to, w.distanceNM)
	if w.leaveAt, ok = f.outlook.eta(w.leave); !ok { // behind
		w.leaveAt = f.anchor.at
	}
	return w, true
}

// descentGroundspeed is that of a descent towards a place, at an altitude.
func (f *ahead) descentGroundspeed(to place, altitudeFt float64) (float64, error) {
	aircraft := f.sheet.Plan.Aircraft
	cas, err := air.Calibrated(aircraft.PositionError, aircraft.Descent.IASKt)
	if err != nil {
		return 0, err
	}
	pressureAltitudeFt, temperatureC := f.airAt(altitudeFt)
	wind, _ := f.outlook.air.Layers.At(altitudeFt)
	heading, err := deadreckon.HeadingFor(f.legs[to.leg].line().TrackAt(to.afterNM).TrackTrue, air.TASFromCAS(cas, pressureAltitudeFt, temperatureC), wind)
	return heading.GroundspeedKt, err
}

// placeBefore is so far back along the way from a place, not behind the leg being flown.
func (f *flown) placeBefore(to place, distanceNM float64) place {
	to.afterNM -= distanceNM
	for to.afterNM < 0 && to.leg > f.leg {
		to.leg--
		to.afterNM += f.legs[to.leg].line().DistanceNM
	}
	to.afterNM = math.Max(0, to.afterNM)
	return to
}

// distanceTo is how far it is along the way from where the aircraft is.
func (f *ahead) distanceTo(to place, t time.Time) float64 {
	n, _ := f.here(t)
	distance := to.afterNM - n.afterNM
	for leg := f.leg; leg < to.leg; leg++ {
		distance += f.legs[leg].line().DistanceNM
	}
	return math.Max(0, distance)
}

// descentAt is the descent that comes next: to an altitude that is wanted of a point, else the last one.
func (f *fold) descentAt(t time.Time) *DescentNow {
	w, ok := f.wishedDown(t)
	if !ok {
		w, ok = f.lastDown(t)
	}
	if !ok || !f.landed.IsZero() {
		return nil
	}
	return f.descentOf(w, t)
}

func (f *ahead) descentOf(w wayDown, t time.Time) *DescentNow {
	point := f.told.wish.point
	if !w.wished {
		point = f.legs[w.to.leg].line().To.Ident
	}
	d := &DescentNow{
		Point: point, Name: f.pointTitle(point), FromFt: w.fromFt, ToFt: w.toFt, RateFtMin: (w.fromFt - w.toFt) / w.minutes, Minutes: w.minutes,
		GroundspeedKt: deadreckon.Groundspeed(w.distanceNM, w.minutes), BeforeNM: w.distanceNM + w.levelNM, TaughtNM: deadreckon.DescentDistanceRuleNM(w.fromFt-w.toFt) + w.levelNM,
		LeaveAt: shown(w.leaveAt.Add(f.delayTo(w.leave, t))), Begun: !w.wished && !f.descended.IsZero(),
	}
	d.ToGoNM = f.distanceTo(w.to, t)
	if !f.flying() {
		return d
	}
	d.Late = !d.Begun && t.After(d.LeaveAt)
	if d.Late || d.Begun {
		altitudeFt := w.fromFt // not left yet, as far as is known
		if n, ok := f.here(t); ok && d.Begun {
			altitudeFt = n.point.AltitudeFt
		}
		d.NeededFtMin = f.rateNeeded(altitudeFt-w.toFt, d.ToGoNM-w.levelNM, d.GroundspeedKt)
	}
	return d
}

// rateNeeded is the rate that loses a height over a distance; nil where no distance is left.
func (f *flown) rateNeeded(heightFt, distanceNM, groundspeedKt float64) *float64 {
	const nearNM = 0.1
	if distanceNM < nearNM || heightFt <= 0 {
		return nil
	}
	return ref(deadreckon.RateForDistance(heightFt, distanceNM, groundspeedKt))
}

// wishedDescent begins the ids of the prompts for descents to an altitude that is wanted of a point.
const wishedDescent = "descent-to-"

// promptWishedDescent asks for the descent to the altitude that is wanted of a point.
func (f *fold) promptWishedDescent(t time.Time) {
	w, ok := f.wishedDown(t)
	if !ok {
		return
	}
	f.add(pending{at: &w.leave, due: w.leaveAt, task: newTask(task{
		ID: fmt.Sprintf("%s%s-%.0f", wishedDescent, f.told.wish.point, w.toFt), Kind: PromptDescent, Text: fmt.Sprintf("top of descent, to %s", say.Feet(w.toFt)),
		Detail: []string{fmt.Sprintf("%s, IAS %.0f, %s before %s", say.FeetPerMinute(f.sheet.Plan.Aircraft.Descent.RateFtMin), f.sheet.Plan.Aircraft.Descent.IASKt,
			say.Miles(w.distanceNM), f.told.wish.point)},
	})})
}

// steeper puts the rate that a descent needs from here in front of what its prompt says, once it is overdue.
func (f *fold) steeper(prompt *Prompt, t time.Time) {
	w, ok := f.lastDown(t)
	if strings.HasPrefix(prompt.ID, wishedDescent) {
		w, ok = f.wishedDown(t)
	}
	if !ok {
		return
	}
	d := f.descentOf(w, t)
	if d.NeededFtMin == nil || !d.Late {
		return
	}
	line := fmt.Sprintf("late: %s from here for %s at %s", say.FeetPerMinute(*d.NeededFtMin), say.Feet(d.ToFt), d.Point)
	prompt.Detail = append([]string{line}, prompt.Detail...)
}

// levelLeft is the altitude from which a descent begins that has just been logged: until then the level was held, whatever was reckoned.
func (f *ahead) levelLeft(n now) float64 {
	if pieces := f.outlook.trajectory.LastDescent(); n.descending && f.descended.IsZero() && len(pieces) > 0 && pieces[0].Phase == sheet.Descent {
		return pieces[0].FromFt
	}
	return n.point.AltitudeFt
}
