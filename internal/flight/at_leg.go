package flight

import (
	"cmp"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
)

func (p *progress) legAt(t time.Time) LegNow {
	l := &p.legs[p.leg]
	line := l.line()
	now := LegNow{
		Index: p.leg, Count: len(p.legs), From: line.From.Ident, To: line.To.Ident, ToName: line.To.Title(),
		DistanceNM: line.DistanceNM, TrackMagnetic: line.TrackMagnetic,
		CourseOutbound: line.CourseOutbound, CourseInbound: line.CourseInbound,
		AltitudeFt: p.levelFt(p.leg), SafeAltitudeFt: line.SafeAltitudeFt,
		StartedAt: timeOf(l.started), PlannedMinutes: l.plannedMinutes, Marks: []LegMark{},
	}
	here, flying := p.here(t)
	mark := func(kind, name string, afterNM float64, eta time.Time, passed bool) {
		now.Marks = append(now.Marks, LegMark{Kind: kind, Name: name, AfterNM: afterNM, ETA: timeOf(eta), Passed: passed})
	}
	ahead := func(kind, name string, afterNM float64) {
		eta, _ := p.eta(place{p.leg, afterNM}, t)
		mark(kind, name, afterNM, eta, flying && here.afterNM >= afterNM)
	}
	for i, checkpoint := range line.Checkpoints {
		if actual := l.checkpointsActual[i]; !actual.IsZero() {
			mark("passed", checkpoint.Name, checkpoint.AfterNM, actual, true)
			continue
		}
		ahead("checkpoint", checkpoint.Name, checkpoint.AfterNM)
	}
	for _, step := range line.Radio {
		ahead("radio", step.Receiver+" "+step.Beacon.Ident, step.AfterNM)
	}
	p.markTops(ahead)
	p.markTanks(t, mark)
	slices.SortStableFunc(now.Marks, func(a, b LegMark) int { return cmp.Compare(a.AfterNM, b.AfterNM) })
	return now
}

func (p *progress) markTops(ahead func(kind, name string, afterNM float64)) {
	if top, ok := p.ahead.topOfClimb(); ok && top.leg == p.leg {
		ahead("top-of-climb", "top of climb", top.afterNM)
	}
	if top, ok := p.ahead.topOfDescent(); ok && top.leg == p.leg {
		ahead("top-of-descent", "top of descent", top.afterNM)
	}
}

func (p *progress) markTanks(t time.Time, mark func(string, string, float64, time.Time, bool)) {
	if len(p.ahead.trajectory) == 0 {
		return
	}
	for _, change := range p.changesAt(t) {
		at := p.ahead.trajectory.At(p.ahead.minutesOf(change.At.Add(-p.delay(t))))
		if p.ahead.way.first+at.Leg == p.leg {
			mark("tank", "tank "+change.To, at.AfterNM, change.At, change.At.Before(t))
		}
	}
}

func (p *progress) positionAt(t time.Time) *PositionNow {
	n, ok := p.here(t)
	if !ok {
		return p.positionWithoutWay()
	}
	l := &p.legs[p.leg]
	at, azimuthTrue := l.line().Line.At(n.afterNM)
	believed := p.predicted(t.Add(-n.overdue))
	now := &PositionNow{
		AfterNM: n.afterNM, ToGoNM: l.line().DistanceNM - n.afterNM, AltitudeFt: n.point.AltitudeFt, By: p.anchor.by,
		UncertaintyNM: math.Sqrt(believed.covariance[alongNM][alongNM]), UncertaintyAcrossNM: onTrackSigmaNM,
	}
	if p.offTrack != nil || p.steering() != nil {
		now.UncertaintyAcrossNM = math.Sqrt(believed.covariance[acrossNM][acrossNM])
	}
	if now.OffTrackNM = p.besideNM(n, t); now.OffTrackNM != nil {
		at, _ = earth.Direct(at, azimuthTrue+90, *now.OffTrackNM)
	}
	now.Lat, now.Lon = at.Lat, at.Lon
	return now
}

