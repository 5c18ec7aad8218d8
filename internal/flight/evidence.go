package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

// predicted is the belief carried on to a moment, along the way as it was last reckoned.
func (p *progress) predicted(t time.Time) belief {
	s, ok := p.motion(p.beliefAt, t)
	if !ok {
		return p.belief
	}
	return p.belief.carried(s)
}

// predict carries the belief on to a moment.
func (p *progress) predict(t time.Time) {
	p.belief = p.predicted(t)
	if t.After(p.beliefAt) {
		p.beliefAt = t
	}
}

// motion is the part of the reckoned way between two moments on the leg being flown; ok is false where there is none.
func (p *progress) motion(from, to time.Time) (s motion, ok bool) {
	a := p.ahead
	start, end := a.minutesOf(from), a.minutesOf(to)
	switch {
	case end <= start:
		return s, false
	case len(a.trajectory) == 0 || !p.holding.IsZero(): // no way is made, and the wind wanders
		return motion{minutes: end - start}, true
	}
	middle := a.trajectory.At((start + end) / 2)
	piece := a.trajectory[middle.Piece]
	s = motion{
		minutes: end - start, heightFt: a.trajectory.At(end).AltitudeFt - a.trajectory.At(start).AltitudeFt,
		along:    a.alongSlope(p.leg, end).plus(-1, a.alongSlope(p.leg, start)),
		reckoned: a.mean, groundspeedKt: piece.Heading.GroundspeedKt,
		changing: a.levelChangeMinutes(end) - a.levelChangeMinutes(start),
	}
	hours, rightOf, off := s.minutes/60, piece.TrackTrue+90, piece.Heading.CorrectionDeg
	if told := p.steering(); told != nil {
		off = angle.Turn(piece.TrackTrue, deadreckon.TrueFromMagnetic(*told, p.declinationAt(place{p.leg, middle.AfterNM})))
	}
	wind, _ := p.forecast.Layers.At(middle.AltitudeFt)
	north, east := wind.Components()
	tasKt := piece.TASKt - a.mean[tasBias]
	s.across = vector{
		windNorth: hours * angle.Cos(rightOf), windEast: hours * angle.Sin(rightOf), tasBias: hours * angle.Sin(off),
		gyroDeg: hours * piece.TASKt * angle.Cos(off) * math.Pi / 180,
	}
	s.acrossNM = hours * (tasKt*angle.Sin(off) + north*angle.Cos(rightOf) + east*angle.Sin(rightOf))
	return s, true
}

// takeEvidence learns from a passing how far the aircraft has come since it was last seen, and if the heading is known how far it was
// carried across.
func (p *progress) takeEvidence(e Event, s spot) {
	p.misfit = nil
	before, beforeAt := p.belief, p.beliefAt
	for round := 1; ; round++ {
		p.predict(e.T)
		misfits := p.passed(e, s)
		if math.Abs(misfits) > wildSigmas {
			p.misfit = &misfit{name: e.Point, sigmas: -misfits}
		}
		const rounds, farKt = 4, 5
		moved := p.belief.mean.plus(-1, p.ahead.mean)
		if p.misfit != nil || round == rounds || math.Hypot(moved[windNorth], moved[windEast]) < farKt {
			return
		}
		// The way does not depend on the wind by a straight line: go by how it does about the wind that was found.
		wasNM, _ := p.reckonedAlong(beforeAt)
		p.reckonWith(p.belief.mean)
		nowNM, _ := p.reckonedAlong(beforeAt)
		p.belief, p.beliefAt = before, beforeAt
		p.belief.mean[alongNM] += wasNM - nowNM
	}
}

// passed takes a passing into a belief that has been carried on to it. misfits is by how many standard errors it was farther along than
// expected.
func (p *progress) passed(e Event, s spot) (misfits float64) {
	reckonedNM, groundspeedKt := p.reckonedAlong(e.T)
	sigmaNM := timingSigma.Hours() * groundspeedKt
	if p.evidence == nil || s.leg != p.leg || s.place == p.evidence.place {
		p.belief = p.belief.told(alongNM, 0, sigmaNM)
		p.seenAcross(e.OffTrack)
		return 0
	}
	slope := vector{alongNM: 1}
	residual := s.afterNM - reckonedNM - p.belief.mean[alongNM]
	misfits = p.belief.misfit(residual, slope, sigmaNM*sigmaNM)
	if math.Abs(misfits) <= unheardSigmas {
		p.belief = p.belief.observed(residual, slope, p.belief.doubted(residual, slope, sigmaNM*sigmaNM))
		p.belief.taken++
	}
	p.belief.mean[alongNM] += reckonedNM - s.afterNM
	if math.Abs(misfits) > wildSigmas { // where it was passed counts; what that says of the wind does so less, or not at all
		p.belief = p.belief.told(alongNM, 0, sigmaNM)
	}
	p.seenAcross(e.OffTrack)
	return misfits
}

