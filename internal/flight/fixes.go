package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/sheet"
)

// How exact a fix is, one standard error: a VOR radial and an ADF bearing by their usual system errors, a position on a chart by
// hand; common practice, no source.
const (
	radialSigmaDeg   = 2.5
	bearingSigmaDeg  = 5.0
	positionSigmaNM  = 0.5
	feedSigmaNM      = 0.1
	feedEvery        = time.Minute // a feed's positions are reckoned from this often
	crossingStepNM   = 0.25
	crossingStepsMax = 2000
)

// sighting is what a fix says of the place on the leg.
type sighting struct {
	afterNM  float64
	offTrack *float64
	sigmaNM  float64 // along the leg
}

func (p *progress) foldFix(e Event) {
	n, ok := p.here(e.T)
	if !ok {
		return
	}
	seen, ok := p.sight(e, n)
	if !ok {
		return
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	p.fixAt(e.T, seen, byFix)
	p.revise(e.T)
}

// fixAt puts the anchor where a fix says. The wind is not learned from it.
func (p *progress) fixAt(t time.Time, seen sighting, by string) {
	line := p.legs[p.leg].line()
	p.anchor.place, p.anchor.at, p.anchor.by = p.onThisLeg(seen.afterNM), t, by
	p.anchor.carried = vector{}
	groundspeed := line.DistanceNM / math.Max(p.legs[p.leg].plannedMinutes/60, 1e-3)
	if piece, ok := p.ahead.cruisePiece(p.leg); ok {
		groundspeed = piece.Heading.GroundspeedKt
	}
	sigma := seen.sigmaNM / groundspeed * 60
	p.anchor.variance = sigma * sigma
	if seen.offTrack != nil {
		p.offTrack = seen.offTrack
	}
}

func (p *progress) foldPosition(e Event) {
	n, ok := p.here(e.T)
	if !ok || e.At == nil || e.T.Sub(p.feedAt) < feedEvery {
		return
	}
	p.burnUntil(e.T)
	seen := p.sightPosition(*e.At, feedSigmaNM)
	p.reanchor(e.T)
	p.fixAt(e.T, seen, byFeed)
	if e.Alt != nil && n.point.Phase != sheet.Cruise {
		p.anchor.altitudeFt = *e.Alt
	}
	p.feedAt = e.T
	p.revise(e.T)
}

// sight works out where on the leg a fix puts the aircraft; ok is false where it says nothing.
func (p *progress) sight(e Event, n now) (sighting, bool) {
	switch {
	case e.At != nil:
		return p.sightPosition(*e.At, positionSigmaNM), true
	case e.After != nil:
		return sighting{afterNM: *e.After, offTrack: e.OffTrack, sigmaNM: positionSigmaNM}, true
	case e.Beacon == "":
		return sighting{afterNM: n.afterNM, offTrack: e.OffTrack, sigmaNM: positionSigmaNM}, e.OffTrack != nil
	}
	beacon, ok := p.sheet.Plan.Point(e.Beacon)
	if !ok {
		return sighting{}, false
	}
	return p.sightBeacon(e, beacon, n)
}

func (p *progress) sightPosition(at earth.Position, sigmaNM float64) sighting {
	line := p.legs[p.leg].line()
	along, right := earth.Abeam(line.From.At, line.To.At, at)
	return sighting{afterNM: along, offTrack: &right, sigmaNM: sigmaNM}
}

// sightBeacon works out a fix by a beacon: radial and distance give a position, one of them alone or an ADF bearing gives where that
// line crosses the leg, nearest to where the aircraft was thought to be.
func (p *progress) sightBeacon(e Event, beacon plan.Point, n now) (sighting, bool) {
	var ground *float64
	if e.DME != nil {
		distance, _ := radio.GroundRangeNM(*e.DME, n.point.AltitudeFt-beacon.ElevationFt)
		ground = &distance
	}
	var bearingTrue *float64 // from the beacon
	sigmaDeg := radialSigmaDeg
	switch {
	case e.Radial != nil:
		direction := deadreckon.TrueFromMagnetic(*e.Radial, p.stations[beacon.Ident])
		bearingTrue = &direction
	case e.Relative != nil:
		direction := deadreckon.TrueFromMagnetic(radio.QDR(p.headingMagnetic(n), *e.Relative), p.declinationAt(n.place))
		bearingTrue, sigmaDeg = &direction, bearingSigmaDeg
	}
	switch {
	case ground != nil && bearingTrue != nil:
		at, _ := earth.Direct(beacon.At, *bearingTrue, *ground)
		return p.sightPosition(at, math.Max(radio.DMEErrorNM(*e.DME), *ground*angle.Sin(sigmaDeg))), true
	case ground != nil:
		along, ok := p.crossing(n, func(at earth.Position) float64 { return earth.Inverse(beacon.At, at).DistanceNM - *ground })
		return sighting{afterNM: along, offTrack: e.OffTrack, sigmaNM: radio.DMEErrorNM(*e.DME)}, ok
	case bearingTrue != nil:
		along, ok := p.crossing(n, func(at earth.Position) float64 {
			return angle.Turn(*bearingTrue, earth.Inverse(beacon.At, at).AzimuthStart)
		})
		distance := earth.Inverse(beacon.At, p.legs[p.leg].way.route.PositionAt(p.legs[p.leg].local, along)).DistanceNM
		return sighting{afterNM: along, offTrack: e.OffTrack, sigmaNM: math.Max(0.5, distance*angle.Sin(sigmaDeg))}, ok
	}
	return sighting{}, false
}

// crossing finds the place on the leg, nearest to the reckoned one, where a quantity goes through nought.
func (p *progress) crossing(n now, quantity func(earth.Position) float64) (afterNM float64, ok bool) {
	l := p.legs[p.leg]
	value := func(afterNM float64) float64 { return quantity(l.way.route.PositionAt(l.local, afterNM)) }
	length := l.line().DistanceNM
	best := math.Inf(1)
	step := math.Max(crossingStepNM, length/crossingStepsMax)
	for from := 0.0; from < length; from += step {
		to := math.Min(from+step, length)
		a, b := value(from), value(to)
		if a*b > 0 || math.Abs(a-b) > 90 { // a bearing that jumps from one side to the other is no crossing
			continue
		}
		at := from
		if a != b {
			at += (to - from) * a / (a - b)
		}
		if math.Abs(at-n.afterNM) < math.Abs(best-n.afterNM) {
			best = at
		}
	}
	return best, !math.IsInf(best, 1)
}

// headingMagnetic is the heading being steered: as told on this leg, else the one that the program gives.
func (p *progress) headingMagnetic(n now) float64 {
	if told := p.steering(); told != nil {
		return *told
	}
	return p.magneticOn(n.place, p.ahead.trajectory[n.point.Piece].Heading.HeadingTrue)
}

// steering is the heading told on this leg; nil when none was.
func (p *progress) steering() *float64 {
	if n := len(p.steers); n > 0 {
		return &p.steers[n-1].magnetic
	}
	return nil
}

func (p *progress) declinationAt(at place) float64 {
	l := p.legs[at.leg]
	return l.way.route.DeclinationAt(l.local, at.afterNM)
}
