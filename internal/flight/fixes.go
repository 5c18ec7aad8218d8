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

// How exact the figures of a fix are, one standard error. docs/formulas.md says where they come from.
const (
	radialSigmaDeg  = 2.5 // of a VOR and its receiver: the same for every radial of a station
	readingSigmaDeg = 1.0 // of the reading of a radial
	bearingSigmaDeg = 5.0 // of an ADF bearing
	positionSigmaNM = 0.5 // of a place on a chart by hand
	feedSigmaNM     = 0.1
	feedEvery       = time.Minute // a feed's positions are learned from this often
	lostNM          = 20.0        // where the aircraft may be when something came between that tells nothing of its way
	overheadNM      = 1.0         // nearer than this to a beacon its bearing says too little
)

// figure is one figure of a fix: by how much it differs from what would be read at a place along and right of the leg being flown.
type figure struct {
	off      func(alongNM, acrossNM float64) float64
	also     vector // how the reading depends on states other than the place
	variance float64
	whole    bool // of a place that is known both ways
}

// observed is the belief after a figure; reckonedNM is where on the leg the aircraft was reckoned to be. A figure that is no straight line
// over the ground is taken where it leads to, three times over. Where it is farther out than is likely the aircraft is believed to be
// where it says, and the wind is not what it is blamed on.
func (f figure) observed(b belief, reckonedNM float64) belief {
	if apartNM, sigmas := f.apart(b, reckonedNM); sigmas > wildSigmas {
		b = b.lost(apartNM * apartNM)
	}
	next := b
	for range 3 {
		residual, slope := f.about(next.mean, b.mean, reckonedNM)
		next = b.observed(residual, slope, f.variance)
	}
	next.taken++
	return next
}

// apart is how far away the place that a figure gives is from where the aircraft is believed to be, and how many standard errors that is.
func (f figure) apart(b belief, reckonedNM float64) (distanceNM, sigmas float64) {
	const leastSlope = 1e-2 // a figure that changes less than that for each mile says nothing of the place
	residual, slope := f.about(b.mean, b.mean, reckonedNM)
	perNM := max(leastSlope, math.Hypot(slope[alongNM], slope[acrossNM]))
	return math.Abs(residual) / perNM, math.Abs(b.misfit(residual, slope, f.variance))
}

// about is by how much a figure differs from what is expected by the mean before it, and how it depends on the states about another.
func (f figure) about(at, before vector, reckonedNM float64) (residual float64, slope vector) {
	const stepNM = 0.05
	along, across := reckonedNM+at[alongNM], at[acrossNM]
	slope = f.also
	slope[alongNM] = (f.off(along-stepNM, across) - f.off(along+stepNM, across)) / (2 * stepNM)
	slope[acrossNM] = (f.off(along, across-stepNM) - f.off(along, across+stepNM)) / (2 * stepNM)
	residual = f.off(along, across) - f.also.dot(at)
	return residual + slope.dot(at.plus(-1, before)), slope
}

// lost is the belief of an aircraft that may be anywhere within a distance from where it was reckoned to be, whatever the wind.
func (b belief) lost(variance float64) belief {
	return b.uncorrelated(alongNM, b.covariance[alongNM][alongNM]+variance).uncorrelated(acrossNM, b.covariance[acrossNM][acrossNM]+variance)
}

func (p *progress) foldFix(e Event) bool {
	n, ok := p.here(e.T)
	if !ok {
		return false
	}
	figures := p.figures(e, n)
	if len(figures) == 0 && e.OffTrack == nil {
		return false
	}
	p.burnUntil(e.T)
	if e.Radial != nil && e.Beacon != p.station { // its error is another
		p.station = e.Beacon
		p.belief = p.belief.told(radialDeg, 0, radialSigmaDeg)
	}
	p.see(e.T, figures)
	if e.OffTrack != nil {
		p.seenAcross(e.OffTrack)
	}
	p.reanchor(e.T)
	if e.OffTrack != nil || len(figures) > 1 || p.offTrack != nil {
		p.setOffTrack(e)
	}
	p.anchor.by = byFix
	return true
}

// see takes in the figures of a fix.
func (p *progress) see(t time.Time, figures []figure) {
	p.predict(t)
	if len(figures) == 0 {
		return
	}
	if p.evidence == nil {
		p.belief = p.belief.lost(lostNM * lostNM)
	}
	reckonedNM, _ := p.reckonedAlong(t)
	p.belief = p.supposed(p.belief, figures, reckonedNM)
	for _, f := range figures {
		p.belief = f.observed(p.belief, reckonedNM)
	}
	if p.evidence == nil {
		seen := p.anchor
		p.evidence = &seen
	}
}

