package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sheet"
)

// The errors that evidence is weighed with, one standard error each. docs/formulas.md says where they come from.
const (
	timingSigma      = 6 * time.Second // of a passing
	takeOffSigma     = 30 * time.Second
	airspeedSigmaKt  = 3.4  // of the true airspeed by the aircraft's table
	toldAirspeedKt   = 1.5  // of a true airspeed that the pilot tells
	toldWindKt       = 5.0  // of a component of a wind that the pilot tells
	headingSigmaDeg  = 3.5  // of the heading flown, the same all along a leg
	retrimSigmaDeg   = 2.0  // besides, of a heading told in a climb or descent: the one that holds the track in cruise is another
	offTrackSigmaNM  = 0.3  // of a distance off track that the pilot tells
	onTrackSigmaNM   = 0.5  // of being on track when nothing is told
	levelChangeError = 0.05 // of the minutes of a climb or descent
	levelChangeSpeed = 0.25 // by which share climb and descent are slower than cruise
	handFlyingError  = 0.01 // of the way of ten minutes, independent from one ten minutes to the next
	handFlyingSpan   = 10.0 // minutes
	// wanderKt is how far a component of the wind's deviation from the forecast moves in an hour.
	wanderKt = 4.0
	// levelScaleFt is the difference of level over which the wind's deviation has e⁻¹ of its correlation left.
	levelScaleFt = 10000.0
	// wildSigmas is how many standard errors a place may be out before it is believed less.
	wildSigmas = 3.0
	// unheardSigmas is how many standard errors a passing may be out before it is asked whether it is right, and tells nothing of the wind.
	unheardSigmas = 5.0
	// errorsCounted is how many passings the errors above weigh as, when those of a flight show that they are larger or smaller: so many
	// that before any passing they are known to a factor of two either way, at two standard errors.
	errorsCounted = 4.0
)

// The states of a belief: two components of the wind's deviation from the forecast (the vector that the air moves to, kt), the
// true airspeed less that of the tables (kt), how far the aircraft is ahead of where it is reckoned to be and right of its track (nm),
// and how far the true heading lies right of the one told, and the radial read right of the true one (degrees).
const (
	windNorth = iota
	windEast
	tasBias
	alongNM
	acrossNM
	gyroDeg
	radialDeg
	states
)

// vector has one number for each state.
type vector [states]float64

func (v vector) dot(w vector) float64 {
	sum := 0.0
	for i := range v {
		sum += v[i] * w[i]
	}
	return sum
}

// plus adds a multiple of another vector.
func (v vector) plus(factor float64, w vector) vector {
	for i := range v {
		v[i] += factor * w[i]
	}
	return v
}

// belief is what is thought of the air, the aircraft and where it is, and how sure that is: the mean and the covariance of a
// Kalman filter. It is a value; taking in evidence gives a new one.
type belief struct {
	mean       vector
	covariance [states]vector
	forecastKt float64 // standard error of a component of the forecast
	taken      int     // pieces of evidence taken in since the forecast was set
	scatter    scatter
}

// scatter is how far the passings lay from where they were expected: the sum of the squares, each in standard errors of what was expected.
type scatter struct{ passings, squares float64 }

// with is the scatter with one passing more.
func (s scatter) with(misfits float64) scatter {
	return scatter{s.passings + 1, s.squares + misfits*misfits}
}

// scale is the factor by which the variances of the filter are too small, as this flight's passings have it: the errors that they are made of
// are taken to be right to one another, and what they all are to be multiplied by is unknown, with an inverse gamma distribution that
// each passing narrows (variance learning: M. West and J. Harrison, Bayesian Forecasting and Dynamic Models, 1997, from memory). The gains
// of the filter, and with them wind, place and times, don't depend on it.
func (s scatter) scale() float64 {
	return (errorsCounted + s.squares) / (errorsCounted + s.passings)
}

// sigma is one standard error of what has a variance by the filter.
func (b belief) sigma(variance float64) float64 {
	return math.Sqrt(b.scatter.scale() * variance)
}

// prior is the belief before any evidence: the forecast with its standard error, overhead the departure.
func prior(windErrorKt float64) belief {
	b := belief{forecastKt: windErrorKt}
	for state, sigma := range map[int]float64{
		windNorth: windErrorKt, windEast: windErrorKt, tasBias: airspeedSigmaKt,
		acrossNM: onTrackSigmaNM, gyroDeg: headingSigmaDeg, radialDeg: radialSigmaDeg,
	} {
		b.covariance[state][state] = sigma * sigma
	}
	return b
}

