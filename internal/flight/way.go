package flight

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// way is a route that is or was flown: the plan's, or a diversion's.
type way struct {
	route *sheet.Route
	first int // index of its first leg among all legs of the flight
	// from is the time of the diversion; zero for the plan's route.
	from    time.Time
	rejoins bool // after its first leg it goes on as planned
}

// leg is a leg of the flight. The plan's legs come first, those of diversions after them, so that an index never changes its
// meaning during a flight.
type leg struct {
	way   *way
	local int // index into way.route.Legs
	asked *legAsked

	planned            time.Time // at its end, by the sheet or, on a diversion, by the first reckoning
	checkpointsPlanned []time.Time
	plannedMinutes     float64
	plannedHeading     float64 // magnetic
	plannedKt          float64 // groundspeed
	leftOut            bool    // by a diversion
	planLeg            int     // the leg of the plan that ends at the same point; -1 for a diversion that does not rejoin
	actual             time.Time
	started            time.Time
	startedNM          float64   // from the leg's start; not 0 where that was never logged
	begun              time.Time // the same but for holds, of which each starts the leg's clock anew
	begunNM            float64
	left               *LegLeft // by a diversion, with a part of it flown
	checkpointsActual  []time.Time
}

// line is the leg's geometry.
func (l *leg) line() *sheet.RouteLeg { return &l.way.route.Legs[l.local] }

// last reports whether the leg ends at the way's destination.
func (l *leg) last() bool { return l.local == len(l.way.route.Legs)-1 }

// legsOf are the legs of the plan, with what the sheet says of them.
func legsOf(s *sheet.Sheet) []leg {
	planned := &way{route: s.Route}
	legs := make([]leg, len(s.Legs))
	for i, row := range s.Legs {
		checkpoints := make([]time.Time, len(row.CheckpointETAs))
		for c, at := range row.CheckpointETAs {
			checkpoints[c] = shown(at)
		}
		legs[i] = leg{
			way: planned, local: i, asked: askedOf(i, &planned.route.Legs[i], s.Plan.Aircraft.Receivers), planLeg: i,
			planned:            shown(row.ETA),
			checkpointsPlanned: checkpoints,
			checkpointsActual:  make([]time.Time, len(row.Checkpoints)),
			plannedMinutes:     row.Minutes,
			plannedHeading:     row.HeadingMagnetic,
			plannedKt:          row.GroundspeedKt,
		}
	}
	return legs
}

// onLegs changes a leg of the flight, and not that of any copy.
func (f *flown) onLegs(index int, change func(*leg)) {
	f.legs = slices.Clone(f.legs)
	change(&f.legs[index])
}

// place is somewhere on the legs of the flight.
type place struct {
	leg     int
	afterNM float64
}

// spot is a named place that can be passed.
type spot struct {
	place
	checkpoint int // index of the checkpoint; -1 for a leg's end, -2 for the departure
}

const (
	legEnd    = -1
	departure = -2
)

// find looks for a point or checkpoint on the way being flown: from the leg being flown on, else before it. behind says that
// the place lies before the last one passed.
func (f *flown) find(name string) (found spot, behind, ok bool) {
	w := f.legs[f.leg].way
	for i := f.leg; i < w.first+len(w.route.Legs); i++ {
		if s, ok := f.onLeg(i, name); ok && !(i == f.leg && s.afterNM <= f.lastPassed.afterNM && f.lastPassed.leg == i) {
			return s, false, true
		}
	}
	for i := f.leg; i >= w.first; i-- {
		if s, ok := f.onLeg(i, name); ok {
			return s, true, true
		}
	}
	if w.route.Legs[0].From.Ident == name {
		return spot{place{w.first, 0}, departure}, f.leg != w.first || f.lastPassed.afterNM > 0, true
	}
	return spot{}, false, false
}

func (f *flown) onLeg(index int, name string) (spot, bool) {
	line := f.legs[index].line()
	for c, checkpoint := range line.Checkpoints {
		if checkpoint.Name == name {
			return spot{place{index, checkpoint.AfterNM}, c}, true
		}
	}
	if line.To.Ident == name {
		return spot{place{index, line.DistanceNM}, legEnd}, true
	}
	return spot{}, false
}