// turnBelief carries the belief from the end of one leg to the next.
func (p *progress) turnBelief(leg int) {
	from, to := p.legs[leg], p.legs[leg+1]
	ratio := 1.0
	before, ok := p.ahead.pieceOn(leg, from.line().DistanceNM)
	after, found := p.ahead.pieceOn(leg+1, 0)
	if ok && found {
		ratio = after.Heading.GroundspeedKt / before.Heading.GroundspeedKt
	}
	p.belief = p.belief.turned(angle.Turn(from.line().TrackTrue, to.line().TrackTrue), ratio)
}

// takeOffErrorNM is what the time from the take-off to overhead and on track may differ from none, as a distance.
func (p *progress) takeOffErrorNM() float64 {
	return takeOffSigma.Hours() * p.sheet.Trajectory[0].Heading.GroundspeedKt
}

// seenAcross takes in how far off its track the aircraft is; with nil, that nobody says that it is off. What is told is where it is. What it
// says of the wind depends on the heading, as told or else as the program gives it; but when nothing at all is told the pilot may have
// steered as a needle or the ground asked.
func (p *progress) seenAcross(right *float64) {
	off, sigma := 0.0, onTrackSigmaNM
	if right != nil {
		off, sigma = *right, offTrackSigmaNM
	}
	if right != nil || p.steering() != nil {
		p.belief = p.belief.observed(off-p.belief.mean[acrossNM], vector{acrossNM: 1}, sigma*sigma)
	}
	if right != nil || p.steering() == nil {
		p.belief = p.belief.told(acrossNM, off, sigma)
	}
}

// reckonedAlong is how far along the leg being flown the aircraft is by reckoning at a moment, also beyond the leg's end, and how fast.
func (p *progress) reckonedAlong(t time.Time) (afterNM, groundspeedKt float64) {
	return p.ahead.along(p.ahead.trajectory, p.leg, p.ahead.minutesOf(t))
}

func (p *progress) foldAirspeed(e Event) bool {
	n, ok := p.here(e.T)
	if !ok {
		return false
	}
	tasKt, ok := p.tasTold(e, n.point.AltitudeFt)
	if !ok {
		return false
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	book := p.ahead.trajectory[n.point.Piece].TASKt - p.ahead.mean[tasBias]
	p.belief = p.belief.told(tasBias, tasKt-book, toldAirspeedKt)
	return true
}

func (p *progress) foldWind(e Event) bool {
	if e.WindFrom == nil || e.WindSpeed == nil {
		return false
	}
	p.burnUntil(e.T)
	altitudeFt := p.levelFt(p.leg)
	if n, ok := p.here(e.T); ok {
		altitudeFt = n.point.AltitudeFt
	}
	p.reanchor(e.T)
	p.tellWind(*e.WindFrom, *e.WindSpeed, altitudeFt)
	return true
}

// tasTold is the true airspeed that an event tells, as such or indicated at an altitude.
func (p *progress) tasTold(e Event, altitudeFt float64) (tasKt float64, ok bool) {
	switch {
	case e.TAS != nil:
		return *e.TAS, true
	case e.IAS == nil:
		return 0, false
	}
	casKt, err := air.Calibrated(p.sheet.Plan.Aircraft.PositionError, *e.IAS)
	if err != nil {
		return 0, false
	}
	pressureAltitudeFt, temperatureC := p.airAt(altitudeFt)
	return air.TASFromCAS(casKt, pressureAltitudeFt, temperatureC), true
}

// iasFor is the indicated airspeed of a true one at an altitude.
func (p *progress) iasFor(tasKt, altitudeFt float64) float64 {
	pressureAltitudeFt, temperatureC := p.airAt(altitudeFt)
	casKt := air.CASFromTAS(tasKt, pressureAltitudeFt, temperatureC)
	iasKt, err := air.Indicated(p.sheet.Plan.Aircraft.PositionError, casKt)
	if err != nil {
		return casKt
	}
	return iasKt
}

func (p *progress) airAt(altitudeFt float64) (pressureAltitudeFt, temperatureC float64) {
	_, deviationC := p.forecast.Layers.At(altitudeFt)
	pressureAltitudeFt = air.PressureAltitudeFt(altitudeFt, p.forecast.QNH)
	return pressureAltitudeFt, air.ISATemperatureC(pressureAltitudeFt) + deviationC
}

// tellWind puts a wind in the forecast's place: the forecast is moved, at all heights by the same vector, so that it is the one told
// at the height flown.
func (p *progress) tellWind(fromTrue, speedKt, altitudeFt float64) {
	before, _ := p.forecast.Layers.At(altitudeFt)
	north, east := before.Components()
	toldNorth, toldEast := air.Wind{FromTrue: fromTrue, SpeedKt: speedKt}.Components()
	p.forecast.Layers = shifted(p.forecast.Layers, toldNorth-north, toldEast-east)
	p.belief = p.belief.told(windNorth, 0, toldWindKt).told(windEast, 0, toldWindKt)
	p.belief.taken = 0
	p.windTold = true
}
