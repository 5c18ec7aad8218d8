package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sheet"
)

// astrayDeg is by how much where a heading leads differs from the way ahead when it is flown to leave that way, and not to hold it: the ±15° within which
// a private pilot is to hold a heading by dead reckoning (FAA-S-ACS-6, area VI, from memory).
const astrayDeg = 15.0

// astrayAnew is how often the way ahead is reckoned anew, from where the aircraft then is, while a heading leads off it: as for every time ahead the
// straight way on may be taken at once.
const astrayAnew = time.Second

// headingOff is how many degrees right of the track a magnetic heading lies, so far along the leg being flown.
func (f *ahead) headingOff(magnetic float64, piece *sheet.Piece, afterNM float64) float64 {
	return angle.Turn(piece.TrackTrue, deadreckon.TrueFromMagnetic(magnetic, f.declinationAt(place{f.leg, afterNM})))
}

// leadsOff reports whether a heading so many degrees right of the track leads elsewhere than the way ahead does, and how fast along the track.
func (o *outlook) leadsOff(offDeg float64, piece *sheet.Piece, afterNM float64) (alongKt float64, off bool) {
	north, east := piece.Wind.Components()
	alongKt = piece.TASKt*angle.Cos(offDeg) + north*angle.Cos(piece.TrackTrue) + east*angle.Sin(piece.TrackTrue)
	rightKt := piece.TASKt*angle.Sin(offDeg) + east*angle.Cos(piece.TrackTrue) - north*angle.Sin(piece.TrackTrue)
	way := 0.0
	if c := o.closing; c.withinNM > 0 && afterNM < o.from.afterNM+c.withinNM {
		way = -math.Atan2(c.asideNM, c.withinNM)
	}
	return alongKt, math.Abs(angle.Turn(way*180/math.Pi, math.Atan2(rightKt, alongKt)*180/math.Pi)) > astrayDeg
}

// astray is since when a heading has been steered that leads off the way ahead, and how fast along the track; ok is false where none does, and in a hold.
func (f *ahead) astray() (since time.Time, alongKt float64, ok bool) {
	told, ok := f.steered()
	if !ok || !f.holding.IsZero() {
		return since, 0, false
	}
	n, ok := f.here(latest(told.at, f.anchor.at))
	if !ok {
		return since, 0, false
	}
	piece := &f.outlook.trajectory[n.point.Piece]
	alongKt, ok = f.outlook.leadsOff(f.headingOff(told.magnetic, piece, n.afterNM), piece, n.afterNM)
	return told.at, alongKt, ok
}

// wentAstray is where along the leg a heading that leads off the way ahead has led by a moment. Abeam the leg's end, which is then overdue, it is when it led
// there.
func (f *ahead) wentAstray(t time.Time, alongKt float64) (afterNM float64, at time.Time) {
	f.predict(t)
	afterNM, _ = f.reckonedAlong(t)
	afterNM += f.belief.mean[alongNM]
	if beyondNM := afterNM - f.endOfLeg().afterNM; beyondNM > 0 && alongKt > 0 {
		t = latest(f.anchor.at, plus(t, -60*beyondNM/alongKt))
	}
	return afterNM, t
}
