package deadreckon

import (
	"math"

	"example.com/legclock/internal/angle"
)

// maximumRuleDeg bounds what OneInSixty says as a rule, so that it can always be shown. The rule is out of its range long
// before.
const maximumRuleDeg = 90

// OneInSixty returns the angle under which an offset is seen after a distance along the track, with the sign of the
// offset: as taught, 60 × offset / distance, and exactly, the angle whose tangent that is.
//
// The rule counts 60 for 57.3: it says 4.7 % too much for small angles, half a degree at 10°, one degree at 15°
// (PHAK and the European private pilot's syllabus, "1 in 60"). It is never given as more than 90°, nor where there is
// no distance.
func OneInSixty(offNM, alongNM float64) (rule, exact float64) {
	if offNM == 0 && alongNM >= 0 {
		return 0, 0
	}
	exact = angle.Degrees(math.Atan2(offNM, alongNM))
	if alongNM <= 0 {
		return math.Copysign(maximumRuleDeg, offNM), exact
	}
	return max(-maximumRuleDeg, min(maximumRuleDeg, 60*offNM/alongNM)), exact
}

// OffsetAt returns how far an angle leads off the track after a distance along it, with the sign of the angle: as taught,
// angle × distance / 60, and exactly, by the tangent. It holds below 90°.
func OffsetAt(angleDeg, alongNM float64) (ruleNM, exactNM float64) {
	return angleDeg * alongNM / 60, alongNM * math.Tan(angle.Radians(angleDeg))
}

// OffTrack is what an offset from track means for the heading. All angles carry the sign of the offset: positive when the
// aircraft is right of track, and then the turn wanted is to the left.
type OffTrack struct {
	TrackErrorRule, ClosingRule   float64 // 1 in 60
	TrackErrorExact, ClosingExact float64
}

// OffTrackBy returns the track error since the start and the closing angle to the end of a leg. The offset is positive right
// of track; the distances are along the planned track. See OneInSixty for source and limits.
func OffTrackBy(offNM, flownNM, toGoNM float64) OffTrack {
	var o OffTrack
	o.TrackErrorRule, o.TrackErrorExact = OneInSixty(offNM, flownNM)
	o.ClosingRule, o.ClosingExact = OneInSixty(offNM, toGoNM)
	return o
}

// TurnRule returns the turn that leads straight to the end of the leg by the rule, right positive: the track error to fly
// parallel to the track again, and the closing angle to meet it.
func (o OffTrack) TurnRule() float64 { return -(o.TrackErrorRule + o.ClosingRule) }

// TurnExact returns the same turn exactly.
func (o OffTrack) TurnExact() float64 { return -(o.TrackErrorExact + o.ClosingExact) }

// Differs reports whether the turn by the rule is a degree or more from the exact one.
func (o OffTrack) Differs() bool { return math.Abs(o.TurnRule()-o.TurnExact()) >= 1 }

// Regain is the pair of turns, right positive, that brings an aircraft back onto its track and keeps it there.
type Regain struct {
	FirstTurnRule, FirstTurnExact float64 // now
	ThenTurnRule, ThenTurnExact   float64 // on meeting the track
}

// RegainTrack returns the turns for meeting the track after a chosen distance along it and holding it from there. With the
// distance flown chosen, the first turn is twice the track error and the second takes half of it off again (the doubling of
// the track error as taught with the 1-in-60 rule).
func RegainTrack(offNM, flownNM, withinNM float64) Regain {
	o := OffTrackBy(offNM, flownNM, withinNM)
	return Regain{
		FirstTurnRule: o.TurnRule(), FirstTurnExact: o.TurnExact(),
		ThenTurnRule: o.ClosingRule, ThenTurnExact: o.ClosingExact,
	}
}
