package flight

import (
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/sheet"
)

// anchor is the last place and time that the flight is reckoned from.
type anchor struct {
	place
	at         time.Time
	altitudeFt float64
	descending bool
	climbing   bool   // a passing half-way up a climb
	by         string // what set the position: "dead reckoning", "passing", "fix" or "feed"
	// carried is how the time of being here depends on the belief: on the timing of the last passing, and by dead reckoning since
	// then. variance is what is uncertain about it besides, in minutes squared.
	carried  vector
	variance float64
	// changing is how many minutes of climb and descent lie between the last passing and here.
	changing float64
}

// ahead is the flight from an anchor on, reckoned with the air as it is believed to be.
type ahead struct {
	from   anchor
	way    *way
	air    sheet.Air
	belief belief
	err    error // why it can't be reckoned through the air as it is believed to be; then it is through the forecast

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

// gathered is what comes together along a trajectory.
type gathered struct {
	minutes  float64
	changing float64 // minutes of climb and descent
	slope    vector  // of the minutes to here, by the belief
	// sum and squares are the integrals over time, so far, of the slope's wind components and of their squares.
	sum     vector
	squares float64
}

// reckon makes the flight ahead of the anchor. After the last leg there is none.
func (p *progress) reckon() *ahead {
	a := &ahead{from: p.anchor, way: p.legs[p.anchor.leg].way, belief: p.belief}
	a.air = p.belief.air(p.forecast)
	if p.complete || !p.landed.IsZero() {
		return a
	}
	start := sheet.Start{
		Leg: p.anchor.leg - a.way.first, AfterNM: p.anchor.afterNM,
		AltitudeFt: p.anchor.altitudeFt, Descending: p.anchor.descending,
	}
	mean, forecast := p.belief.mean, p.forecast
	if a.trajectory, a.err = a.way.route.Reckon(start, a.air); a.err != nil {
		forecast.QNH = p.sheet.Air.QNH // a level at the edge of a table is on the other side by another altimeter setting
		a.trajectory, _ = a.way.route.Reckon(start, mean.air(forecast))
	}
	if len(a.trajectory) > 0 {
		a.err = nil
	} else { // said as an alarm: go on with the forecast, which could be flown before take-off
		mean, forecast, a.air = vector{}, p.sheet.Air, p.sheet.Air
		a.trajectory, _ = a.way.route.Reckon(start, a.air)
	}
	a.axes = p.belief.axes()
	for i, along := range a.axes.along {
		a.nudged[i].up, _ = a.way.route.Reckon(start, mean.plus(reach, along).air(forecast))
		a.nudged[i].down, _ = a.way.route.Reckon(start, mean.plus(-reach, along).air(forecast))
	}
	p.overrideFlows(a)
	a.gather()
	return a
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

// gather goes along the trajectory once, so that every place on it can be judged quickly.
func (a *ahead) gather() {
	var g gathered
	a.before = append(make([]gathered, 0, len(a.trajectory)+1), g)
	for _, piece := range a.trajectory {
		end := place{a.way.first + piece.Leg, piece.ToNM}
		changing := g.changing
		if piece.Phase != sheet.Cruise {
			changing += piece.Minutes
		}
		g = g.to(piece.StartMinutes+piece.Minutes, a.slopeFrom(end, piece.StartMinutes+piece.Minutes))
		g.changing = changing
		a.before = append(a.before, g)
	}
}

// to goes on to a later moment, the slope going evenly to another.
func (g gathered) to(minutes float64, slope vector) gathered {
	length := minutes - g.minutes
	next := gathered{minutes: minutes, changing: g.changing, slope: slope, sum: g.sum, squares: g.squares}
	for _, state := range []int{windNorth, windEast} {
		from, to := g.slope[state], slope[state]
		next.sum[state] += length * (from + to) / 2
		next.squares += length * (from*from + from*to + to*to) / 3
	}
	return next
}

// wander is the variance, in minutes squared, that the wind's wandering gives the time of a place: what it does at any moment counts
// for the way from there on.
func (g gathered) wander() float64 {
	through := 0.0
	for _, state := range []int{windNorth, windEast} {
		through += g.slope[state]*g.slope[state]*g.minutes - 2*g.slope[state]*g.sum[state]
	}
	return wanderKt * wanderKt / 60 * math.Max(0, through+g.squares)
}

// gatheredTo is what has come together up to a place, minutes from the anchor.
func (a *ahead) gatheredTo(to place, minutes float64) gathered {
	if len(a.trajectory) == 0 {
		return gathered{}
	}
	g := a.before[a.trajectory.At(minutes).Piece].to(minutes, a.slopeFrom(to, minutes))
	g.changing = a.levelChangeMinutes(minutes)
	return g
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

// slope is how the time at a place depends on the belief.
func (a *ahead) slope(to place, minutes float64) vector {
	slope := a.slopeFrom(to, minutes)
	for state := range slope {
		slope[state] += a.from.carried[state]
	}
	return slope
}

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
	slope, curves := a.shape(to, minutes)
	for state := range slope {
		slope[state] += a.from.carried[state]
	}
	return math.Sqrt(a.belief.variance(slope) + curvature(curves) + a.varianceOf(to, minutes))
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

// varianceOf is the variance of the time at a place that the belief doesn't explain.
func (a *ahead) varianceOf(to place, minutes float64) float64 {
	g := a.gatheredTo(to, minutes)
	return a.from.variance + g.wander() + levelChangeVariance(g.changing) + handFlyingVariance(minutes)
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