// air is the forecast with a vector's deviations.
func (v vector) air(forecast sheet.Air) sheet.Air {
	corrected := forecast
	corrected.TASBiasKt += v[tasBias]
	corrected.Layers = shifted(forecast.Layers, v[windNorth], v[windEast])
	return corrected
}

// shifted adds a vector to the wind of every level. Air without levels is still: it gets one.
func shifted(layers air.Layers, north, east float64) air.Layers {
	if len(layers) == 0 {
		layers = air.Layers{{}}
	}
	moved := make(air.Layers, len(layers))
	for i, level := range layers {
		n, e := level.Wind.Components()
		level.Wind = air.WindFromComponents(n+north, e+east)
		moved[i] = level
	}
	return moved
}

// motion is a part of the flight through which a belief is carried on.
type motion struct {
	minutes  float64
	heightFt float64 // by how much the level changes
	// along and across are how the way covered and the way to the right depend on the states: nm for each unit.
	along, across vector
	reckoned      vector  // what the way was reckoned with
	alongNM       float64 // how much farther along than was reckoned the heading leads
	acrossNM      float64 // how far to the right the heading and the forecast lead
	groundspeedKt float64
	changing      float64 // minutes of climb and descent
}

// decay is how much correlation the wind's deviation has lost after some minutes and feet, as the exponent of e: the deviation is a
// first-order Gauss-Markov process whose variance is the forecast's. The time in which it falls to e⁻¹ is such that it wanders by
// wanderKt in its first hour.
func (b belief) decay(minutes, heightFt float64) float64 {
	hours := 2 * b.forecastKt * b.forecastKt / (wanderKt * wanderKt)
	if hours == 0 {
		return 0
	}
	return math.Abs(minutes)/60/hours + math.Abs(heightFt)/levelScaleFt
}

// carried is the belief at the end of a stretch: the wind has wandered, and the way covered depends on what it and the airspeed were.
func (b *belief) carried(s *motion) belief {
	lost := b.decay(s.minutes, s.heightFt)
	rho, kept := math.Exp(-lost), correlationTo(lost)
	reckonedNM := s.along.dot(s.reckoned)
	var step [states]vector // by row: how each state at the end depends on those at the start
	for i := range step {
		step[i][i] = 1
	}
	for _, wind := range []int{windNorth, windEast} {
		step[wind][wind] = rho
	}
	step[alongNM], step[acrossNM] = step[alongNM].plus(1, s.along), step[acrossNM].plus(1, s.across)
	for _, way := range []int{alongNM, acrossNM} {
		step[way][windNorth] *= kept
		step[way][windEast] *= kept
	}
	next := *b
	for i := range step {
		next.mean[i] = step[i].dot(b.mean)
	}
	next.mean[alongNM] += s.alongNM - reckonedNM
	next.mean[acrossNM] += s.acrossNM
	next.covariance = b.through(&step)
	variance := b.forecastKt * b.forecastKt
	for _, wind := range []int{windNorth, windEast} {
		ways := vector{alongNM: s.along[wind], acrossNM: s.across[wind]}
		next.covariance[wind][wind] += variance * (1 - rho*rho)
		for _, i := range []int{alongNM, acrossNM} {
			both := variance * ways[i] * lost * kept * kept
			next.covariance[wind][i] += both
			next.covariance[i][wind] += both
			for _, j := range []int{alongNM, acrossNM} {
				next.covariance[i][j] += variance * ways[i] * ways[j] * (correlationWithin(lost) - kept*kept)
			}
		}
	}
	next.covariance[alongNM][alongNM] += alongVariance(s)
	return next
}

// alongVariance is that of the way covered that neither wind nor airspeed explain, in nm squared: hands that don't hold the airspeed,
// and climbs and descents that go otherwise than the tables say.
func alongVariance(s *motion) float64 {
	perMinute := s.groundspeedKt / 60
	return perMinute * perMinute * (handFlyingVariance(s.minutes) + levelChangeVariance(s.changing))
}

func levelChangeVariance(minutes float64) float64 {
	return math.Pow(levelChangeSpeed*levelChangeError*minutes, 2)
}

