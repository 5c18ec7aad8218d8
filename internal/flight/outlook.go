package flight

import (
	"math"
	"slices"
	"sort"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// anchor is the last place and time that the flight is reckoned from.
type anchor struct {
	place
	at         time.Time
	altitudeFt float64
	descending bool
	by         PositionSource
	// changing is how many minutes of climb and descent lie between the last passing and here.
	changing float64
}

// outlook is the flight from an anchor on, reckoned with the air as it is believed to be.
type outlook struct {
	from   anchor
	way    *way
	air    sheet.Air
	belief belief // at the anchor
	mean   vector // what the trajectory is reckoned with
	err    error  // why it can't be reckoned through the air as it is believed to be; then it is through the forecast

	trajectory sheet.Trajectory
	tableFlows []float64 // of its pieces, where the pilot told others; else nil
	forecast   sheet.Air // that the belief deviates from
	legOnly    bool      // the trajectory ends with the leg that it begins on
	closing    closing   // with the track
	axes       axes
	found      *found // nil: there is no way
}

// found is how a way depends on the belief, which is found when somebody asks: a fold does for the leg being flown only, and so does who wants to
// know how sure the time of a place on it is.
type found struct {
	whole, onLeg, toLeg values.Found[nudges]
	// before is, by piece, what has come together where it begins; the last is for the end.
	before values.Found[[]gathered]
	sigmas values.Finds[place, float64] // one standard error of the minutes to a place
}

// nudges are the ways with the belief moved along each of its axes.
type nudges [3]nudge

// nudge is the way with the belief moved to either side along an axis; nil where it can't be reckoned.
type nudge struct{ up, down sheet.Trajectory }

// reckon makes the flight ahead of the anchor. After the last leg there is none.
func (f *believed) reckon() *outlook {
	a := &outlook{from: f.anchor, way: f.legs[f.anchor.leg].way, belief: f.belief}
	a.air, a.closing = f.belief.mean.air(f.forecast), f.closing()
	if f.complete || !f.landed.IsZero() {
		return a
	}
	f.reckonWay(a, f.belief.mean)
	a.overrideFlows(f.flows)
	return a
}

// closing is how the way leads back to the track, from so far to the right of it and within so many miles along it; none where it is on its track.
type closing struct{ asideNM, withinNM float64 }

// steepestDeg is at which angle to its track an aircraft beside it is still taken to be on the way to the leg's end, which else is abeam: common practice, no
// source.
const steepestDeg = 60.0

// closing is the way back from where the aircraft is known to be beside its track: to where the pilot wants the track regained, else to the leg's end.
func (f *believed) closing() closing {
	o := f.offTrack
	asideNM, known := f.besideBy(f.belief)
	if !known || o.regained(f.anchor.afterNM) || f.beliefAt.After(f.anchor.at) { // the last: the leg's end is overdue, from where nobody comes back to it
		return closing{}
	}
	withinNM := f.legs[f.leg].line().DistanceNM - f.anchor.afterNM
	if o != nil && o.withinNM != nil {
		withinNM = min(withinNM, *o.withinNM+o.toldNM-f.anchor.afterNM)
	}
	if withinNM < tooNearNM || math.Abs(asideNM) > withinNM*angle.Sin(steepestDeg)/angle.Cos(steepestDeg) {
		return closing{}
	}
	return closing{asideNM, withinNM}
}

// reckonWith makes the flight ahead of the anchor, to the end of the leg, again with another mean.
func (f *ahead) reckonWith(mean vector) {
	again := *f.outlook
	again.legOnly = true
	f.reckonWay(&again, mean)
	f.outlook = &again
}

// reckonWay reckons the way from an anchor with a mean.
func (f *believed) reckonWay(a *outlook, mean vector) {
	forecast := f.forecast
	if a.trajectory, a.err = a.reckon(mean.air(forecast), a.legOnly); a.err != nil {
		forecast.QNH = f.sheet.Air.QNH // a level at the edge of a table is on the other side by another altimeter setting
		a.trajectory, _ = a.reckon(mean.air(forecast), a.legOnly)
	}
	if len(a.trajectory) > 0 {
		a.err = nil
	} else { // said as an alarm: go on with the forecast, which could be flown before take-off
		mean, forecast, a.air = vector{}, f.sheet.Air, f.sheet.Air
		a.trajectory, _ = a.reckon(a.air, a.legOnly)
	}
	a.mean, a.forecast, a.axes = mean, forecast, a.belief.axes()
	a.found = &found{}
}

// reckon takes the way from the anchor through some air, to the destination or to the end of the leg.
func (o *outlook) reckon(through sheet.Air, legOnly bool) (sheet.Trajectory, error) {
	reckon := o.way.route.Reckon
	if legOnly {
		reckon = o.way.route.ReckonLeg
	}
	t, err := reckon(o.start(), through)
	return t.Closing(o.closing.asideNM, o.closing.withinNM), err
}

func (o *outlook) start() sheet.Start {
	return sheet.Start{Leg: o.from.leg - o.way.first, AfterNM: o.from.afterNM, AltitudeFt: o.from.altitudeFt, Descending: o.from.descending}
}

// nudge reckons the way with the belief moved about its mean.
func (o *outlook) nudge(legOnly bool) (n nudges) {
	for i, along := range o.axes.along {
		n[i].up, _ = o.reckon(o.mean.plus(reach, along).air(o.forecast), legOnly)
		n[i].down, _ = o.reckon(o.mean.plus(-reach, along).air(o.forecast), legOnly)
	}
	return n
}

// ways are the nudges as far as the trajectory goes.
func (o *outlook) ways() nudges {
	if o.found == nil {
		return nudges{}
	}
	return o.found.whole.Get(func() nudges { return o.nudge(o.legOnly) })
}

// waysOn are the nudges as far as they go on a leg.
func (o *outlook) waysOn(leg int) nudges {
	if leg != o.from.leg || o.found == nil {
		return o.ways()
	}
	return o.found.onLeg.Get(func() nudges { return o.nudge(true) })
}

// waysTo are the nudges that tell of the places on a leg what the whole ways do.
func (o *outlook) waysTo(leg int) nudges {
	if leg != o.from.leg || o.found == nil {
		return o.ways()
	}
	return o.found.toLeg.Get(func() nudges {
		for _, along := range o.axes.along {
			for _, by := range []float64{reach, -reach} {
				if !o.way.route.SureBehindLeg(o.start(), o.mean.plus(by, along).air(o.forecast)) {
					return o.ways()
				}
			}
		}
		return o.waysOn(leg)
	})
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
func (o *outlook) minutesTo(to place) (minutes float64, ok bool) {
	return o.trajectory.MinutesTo(to.leg-o.way.first, to.afterNM)
}

// eta is the time at a place ahead, as it is when nothing delays the flight.
func (o *outlook) eta(to place) (at time.Time, ok bool) {
	minutes, ok := o.minutesTo(to)
	return o.after(minutes), ok
}

// after is the time some minutes from the anchor. It counts from the passing as it was recorded, so that a pilot's own sum agrees;
// that the record may be some seconds out is in the standard error.
func (o *outlook) after(minutes float64) time.Time { return plus(o.from.at, minutes) }

// minutesOf is how long after the anchor a time is.
func (o *outlook) minutesOf(t time.Time) float64 { return t.Sub(o.from.at).Minutes() }

// slopeFrom is how the minutes from the anchor to a place depend on the belief.
func (o *outlook) slopeFrom(to place, minutes float64) vector {
	slope, _ := o.shape(to, minutes)
	return slope
}

// shape is how the minutes from the anchor to a place depend on the belief: the slope by state, and the curves along the axes.
func (o *outlook) shape(to place, minutes float64) (slope vector, curves [3]float64) {
	var changes [3]float64
	for i, n := range o.waysTo(to.leg) {
		changes[i], curves[i] = n.at(to.leg-o.way.first, to.afterNM, minutes)
	}
	return o.axes.slope(changes), curves
}

// sigmaMinutes is one standard error of the time at a place.
func (o *outlook) sigmaMinutes(to place) float64 {
	if o.found == nil {
		return o.findSigma(to)
	}
	return o.found.sigmas.Get(to, func() float64 { return o.findSigma(to) })
}

func (o *outlook) findSigma(to place) float64 {
	minutes, ok := o.minutesTo(to)
	if !ok {
		return 0
	}
	_, curves := o.shape(to, minutes)
	g := o.gatheredTo(to, minutes)
	slope := g.recalled
	slope[tasBias] = g.slope[tasBias]
	slope[alongNM] = -60 / o.trajectory[0].AlongKt()
	return o.belief.sigma(o.belief.variance(slope) + curvature(curves) + g.wander + levelChangeVariance(g.changing) + handFlyingVariance(minutes))
}

// along is how far along a leg a trajectory is after some minutes, as if the leg had no end, and how fast; the same place when it does not
// come to the leg.
func (o *outlook) along(t sheet.Trajectory, leg int, minutes float64) (afterNM, groundspeedKt float64) {
	pieces := t.OnLeg(leg - o.way.first)
	if len(pieces) == 0 {
		return o.from.afterNM, 0
	}
	i := max(0, sort.Search(len(pieces), func(i int) bool { return pieces[i].StartMinutes > minutes })-1)
	piece := &pieces[i]
	groundspeedKt = piece.AlongKt()
	return piece.FromNM + (minutes-piece.StartMinutes)*groundspeedKt/60, groundspeedKt
}

// pieceOn is the piece of the way at a place.
func (o *outlook) pieceOn(leg int, afterNM float64) (piece sheet.Piece, ok bool) {
	minutes, ok := o.trajectory.MinutesTo(leg-o.way.first, afterNM)
	if !ok {
		return piece, false
	}
	i := o.trajectory.At(minutes).Piece
	if o.trajectory[i].Leg < leg-o.way.first && i+1 < len(o.trajectory) {
		i++
	}
	return o.trajectory[i], true
}

// alongSlope is how the way covered along a leg in some minutes from the anchor depends on wind and airspeed.
func (o *outlook) alongSlope(leg int, minutes float64) vector {
	here, _ := o.along(o.trajectory, leg, minutes)
	var changes [3]float64
	for i, n := range o.waysOn(leg) {
		up, down, apart := here, here, 0.0
		if len(n.up) > 0 {
			up, _ = o.along(n.up, leg, minutes)
			apart += reach
		}
		if len(n.down) > 0 {
			down, _ = o.along(n.down, leg, minutes)
			apart += reach
		}
		if apart > 0 {
			changes[i] = (up - down) / apart
		}
	}
	return o.axes.slope(changes)
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
func (o *outlook) levelChangeMinutes(minutes float64) float64 {
	if len(o.trajectory) == 0 {
		return 0
	}
	i, changing := o.trajectory.At(minutes).Piece, 0.0
	for _, piece := range o.trajectory[:i] {
		if piece.Phase != sheet.Cruise {
			changing += piece.Minutes
		}
	}
	if piece := o.trajectory[i]; piece.Phase != sheet.Cruise {
		changing += math.Min(math.Max(minutes-piece.StartMinutes, 0), piece.Minutes)
	}
	return changing
}

// timeThrough is when an altitude is first climbed or descended through.
func (o *outlook) timeThrough(altitudeFt float64, phase sheet.Phase) (at time.Time, ok bool) {
	for _, piece := range o.trajectory {
		low, high := math.Min(piece.FromFt, piece.ToFt), math.Max(piece.FromFt, piece.ToFt)
		if piece.Phase != phase || altitudeFt < low || altitudeFt > high || low == high {
			continue
		}
		share := (altitudeFt - piece.FromFt) / (piece.ToFt - piece.FromFt)
		return o.after(piece.StartMinutes + share*piece.Minutes), true
	}
	return time.Time{}, false
}

// topOfClimb is where the climb being flown, or the first one ahead, ends.
func (o *outlook) topOfClimb() (top place, ok bool) {
	local, afterNM, ok := o.trajectory.TopOfClimb()
	return place{o.way.first + local, afterNM}, ok
}

// topOfDescent is where the last descent begins.
func (o *outlook) topOfDescent() (top place, ok bool) {
	local, afterNM, ok := o.trajectory.TopOfDescent()
	return place{o.way.first + local, afterNM}, ok
}

// cruisePiece is the piece that a leg's cruise is flown with; where it has none, the last one on the leg.
func (o *outlook) cruisePiece(index int) (sheet.Piece, bool) {
	pieces := o.trajectory.OnLeg(index - o.way.first)
	if i := slices.IndexFunc(pieces, func(piece sheet.Piece) bool { return piece.Phase == sheet.Cruise }); i >= 0 {
		return pieces[i], true
	}
	if len(pieces) == 0 {
		return sheet.Piece{}, false
	}
	return pieces[len(pieces)-1], true
}

// headingOn is the magnetic heading that holds the track on a piece of the way ahead, wherever that is said: by the variation in its middle.
func (f *ahead) headingOn(piece sheet.Piece) float64 {
	return f.magneticOn(f.middleOf(piece), piece.Heading.HeadingTrue)
}

func (f *ahead) middleOf(piece sheet.Piece) place {
	return place{f.outlook.way.first + piece.Leg, (piece.FromNM + piece.ToNM) / 2}
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
func (f *ahead) here(t time.Time) (n now, ok bool) {
	l := f.lookAt(t)
	if l == nil {
		return f.reckonHere(t)
	}
	if here := &l.here; !here.known { // as reckoned does it, which so many ask for that it would show
		n, ok := f.reckonHere(t)
		*here = lookPart[hereNow]{hereNow{n, ok}, true}
	}
	return l.here.part.now, l.here.part.ok
}

// hereNow is where the flight is, and whether that can be reckoned.
type hereNow struct {
	now
	ok bool
}

func (f *ahead) reckonHere(t time.Time) (n now, ok bool) {
	if !f.flying() || len(f.outlook.trajectory) == 0 {
		return n, false
	}
	a := f.outlook
	if !f.holding.IsZero() {
		t = f.anchor.at
	}
	n.minutes = math.Max(0, a.minutesOf(t))
	end, _ := a.minutesTo(f.endOfLeg())
	if n.minutes > end {
		n.overdue = t.Sub(a.after(end))
		n.minutes = end
	}
	n.point = f.pointOnLeg(n.minutes)
	n.place = place{f.leg, n.point.AfterNM}
	n.descending = n.point.Phase == sheet.Descent && n.point.Piece >= len(a.trajectory)-len(a.trajectory.LastDescent())
	return n, true
}

// pointOnLeg is the point on the trajectory some minutes from the anchor, not after the end of the leg being flown: that is on the last piece of
// this leg, where the trajectory counts as on the next one already.
func (f *ahead) pointOnLeg(minutes float64) sheet.Point {
	t, local := f.outlook.trajectory, f.leg-f.outlook.way.first
	point := t.At(minutes)
	if point.Leg != local {
		point.Piece = max(0, point.Piece-1)
		point.Leg, point.AfterNM, point.Phase = local, f.endOfLeg().afterNM, t[point.Piece].Phase
	}
	return point
}

func (f *flown) endOfLeg() place { return place{f.leg, f.legs[f.leg].line().DistanceNM} }

// delay is by how much the times ahead are later than reckoned: on the ground by what take-off is behind its time, in a hold by
// the hold so far, else by what the next route point is overdue, for nothing after it can come before it.
func (f *ahead) delay(t time.Time) time.Duration {
	switch {
	case f.complete || !f.landed.IsZero():
		return 0
	case f.offBlocks.IsZero() && f.airborne.IsZero():
		return max(0, t.Add(f.taxi()).Sub(f.anchor.at))
	case f.airborne.IsZero():
		return max(0, t.Sub(f.anchor.at))
	case !f.holding.IsZero():
		return max(0, t.Sub(f.holding))
	}
	n, _ := f.here(t)
	return n.overdue
}

// eta is when a place ahead will be passed, as it looks at a moment.
func (f *ahead) eta(to place, t time.Time) (at time.Time, ok bool) {
	at, ok = f.outlook.eta(to)
	if !ok {
		return time.Time{}, false
	}
	return shown(at.Add(f.delayTo(to, t))), true
}

// delayTo is the delay that counts for a place: an overdue point does not delay what lies before it, or itself.
func (f *ahead) delayTo(to place, t time.Time) time.Duration {
	if f.flying() && f.holding.IsZero() && to.leg == f.leg {
		return 0
	}
	return f.delay(t)
}

func (f *flown) taxi() time.Duration { return minutes(f.sheet.Plan.TaxiMinutes) }

// flying reports whether the aircraft is in the air.
func (f *flown) flying() bool { return !f.airborne.IsZero() && f.landed.IsZero() }

// minutes is a duration.
func minutes(m float64) time.Duration { return time.Duration(math.Round(m * float64(time.Minute))) }

// plus adds minutes to a time.
// shown is a time that is computed as it is shown, to the whole second. Nothing is reckoned from it.
func shown(t time.Time) time.Time { return t.Round(time.Second) }

func plus(t time.Time, m float64) time.Time { return t.Add(minutes(m)) }

// axes are three directions in which a belief about the wind and the airspeed varies independently of each other, each one standard
// error long: the main axes of the wind's error ellipse, each with the airspeed that goes with it, and the rest of the airspeed's
// error. The dual vectors turn differences along the axes into slopes by state.
type axes struct{ along, dual [3]vector }

// axes of the belief. None is shorter than what still makes a difference that can be reckoned, or longer than what can be flown.
func (b belief) axes() axes {
	const leastKt, mostKt = 0.1, 12.0
	c := b.covariance
	turn := math.Atan2(2*c[windNorth][windEast], c[windNorth][windNorth]-c[windEast][windEast]) / 2
	mean, half := (c[windNorth][windNorth]+c[windEast][windEast])/2, (c[windNorth][windNorth]-c[windEast][windEast])/2
	spread := math.Hypot(half, c[windNorth][windEast])
	var a axes
	rest := c[tasBias][tasBias]
	for i, variance := range []float64{mean + spread, mean - spread} {
		north, east := math.Cos(turn), math.Sin(turn)
		if i == 1 {
			north, east = -east, north
		}
		sigma := math.Max(leastKt, math.Sqrt(math.Max(0, variance)))
		length := math.Min(mostKt, sigma)
		with := (c[tasBias][windNorth]*north + c[tasBias][windEast]*east) / sigma
		rest -= with * with
		a.along[i] = vector{windNorth: length * north, windEast: length * east, tasBias: with * length / sigma}
		a.dual[i] = vector{windNorth: north / length, windEast: east / length}
	}
	length := math.Max(leastKt, math.Sqrt(math.Max(0, rest)))
	a.along[2] = vector{tasBias: length}
	a.dual[2] = vector{tasBias: 1 / length}
	for _, i := range []int{0, 1} { // no change of airspeed along the dual of the third
		for _, state := range []int{windNorth, windEast} {
			a.dual[2][state] -= a.along[i][tasBias] / length * a.dual[i][state]
		}
	}
	return a
}

// slope is the slope by state of a quantity that changes so much along the axes.
func (a axes) slope(changes [3]float64) vector {
	var slope vector
	for i, change := range changes {
		for state := range slope {
			slope[state] += change * a.dual[i][state]
		}
	}
	return slope
}

// gathered is what comes together along a trajectory.
type gathered struct {
	minutes  float64
	changing float64 // minutes of climb and descent
	slope    vector  // of the minutes to here, by the belief
	// decay is how much correlation the wind's deviation loses up to here, as the exponent of e. recalled is the slope with every part
	// of its wind components weighed by the correlation that is left of the deviation at the anchor, recent by that which the
	// deviation then has with the one here; wander is the variance that its wandering adds, in minutes squared.
	decay            float64
	recalled, recent vector
	wander           float64
}

// gather goes along the first pieces of the trajectory once, so that every place on them can be judged quickly.
func (o *outlook) gather(pieces int) []gathered {
	var g gathered
	before := append(make([]gathered, 0, pieces+1), g)
	for _, piece := range o.trajectory[:pieces] {
		end := place{o.way.first + piece.Leg, piece.ToNM}
		changing := g.changing
		if piece.Phase != sheet.Cruise {
			changing += piece.Minutes
		}
		g = o.goOn(g, piece.StartMinutes+piece.Minutes, piece.ToFt-piece.FromFt, o.slopeFrom(end, piece.StartMinutes+piece.Minutes))
		g.changing = changing
		before = append(before, g)
	}
	return before
}

// goOn goes on to a later moment and to another level, evenly.
func (o *outlook) goOn(g gathered, minutes, heightFt float64, slope vector) gathered {
	lost := o.belief.decay(minutes-g.minutes, heightFt)
	next := gathered{minutes: minutes, changing: g.changing, slope: slope, decay: g.decay + lost}
	next.recalled, next.recent, next.wander = g.recalled, g.recent, g.wander
	variance := o.belief.forecastKt * o.belief.forecastKt
	left, mean, within := math.Exp(-lost), correlationTo(lost), correlationWithin(lost)
	now := math.Exp(-g.decay)
	for _, state := range []int{windNorth, windEast} {
		part := slope[state] - g.slope[state]
		next.wander += variance * part * part * (within - now*now*mean*mean)
		next.wander += variance * 2 * part * mean * (g.recent[state] - now*g.recalled[state])
		next.recalled[state] += part * now * mean
		next.recent[state] = g.recent[state]*left + part*mean
	}
	return next
}

// correlationTo is the mean of e⁻ˣ from nought to x.
func correlationTo(x float64) float64 {
	const small = 1e-6
	if x < small {
		return 1 - x/2
	}
	return -math.Expm1(-x) / x
}

// correlationWithin is the mean of e^-|a-b| over all a and b from nought to x.
func correlationWithin(x float64) float64 {
	const small = 1e-3
	if x < small {
		return 1 - x/3
	}
	return 2 * (x + math.Expm1(-x)) / (x * x)
}

// gatheredTo is what has come together up to a place, minutes from the anchor.
func (o *outlook) gatheredTo(to place, minutes float64) gathered {
	if len(o.trajectory) == 0 {
		return gathered{}
	}
	point := o.trajectory.At(minutes)
	g := o.goOn(o.gatheredBefore(to.leg, point.Piece), minutes, point.AltitudeFt-o.trajectory[point.Piece].FromFt, o.slopeFrom(to, minutes))
	g.changing = o.levelChangeMinutes(minutes)
	return g
}

// gatheredBefore is what has come together where a piece begins, for a place on a leg. Of the leg being flown the pieces are few, and what lies
// behind need not be known.
func (o *outlook) gatheredBefore(leg, piece int) gathered {
	if _, known := o.found.before.Known(); leg == o.from.leg && !known {
		return o.gather(piece)[piece]
	}
	return o.found.before.Get(func() []gathered { return o.gather(len(o.trajectory)) })[piece]
}
