package flight

import (
	"math"
	"slices"
	"sort"
	"time"

	"example.com/legclock/internal/sheet"
)

// anchor is the last place and time that the flight is reckoned from.
type anchor struct {
	place
	at         time.Time
	altitudeFt float64
	descending bool
	by         string // what set the position: "dead reckoning", "passing", "fix" or "feed"
	// changing is how many minutes of climb and descent lie between the last passing and here.
	changing float64
}

// ahead is the flight from an anchor on, reckoned with the air as it is believed to be.
type ahead struct {
	from   anchor
	way    *way
	air    sheet.Air
	belief belief // at the anchor
	mean   vector // what the trajectory is reckoned with
	err    error  // why it can't be reckoned through the air as it is believed to be; then it is through the forecast

	trajectory sheet.Trajectory
	tableFlows []float64 // of its pieces, where the pilot told others; else nil
	// nudged are the trajectories with the belief moved to either side along each of its axes; nil where it can't be reckoned.
	axes   axes
	nudged [3]nudge
	// before is, by piece, what has come together where it begins; the last is for the end.
	before []gathered
}

// nudge is the way with the belief moved along an axis.
type nudge struct{ up, down sheet.Trajectory }

// reckon makes the flight ahead of the anchor. After the last leg there is none.
func (p *progress) reckon() *ahead {
	a := &ahead{from: p.anchor, way: p.legs[p.anchor.leg].way, belief: p.belief}
	a.air = p.belief.mean.air(p.forecast)
	if p.complete || !p.landed.IsZero() {
		return a
	}
	p.reckonWay(a, p.belief.mean, a.way.route.Reckon)
	p.overrideFlows(a)
	a.gather()
	return a
}

// reckonWith makes the flight ahead of the anchor, to the end of the leg, again with another mean.
func (p *progress) reckonWith(mean vector) {
	again := *p.ahead
	p.reckonWay(&again, mean, again.way.route.ReckonLeg)
	p.ahead = &again
}

// reckonWay reckons the way from an anchor with a mean, and with the belief moved about it.
func (p *progress) reckonWay(a *ahead, mean vector, reckon func(sheet.Start, sheet.Air) (sheet.Trajectory, error)) {
	start := sheet.Start{
		Leg: a.from.leg - a.way.first, AfterNM: a.from.afterNM, AltitudeFt: a.from.altitudeFt, Descending: a.from.descending,
	}
	forecast := p.forecast
	if a.trajectory, a.err = reckon(start, mean.air(forecast)); a.err != nil {
		forecast.QNH = p.sheet.Air.QNH // a level at the edge of a table is on the other side by another altimeter setting
		a.trajectory, _ = reckon(start, mean.air(forecast))
	}
	if len(a.trajectory) > 0 {
		a.err = nil
	} else { // said as an alarm: go on with the forecast, which could be flown before take-off
		mean, forecast, a.air = vector{}, p.sheet.Air, p.sheet.Air
		a.trajectory, _ = reckon(start, a.air)
	}
	a.mean = mean
	a.axes = a.belief.axes()
	for i, along := range a.axes.along {
		a.nudged[i].up, _ = reckon(start, mean.plus(reach, along).air(forecast))
		a.nudged[i].down, _ = reckon(start, mean.plus(-reach, along).air(forecast))
	}
}

// reach is how many standard errors the belief is moved along its axes. With √3 the differences tell, of a quantity that depends on
// the belief by a curve, what an unscented transform (Julier and Uhlmann, 1997) makes of it.
const reach = 1.7320508075688772

// at is how the minutes to a place change with one standard error, and how that change itself does.
func (n nudge) at(leg int, afterNM, minutes float64) (change, curve float64) {
	up, upOK := n.up.MinutesTo(leg, afterNM)
	down, downOK := n.down.MinutesTo(leg, afterNM)
	switch {
	case upOK && downOK:
		return (up - down) / (2 * reach), (up + down - 2*minutes) / (reach * reach)
	case upOK:
		return (up - minutes) / reach, 0
	case downOK:
		return (minutes - down) / reach, 0
	}
	return 0, 0
}

// minutesTo is how long it is from the anchor to a place; ok is false when the reckoning doesn't pass it.
func (a *ahead) minutesTo(to place) (minutes float64, ok bool) {
	return a.trajectory.MinutesTo(to.leg-a.way.first, to.afterNM)
}

// eta is the time at a place ahead, as it is when nothing delays the flight.
func (a *ahead) eta(to place) (at time.Time, ok bool) {
	minutes, ok := a.minutesTo(to)
	return a.after(minutes), ok
}