// positionWithoutWay is the position where nothing is reckoned ahead: on the ground at the departure, from overhead the destination
// on there; nil where the way ahead can't be reckoned.
func (p *progress) positionWithoutWay() *PositionNow {
	line := p.legs[p.leg].line()
	point, by := line.To, byPassing
	altitudeFt := p.anchor.altitudeFt
	now := PositionNow{AfterNM: line.DistanceNM}
	switch {
	case p.airborne.IsZero():
		point, by = line.From, byReckoning
		now.AfterNM, now.ToGoNM = 0, line.DistanceNM
	case !p.landed.IsZero():
		altitudeFt = point.ElevationFt
	case !p.complete:
		return nil
	}
	now.Lat, now.Lon, now.AltitudeFt, now.By = point.At.Lat, point.At.Lon, altitudeFt, by
	return &now
}

// pieceAt is the piece of the way that is flown at a moment, on the ground the first.
func (p *progress) pieceAt(t time.Time) (sheet.Piece, bool) {
	if len(p.ahead.trajectory) == 0 {
		return sheet.Piece{}, false
	}
	n, _ := p.here(t)
	return p.ahead.trajectory[n.point.Piece], true
}

// steerPiece is the piece whose heading is steered at a moment: in a climb or descent the one in the middle of what is left of it on
// this leg, so that the heading stays the same from one layer of air to the next.
func (p *progress) steerPiece(t time.Time) (sheet.Piece, bool) {
	current, ok := p.pieceAt(t)
	if !ok || current.Phase == sheet.Cruise {
		return current, ok
	}
	var same []sheet.Piece
	for _, piece := range p.ahead.trajectory.OnLeg(current.Leg) {
		if piece.Phase == current.Phase {
			same = append(same, piece)
		}
	}
	return same[len(same)/2], true
}

func (p *progress) steerAt(t time.Time) Steer {
	l := &p.legs[p.leg]
	s := Steer{PlannedHeading: ref(l.plannedHeading), Steering: p.steering(), TrackMagnetic: ref(l.line().TrackMagnetic)}
	if piece, ok := p.steerPiece(t); ok {
		at := place{p.leg, (piece.FromNM + piece.ToNM) / 2}
		heading := p.magneticOn(at, piece.Heading.HeadingTrue)
		track := p.magneticOn(at, piece.TrackTrue)
		s.HeadingMagnetic, s.TrackMagnetic = &heading, &track
		s.Drift = ref(angle.Turn(heading, track))
	}
	if piece, ok := p.pieceAt(t); ok {
		n, _ := p.here(t)
		altitudeFt := n.point.AltitudeFt
		if p.airborne.IsZero() {
			altitudeFt = piece.FromFt
		}
		s.TASKt = piece.TASKt
		s.IASKt = p.iasFor(piece.TASKt, altitudeFt)
	}
	if !l.last() {
		next := p.legs[p.leg+1].line()
		s.NextTrack = ref(next.TrackMagnetic)
		if piece, ok := p.ahead.cruisePiece(p.leg + 1); ok {
			s.NextHeading = ref(p.magneticOn(place{leg: p.leg + 1}, piece.Heading.HeadingTrue))
		}
	}
	return s
}

func (p *progress) groundspeedAt(t time.Time) GroundspeedNow {
	g := GroundspeedNow{PlannedKt: p.legs[p.leg].plannedKt}
	if piece, ok := p.pieceAt(t); ok {
		g.UsedKt = piece.Heading.GroundspeedKt
	}
	g.Sum = p.sum
	if n := len(p.marks); n > 1 {
		g.MeasuredKt, _ = sumOf(p.marks[n-2], p.marks[n-1])
	}
	if g.UsedKt == 0 && g.MeasuredKt != nil {
		g.UsedKt = *g.MeasuredKt
	}
	return g
}

func (p *progress) windAt(t time.Time) WindNow {
	altitudeFt := p.levelFt(p.leg)
	if n, ok := p.here(t); ok {
		altitudeFt = n.point.AltitudeFt
	}
	wind, _ := p.ahead.air.Layers.At(altitudeFt)
	forecast, _ := p.sheet.Air.Layers.At(altitudeFt)
	now := WindNow{
		FromTrue: wind.FromTrue, SpeedKt: wind.SpeedKt, SigmaKt: p.predicted(t).windSigmaKt(),
		ForecastFrom: forecast.FromTrue, ForecastKt: forecast.SpeedKt, Source: "forecast",
	}
	switch {
	case p.belief.taken > 0:
		now.Source = "found"
	case p.windTold:
		now.Source = "told"
	}
	return now
}