// supposed is a belief before some figures are taken in. Where no heading is told the aircraft is on its track as far as a pilot holds it,
// or about where it was last seen beside it. That is no more than supposed: where two figures, which tell both ways, say otherwise, it is
// as they say.
func (p *progress) supposed(b belief, figures []figure, reckonedNM float64) belief {
	if p.steering() != nil {
		return b
	}
	b = b.uncorrelated(acrossNM, onTrackSigmaNM*onTrackSigmaNM)
	const otherwise, strayNM = 2.0, 1.5 // standard errors; how far beside its track an aircraft may well be
	for _, f := range figures {
		_, sigmas := f.apart(b, reckonedNM)
		switch {
		case f.whole:
			return b.uncorrelated(acrossNM, lostNM*lostNM)
		case len(figures) > 1 && sigmas > otherwise:
			return b.uncorrelated(acrossNM, strayNM*strayNM)
		}
	}
	return b
}

func (p *progress) foldPosition(e Event) bool {
	p.watchPassing(e)
	n, ok := p.here(e.T)
	if !ok || e.At == nil || e.T.Sub(p.feedAt) < feedEvery {
		return false
	}
	p.feedAt = e.T
	p.see(e.T, p.placeFigures(*e.At, feedSigmaNM))
	if !p.worthReckoning(e.T, n) {
		return false
	}
	p.burnUntil(e.T)
	p.reanchor(e.T)
	p.anchor.by = byFeed
	p.setOffTrack(e)
	if e.Alt != nil && n.point.Phase != sheet.Cruise {
		p.anchor.altitudeFt = *e.Alt
	}
	return true
}

// worthReckoning reports whether what a feed's position taught is worth reckoning the way ahead anew: it is seen on the screen, or the last
// time was long ago.
func (p *progress) worthReckoning(t time.Time, n now) bool {
	const (
		seenNM  = 0.1
		seenKt  = 1.0
		longAgo = 5 * time.Minute
	)
	moved := p.belief.mean.plus(-1, p.ahead.mean)
	return p.anchor.by != byFeed || n.point.Phase != sheet.Cruise || t.Sub(p.anchor.at) >= longAgo ||
		p.offTrack == nil ||
		math.Abs(moved[alongNM]) > seenNM || math.Hypot(moved[windNorth], moved[windEast]) > seenKt || math.Abs(moved[tasBias]) > seenKt
}

// figures are what a fix says of where the aircraft is; none where it says nothing.
func (p *progress) figures(e Event, n now) []figure {
	if e.At != nil {
		return p.placeFigures(*e.At, positionSigmaNM)
	}
	var figures []figure
	if beacon, ok := p.sheet.Plan.Point(e.Beacon); ok && e.Beacon != "" {
		figures = p.beaconFigures(e, beacon, n)
	}
	if e.After != nil {
		figures = append(figures, figure{
			off: func(along, _ float64) float64 { return *e.After - along }, variance: positionSigmaNM * positionSigmaNM,
		})
	}
	return figures
}

func (p *progress) placeFigures(at earth.Position, sigmaNM float64) []figure {
	seenAlong, seenAcross := p.legs[p.leg].line().Line.Abeam(at)
	return []figure{
		{off: func(along, _ float64) float64 { return seenAlong - along }, variance: sigmaNM * sigmaNM, whole: true},
		{off: func(_, across float64) float64 { return seenAcross - across }, variance: sigmaNM * sigmaNM, whole: true},
	}
}

// beaconFigures are the readings of a beacon.
func (p *progress) beaconFigures(e Event, beacon plan.Point, n now) []figure {
	var figures []figure
	line := p.legs[p.leg].line().Line
	from := func(along, across float64) earth.Geodesic {
		at, azimuthTrue := line.At(along)
		if across != 0 {
			at, _ = earth.Direct(at, azimuthTrue+90, across)
		}
		return earth.Inverse(beacon.At, at)
	}
	if e.DME != nil {
		heightFt := n.point.AltitudeFt - beacon.ElevationFt
		sigma := radio.DMEErrorNM(*e.DME) / 2
		figures = append(figures, figure{
			off: func(along, across float64) float64 {
				return *e.DME - radio.SlantRangeNM(from(along, across).DistanceNM, heightFt)
			},
			variance: sigma * sigma,
		})
	}
	overhead := from(n.afterNM, 0).DistanceNM < overheadNM
	if e.Radial != nil && !overhead {
		radialTrue := deadreckon.TrueFromMagnetic(*e.Radial, p.stations[beacon.Ident])
		figures = append(figures, figure{
			off:  func(along, across float64) float64 { return angle.Turn(from(along, across).AzimuthStart, radialTrue) },
			also: vector{radialDeg: 1}, variance: readingSigmaDeg * readingSigmaDeg,
		})
	}
	if e.Relative != nil && !overhead {
		bearingTrue := deadreckon.TrueFromMagnetic(p.headingMagnetic(n)+*e.Relative, p.declinationAt(n.place))
		figures = append(figures, figure{
			off: func(along, across float64) float64 {
				return angle.Turn(from(along, across).AzimuthEnd+180, bearingTrue)
			},
			also: vector{gyroDeg: -1}, variance: bearingSigmaDeg * bearingSigmaDeg,
		})
	}
	return figures
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
	if n := len(p.steers.items); n > 0 {
		return ref(p.steers.items[n-1].magnetic)
	}
	return nil
}

func (p *progress) declinationAt(at place) float64 {
	l := &p.legs[at.leg]
	return l.way.route.DeclinationAt(l.local, at.afterNM)
}