// after is the time some minutes from the anchor. It counts from the passing as it was recorded, so that a pilot's own sum agrees;
// that the record may be some seconds out is in the standard error.
func (a *ahead) after(minutes float64) time.Time { return plus(a.from.at, minutes) }

// minutesOf is how long after the anchor a time is.
func (a *ahead) minutesOf(t time.Time) float64 { return t.Sub(a.from.at).Minutes() }

// slopeFrom is how the minutes from the anchor to a place depend on the belief.
func (a *ahead) slopeFrom(to place, minutes float64) vector {
	slope, _ := a.shape(to, minutes)
	return slope
}

// shape is how the minutes from the anchor to a place depend on the belief: the slope by state, and the curves along the axes.
func (a *ahead) shape(to place, minutes float64) (slope vector, curves [3]float64) {
	var changes [3]float64
	for i, n := range a.nudged {
		changes[i], curves[i] = n.at(to.leg-a.way.first, to.afterNM, minutes)
	}
	return a.axes.slope(changes), curves
}

// sigmaMinutes is one standard error of the time at a place.
func (a *ahead) sigmaMinutes(to place) float64 {
	minutes, ok := a.minutesTo(to)
	if !ok {
		return 0
	}
	_, curves := a.shape(to, minutes)
	g := a.gatheredTo(to, minutes)
	slope := g.recalled
	slope[tasBias] = g.slope[tasBias]
	slope[alongNM] = -60 / a.trajectory[0].Heading.GroundspeedKt
	return math.Sqrt(a.belief.variance(slope) + curvature(curves) + g.wander + levelChangeVariance(g.changing) + handFlyingVariance(minutes))
}

// along is how far along a leg a trajectory is after some minutes, as if the leg had no end, and how fast; the same place when it does not
// come to the leg.
func (a *ahead) along(t sheet.Trajectory, leg int, minutes float64) (afterNM, groundspeedKt float64) {
	pieces := t.OnLeg(leg - a.way.first)
	if len(pieces) == 0 {
		return a.from.afterNM, 0
	}
	i := max(0, sort.Search(len(pieces), func(i int) bool { return pieces[i].StartMinutes > minutes })-1)
	piece := pieces[i]
	groundspeedKt = piece.Heading.GroundspeedKt
	return piece.FromNM + (minutes-piece.StartMinutes)*groundspeedKt/60, groundspeedKt
}

// pieceOn is the piece of the way at a place.
func (a *ahead) pieceOn(leg int, afterNM float64) (piece sheet.Piece, ok bool) {
	minutes, ok := a.trajectory.MinutesTo(leg-a.way.first, afterNM)
	if !ok {
		return piece, false
	}
	i := a.trajectory.At(minutes).Piece
	if a.trajectory[i].Leg < leg-a.way.first && i+1 < len(a.trajectory) {
		i++
	}
	return a.trajectory[i], true
}

// alongSlope is how the way covered along a leg in some minutes from the anchor depends on wind and airspeed.
func (a *ahead) alongSlope(leg int, minutes float64) vector {
	here, _ := a.along(a.trajectory, leg, minutes)
	var changes [3]float64
	for i, n := range a.nudged {
		up, down, apart := here, here, 0.0
		if len(n.up) > 0 {
			up, _ = a.along(n.up, leg, minutes)
			apart += reach
		}
		if len(n.down) > 0 {
			down, _ = a.along(n.down, leg, minutes)
			apart += reach
		}
		if apart > 0 {
			changes[i] = (up - down) / apart
		}
	}
	return a.axes.slope(changes)
}

// curvature is the mean square that a quantity's curves add to its error about the value at the mean: the variance of the quadratic
// terms, and the square of the shift of the mean that they cause, which the value shown does not have.
func curvature(curves [3]float64) float64 {
	shift, spread := 0.0, 0.0
	for _, curve := range curves {
		shift += curve / 2
		spread += curve * curve / 2
	}
	return spread + shift*shift
}

// levelChangeMinutes is how much of the first minutes is climb or descent.
func (a *ahead) levelChangeMinutes(minutes float64) float64 {
	if len(a.trajectory) == 0 {
		return 0
	}
	i := a.trajectory.At(minutes).Piece
	changing, piece := a.before[i].changing, a.trajectory[i]
	if piece.Phase != sheet.Cruise {
		changing += math.Min(math.Max(minutes-piece.StartMinutes, 0), piece.Minutes)
	}
	return changing
}

