package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sheet"
)

// takeEvidence learns the wind from the time between the last passing and this one.
func (p *progress) takeEvidence(e Event, s spot) {
	p.misfit = nil
	if p.evidence == nil {
		p.belief = p.belief.wandered(e.T.Sub(p.lastPassed.at).Minutes()).timed(timingSigma)
		return
	}
	from := *p.evidence
	w := p.legs[from.leg].way
	start := sheet.Start{Leg: from.leg - w.first, AfterNM: from.afterNM, AltitudeFt: from.altitudeFt, Descending: from.descending}
	in := interval{
		minutes: e.T.Sub(from.at).Minutes(),
		expected: func(v vector) (float64, bool) {
			trajectory, err := w.route.ReckonLeg(start, v.air(p.forecast))
			if err != nil {
				return 0, false
			}
			return trajectory.MinutesTo(s.leg-w.first, s.afterNM)
		},
	}
	if in.minutes <= 0 || s.place == from.place || s.leg != from.leg { // a leg's end that was not logged may not have been flown over
		p.belief = p.belief.timed(timingSigma)
		return
	}
	in.levelChangeMinutes, in.midClimb = p.changingSince(e.T), from.climbing
	in.across = p.acrossFrom(from, e, s)
	var sigmas float64
	p.belief, sigmas = p.belief.passed(in)
	if math.Abs(sigmas) > wildSigmas {
		p.misfit = &misfit{name: e.Point, sigmas: sigmas}
	}
}

// acrossFrom is the evidence of the headings flown since the last passing. Without a distance off track and without a heading told
// for most of the way there is none: a pilot who follows a radial or a line on the ground steers as that asks, whatever the program
// says.
func (p *progress) acrossFrom(from anchor, e Event, s spot) *across {
	if len(p.ahead.trajectory) == 0 {
		return nil
	}
	minutes := e.T.Sub(from.at).Minutes()
	piece := p.ahead.trajectory[p.ahead.trajectory.At(p.ahead.minutesOf(e.T)/2).Piece]
	alone, told := p.headingsLed(from.at, e.T, piece, p.declinationAt(place{s.leg, (from.afterNM + s.afterNM) / 2}))
	if e.OffTrack == nil && told < minutes/2 {
		return nil
	}
	off, sigma := 0.0, onTrackSigmaNM
	if e.OffTrack != nil {
		off, sigma = *e.OffTrack, offTrackSigmaNM
	}
	if p.offTrack != nil {
		off -= *p.offTrack
	}
	headingError := minutes / 60 * piece.TASKt * angle.Sin(headingSigmaDeg)
	altitudeFt := (piece.FromFt + piece.ToFt) / 2
	return &across{
		offNM: off, sigmaNM: math.Sqrt(2*sigma*sigma + headingError*headingError), minutes: minutes, aloneNM: alone,
		rightOf: piece.TrackTrue + 90,
		forecast: func(v vector) (north, east float64) {
			wind, _ := v.air(p.forecast).Layers.At(altitudeFt)
			return wind.Components()
		},
	}
}

// headingsLed is how far right of a piece's track the headings flown on this leg would have led through still air, and for how many
// minutes they were headings that the pilot told. Before the first of those it was the one that the program gave.
func (p *progress) headingsLed(from, until time.Time, piece sheet.Piece, declination float64) (rightNM, toldMinutes float64) {
	at, headingTrue, told := from, piece.Heading.HeadingTrue, false
	steerUntil := func(end time.Time) {
		minutes := end.Sub(at).Minutes()
		rightNM += minutes / 60 * piece.TASKt * angle.Sin(headingTrue-piece.TrackTrue)
		if told {
			toldMinutes += minutes
		}
		at = end
	}
	for _, steered := range p.steers {
		if steered.at.After(from) && steered.at.Before(until) {
			steerUntil(steered.at)
		}
		if steered.at.Before(until) {
			headingTrue, told = deadreckon.TrueFromMagnetic(steered.magnetic, declination), true
		}
	}
	steerUntil(until)
	return rightNM, toldMinutes
}

func (p *progress) foldAirspeed(e Event) {
	n, ok := p.here(e.T)
	if !ok {
		return
	}
	tasKt, ok := p.tasTold(e, n.point.AltitudeFt)
	if !ok {
		return
	}
	p.burnUntil(e.T)
	book := p.ahead.trajectory[n.point.Piece].TASKt - p.belief.mean[tasBias]
	p.belief = p.belief.told(tasBias, tasKt-book, toldAirspeedKt)
	p.revise(e.T)
}

func (p *progress) foldWind(e Event) {
	if e.From == nil || e.Speed == nil {
		return
	}
	p.burnUntil(e.T)
	altitudeFt := p.levelFt(p.leg)
	if n, ok := p.here(e.T); ok {
		altitudeFt = n.point.AltitudeFt
	}
	p.settle(e.T)
	p.tellWind(*e.From, *e.Speed, altitudeFt)
	p.revise(e.T)
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
	p.told = true
}