// passable lists the names that can be passed from here on, for messages.
func (f *flown) passable() []string {
	var names []string
	w := f.legs[f.leg].way
	for i := f.leg; i < w.first+len(w.route.Legs); i++ {
		for _, checkpoint := range f.legs[i].line().Checkpoints {
			names = append(names, checkpoint.Name)
		}
		names = append(names, f.legs[i].line().To.Ident)
	}
	return names
}

// holdLevel makes the legs from the one being flown to the next planned change of level be flown at another altitude, and returns it.
// Where the aircraft's tables do not reach there, the nearest altitude towards the planned one stands in, and it is said.
func (f *believed) holdLevel(altitudeFt float64) (heldFt float64) {
	const stepFt = 250
	current, plannedFt := &f.legs[f.leg], f.levelFt(f.leg)
	f.standIn = ""
	for heldFt = altitudeFt; different(heldFt, plannedFt); {
		changed := atLevel(current, heldFt)
		if _, err := changed.Reckon(sheet.Start{Leg: current.local, AfterNM: f.anchor.afterNM, AltitudeFt: heldFt}, f.sheet.Air); err == nil {
			f.fly(changed)
			return heldFt
		}
		heldFt += math.Copysign(math.Min(stepFt, math.Abs(plannedFt-heldFt)), plannedFt-heldFt)
		f.standIn = fmt.Sprintf("%s is outside the aircraft's tables: %s is used", say.Feet(altitudeFt), say.Feet(heldFt))
	}
	return heldFt
}

// atLevel is a leg's route with another level from there to the next planned change of level.
func atLevel(from *leg, altitudeFt float64) *sheet.Route {
	changed := *from.way.route
	changed.Legs = slices.Clone(changed.Legs)
	level := changed.Legs[from.local].Level
	for i := from.local; i < len(changed.Legs) && changed.Legs[i].Level == level; i++ {
		changed.Legs[i].Level = plan.Level{AltitudeFt: altitudeFt}
		changed.Legs[i].AltitudeFt = altitudeFt
	}
	return &changed
}

// fly puts a changed route in place of the one being flown.
func (f *flown) fly(changed *sheet.Route) {
	moved := *f.legs[f.leg].way
	moved.route = changed
	f.legs = slices.Clone(f.legs)
	for i := range changed.Legs {
		f.legs[moved.first+i].way = &moved
	}
}

// magneticOn is a true direction at a place, magnetic.
func (f *flown) magneticOn(at place, directionTrue float64) float64 {
	l := &f.legs[at.leg]
	return deadreckon.MagneticFromTrue(directionTrue, l.way.route.VariationAt(l.local, at.afterNM))
}

func (f *fold) foldPassing(e Event) bool {
	if f.airborne.IsZero() || f.complete || !f.landed.IsZero() {
		return false
	}
	s, behind, ok := f.find(e.Point)
	if !ok {
		return f.passElsewhere(e)
	}
	n, flying := f.here(e.T)
	if behind || !flying {
		return false
	}
	f.burnUntil(e.T)
	f.feedAt = time.Time{} // what a feed says next counts at once
	f.takeEvidence(e, s)
	f.endHold(e.T, f.atPlace(s.place))
	m := f.markOf(e, s)
	f.sumUp(m)
	f.arrive(e.T, s, n)
	f.passUnlogged(s.place, e.T)
	f.goOn(m, s)
	if f.offTrack = nil; e.OffTrack != nil {
		f.setOffTrack(e)
	}
	f.prompts.passed(e.Point, e.T, s.checkpoint == legEnd)
	if f.holdAt == e.Point && !f.complete {
		f.beginHold(Event{T: e.T, Point: e.Point})
	}
	return true
}

// passUnlogged notes of the points up to one that nobody logged that they are passed now at the latest, for what is asked for at each.
func (f *fold) passUnlogged(until place, at time.Time) {
	for i := f.leg; i <= until.leg; i++ {
		line := f.legs[i].line()
		for _, checkpoint := range line.Checkpoints {
			if i == until.leg && checkpoint.AfterNM >= until.afterNM {
				break
			}
			f.prompts.passedAtLatest(checkpoint.Name, at)
		}
		if i < until.leg {
			f.prompts.passedAtLatest(line.To.Ident, at)
		}
	}
}

