package flight

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
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

	planned            time.Time // at its end, by the sheet or, on a diversion, by the first reckoning
	checkpointsPlanned []time.Time
	plannedMinutes     float64
	plannedHeading     float64 // magnetic
	plannedKt          float64 // groundspeed
	leftOut            bool    // by a diversion
	planLeg            int     // the leg of the plan that ends at the same point; -1 for a diversion that does not rejoin
	actual             time.Time
	started            time.Time
	startedNM          float64 // from the leg's start; not 0 where that was never logged
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
		legs[i] = leg{
			way: planned, local: i, planLeg: i,
			planned:            row.ETA,
			checkpointsPlanned: row.CheckpointETAs,
			checkpointsActual:  make([]time.Time, len(row.Checkpoints)),
			plannedMinutes:     row.Minutes,
			plannedHeading:     row.HeadingMagnetic,
			plannedKt:          row.GroundspeedKt,
		}
	}
	return legs
}

// onLegs changes a leg of the flight, and not that of any copy.
func (p *progress) onLegs(index int, change func(*leg)) {
	p.legs = slices.Clone(p.legs)
	change(&p.legs[index])
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
func (p *progress) find(name string) (found spot, behind, ok bool) {
	w := p.legs[p.leg].way
	for i := p.leg; i < w.first+len(w.route.Legs); i++ {
		if s, ok := p.onLeg(i, name); ok && !(i == p.leg && s.afterNM <= p.lastPassed.afterNM && p.lastPassed.leg == i) {
			return s, false, true
		}
	}
	for i := p.leg; i >= w.first; i-- {
		if s, ok := p.onLeg(i, name); ok {
			return s, true, true
		}
	}
	if w.route.Legs[0].From.Ident == name {
		return spot{place{w.first, 0}, departure}, p.leg != w.first || p.lastPassed.afterNM > 0, true
	}
	return spot{}, false, false
}

func (p *progress) onLeg(index int, name string) (spot, bool) {
	line := p.legs[index].line()
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
func (p *progress) passable() []string {
	var names []string
	w := p.legs[p.leg].way
	for i := p.leg; i < w.first+len(w.route.Legs); i++ {
		for _, checkpoint := range p.legs[i].line().Checkpoints {
			names = append(names, checkpoint.Name)
		}
		names = append(names, p.legs[i].line().To.Ident)
	}
	return names
}

// holdLevel makes the legs from the one being flown to the next planned change of level be flown at another altitude, and returns it.
// Where the aircraft's tables do not reach there, the nearest altitude towards the planned one stands in, and it is said.
func (p *progress) holdLevel(altitudeFt float64) (heldFt float64) {
	const stepFt = 250
	current, plannedFt := &p.legs[p.leg], p.levelFt(p.leg)
	p.standIn = ""
	for heldFt = altitudeFt; different(heldFt, plannedFt); {
		changed := atLevel(current, heldFt)
		if _, err := changed.Reckon(sheet.Start{Leg: current.local, AfterNM: p.anchor.afterNM, AltitudeFt: heldFt}, p.sheet.Air); err == nil {
			p.fly(changed)
			return heldFt
		}
		heldFt += math.Copysign(math.Min(stepFt, math.Abs(plannedFt-heldFt)), plannedFt-heldFt)
		p.standIn = fmt.Sprintf("%.0f ft is outside the aircraft's tables: %.0f ft is reckoned with", altitudeFt, heldFt)
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
func (p *progress) fly(changed *sheet.Route) {
	moved := *p.legs[p.leg].way
	moved.route = changed
	p.legs = slices.Clone(p.legs)
	for i := range changed.Legs {
		p.legs[moved.first+i].way = &moved
	}
}

// magneticOn is a true direction at a place, magnetic.
func (p *progress) magneticOn(at place, directionTrue float64) float64 {
	l := &p.legs[at.leg]
	return deadreckon.MagneticFromTrue(directionTrue, l.way.route.DeclinationAt(l.local, at.afterNM))
}
