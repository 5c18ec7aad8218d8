package flight

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
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
	leg   int
	last  sighting // its time is zero before the first
	still bool     // the one before it was at the same place, and both were looked at
	// The closest that the leg's end has been passed so far on this leg.
	nearestNM, nearestRightNM float64
	nearestAt                 time.Time
}

// sighting is a position that a feed shows, beside a leg.
type sighting struct {
	at earth.Position
	t  time.Time
	// passed is how many of the leg's checkpoints surely lie behind, all others and the leg's end surely ahead; uncertain where it is close to one.
	passed int
	// Where it lies abeam, once that is known.
	known            bool
	alongNM, rightNM float64
}

const uncertain = -1

// sightingOf is a position beside a leg, as it is seen at a glance.
func sightingOf(line *sheet.RouteLeg, e Event) sighting {
	seen := sighting{at: *e.At, t: e.T}
	alongNM, withinNM := line.Line.AboutAbeam(*e.At)
	if alongNM+withinNM >= line.DistanceNM-endAheadNM {
		seen.passed = uncertain
		return seen
	}
	for i := range line.Checkpoints {
		switch afterNM := line.Checkpoints[i].AfterNM; {
		case afterNM <= alongNM-withinNM:
			seen.passed++
		case afterNM <= alongNM+withinNM:
			seen.passed = uncertain
			return seen
		}
	}
	return seen
}

// look finds exactly where a sighting lies.
func (s *sighting) look(line *sheet.RouteLeg) {
	if !s.known {
		s.alongNM, s.rightNM = line.Line.Abeam(s.at)
		s.known = true
	}
}

const (
	passedWithinNM = 3                    // as close must a passing be
	endAheadNM     = 1.2 * passedWithinNM // while a leg's end is farther ahead than a passing may be, it is not looked for
	passedRiseNM   = 0.2                  // by how much the distance must grow again: more than a receiver's noise
	watchGap       = 5 * time.Minute      // nothing is interpolated over more
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
	last := &w.last
	fresh := last.t.IsZero() || w.leg < f.leg || w.leg >= len(f.legs) || f.legs[w.leg].way != f.legs[f.leg].way || e.T.Sub(last.t) > watchGap || !e.T.After(last.t)
	if fresh {
		*w = watch{leg: f.leg, nearestNM: math.Inf(1)}
	}
	stays := !fresh && *e.At == last.at
	if stays && w.still {
		last.t = e.T
		return
	}
	w.still = stays
	line := f.legs[w.leg].line()
	now := sightingOf(line, e)
	if !fresh && (now.passed == uncertain || now.passed != last.passed) {
		last.look(line)
		now.look(line)
		f.watchCheckpoints(now)
		if f.watchEnd(now) && !f.legs[w.leg].last() { // what comes next is on the next leg
			*w = watch{leg: w.leg + 1, nearestNM: math.Inf(1)}
			now = sightingOf(f.legs[w.leg].line(), e)
		}
	}
	w.last = now
}

func (f *flown) watchCheckpoints(now sighting) {
	w := &f.told.watched
	l, last := &f.legs[w.leg], &w.last
	for i, checkpoint := range l.line().Checkpoints {
		if last.alongNM >= checkpoint.AfterNM || now.alongNM < checkpoint.AfterNM || !l.checkpointsActual[i].IsZero() {
			continue
		}
		share := (checkpoint.AfterNM - last.alongNM) / (now.alongNM - last.alongNM)
		f.offerPassing(offer{spot{place{w.leg, checkpoint.AfterNM}, i}, checkpoint.Name, between(last.t, now.t, share), last.rightNM + share*(now.rightNM-last.rightNM)})
	}
}

// watchEnd reports whether the leg's end is passed.
func (f *flown) watchEnd(now sighting) bool {
	w := &f.told.watched
	line, last := f.legs[w.leg].line(), &w.last
	if max(last.alongNM, now.alongNM) < line.DistanceNM-endAheadNM {
		return false
	}
	way, share := earth.NewLine(last.at, now.at), 0.0
	if length := way.DistanceNM(); length > 0 {
		foot, _ := way.Abeam(line.To.At)
		share = min(max(foot/length, 0), 1)
	}
	closest, _ := way.At(share * way.DistanceNM())
	if distance := earth.Inverse(closest, line.To.At).DistanceNM; distance < w.nearestNM {
		w.nearestNM, w.nearestAt, w.nearestRightNM = distance, between(last.t, now.t, share), last.rightNM+share*(now.rightNM-last.rightNM)
	}
	return earth.Inverse(now.at, line.To.At).DistanceNM > w.nearestNM+passedRiseNM &&
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
	f.told.watched.still = false // where it stands is looked at anew, without the one refused
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
