package flight

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
)

// offer is a passing that a feed's positions show. It stands until it is logged or refused.
type offer struct {
	spot
	point   string
	at      time.Time
	rightNM float64 // of the leg
}

// watch follows a feed's positions along the leg that they are on: the one being flown, or a later one where a passing that was offered is
// not logged yet.
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
)

// flyingKt is a groundspeed that no light aircraft taxies at: common practice, no source.
const flyingKt = 40

// watchPassing finds the passings that a feed's positions show: a checkpoint where the way crosses the line square to the leg there, a
// leg's end where the distance to it has been least. They are offered, not taken, and so is the take-off.
func (f *flown) watchPassing(e Event) {
	if e.At == nil {
		return
	}
	if f.airborne.IsZero() && f.landed.IsZero() && e.GS != nil {
		switch flies := *e.GS >= flyingKt; {
		case flies && f.told.flyingAt.IsZero() && !f.told.flyingRefused:
			f.told.flyingAt = e.T
		case !flies:
			f.told.flyingRefused = false
		}
	}
	if !f.flying() || f.complete {
		return
	}
	w := &f.told.watched
	fresh := w.at.IsZero() || w.leg < f.leg || w.leg >= len(f.legs) || f.legs[w.leg].way != f.legs[f.leg].way || e.T.Sub(w.at) > watchGap || !e.T.After(w.at)
	if fresh {
		*w = watch{leg: f.leg, nearestNM: math.Inf(1)}
	}
	line := f.legs[w.leg].line()
	along, right := line.Line.Abeam(*e.At)
	if !fresh {
		f.watchCheckpoints(e.T, along, right)
		if f.watchEnd(e, along, right) && !f.legs[w.leg].last() { // what comes next is on the next leg
			*w = watch{leg: w.leg + 1, nearestNM: math.Inf(1)}
			line = f.legs[w.leg].line()
			along, right = line.Line.Abeam(*e.At)
		}
	}
	w.from, w.at, w.alongNM, w.rightNM = *e.At, e.T, along, right
}

func (f *flown) watchCheckpoints(t time.Time, along, right float64) {
	w := &f.told.watched
	l := &f.legs[w.leg]
	for i, checkpoint := range l.line().Checkpoints {
		if w.alongNM >= checkpoint.AfterNM || along < checkpoint.AfterNM || !l.checkpointsActual[i].IsZero() {
			continue
		}
		share := (checkpoint.AfterNM - w.alongNM) / (along - w.alongNM)
		f.offerPassing(offer{spot{place{w.leg, checkpoint.AfterNM}, i}, checkpoint.Name, between(w.at, t, share), w.rightNM + share*(right-w.rightNM)})
	}
}

// watchEnd reports whether the leg's end is passed. While that is farther ahead than a passing may be, there is nothing to look for.
func (f *flown) watchEnd(e Event, along, right float64) bool {
	const aheadNM = 1.2 * passedWithinNM
	w := &f.told.watched
	line := f.legs[w.leg].line()
	if max(w.alongNM, along) < line.DistanceNM-aheadNM {
		return false
	}
	way, share := earth.NewLine(w.from, *e.At), 0.0
	if length := way.DistanceNM(); length > 0 {
		foot, _ := way.Abeam(line.To.At)
		share = min(max(foot/length, 0), 1)
	}
	closest, _ := way.At(share * way.DistanceNM())
	if distance := earth.Inverse(closest, line.To.At).DistanceNM; distance < w.nearestNM {
		w.nearestNM, w.nearestAt, w.nearestRightNM = distance, between(w.at, e.T, share), w.rightNM+share*(right-w.rightNM)
	}
	return earth.Inverse(*e.At, line.To.At).DistanceNM > w.nearestNM+passedRiseNM &&
		f.offerPassing(offer{spot{place{w.leg, line.DistanceNM}, legEnd}, line.To.Ident, w.nearestAt, w.nearestRightNM})
}

// between is the moment a share of the way from one to another.
func between(from, to time.Time, share float64) time.Time {
	return from.Add(time.Duration(share * float64(to.Sub(from)))).Round(time.Second)
}

// offerPassing offers a passing that is close enough.
func (f *flown) offerPassing(o offer) bool {
	if math.Abs(o.rightNM) > passedWithinNM || o.checkpoint == legEnd && f.told.watched.nearestNM > passedWithinNM {
		return false
	}
	before := slices.IndexFunc(f.told.offers, func(other offer) bool { return other.spot == o.spot })
	if before >= 0 {
		f.told.offers = slices.Delete(slices.Clone(f.told.offers), before, before+1)
	}
	f.told.offers = append(slices.Clip(f.told.offers), o)
	return true
}

// offerID begins the name by which an offer is refused.
const offerID = "offer-"

// refuseOffer takes back what was offered: the pilot says that it was not passed.
func (f *flown) refuseOffer(e Event) bool {
	point, named := strings.CutPrefix(e.Prompt, offerID)
	if !named {
		return true // a prompt
	}
	if point == string(Airborne) {
		f.told.flyingAt, f.told.flyingRefused = time.Time{}, true
	}
	f.told.offers = slices.DeleteFunc(slices.Clone(f.told.offers), func(o offer) bool { return o.point == point })
	return true
}

// offerAt is the passing that is offered: the first that is neither logged nor refused.
func (f *flown) offerAt() *PassingOffer {
	if f.airborne.IsZero() && !f.told.flyingAt.IsZero() && f.onBlocks.IsZero() {
		return &PassingOffer{ID: offerID + string(Airborne), Act: Airborne, Name: "airborne", At: f.told.flyingAt}
	}
	if f.complete || !f.landed.IsZero() {
		return nil
	}
	const hundredth = 100
	for _, o := range f.told.offers {
		if o.leg < f.leg || o.leg >= len(f.legs) || f.legs[o.leg].way != f.legs[f.leg].way || o.leg == f.leg && f.lastPassed.leg == f.leg && f.lastPassed.afterNM >= o.afterNM {
			continue
		}
		if o.checkpoint >= 0 && !f.legs[o.leg].checkpointsActual[o.checkpoint].IsZero() {
			continue
		}
		return &PassingOffer{
			ID: offerID + o.point, Act: Passing, Point: o.point, Name: f.pointTitle(o.point), At: o.at, OffTrackNM: math.Round(o.rightNM*hundredth) / hundredth,
		}
	}
	return nil
}
