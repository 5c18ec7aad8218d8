package practice

import (
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
)

// From where on a figure is worth asking for. Common practice, no source.
const (
	leastStretchNM  = 3
	leastAheadNM    = 4
	leastOffTrackNM = 0.3
	slowestShare    = 0.4 // of the true airspeed
	fastestShare    = 1.7
)

// onLeg is where a passing stands in the log: the point before it on the same leg, and what lies ahead.
type onLeg struct {
	here, before flight.RoutePoint // before has the leg's start where no checkpoint came between
	beforeNM     float64
	end          flight.RoutePoint
	level        bool // from the point before on there was neither climb nor descent
	tasKt        float64
	way          flownWay
	told         bool // the log tells the way
}

// logged finds a passing in the log; ok is false where it is no point of the way.
func logged(s flight.Snapshot, e flight.Event) (on onLeg, ok bool) {
	at := -1
	for i, row := range s.Route {
		if row.Actual != nil && row.Point == e.Point && row.Actual.Equal(e.T) {
			at = i
		}
	}
	if at < 1 {
		return on, false
	}
	on.here = s.Route[at]
	for i := at - 1; i >= 0 && on.before.Actual == nil; i-- {
		row := s.Route[i]
		start := !row.Checkpoint && row.Leg == on.here.Leg-1
		if row.Actual != nil && (start || row.Leg == on.here.Leg) {
			on.before = row
			if !start {
				on.beforeNM = row.AfterNM
			}
		}
	}
	for _, row := range s.Route {
		if row.Leg == on.here.Leg && !row.Checkpoint {
			on.end = row
		}
	}
	return on, on.before.Actual != nil
}

// stretch is the way between the two passings as the log tells it.
func (on onLeg) stretch() drill.Stretch {
	return drill.Stretch{
		From: on.before.Point, To: on.here.Point, DistanceNM: on.way.distanceNM, StraightNM: on.way.straightNM, Share: on.way.share,
		First: *on.before.Actual, Second: *on.here.Actual,
	}
}

// usable reports whether the stretch to the passing gives a groundspeed that some wind explains.
func (on onLeg) usable() bool {
	s := on.stretch()
	speed := deadreckon.Groundspeed(s.DistanceNM, s.Second.Sub(s.First).Minutes())
	return on.told && on.level && s.DistanceNM >= leastStretchNM && speed > slowestShare*on.tasKt && speed < fastestShare*on.tasKt
}

func (on onLeg) question(k kind, name string, e drill.Exercise) *question {
	return &question{Exercise: e, kind: k, name: name, first: *on.before.Actual, second: *on.here.Actual, leg: on.here.Leg, after: on.here.AfterNM}
}

func (on onLeg) groundspeed() *question {
	if !on.usable() {
		return nil
	}
	return on.question(askGroundspeed, "groundspeed "+on.before.Point+" to "+on.here.Point, drill.GroundspeedInFlight(on.stretch()))
}

// straightOn reports whether the groundspeed of the stretch is that of the way ahead too: it was no detour, and the two headings are
// much the same.
func (on onLeg) straightOn() bool {
	return on.usable() && !on.way.detour() && math.Abs(on.way.rightNM) < leastOffTrackNM*2
}

// eta asks for the leg's end, or for the next checkpoint where that is the end.
func (on onLeg) eta() *question {
	toGo := math.Hypot(on.end.AfterNM-on.here.AfterNM, on.way.rightNM)
	if !on.straightOn() || toGo < leastAheadNM || on.end.Revised == nil {
		return nil
	}
	best := drill.Best{At: *on.end.Revised}
	if on.end.SigmaSeconds != nil {
		best.SigmaMinutes = *on.end.SigmaSeconds / 60
	}
	q := on.question(askETA, "ETA "+on.end.Point, drill.ETAInFlight(on.stretch(), "at "+on.end.Point, toGo, best))
	q.after = on.end.AfterNM
	return q
}