func handFlyingVariance(minutes float64) float64 {
	return handFlyingError * handFlyingError * handFlyingSpan * math.Max(0, minutes)
}

// through is the covariance after a linear step. Most of a step is nothing, which is left out: it adds nothing to any sum.
func (b *belief) through(step *[states]vector) (whole [states]vector) {
	var half [states]vector
	for i := range step {
		for k, by := range step[i] {
			if by == 0 {
				continue
			}
			for j := range half[i] {
				half[i][j] += b.covariance[j][k] * by
			}
		}
	}
	for i := range step {
		for k, by := range step[i] {
			if by == 0 {
				continue
			}
			for j := range whole[i] {
				whole[i][j] += by * half[j][k]
			}
		}
	}
	return whole
}

// observed takes in one measurement: by how much it differs from what the mean gives, how it depends on the states, and the
// variance of its own error.
func (b belief) observed(residual float64, slope vector, variance float64) belief {
	gain := b.times(slope)
	total := slope.dot(gain) + variance
	if total <= 0 {
		return b
	}
	next := b
	for i := range gain {
		next.mean[i] += gain[i] * residual / total
		for j := range gain {
			next.covariance[i][j] -= gain[i] * gain[j] / total
		}
	}
	return next
}

// misfit is by how many standard errors a measurement differs from what is expected.
func (b belief) misfit(residual float64, slope vector, variance float64) float64 {
	return residual / math.Sqrt(b.variance(slope)+variance)
}

// doubted is the variance of a measurement that is out by more than is likely: such that it is out by wildSigmas and no more. The farther
// out it is, the less it then moves the belief.
func (b belief) doubted(residual float64, slope vector, variance float64) float64 {
	excess := residual*residual/(wildSigmas*wildSigmas) - b.variance(slope) - variance
	return variance + math.Max(0, excess)
}

// times is the covariance times a vector.
func (b belief) times(v vector) vector {
	var product vector
	for i := range product {
		product[i] = b.covariance[i].dot(v)
	}
	return product
}

// variance is that of a quantity that depends on the states by a slope.
func (b belief) variance(slope vector) float64 { return slope.dot(b.times(slope)) }

// windSigmaKt is one standard error of a component of the wind, the root of the mean over both.
func (b belief) windSigmaKt() float64 {
	return b.sigma((b.covariance[windNorth][windNorth] + b.covariance[windEast][windEast]) / 2)
}

// uncorrelated gives one state a variance of its own.
func (b belief) uncorrelated(state int, variance float64) belief {
	for i := range states {
		b.covariance[i][state], b.covariance[state][i] = 0, 0
	}
	b.covariance[state][state] = variance
	return b
}

// told sets one state to a value that is known by other means.
func (b belief) told(state int, value, sigma float64) belief {
	b = b.uncorrelated(state, sigma*sigma)
	b.mean[state] = value
	return b
}

// turned is the belief on another leg: what was beside the track is partly ahead on the next, and how far ahead the aircraft is is
// covered at another speed. The gyro is set anew at a turn.
func (b belief) turned(turnDeg, speedRatio float64) belief {
	sin, cos := math.Sincos(turnDeg * math.Pi / 180)
	var step [states]vector
	for i := range step {
		step[i][i] = 1
	}
	step[alongNM] = vector{alongNM: speedRatio, acrossNM: sin}
	step[acrossNM] = vector{acrossNM: cos}
	next := b
	for i := range step {
		next.mean[i] = step[i].dot(b.mean)
	}
	next.covariance = b.through(&step)
	return next.told(gyroDeg, 0, headingSigmaDeg)
}

// predicted is the belief carried on to a moment, along the way as it was last reckoned.
func (f *ahead) predicted(t time.Time) belief {
	l := f.look
	if l == nil {
		return f.carriedTo(t)
	}
	if !l.belief.known || !l.belief.key.Equal(t) {
		l.belief = keptPart[time.Time, belief]{t, f.carriedTo(t), true}
	}
	return l.belief.part
}

func (f *ahead) carriedTo(t time.Time) belief {
	from, b := f.beliefAt, f.belief
	ends := []time.Time{t}
	if regained, ok := f.regainedAt(); ok && regained.After(from) && regained.Before(t) { // the heading is another from there on
		ends = []time.Time{regained, t}
	}
	for _, to := range ends {
		if s, ok := f.motion(from, to); ok {
			b = b.carried(&s)
		}
		from = to
	}
	return b
}

