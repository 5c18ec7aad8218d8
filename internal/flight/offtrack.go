package flight

import (
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

// beside is a distance off the track that is known, and how the pilot wants to come back.
type beside struct {
	toldNM   float64 // along the leg, where it was told
	withinNM *float64
}

// setOffTrack takes what the belief has of the distance off track for known.
func (p *progress) setOffTrack(e Event) {
	p.offTrack = &beside{toldNM: p.anchor.afterNM, withinNM: e.Within}
}

// besideNM is how far right of the track the aircraft is at a moment; nil where nobody said it on this leg.
func (p *progress) besideNM(n now, t time.Time) *float64 {
	if p.offTrack == nil {
		return nil
	}
	return ref(p.predicted(t.Add(-n.overdue)).mean[acrossNM])
}

// tooNearNM is how near to either end of a leg angles mean nothing.
const tooNearNM = 0.5

// offTrackAt is what the distance off track means for the heading; nil when nobody said it, and near either end of the leg.
func (p *progress) offTrackAt(t time.Time) *OffTrackNow {
	n, ok := p.here(t)
	if !ok || p.offTrack == nil {
		return nil
	}
	toGo := p.legs[p.leg].line().DistanceNM - n.afterNM
	if n.afterNM < tooNearNM || toGo < tooNearNM {
		return nil
	}
	right := *p.besideNM(n, t)
	off := deadreckon.OffTrackBy(right, n.afterNM, toGo)
	return &OffTrackNow{
		OffNM: right, TrackErrorRule: off.TrackErrorRule, TrackErrorExact: off.TrackErrorExact,
		ClosingRule: off.ClosingRule, ClosingExact: off.ClosingExact, TurnRule: off.TurnRule(), TurnExact: off.TurnExact(), Differs: off.Differs(),
		HeadingMagnetic: p.headingClosing(n, off.ClosingExact), Regain: p.regain(n, right, toGo),
	}
}

// regain is the way back to the track before the leg's end.
func (p *progress) regain(n now, right, toGoNM float64) *RegainNow {
	within, chosen := p.offTrack.toldNM, false
	if wanted := p.offTrack.withinNM; wanted != nil {
		within, chosen = *wanted, true
	}
	within -= n.afterNM - p.offTrack.toldNM
	if within < tooNearNM || within > toGoNM {
		return nil
	}
	turns := deadreckon.RegainTrack(right, n.afterNM, within)
	return &RegainNow{
		WithinNM: within, Chosen: chosen, TurnRule: turns.FirstTurnRule, TurnExact: turns.FirstTurnExact,
		ThenTurnRule: turns.ThenTurnRule, ThenTurnExact: turns.ThenTurnExact, HeadingMagnetic: p.headingClosing(n, turns.ThenTurnExact),
	}
}

// headingClosing is the magnetic heading that closes with the track by an angle, positive from its right side, through the wind in use. What
// of the distance off track was put down to the heading indicator and not to the wind is allowed for: it goes on as long as the leg.
func (p *progress) headingClosing(n now, angleDeg float64) *float64 {
	piece := p.ahead.trajectory[n.point.Piece]
	heading, err := deadreckon.HeadingFor(piece.TrackTrue-angleDeg, piece.TASKt, piece.Wind)
	if err != nil {
		return nil
	}
	return ref(angle.Wrap360(p.magneticOn(n.place, heading.HeadingTrue) - p.belief.mean[gyroDeg]))
}
