package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/earth"
)

// offer is a passing that a feed's positions show and that the pilot has not logged.
type offer struct {
	spot
	point   string // empty: none
	at      time.Time
	rightNM float64 // of the leg
}

// watch follows a feed's positions along the leg being flown.
type watch struct {
	leg     int
	from    earth.Position
	at      time.Time // zero: no position yet
	alongNM float64
	rightNM float64
	// The closest that the leg's end has been passed so far on this leg.
	nearestNM, nearestRightNM float64
	nearestAt                 time.Time
}

const (
	passedWithinNM = 3               // as close must a passing be
	passedRiseNM   = 0.2             // by how much the distance must grow again: more than a receiver's noise
	watchGap       = 5 * time.Minute // nothing is interpolated over more
	offerLasts     = 10 * time.Minute
)

// watchPassing finds the passings that a feed's positions show: a checkpoint where the way crosses the line square to the leg there, the
// leg's end where the distance to it has been least. They are offered, not taken.
func (f *flown) watchPassing(e Event) {
	if !f.flying() || f.complete || e.At == nil {
		return
	}
	l, w := &f.legs[f.leg], &f.told.watched
	line := l.line()
	along, right := earth.Abeam(line.From.At, line.To.At, *e.At)
	if w.at.IsZero() || w.leg != f.leg || e.T.Sub(w.at) > watchGap || !e.T.After(w.at) {
		*w = watch{leg: f.leg, nearestNM: math.Inf(1)}
	} else {
		f.watchCheckpoints(e.T, along, right)
		f.watchEnd(e, right)
	}
	w.from, w.at, w.alongNM, w.rightNM = *e.At, e.T, along, right
}

func (f *flown) watchCheckpoints(t time.Time, along, right float64) {
	w, l := &f.told.watched, &f.legs[f.leg]
	for i, checkpoint := range l.line().Checkpoints {
		if w.alongNM >= checkpoint.AfterNM || along < checkpoint.AfterNM || !l.checkpointsActual[i].IsZero() {
			continue
		}
		share := (checkpoint.AfterNM - w.alongNM) / (along - w.alongNM)
		f.offerPassing(offer{spot{place{f.leg, checkpoint.AfterNM}, i}, checkpoint.Name, between(w.at, t, share), w.rightNM + share*(right-w.rightNM)})
	}
}

func (f *flown) watchEnd(e Event, right float64) {
	w, line := &f.told.watched, f.legs[f.leg].line()
	way, share := earth.NewLine(w.from, *e.At), 0.0
	if length := way.DistanceNM(); length > 0 {
		foot, _ := way.Abeam(line.To.At)
		share = min(max(foot/length, 0), 1)
	}
	closest, _ := way.At(share * way.DistanceNM())
	if distance := earth.Inverse(closest, line.To.At).DistanceNM; distance < w.nearestNM {
		w.nearestNM, w.nearestAt, w.nearestRightNM = distance, between(w.at, e.T, share), w.rightNM+share*(right-w.rightNM)
	}
	if earth.Inverse(*e.At, line.To.At).DistanceNM > w.nearestNM+passedRiseNM {
		f.offerPassing(offer{spot{f.endOfLeg(), legEnd}, line.To.Ident, w.nearestAt, w.nearestRightNM})
	}
}

// between is the moment a share of the way from one to another.
func between(from, to time.Time, share float64) time.Time {
	return from.Add(time.Duration(share * float64(to.Sub(from)))).Round(time.Second)
}

func (f *flown) offerPassing(o offer) {
	if math.Abs(o.rightNM) <= passedWithinNM && (o.checkpoint != legEnd || f.told.watched.nearestNM <= passedWithinNM) {
		f.told.offer = o
	}
}

// offerAt is the passing that is offered; nil once it is logged, or when it is old.
func (f *flown) offerAt(t time.Time) *PassingOffer {
	o := f.told.offer
	if o.point == "" || o.leg != f.leg || f.complete || !f.landed.IsZero() || t.Sub(o.at) > offerLasts {
		return nil
	}
	if o.checkpoint >= 0 && (!f.legs[f.leg].checkpointsActual[o.checkpoint].IsZero() || f.lastPassed.leg == f.leg && f.lastPassed.afterNM > o.afterNM) {
		return nil
	}
	const hundredth = 100
	return &PassingOffer{Point: o.point, Name: f.pointTitle(o.point), At: o.at, OffTrackNM: math.Round(o.rightNM*hundredth) / hundredth}
}