// regainedAt is when the heading that leads back to the track has done so; ok is false where none is steered by that leads there.
func (f *ahead) regainedAt() (at time.Time, ok bool) {
	o := f.offTrack
	if o == nil || o.advised == nil || o.withinNM == nil || f.steering() != nil {
		return at, false
	}
	return f.outlook.eta(place{f.leg, o.toldNM + *o.withinNM})
}

// predict carries the belief on to a moment.
func (f *ahead) predict(t time.Time) {
	f.belief = f.predicted(t)
	if t.After(f.beliefAt) {
		f.beliefAt = t
	}
}

// motion is the part of the reckoned way between two moments on the leg being flown; ok is false where there is none.
func (f *ahead) motion(from, to time.Time) (s motion, ok bool) {
	a := f.outlook
	start, end := a.minutesOf(from), a.minutesOf(to)
	switch {
	case end <= start:
		return s, false
	case len(a.trajectory) == 0 || !f.holding.IsZero(): // no way is made, and the wind wanders
		return motion{minutes: end - start}, true
	}
	legEnd, _ := a.minutesTo(f.endOfLeg())
	middle := f.pointOnLeg(min((start+end)/2, legEnd))
	piece := a.trajectory[middle.Piece]
	s = motion{
		minutes: end - start, heightFt: a.trajectory.At(end).AltitudeFt - a.trajectory.At(start).AltitudeFt,
		along:    a.alongSlope(f.leg, end).plus(-1, f.slopeSoFar(start)),
		reckoned: a.mean, groundspeedKt: piece.Heading.GroundspeedKt,
		changing: a.levelChangeMinutes(end) - a.levelChangeMinutes(start),
	}
	hours, rightOf, off := s.minutes/60, piece.TrackTrue+90, piece.Heading.CorrectionDeg
	alongKt, astray := 0.0, false
	if told, ok := f.steered(); ok {
		off = f.headingOff(told.magnetic, &piece, middle.AfterNM)
		if alongKt, astray = a.leadsOff(off, &piece, middle.AfterNM); !astray {
			off += f.retrimmed(told, piece, middle.AltitudeFt)
		}
	} else if advised := f.offTrack.advisedFrom(middle.AfterNM); advised != nil {
		off = f.headingOff(*advised, &piece, middle.AfterNM)
	}
	wind, _ := f.forecast.Layers.At(middle.AltitudeFt)
	north, east := wind.Components()
	tasKt := piece.TASKt - a.mean[tasBias]
	s.across = vector{
		windNorth: hours * angle.Cos(rightOf), windEast: hours * angle.Sin(rightOf), tasBias: hours * angle.Sin(off),
		gyroDeg: hours * piece.TASKt * angle.Cos(off) * math.Pi / 180,
	}
	s.acrossNM = hours * (tasKt*angle.Sin(off) + north*angle.Cos(rightOf) + east*angle.Sin(rightOf))
	if astray {
		before, _ := a.along(a.trajectory, f.leg, start)
		after, _ := a.along(a.trajectory, f.leg, end)
		s.alongNM = hours*alongKt - (after - before)
		s.along = vector{
			windNorth: hours * angle.Cos(piece.TrackTrue), windEast: hours * angle.Sin(piece.TrackTrue), tasBias: hours * angle.Cos(off),
			gyroDeg: -hours * piece.TASKt * angle.Sin(off) * math.Pi / 180,
		}
	}
	return s, true
}

// slopeOf is the leg and the minutes that a slope of the way covered is of.
type slopeOf struct {
	leg     int
	minutes float64
}

// slopeSoFar is how the way covered depends on wind and airspeed when the belief is carried on, which is the same from one look to the next.
func (f *ahead) slopeSoFar(minutes float64) vector {
	return keep(f.look, func(k *kept) *keptPart[slopeOf, vector] { return &k.slope }, slopeOf{f.leg, minutes}, func() vector { return f.outlook.alongSlope(f.leg, minutes) })
}

