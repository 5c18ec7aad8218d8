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
	lostNM          = 20.0        // where the aircraft may be when two figures, which tell both ways, say that it is not where it was supposed to be
	strayNM         = 1.5         // how far beside its track an aircraft may well be that nobody has seen there
	overheadNM      = 1.0         // nearer than this to a beacon its bearing says too little
)

// figure is one figure of a fix: by how much it differs from what would be read at a place along and right of the leg being flown.
type figure struct {
	off      func(alongNM, acrossNM float64) float64
	also     vector // how the reading depends on states other than the place
	variance float64
	whole    bool // of a place that is known both ways
	distance bool // from a beacon: overhead it changes with the way whichever way that leads
}

// seen is the belief after some figures; reckonedNM is where on the leg the aircraft was reckoned to be. Figures that are no straight lines over the
// ground are taken where they lead to together, three times over for each. Where one is farther out than is likely the aircraft is believed to be
// where it says, and the wind is not what it is blamed on.
func (b belief) seen(figures []figure, reckonedNM float64) belief {
	after := b
	for range 3 * len(figures) {
		at := after.mean
		after = b
		for _, one := range figures {
			if apartNM, sigmas := one.apart(after, reckonedNM); sigmas > wildSigmas {
				after = after.lost(apartNM * apartNM)
			}
			residual, slope := one.about(at, after.mean, reckonedNM)
			after = after.observed(residual, slope, one.variance)
		}
	}
	after.taken += len(figures)
	return after
}