// beacon asks for the time of the next change of beacon on this leg.
func (on onLeg) beacon(s flight.Snapshot) *question {
	if !on.straightOn() {
		return nil
	}
	for _, receiver := range s.Radio {
		next := receiver.Next
		if next == nil || next.Leg != on.here.Leg || next.AfterNM-on.here.AfterNM < leastAheadNM || next.Due == nil {
			continue
		}
		best := drill.Best{At: *next.Due}
		if on.end.SigmaSeconds != nil && on.end.AfterNM > on.here.AfterNM { // it grows with the way ahead
			best.SigmaMinutes = *on.end.SigmaSeconds / 60 * (next.AfterNM - on.here.AfterNM) / (on.end.AfterNM - on.here.AfterNM)
		}
		where := receiver.Receiver + " to " + next.Beacon + ", due " + say.Distance.Say(on.end.AfterNM-next.AfterNM, 1) + " before " + on.end.Point
		q := on.question(askBeacon, "time to tune "+next.Beacon, drill.ETAInFlight(on.stretch(), where, next.AfterNM-on.here.AfterNM, best))
		q.after = next.AfterNM
		return q
	}
	return nil
}

// turn asks for the turn to the leg's end, where a distance off track was logged and one heading has led there from the leg's start:
// with another the miles flown say nothing of the track made good.
func (on onLeg) turn(x *exam, f *Flight, s flight.Snapshot) *question {
	whole := on
	for _, row := range s.Route {
		if row.Leg == on.here.Leg-1 && !row.Checkpoint {
			whole.before, whole.beforeNM = row, 0
		}
	}
	if whole.before.Actual == nil {
		return nil
	}
	way, told := x.wayOf(f, s, whole)
	toGo := on.end.AfterNM - on.here.AfterNM
	if !told || !way.held || math.Abs(way.rightNM) < leastOffTrackNM || on.here.AfterNM < leastStretchNM || toGo < leastAheadNM {
		return nil
	}
	return on.question(askTurn, "turn to "+on.end.Point, drill.TurnInFlight(way.rightNM, on.here.AfterNM, toGo, on.end.Point))
}

// offTrackAt is a place off track that was logged by itself, as if it were a point of the leg being flown; ok is false where nothing is
// known of it.
func offTrackAt(s flight.Snapshot, e flight.Event) (on onLeg, ok bool) {
	p := s.Position
	if e.OffTrack == nil || p == nil || p.OffTrackNM == nil {
		return on, false
	}
	for _, row := range s.Route {
		switch {
		case row.Checkpoint:
		case row.Leg == s.Leg.Index:
			on.end = row
		case row.Leg == s.Leg.Index-1:
			on.before = row
		}
	}
	on.here = on.end
	on.here.AfterNM, on.here.Actual, on.here.Point = p.AfterNM, &e.T, ""
	return on, on.before.Actual != nil && on.end.Point != ""
}

// tankQuestion asks when the limit of imbalance is reached, where two tanks have one.
func tankQuestion(w *World, s flight.Snapshot, t time.Time) *question {
	tanks := s.Tanks.Tanks
	unit, err := fuel.ParseUnit(s.Tanks.Unit)
	if len(tanks) != 2 || s.Tanks.MaxImbalance == nil || !w.flies(t) || err != nil {
		return nil
	}
	fed, other := tanks[0], tanks[1]
	if tanks[1].Selected {
		fed, other = other, fed
	}
	onBoard := w.sheet.Plan.Fuel.OnBoard
	burned := onBoard[fed.Name] - fed.Quantity - (onBoard[other.Name] - other.Quantity) // more from the one than from the other
	toBurn := *s.Tanks.MaxImbalance + fed.Quantity - other.Quantity
	e, ok := drill.LatestChangeInFlight(drill.TankPair{
		Names: [2]string{tanks[0].Name, tanks[1].Name}, Quantities: [2]float64{tanks[0].Quantity, tanks[1].Quantity},
		SecondFeeds: tanks[1].Selected, Unit: unit.Short(), FlowPerHour: s.Tanks.FlowPerHour, Limit: *s.Tanks.MaxImbalance,
		SigmaMinutes: flowErrorShare * math.Abs(burned+toBurn) / s.Tanks.FlowPerHour * 60,
	}, t)
	if !ok {
		return nil
	}
	return &question{Exercise: e, kind: askTank, name: "limit of imbalance", first: t, second: t}
}