// goOn turns to the next leg where a passing ended one, and otherwise goes on along the leg.
func (f *ahead) goOn(m mark, s spot) {
	switch {
	case s.checkpoint == legEnd && f.legs[s.leg].last():
		if s.leg != f.leg { // the passings between were missed: it is there nonetheless
			f.leg, f.marks = s.leg, nil
		}
		f.complete, f.lastPassed = true, m
		f.marks = values.Added(f.marks, m)
	case s.checkpoint == legEnd:
		f.turnBelief(s.leg)
		f.leg = s.leg + 1
		m.place = place{leg: f.leg}
		f.anchor.place = m.place
		f.startLeg(m)
	case s.checkpoint == departure || s.leg != f.leg:
		f.leg = s.leg
		f.startLeg(m)
	default:
		f.lastPassed = m
		f.marks = values.Added(f.marks, m)
		f.anchor.place = f.onThisLeg(m.afterNM)
		f.untimed = false
	}
}

// arrive makes a passing the place that the flight is reckoned from, and writes it into the leg.
func (f *believed) arrive(t time.Time, s spot, n now) {
	f.onLegs(s.leg, func(l *leg) {
		switch s.checkpoint {
		case legEnd:
			l.actual = t
		case departure:
		default:
			l.checkpointsActual = values.Replaced(l.checkpointsActual, s.checkpoint, t)
		}
	})
	f.line = nil
	f.anchor = anchor{
		place: s.place, at: t, altitudeFt: n.point.AltitudeFt, descending: n.descending, by: ByPassing,
	}
}

// passElsewhere is the passing of a point of the plan that does not lie on the way: it is as good as a position.
func (f *fuelled) passElsewhere(e Event) bool {
	point, ok := f.sheet.Plan.Point(e.Point)
	if !ok {
		return false
	}
	at := point.At
	return f.foldFix(Event{Act: Fix, T: e.T, At: &at})
}

// changingSince is how many minutes of climb and descent lie between the last passing and a time.
func (f *ahead) changingSince(t time.Time) float64 {
	return f.anchor.changing + f.outlook.levelChangeMinutes(f.outlook.minutesOf(t))
}

// worthSaying is how many minutes of climb or descent are said beside a groundspeed.
const worthSaying = 0.5

// atPlace reports whether a place is that which the flight is reckoned from, as in a hold.
func (f *ahead) atPlace(p place) bool {
	return f.onThisLeg(p.afterNM) == f.onThisLeg(f.anchor.afterNM) && p.leg == f.leg
}

// markOf is the mark of a passing that is about to be taken in.
func (f *ahead) markOf(e Event, s spot) mark {
	m := mark{place: s.place, at: e.T, name: e.Point, changing: f.changingSince(e.T) > worthSaying}
	if n := len(f.marks); n > 0 && s.leg == f.leg {
		if flown, ok := FlownBetween(f.marks[n-1].at, e.T, f.holds); ok {
			m.flown = flown
		}
	}
	return m
}

// sumUp makes the plain sum of the way from the last passing on this leg to one that is about to be taken in.
func (f *flown) sumUp(to mark) {
	if len(f.marks) == 0 {
		return
	}
	speedKt, distanceNM, took := madeGood(f.marks[len(f.marks)-1], to)
	if speedKt == nil {
		return
	}
	f.sumTo, f.sum = to.name, fmt.Sprintf("%s in %s = %s", say.Miles(distanceNM), say.Duration(took), say.Knots(*speedKt))
	if to.changing {
		f.sum += ", not level"
	}
}

// madeGood is the groundspeed between two passings on one leg; nil where something came between.
func madeGood(from, to mark) (groundspeedKt *float64, distanceNM float64, took time.Duration) {
	distanceNM, took = to.afterNM-from.afterNM, to.flown
	if from.leg != to.leg || took <= 0 || distanceNM <= 0 {
		return nil, distanceNM, took
	}
	return ref(deadreckon.Groundspeed(distanceNM, took.Minutes())), distanceNM, took
}