// apart is how far away the place that a figure gives is from where the aircraft is believed to be, and how many standard errors that is.
func (f figure) apart(b belief, reckonedNM float64) (distanceNM, sigmas float64) {
	const (
		leastSlope      = 1e-2 // a figure that changes less than that for each mile says nothing of the place
		leastOfDistance = 0.5  // where a distance changes less the aircraft is as good as overhead
	)
	residual, slope := f.about(b.mean, b.mean, reckonedNM)
	if f.distance && math.Hypot(slope[alongNM], slope[acrossNM]) < leastOfDistance {
		slope[alongNM], slope[acrossNM] = 1, 0
	}
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

func (f *fuelled) foldFix(e Event) bool {
	n, ok := f.here(e.T)
	if !ok {
		return false
	}
	figures := f.figures(e, n)
	if len(figures) == 0 && e.OffTrack == nil {
		return false
	}
	f.burnUntil(e.T)
	if n.overdue > 0 {
		f.supposeBeforeEnd(e.T)
	}
	f.belief = f.ofStation(f.belief, e)
	if e.Radial != nil {
		f.station = e.Beacon
	}
	line, bothWays := f.sighted(e, figures), len(figures) > 1
	if crossed, ok := f.crossedBy(line); ok {
		f.ahead, bothWays = crossed, true
	} else {
		f.see(e.T, figures)
	}
	f.keepLine(line)
	if e.OffTrack != nil {
		f.seenAcross(e.OffTrack)
	}
	f.reanchor(e.T)
	if e.OffTrack != nil || bothWays || f.offTrack != nil {
		f.setOffTrack(e)
	}
	f.anchor.by = ByFix
	return true
}

// ofStation is a belief before a fix is taken in or doubted: the error of a station's radials is another than that of the one before.
func (f *believed) ofStation(b belief, e Event) belief {
	if e.Radial == nil || e.Beacon == f.station {
		return b
	}
	return b.told(radialDeg, 0, radialSigmaDeg)
}

// positionLine is a fix of one figure of a beacon: a line that the aircraft was on. Another that cuts it soon afterwards tells where the aircraft is, both ways.
type positionLine struct {
	at       time.Time
	leg      int
	beacon   string
	distance bool // from the beacon, not a bearing
	figure   figure
	before   belief  // it was taken in
	byNM     vector  // how it moved the place, along and right of the leg
	alongNM  float64 // where the aircraft was then believed to be, along the leg
	acrossNM float64 // and right of it
}

// untaken is a later belief with the place as unsure as before the line was taken in, and where it was taken to be without it.
func (l *positionLine) untaken(b belief) belief {
	for _, state := range []int{alongNM, acrossNM} {
		b = b.uncorrelated(state, max(b.covariance[state][state], l.before.covariance[state][state]))
		b.mean[state] -= l.byNM[state]
	}
	return b
}

// Two lines are one fix if they are read within a time, in which the aircraft's way is known well enough to carry the first on, and cut by an angle at
// least. Common practice, no source.
const (
	crossedWithin = 5 * time.Minute
	leastCutDeg   = 30.0
)

// sighted is a fix as the line that it tells, before it is taken in; nil where it tells none, or more.
func (f *ahead) sighted(e Event, figures []figure) *positionLine {
	if len(figures) != 1 || e.Beacon == "" || e.OffTrack != nil {
		return nil
	}
	f.predict(e.T)
	return &positionLine{at: e.T, leg: f.leg, beacon: e.Beacon, distance: e.DME != nil, figure: figures[0], before: f.belief}
}

// crossedBy is the flight once a line is taken in together with the one that was read before it, which is carried on by the way made since; ok is
// false where the two are no fix.
func (f *ahead) crossedBy(line *positionLine) (crossed ahead, ok bool) {
	last := f.line
	if line == nil || last == nil || last.leg != line.leg || line.at.Sub(last.at) > crossedWithin || !f.holding.IsZero() ||
		last.beacon == line.beacon && last.distance == line.distance {
		return crossed, false
	}
	reckonedNM, _ := f.reckonedAlong(line.at)
	onNM, asideNM := reckonedNM+f.belief.mean[alongNM]-last.alongNM, f.belief.mean[acrossNM]-last.acrossNM
	earlier, later := last.figure, line.figure
	earlier.off = func(along, across float64) float64 { return last.figure.off(along-onNM, across-asideNM) }
	if earlier.also[radialDeg] != 0 { // that is of the beacon being read now
		earlier.variance += radialSigmaDeg * radialSigmaDeg
		earlier.also[radialDeg] = 0
	}
	crossed = *f
	crossed.belief = last.untaken(f.belief)
	crossed.see(line.at, []figure{earlier, later})
	mean := crossed.belief.mean
	_, one := earlier.about(mean, mean, reckonedNM)
	_, other := later.about(mean, mean, reckonedNM)
	steep := math.Hypot(one[alongNM], one[acrossNM]) * math.Hypot(other[alongNM], other[acrossNM])
	return crossed, math.Abs(one[alongNM]*other[acrossNM]-one[acrossNM]*other[alongNM]) > steep*angle.Sin(leastCutDeg)
}

// keepLine keeps the line of a fix that has been taken in; nil: it was none.
func (f *ahead) keepLine(line *positionLine) {
	if f.line = line; line == nil {
		return
	}
	reckonedNM, _ := f.reckonedAlong(line.at)
	line.byNM = f.belief.mean.plus(-1, line.before.mean)
	line.alongNM, line.acrossNM = reckonedNM+f.belief.mean[alongNM], f.belief.mean[acrossNM]
}

// supposeBeforeEnd takes an aircraft whose leg's end is overdue to be before it, however far beyond it is reckoned to be: a pilot who reads a distance to
// the beacon there says that it was not passed. What the place is in doubt by grows by as much.
func (f *ahead) supposeBeforeEnd(t time.Time) {
	const beforeNM = 0.5
	f.predict(t)
	reckonedNM, _ := f.reckonedAlong(t)
	if beyondNM := reckonedNM + f.belief.mean[alongNM] - f.endOfLeg().afterNM + beforeNM; beyondNM > 0 {
		f.belief = f.belief.lost(beyondNM * beyondNM)
		f.belief.mean[alongNM] -= beyondNM
	}
}

// see takes in the figures of a fix.
func (f *ahead) see(t time.Time, figures []figure) {
	f.predict(t)
	if len(figures) == 0 {
		return
	}
	reckonedNM, _ := f.reckonedAlong(t)
	f.belief = f.supposed(f.belief, figures, reckonedNM).seen(figures, reckonedNM)
	f.untimed = f.untimed && !f.holding.IsZero()
}

// supposed is a belief before some figures are taken in. Where no heading is told the aircraft is on its track as far as a pilot holds it,
// or about where it was last seen beside it. That is no more than supposed: where two figures, which tell both ways, say otherwise, it is
// as they say.
func (f *flown) supposed(b belief, figures []figure, reckonedNM float64) belief {
	told := f.steering() != nil
	switch {
	case !f.holding.IsZero():
		b, told = f.withinHold(b), false
	case !told:
		b = b.uncorrelated(acrossNM, onTrackSigmaNM*onTrackSigmaNM)
	}
	switch {
	case len(figures) < 2:
	case figures[0].whole:
		if !told {
			b = b.uncorrelated(acrossNM, lostNM*lostNM)
		}
	default:
		b = supposedCut(b, figures, reckonedNM)
	}
	return b
}

// supposedCut is a belief before two figures are taken in that tell both ways: where they alone place the aircraft no farther across than is usual for them
// it is weighed with them, as far beside its track as an aircraft may well be that nobody has seen there; else it is across where they say.
func supposedCut(b belief, figures []figure, reckonedNM float64) belief {
	free := b.uncorrelated(acrossNM, lostNM*lostNM)
	alone := free.seen(figures, reckonedNM)
	if apartNM := alone.mean[acrossNM] - b.mean[acrossNM]; apartNM*apartNM > alone.covariance[acrossNM][acrossNM] {
		return free
	}
	b.covariance[acrossNM][acrossNM] = max(b.covariance[acrossNM][acrossNM], strayNM*strayNM)
	return b
}

func (f *fuelled) foldPosition(e Event) bool {
	f.watchPassing(e)
	if e.At != nil {
		f.told.fed = fedPosition{at: *e.At, t: e.T}
		if e.GS != nil && e.Track != nil {
			f.told.fed.gs, f.told.fed.track = *e.GS, *e.Track
		}
	}
	n, ok := f.here(e.T)
	if !ok || e.At == nil || e.T.Sub(f.feedAt) < feedEvery {
		return false
	}
	if f.told.watched.leg > f.leg { // it shows the leg's end passed, which is offered: where beside this leg it goes on says nothing of that
		return false
	}
	f.feedAt, f.line = e.T, nil
	f.see(e.T, f.placeFigures(*e.At, feedSigmaNM))
	if !f.worthReckoning(e.T, n) {
		return false
	}
	f.burnUntil(e.T)
	f.reanchor(e.T)
	f.anchor.by = ByFeed
	f.setOffTrack(e)
	if e.Alt != nil && n.point.Phase != sheet.Cruise {
		f.anchor.altitudeFt = *e.Alt
	}
	return true
}

// worthReckoning reports whether what a feed's position taught is worth reckoning the way ahead anew: it is seen on the screen, or the last
// time was long ago.
func (f *ahead) worthReckoning(t time.Time, n now) bool {
	const (
		seenNM  = 0.1
		seenKt  = 1.0
		longAgo = 5 * time.Minute
	)
	moved := f.belief.mean.plus(-1, f.outlook.mean)
	return f.anchor.by != ByFeed || n.point.Phase != sheet.Cruise || t.Sub(f.anchor.at) >= longAgo ||
		f.offTrack == nil ||
		math.Abs(moved[alongNM]) > seenNM || math.Hypot(moved[windNorth], moved[windEast]) > seenKt || math.Abs(moved[tasBias]) > seenKt
}

// figures are what a fix says of where the aircraft is; none where it says nothing.
func (f *ahead) figures(e Event, n now) []figure {
	if e.At != nil {
		return f.placeFigures(*e.At, positionSigmaNM)
	}
	var figures []figure
	if beacon, ok := f.sheet.Plan.Point(e.Beacon); ok && e.Beacon != "" {
		figures = f.beaconFigures(e, beacon, n)
	}
	if e.After != nil {
		figures = append(figures, figure{
			off: func(along, _ float64) float64 { return *e.After - along }, variance: positionSigmaNM * positionSigmaNM,
		})
	}
	return figures
}

func (f *flown) placeFigures(at earth.Position, sigmaNM float64) []figure {
	seenAlong, seenAcross := f.legs[f.leg].line().Line.Abeam(at)
	return []figure{
		{off: func(along, _ float64) float64 { return seenAlong - along }, variance: sigmaNM * sigmaNM, whole: true},
		{off: func(_, across float64) float64 { return seenAcross - across }, variance: sigmaNM * sigmaNM, whole: true},
	}
}

// beaconFigures are the readings of a beacon.
func (f *ahead) beaconFigures(e Event, beacon plan.Point, n now) []figure {
	var figures []figure
	line := f.legs[f.leg].line().Line
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
			variance: sigma * sigma, distance: true,
		})
	}
	overhead := from(n.afterNM, 0).DistanceNM < overheadNM
	if e.Radial != nil && !overhead {
		radialTrue := deadreckon.TrueFromMagnetic(*e.Radial, f.stations[beacon.Ident])
		figures = append(figures, figure{
			off:  func(along, across float64) float64 { return angle.Turn(from(along, across).AzimuthStart, radialTrue) },
			also: vector{radialDeg: 1}, variance: readingSigmaDeg * readingSigmaDeg,
		})
	}
	if e.Relative != nil && !overhead {
		bearingTrue := deadreckon.TrueFromMagnetic(f.headingMagnetic(n)+*e.Relative, f.declinationAt(n.place))
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
func (f *ahead) headingMagnetic(n now) float64 {
	if told := f.steering(); told != nil {
		return *told
	}
	if advised := f.offTrack.advisedFrom(n.afterNM); advised != nil {
		return *advised
	}
	return f.headingOn(f.outlook.trajectory[n.point.Piece])
}

// steering is the heading told on this leg; nil when none was.
func (f *flown) steering() *float64 {
	if told, ok := f.steered(); ok {
		return ref(told.magnetic)
	}
	return nil
}

// steered is the last of the headings told on this leg; ok is false where none was.
func (f *flown) steered() (told steer, ok bool) {
	if n := f.steers.Len(); n > 0 {
		return f.steers.All()[n-1], true
	}
	return told, false
}

func (f *flown) declinationAt(at place) float64 {
	l := &f.legs[at.leg]
	return l.way.route.VariationAt(l.local, at.afterNM)
}

// beside is a distance off the track that is known, and how the pilot wants to come back.
type beside struct {
	toldNM   float64 // along the leg, where it was told
	told     time.Time
	withinNM *float64
	// advised is the magnetic heading that leads back from there, to the track or to the leg's end, once it is reckoned; nil: none does.
	advised *float64
}

// setOffTrack takes what the belief has of the distance off track for known.
func (f *believed) setOffTrack(e Event) {
	f.offTrack = &beside{toldNM: f.anchor.afterNM, told: e.T, withinNM: e.Within}
}

// regained reports whether the track is regained as the pilot wanted, so far along the leg.
func (b *beside) regained(afterNM float64) bool {
	return b != nil && b.withinNM != nil && afterNM > b.toldNM+*b.withinNM
}

// adviseHeading keeps the heading that leads back, from where the distance off track was told: it stays until more is known.
func (f *ahead) adviseHeading(t time.Time) {
	if f.offTrack == nil || f.offTrack.advised != nil {
		return
	}
	o := f.offTrackAt(t)
	if o == nil {
		return
	}
	known := *f.offTrack
	known.advised = o.advised()
	f.offTrack = &known
}

// advisedFrom is the heading that leads back, where the aircraft is so far along the leg; nil where none is advised, or the track is regained.
func (b *beside) advisedFrom(afterNM float64) *float64 {
	if b == nil || b.regained(afterNM) {
		return nil
	}
	return b.advised
}

// advisedAt is the heading that leads back at a moment.
func (f *ahead) advisedAt(t time.Time) *float64 {
	if o := f.offTrackAt(t); o != nil {
		return o.advised()
	}
	return nil
}

// advised is the heading that leads back as the pilot wants it: to the track where that was chosen, else to the leg's end.
func (o *OffTrackNow) advised() *float64 {
	if o.Regain != nil && o.Regain.Chosen {
		return o.Regain.HeadingMagnetic
	}
	return o.HeadingMagnetic
}

// besideNM is how far right of the track the aircraft is at a moment; nil where nobody knows.
func (f *ahead) besideNM(n now, t time.Time) *float64 {
	if f.offTrack == nil && f.steers.Len() == 0 {
		return nil
	}
	right, known := f.besideBy(f.predicted(t.Add(-n.overdue)))
	if !known {
		return nil
	}
	return &right
}

// besideBy is how far right of the track the aircraft is by a belief; known is false where nobody said it on this leg, nor told a heading that leads off the
// track by more than heading and wind leave in doubt.
func (f *believed) besideBy(b belief) (right float64, known bool) {
	const certain = 2.0 // standard errors
	right = b.mean[acrossNM]
	return right, f.offTrack != nil || f.steers.Len() > 0 && math.Abs(right) > certain*b.sigma(b.covariance[acrossNM][acrossNM])
}

// tooNearNM is how near to either end of a leg angles mean nothing.
const tooNearNM = 0.5

// offTrackAt is what the distance off track means for the heading; nil when nobody said it, and near either end of the leg.
func (f *ahead) offTrackAt(t time.Time) *OffTrackNow {
	return reckoned(f.lookAt(t), func(l *look) *lookPart[*OffTrackNow] { return &l.offTrack }, func() *OffTrackNow { return f.makeOffTrack(t) })
}

func (f *ahead) makeOffTrack(t time.Time) *OffTrackNow {
	n, ok := f.here(t)
	if !ok {
		return nil
	}
	beside := f.besideNM(n, t)
	if beside == nil {
		return nil
	}
	toGo := f.legs[f.leg].line().DistanceNM - n.afterNM
	if n.afterNM < tooNearNM || toGo < tooNearNM || f.offTrack.regained(n.afterNM) {
		return nil
	}
	right := *beside
	off := deadreckon.OffTrackBy(right, n.afterNM, toGo)
	o := &OffTrackNow{
		OffNM: right, TrackErrorRule: off.TrackErrorRule, TrackErrorExact: off.TrackErrorExact,
		ClosingRule: off.ClosingRule, ClosingExact: off.ClosingExact, TurnRule: off.TurnRule(), TurnExact: off.TurnExact(), Differs: off.Differs(),
		HeadingMagnetic: f.headingClosing(n, off.ClosingExact), Regain: f.regain(n, right, toGo),
	}
	if steered, ok := f.steered(); ok {
		o.Turned = f.offTrack == nil || steered.at.After(f.offTrack.told)
	}
	switch advised := f.offTrack.advisedFrom(n.afterNM); {
	case advised == nil || f.steering() != nil: // what is steered leads elsewhere
	case o.Regain != nil && o.Regain.Chosen:
		o.Regain.HeadingMagnetic = advised
	default:
		o.HeadingMagnetic = advised
	}
	return o
}

// WayBack is what leads back from beside the track as the pilot wants it: to the track in a distance, where that was chosen, else to the leg's end.
type WayBack struct {
	HeadingMagnetic float64
	// Turn leads to it from the heading being steered, as it was told on this leg or else that along the track: whole degrees as the two are
	// shown, right positive.
	Turn     float64
	TurnRule float64  // by 1 in 60, from the track made good
	WithinNM *float64 // nil: at the leg's end
}

// WayBack is the way back from beside the track; ok is false where none is known.
func (s *Snapshot) WayBack() (back WayBack, ok bool) {
	from := s.Steer.Steering
	if from == nil {
		from = s.Steer.WasMagnetic
	}
	if from == nil {
		from = s.Steer.HeadingMagnetic
	}
	off := s.OffTrack
	if from == nil || off == nil || off.advised() == nil {
		return back, false
	}
	back = WayBack{HeadingMagnetic: *off.advised(), TurnRule: off.TurnRule}
	back.Turn = angle.Turn(float64(angle.Whole(*from)), float64(angle.Whole(back.HeadingMagnetic)))
	if regain := off.Regain; regain != nil && regain.Chosen {
		back.TurnRule, back.WithinNM = regain.TurnRule, &regain.WithinNM
	}
	return back, true
}

// regain is the way back to the track before the leg's end.
func (f *ahead) regain(n now, right, toGoNM float64) *RegainNow {
	if f.offTrack == nil {
		return nil
	}
	within, chosen := f.offTrack.toldNM, false
	if wanted := f.offTrack.withinNM; wanted != nil {
		within, chosen = *wanted, true
	}
	within -= n.afterNM - f.offTrack.toldNM
	if within < tooNearNM || within > toGoNM {
		return nil
	}
	turns := deadreckon.RegainTrack(right, n.afterNM, within)
	return &RegainNow{
		WithinNM: within, Chosen: chosen, TurnRule: turns.FirstTurnRule, TurnExact: turns.FirstTurnExact,
		ThenTurnRule: turns.ThenTurnRule, ThenTurnExact: turns.ThenTurnExact, HeadingMagnetic: f.headingClosing(n, turns.ThenTurnExact),
	}
}

// headingClosing is the magnetic heading that closes with the track by an angle, positive from its right side, through the wind in use. What
// of the distance off track was put down to the heading indicator and not to the wind is allowed for: it goes on as long as the leg.
func (f *ahead) headingClosing(n now, angleDeg float64) *float64 {
	piece := f.outlook.trajectory[n.point.Piece]
	heading, err := deadreckon.HeadingFor(piece.TrackTrue-angleDeg, piece.TASKt, piece.Wind)
	if err != nil {
		return nil
	}
	return ref(angle.Wrap360(f.magneticOn(n.place, heading.HeadingTrue) - f.belief.mean[gyroDeg]))
}
