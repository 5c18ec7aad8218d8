package sheet

import (
	"math"
	"slices"

	"example.com/legclock/internal/deadreckon"
)

// Closing is the way of an aircraft that begins it beside its track and closes with the track in a straight line: asideNM to the right of it, left
// negative, and withinNM along the leg on which it begins until the track is reached, or the leg's end. Along the track it makes less way than over the
// ground, and in the wind of another direction. A climb takes the time that it takes.
func (t Trajectory) Closing(asideNM, withinNM float64) Trajectory {
	if len(t) == 0 || asideNM == 0 || withinNM <= 0 {
		return t
	}
	leg, until := t[0].Leg, t[0].FromNM+withinNM
	longer := math.Hypot(asideNM, withinNM) / withinNM
	closingDeg := math.Atan2(asideNM, withinNM) * 180 / math.Pi
	t = t.cut(leg, until)
	later := 0.0
	for i := range t {
		piece := &t[i]
		piece.StartMinutes += later
		if piece.Leg != leg || piece.Phase == Climb || piece.ToNM > until+sameDistanceNM {
			continue
		}
		heading, err := deadreckon.HeadingFor(piece.TrackTrue-closingDeg, piece.TASKt, piece.Wind)
		if err != nil {
			continue
		}
		piece.closingKt = heading.GroundspeedKt / longer
		took := deadreckon.Minutes(piece.ToNM-piece.FromNM, piece.closingKt)
		later += took - piece.Minutes
		piece.Minutes = took
	}
	return t
}

// cut has the piece in two that goes on beyond a place on a leg.
func (t Trajectory) cut(leg int, afterNM float64) Trajectory {
	i := t.pieceAt(leg, afterNM)
	if i < 0 || t[i].ToNM-afterNM <= sameDistanceNM || afterNM-t[i].FromNM <= sameDistanceNM {
		return t
	}
	before, after := t[i], t[i]
	share := (afterNM - before.FromNM) / (before.ToNM - before.FromNM)
	before.ToNM, before.ToFt, before.Minutes = afterNM, before.FromFt+share*(before.ToFt-before.FromFt), share*before.Minutes
	after.FromNM, after.FromFt, after.StartMinutes, after.Minutes = afterNM, before.ToFt, before.StartMinutes+before.Minutes, after.Minutes-before.Minutes
	return slices.Replace(t, i, i+1, before, after)
}