// retrimmed is by how many degrees the heading has been moved to the right since it was told, as who holds a track with it does: at another
// airspeed, and in the wind of another level, the correction is another one.
func (f *ahead) retrimmed(told steer, piece sheet.Piece, altitudeFt float64) float64 {
	layers := f.outlook.mean.air(f.forecast).Layers
	windThen, _ := layers.At(told.altitudeFt)
	windNow, _ := layers.At(altitudeFt)
	then, errThen := deadreckon.HeadingFor(piece.TrackTrue, told.tasKt, windThen)
	now, errNow := deadreckon.HeadingFor(piece.TrackTrue, piece.TASKt, windNow)
	if errThen != nil || errNow != nil { // a speed that is not known is unflyable
		return 0
	}
	return now.CorrectionDeg - then.CorrectionDeg
}

// takeEvidence learns from a passing how far the aircraft has come since it was last seen, and if the heading is known how far it was
// carried across.
func (f *ahead) takeEvidence(e Event, s spot) {
	f.misfit = nil
	before, beforeAt := f.belief, f.beliefAt
	for round := 1; ; round++ {
		f.predict(e.T)
		misfits := f.passed(e, s)
		if math.Abs(misfits) > wildSigmas {
			f.misfit = &misfit{name: e.Point, sigmas: -misfits}
		}
		const rounds, farKt = 4, 5
		moved := f.belief.mean.plus(-1, f.outlook.mean)
		if f.misfit != nil || round == rounds || math.Hypot(moved[windNorth], moved[windEast]) < farKt {
			return
		}
		// The way does not depend on the wind by a straight line: go by how it does about the wind that was found.
		wasNM, _ := f.reckonedAlong(beforeAt)
		f.reckonWith(f.belief.mean)
		nowNM, _ := f.reckonedAlong(beforeAt)
		f.belief, f.beliefAt = before, beforeAt
		f.belief.mean[alongNM] += wasNM - nowNM
	}
}

// passed takes a passing into a belief that has been carried on to it. misfits is by how many standard errors it was farther along than
// expected.
func (f *ahead) passed(e Event, s spot) (misfits float64) {
	reckonedNM, groundspeedKt := f.reckonedAlong(e.T)
	sigmaNM := timingSigma.Hours() * groundspeedKt
	if f.untimed || s.leg != f.leg || s.place == f.lastPassed.place {
		f.belief = f.belief.told(alongNM, 0, sigmaNM)
		f.seenAcross(e.OffTrack)
		return 0
	}
	slope := vector{alongNM: 1}
	residual := s.afterNM - reckonedNM - f.belief.mean[alongNM]
	misfits = f.belief.misfit(residual, slope, sigmaNM*sigmaNM)
	if math.Abs(misfits) <= unheardSigmas {
		f.belief.scatter = f.belief.scatter.with(misfits)
		f.belief = f.belief.observed(residual, slope, f.belief.doubted(residual, slope, sigmaNM*sigmaNM))
		f.belief.taken++
	}
	f.belief.mean[alongNM] += reckonedNM - s.afterNM
	if math.Abs(misfits) > wildSigmas { // where it was passed counts; what that says of the wind does so less, or not at all
		f.belief = f.belief.told(alongNM, 0, sigmaNM)
	}
	f.seenAcross(e.OffTrack)
	return misfits
}

// turnBelief carries the belief from the end of one leg to the next.
func (f *ahead) turnBelief(leg int) {
	from, to := f.legs[leg], f.legs[leg+1]
	ratio := 1.0
	before, ok := f.outlook.pieceOn(leg, from.line().DistanceNM)
	after, found := f.outlook.pieceOn(leg+1, 0)
	if ok && found {
		ratio = after.Heading.GroundspeedKt / before.Heading.GroundspeedKt
	}
	f.belief = f.belief.turned(angle.Turn(from.line().TrackTrue, to.line().TrackTrue), ratio)
}

// takeOffErrorNM is what the time from the take-off to overhead and on track may differ from none, as a distance.
func (f *flown) takeOffErrorNM() float64 {
	return takeOffSigma.Hours() * f.sheet.Trajectory[0].Heading.GroundspeedKt
}