// timeThrough is when an altitude is first climbed or descended through.
func (a *ahead) timeThrough(altitudeFt float64, phase sheet.Phase) (at time.Time, ok bool) {
	for _, piece := range a.trajectory {
		low, high := math.Min(piece.FromFt, piece.ToFt), math.Max(piece.FromFt, piece.ToFt)
		if piece.Phase != phase || altitudeFt < low || altitudeFt > high || low == high {
			continue
		}
		share := (altitudeFt - piece.FromFt) / (piece.ToFt - piece.FromFt)
		return a.after(piece.StartMinutes + share*piece.Minutes), true
	}
	return time.Time{}, false
}

// topOfClimb is where the climb being flown, or the first one ahead, ends.
func (a *ahead) topOfClimb() (top place, ok bool) {
	local, afterNM, ok := a.trajectory.TopOfClimb()
	return place{a.way.first + local, afterNM}, ok
}

// topOfDescent is where the last descent begins.
func (a *ahead) topOfDescent() (top place, ok bool) {
	local, afterNM, ok := a.trajectory.TopOfDescent()
	return place{a.way.first + local, afterNM}, ok
}

// cruisePiece is the piece that a leg's cruise is flown with; where it has none, the last one on the leg.
func (a *ahead) cruisePiece(index int) (sheet.Piece, bool) {
	pieces := a.trajectory.OnLeg(index - a.way.first)
	if i := slices.IndexFunc(pieces, func(piece sheet.Piece) bool { return piece.Phase == sheet.Cruise }); i >= 0 {
		return pieces[i], true
	}
	if len(pieces) == 0 {
		return sheet.Piece{}, false
	}
	return pieces[len(pieces)-1], true
}

// now is where the flight is reckoned to be at a moment.
type now struct {
	place
	point      sheet.Point // on the trajectory; its Piece is an index into it
	minutes    float64     // from the anchor, on the trajectory
	overdue    time.Duration
	descending bool // in the last descent
}

// here reckons where the flight is at a moment: along the trajectory, but not beyond the end of the leg being flown, which ends
// when the pilot says so. ok is false on the ground and when nothing can be reckoned.
func (p *progress) here(t time.Time) (n now, ok bool) {
	if !p.flying() || len(p.ahead.trajectory) == 0 {
		return n, false
	}
	a := p.ahead
	if !p.holding.IsZero() {
		t = p.anchor.at
	}
	n.minutes = math.Max(0, a.minutesOf(t))
	end, _ := a.minutesTo(p.endOfLeg())
	if n.minutes > end {
		n.overdue = t.Sub(a.after(end))
		n.minutes = end
	}
	n.point = a.trajectory.At(n.minutes)
	n.place = place{a.way.first + n.point.Leg, n.point.AfterNM}
	if n.place.leg != p.leg { // exactly at the end of the leg the trajectory may count as on the next
		n.place = p.endOfLeg()
		n.point.Piece = max(0, n.point.Piece-1)
	}
	n.descending = n.point.Phase == sheet.Descent && n.point.Piece >= len(a.trajectory)-len(a.trajectory.LastDescent())
	return n, true
}

func (p *progress) endOfLeg() place { return place{p.leg, p.legs[p.leg].line().DistanceNM} }

// delay is by how much the times ahead are later than reckoned: on the ground by what take-off is behind its time, in a hold by
// the hold so far, else by what the next route point is overdue, for nothing after it can come before it.
func (p *progress) delay(t time.Time) time.Duration {
	switch {
	case p.complete || !p.landed.IsZero():
		return 0
	case p.offBlocks.IsZero() && p.airborne.IsZero():
		return max(0, t.Add(p.taxi()).Sub(p.anchor.at))
	case p.airborne.IsZero():
		return max(0, t.Sub(p.anchor.at))
	case !p.holding.IsZero():
		return max(0, t.Sub(p.holding))
	}
	n, _ := p.here(t)
	return n.overdue
}

// eta is when a place ahead will be passed, as it looks at a moment.
func (p *progress) eta(to place, t time.Time) (at time.Time, ok bool) {
	at, ok = p.ahead.eta(to)
	if !ok {
		return at, false
	}
	return at.Add(p.delayTo(to, t)), true
}

// delayTo is the delay that counts for a place: an overdue point does not delay what lies before it, or itself.
func (p *progress) delayTo(to place, t time.Time) time.Duration {
	if p.flying() && p.holding.IsZero() && to.leg == p.leg {
		return 0
	}
	return p.delay(t)
}

func (p *progress) taxi() time.Duration { return minutes(p.sheet.Plan.TaxiMinutes) }

// flying reports whether the aircraft is in the air.
func (p *progress) flying() bool { return !p.airborne.IsZero() && p.landed.IsZero() }

// minutes is a duration.
func minutes(m float64) time.Duration { return time.Duration(math.Round(m * float64(time.Minute))) }

// plus adds minutes to a time.
func plus(t time.Time, m float64) time.Time { return t.Add(minutes(m)) }