// seenAcross takes in how far off its track the aircraft is; with nil, that nobody says that it is off. What is told is where it is. What it
// says of the wind depends on the heading, as told or else as the program gives it; but when nothing at all is told the pilot may have
// steered as a needle or the ground asked.
func (f *believed) seenAcross(right *float64) {
	off, sigma := 0.0, onTrackSigmaNM
	if right != nil {
		off, sigma = *right, offTrackSigmaNM
	}
	across := vector{acrossNM: 1}
	residual := off - f.belief.mean[acrossNM]
	wild := right != nil && math.Abs(f.belief.misfit(residual, across, sigma*sigma)) > wildSigmas // the wind is not what that is blamed on
	if (right != nil || f.steering() != nil) && !wild {
		f.belief = f.belief.observed(residual, across, sigma*sigma)
	}
	if right != nil || f.steering() == nil {
		f.belief = f.belief.told(acrossNM, off, sigma)
	}
}

// reckonedAlong is how far along the leg being flown the aircraft is by reckoning at a moment, also beyond the leg's end, and how fast; in a hold
// it stays where that is.
func (f *ahead) reckonedAlong(t time.Time) (afterNM, groundspeedKt float64) {
	if !f.holding.IsZero() {
		t = f.anchor.at
	}
	return f.outlook.along(f.outlook.trajectory, f.leg, f.outlook.minutesOf(t))
}

func (f *fuelled) foldAirspeed(e Event) bool {
	n, ok := f.here(e.T)
	if !ok {
		return false
	}
	tasKt, ok := f.tasTold(e, n.point.AltitudeFt)
	if !ok {
		return false
	}
	f.burnUntil(e.T)
	f.reanchor(e.T)
	book := f.outlook.trajectory[n.point.Piece].TASKt - f.outlook.mean[tasBias]
	f.belief = f.belief.told(tasBias, tasKt-book, toldAirspeedKt)
	return true
}

func (f *fuelled) foldWind(e Event) bool {
	if e.WindFrom == nil || e.WindSpeed == nil {
		return false
	}
	f.burnUntil(e.T)
	altitudeFt := f.levelFt(f.leg)
	if n, ok := f.here(e.T); ok {
		altitudeFt = n.point.AltitudeFt
	}
	f.reanchor(e.T)
	f.tellWind(*e.WindFrom, *e.WindSpeed, altitudeFt)
	return true
}

// tasTold is the true airspeed that an event tells, as such or indicated at an altitude.
func (f *believed) tasTold(e Event, altitudeFt float64) (tasKt float64, ok bool) {
	switch {
	case e.TAS != nil:
		return *e.TAS, true
	case e.IAS == nil:
		return 0, false
	}
	casKt, err := air.Calibrated(f.sheet.Plan.Aircraft.PositionError, *e.IAS)
	if err != nil {
		return 0, false
	}
	pressureAltitudeFt, temperatureC := f.airAt(altitudeFt)
	return air.TASFromCAS(casKt, pressureAltitudeFt, temperatureC), true
}

// iasFor is the indicated airspeed of a true one at an altitude.
func (f *believed) iasFor(tasKt, altitudeFt float64) float64 {
	pressureAltitudeFt, temperatureC := f.airAt(altitudeFt)
	casKt := air.CASFromTAS(tasKt, pressureAltitudeFt, temperatureC)
	iasKt, err := air.Indicated(f.sheet.Plan.Aircraft.PositionError, casKt)
	if err != nil {
		return casKt
	}
	return iasKt
}

func (f *believed) airAt(altitudeFt float64) (pressureAltitudeFt, temperatureC float64) {
	_, deviationC := f.forecast.Layers.At(altitudeFt)
	pressureAltitudeFt = air.PressureAltitudeFt(altitudeFt, f.forecast.QNH)
	return pressureAltitudeFt, air.ISATemperatureC(pressureAltitudeFt) + deviationC
}

// tellWind puts a wind in the forecast's place: the forecast is moved, at all heights by the same vector, so that it is the one told
// at the height flown.
func (f *believed) tellWind(fromTrue, speedKt, altitudeFt float64) {
	before, _ := f.forecast.Layers.At(altitudeFt)
	north, east := before.Components()
	toldNorth, toldEast := air.Wind{FromTrue: fromTrue, SpeedKt: speedKt}.Components()
	f.forecast.Layers = shifted(f.forecast.Layers, toldNorth-north, toldEast-east)
	f.belief = f.belief.told(windNorth, 0, toldWindKt).told(windEast, 0, toldWindKt)
	f.belief.taken = 0
	f.windTold = true
}
