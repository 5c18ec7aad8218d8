package flight

import (
	"cmp"
	"math"
	"slices"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/cards"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/sheet"
)

// At is everything that is known of the flight at a moment, which must not lie before the last event. It changes nothing: asked
// twice it answers the same.
func (s *State) At(t time.Time) Snapshot {
	f := s.looking(t)
	snapshot := Snapshot{
		At: t, Title: s.sheet.Plan.Title, Mode: s.mode, Phase: f.phaseAt(t),
		Leg: f.legAt(t), Clock: f.clocksAt(t), Steer: f.steerAt(t), Position: f.positionAt(t), OffTrack: f.offTrackAt(t),
		Groundspeed: f.groundspeedAt(t), Wind: f.windAt(t), Altimetry: Altimetry{QNH: f.forecast.QNH, Inches: f.inches},
		Next: f.nextAt(t), Destination: f.destinationAt(t), FinalReserve: *f.finalReserve(t), Diversion: f.diversionNow(), Holds: slices.Clip(f.holds),
		Critical: f.criticalAt(t), Crossing: f.crossingAt(t), Descent: f.descentAt(t), Route: f.routeAt(t),
		Tanks: f.tanksAt(t), Radio: f.radioAt(t), Bearing: f.bearingCheckAt(t), Offer: f.offerAt(),
		Cleared: f.told.cleared, VORChecks: f.told.vorChecks, Remarks: f.sheet.Plan.Remarks, Lists: f.lists.Get(func() []cards.Card { return listsOf(f.sheet) }),
		Prompts: f.promptsAt(t), Report: f.positionReport(t), Entries: s.Entries(),
	}
	snapshot.Clock.Rate, snapshot.Clock.Paused = 1, s.setting.Paused
	if s.setting.Rate != 0 {
		snapshot.Clock.Rate = s.setting.Rate
	}
	f.holdingAt(&snapshot)
	from := f.vantageAt(&snapshot)
	snapshot.lookOut(from)
	snapshot.FuelState = f.fuelStateAt(&snapshot, from)
	snapshot.Notices = f.noticesAt(&snapshot)
	snapshot.Flown = f.flownNow(&snapshot)
	snapshot.Ahead, snapshot.Pressing = f.look.aheadAt(&snapshot), ListPressing(&snapshot)
	f.looked()
	return snapshot
}

// phaseAt is what the whole flight is in.
func (f *ahead) phaseAt(t time.Time) FlightPhase {
	switch {
	case !f.onBlocks.IsZero():
		return Arrived
	case !f.landed.IsZero():
		return Taxi
	case f.airborne.IsZero() && f.offBlocks.IsZero():
		return BeforeStart
	case f.airborne.IsZero():
		return Taxi
	}
	n, ok := f.here(t)
	switch {
	case f.complete || n.descending || !f.descended.IsZero():
		return Descending
	case f.diverting():
		return Diverting
	case ok && f.holding.IsZero() && n.point.Phase == sheet.Climb: // a hold is flown level
		return Climbing
	}
	return Cruising
}

// secondsSince is the time from a moment to another in seconds; nil before the first is known.
func secondsSince(from, to time.Time, room *float64) *float64 {
	if from.IsZero() || to.Before(from) {
		return nil
	}
	*room = to.Sub(from).Seconds()
	return room
}

// ended is a moment, or a later end if that has come.
func ended(t, end time.Time) time.Time {
	if !end.IsZero() && end.Before(t) {
		return end
	}
	return t
}

func (f *flown) clocksAt(t time.Time) Clocks {
	room := new([3]float64)
	c := Clocks{
		AirborneSeconds: secondsSince(f.airborne, ended(t, f.landed), &room[0]),
		BlockSeconds:    secondsSince(f.offBlocks, ended(t, f.onBlocks), &room[1]),
	}
	if !f.complete {
		c.LegSeconds = secondsSince(f.legs[f.leg].started, ended(t, f.landed), &room[2])
	}
	return c
}

// timeOf is a time, nil when it is not known.
func timeOf(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// legNow is the leg being flown, without what lies along it.
func (f *believed) legNow() LegNow {
	l := &f.legs[f.leg]
	line := l.line()
	return LegNow{
		Index: f.leg, Count: len(f.legs), From: line.From.Ident, To: line.To.Ident, ToName: line.To.Title(),
		DistanceNM: line.DistanceNM, TrackMagnetic: line.TrackMagnetic,
		CourseOutbound: line.CourseOutbound, CourseInbound: line.CourseInbound,
		AltitudeFt: f.levelFt(f.leg), SafeAltitudeFt: line.SafeAltitudeFt,
		StartedAt: timeOf(l.started), PlannedMinutes: l.plannedMinutes, Marks: []LegMark{},
	}
}

// makeLeg is the leg at a moment.
func (f *fold) makeLeg(t time.Time) LegNow {
	now, l := f.legNow(), &f.legs[f.leg]
	line := l.line()
	here, flying := f.here(t)
	mark := func(kind MarkKind, name string, afterNM float64, eta time.Time, passed bool) {
		now.Marks = append(now.Marks, LegMark{Kind: kind, Name: name, AfterNM: afterNM, ETA: timeOf(eta), Passed: passed})
	}
	ahead := func(kind MarkKind, name string, afterNM float64) {
		eta, _ := f.eta(place{f.leg, afterNM}, t)
		mark(kind, name, afterNM, eta, flying && here.afterNM >= afterNM)
	}
	for i, checkpoint := range line.Checkpoints {
		if actual := l.checkpointsActual[i]; !actual.IsZero() {
			mark(MarkPassed, checkpoint.Name, checkpoint.AfterNM, actual, true)
			continue
		}
		ahead(MarkCheckpoint, checkpoint.Name, checkpoint.AfterNM)
	}
	for _, step := range line.Radio {
		ahead(MarkRadio, step.Receiver+" "+step.Beacon.Ident, step.AfterNM)
	}
	f.markTops(ahead)
	f.markTanks(t, mark)
	slices.SortStableFunc(now.Marks, func(a, b LegMark) int { return cmp.Compare(a.AfterNM, b.AfterNM) })
	return now
}

func (f *ahead) markTops(ahead func(kind MarkKind, name string, afterNM float64)) {
	if top, ok := f.outlook.topOfClimb(); ok && top.leg == f.leg {
		ahead(MarkTopOfClimb, "top of climb", top.afterNM)
	}
	if top, ok := f.outlook.topOfDescent(); ok && top.leg == f.leg {
		ahead(MarkTopOfDescent, "top of descent", top.afterNM)
	}
}

func (f *fold) markTanks(t time.Time, mark func(MarkKind, string, float64, time.Time, bool)) {
	if len(f.outlook.trajectory) == 0 {
		return
	}
	for _, change := range f.changesAt(t) {
		at := f.outlook.trajectory.At(f.outlook.minutesOf(change.At.Add(-f.delay(t))))
		if f.outlook.way.first+at.Leg == f.leg {
			mark(MarkTank, "tank "+change.To, at.AfterNM, change.At, change.At.Before(t))
		}
	}
}

func (f *ahead) positionAt(t time.Time) *PositionNow {
	return reckoned(f.lookAt(t), func(l *look) *lookPart[*PositionNow] { return &l.position }, func() *PositionNow { return f.makePosition(t) })
}

func (f *ahead) makePosition(t time.Time) *PositionNow {
	now := f.reckonedPosition(t)
	if now != nil {
		f.told.fed.show(now, t)
	}
	if now != nil && now.By == ByFeed && f.airborne.IsZero() { // not logged: what is flown is flown nonetheless
		line := f.legs[f.leg].line()
		along, _ := line.Line.Abeam(now.Place())
		now.AfterNM = max(0, min(along, line.DistanceNM))
		now.ToGoNM = line.DistanceNM - now.AfterNM
	}
	if now != nil && now.By == ByFeed && now.ToGoNM == 0 && f.flying() && !f.complete && f.told.fed.fresh(t) {
		now.FromEndNM, now.FlownSinceNM = ref(earth.Inverse(now.Place(), f.legs[f.leg].line().To.At).DistanceNM), nil
	}
	return now
}

// reckonedPosition is the position by all that was logged. At the end of a leg that is overdue it may be as far out as the aircraft would have
// come since, and in a hold as far as the hold reaches.
func (f *ahead) reckonedPosition(t time.Time) *PositionNow {
	n, ok := f.here(t)
	if !ok {
		return f.positionWithoutWay()
	}
	l := &f.legs[f.leg]
	at, azimuthTrue := l.line().Line.At(n.afterNM)
	believed := f.withinHold(f.predicted(t.Add(-n.overdue)))
	now := &PositionNow{
		AfterNM: n.afterNM, ToGoNM: l.line().DistanceNM - n.afterNM, AltitudeFt: n.point.AltitudeFt, By: f.anchor.by,
		UncertaintyNM: believed.sigma(believed.covariance[alongNM][alongNM]), UncertaintyAcrossNM: onTrackSigmaNM,
	}
	if f.offTrack != nil || f.steers.Len() > 0 || !f.holding.IsZero() {
		now.UncertaintyAcrossNM = believed.sigma(believed.covariance[acrossNM][acrossNM])
	}
	strayNM := n.overdue.Hours() * f.outlook.trajectory[n.point.Piece].Heading.GroundspeedKt
	if strayNM > now.UncertaintyNM {
		now.FlownSinceNM = ref(strayNM)
	}
	now.UncertaintyNM, now.UncertaintyAcrossNM = math.Hypot(now.UncertaintyNM, strayNM), math.Hypot(now.UncertaintyAcrossNM, strayNM)
	if now.OffTrackNM = f.besideNM(n, t); now.OffTrackNM != nil {
		at, _ = earth.Direct(at, azimuthTrue+90, *now.OffTrackNM)
	}
	now.Lat, now.Lon = at.Lat, at.Lon
	return now
}

// holdReachNM is how far from its point an aircraft in a hold may well be, about a minute's flight: common practice, no source.
const holdReachNM = 1.5

// fedPosition is the last position of a feed. While it is fresh it is the position, whatever was logged.
type fedPosition struct {
	at    earth.Position
	t     time.Time // zero: none yet
	gs    float64
	track float64
}

// fresh reports whether a feed still shows where the aircraft is.
func (p fedPosition) fresh(t time.Time) bool {
	const long = 2 * time.Minute
	age := t.Sub(p.t)
	return !p.t.IsZero() && age >= 0 && age <= long
}

// show puts a fresh position of a feed in place of the reckoned one, carried on as it went then.
func (p fedPosition) show(now *PositionNow, t time.Time) {
	const driftKt = 10 // by how much it may since have gone otherwise: common practice, no source
	if !p.fresh(t) {
		return
	}
	age := t.Sub(p.t)
	at, _ := earth.Direct(p.at, p.track, age.Hours()*p.gs)
	now.Lat, now.Lon, now.By = at.Lat, at.Lon, ByFeed
	now.UncertaintyNM = math.Hypot(feedSigmaNM, age.Hours()*driftKt)
	now.UncertaintyAcrossNM = now.UncertaintyNM
}

// positionWithoutWay is the position where nothing is reckoned ahead: on the ground at the departure, from overhead the destination
// on there; nil where the way ahead can't be reckoned.
func (f *believed) positionWithoutWay() *PositionNow {
	line := f.legs[f.leg].line()
	point, by := line.To, ByPassing
	altitudeFt := f.anchor.altitudeFt
	now := PositionNow{AfterNM: line.DistanceNM}
	switch {
	case f.airborne.IsZero():
		point, by = line.From, ByReckoning
		now.AfterNM, now.ToGoNM = 0, line.DistanceNM
	case !f.landed.IsZero():
		altitudeFt = point.ElevationFt
	case !f.complete:
		return nil
	}
	now.Lat, now.Lon, now.AltitudeFt, now.By = point.At.Lat, point.At.Lon, altitudeFt, by
	return &now
}

// pieceAt is the piece of the way that is flown at a moment, on the ground the first.
func (f *ahead) pieceAt(t time.Time) (sheet.Piece, bool) {
	if len(f.outlook.trajectory) == 0 {
		return sheet.Piece{}, false
	}
	n, _ := f.here(t)
	return f.outlook.trajectory[n.point.Piece], true
}

// steerPiece is the piece whose heading is steered at a moment: in a climb or descent the one in the middle of what is left of it on
// this leg, so that the heading stays the same from one layer of air to the next.
func (f *ahead) steerPiece(t time.Time) (sheet.Piece, bool) {
	current, ok := f.pieceAt(t)
	if !ok || current.Phase == sheet.Cruise {
		return current, ok
	}
	pieces, same := f.outlook.trajectory.OnLeg(current.Leg), 0
	for i := range pieces {
		if pieces[i].Phase == current.Phase {
			same++
		}
	}
	middle := same / 2
	for i := range pieces {
		if pieces[i].Phase != current.Phase {
			continue
		}
		if middle == 0 {
			return pieces[i], true
		}
		middle--
	}
	return current, true
}

// steersBy is what the heading to steer hangs on between two entries.
type steersBy struct {
	piece      int // of the trajectory
	altitudeFt float64
	advised    float64 // the heading that leads back, where there is one
	leadsBack  bool
	notKnown   bool
}

func (f *ahead) steerAt(t time.Time) Steer {
	n, _ := f.here(t)
	by := steersBy{piece: n.point.Piece, altitudeFt: n.point.AltitudeFt, notKnown: f.overdueBeyondNext(t)}
	if advised := f.advisedAt(t); advised != nil {
		by.advised, by.leadsBack = *advised, true
	}
	return keep(f.lookAt(t), func(k *kept) *keptPart[steersBy, Steer] { return &k.steer }, by, func() Steer { return f.makeSteer(t) })
}

func (f *ahead) makeSteer(t time.Time) Steer {
	l := &f.legs[f.leg]
	room := &struct{ planned, heading, track, drift, nextHeading, nextTrack float64 }{planned: l.plannedHeading, track: l.line().TrackMagnetic}
	s := Steer{PlannedHeading: &room.planned, Steering: f.steering(), TrackMagnetic: &room.track}
	if piece, ok := f.steerPiece(t); ok {
		room.heading, room.track = f.headingOn(piece), f.magneticOn(f.middleOf(piece), piece.TrackTrue)
		room.drift = angle.Turn(room.heading, room.track)
		s.HeadingMagnetic, s.Drift = &room.heading, &room.drift
	}
	if advised := f.advisedAt(t); advised != nil && s.HeadingMagnetic != nil {
		if angle.Whole(*advised) != angle.Whole(*s.HeadingMagnetic) {
			s.WasMagnetic = s.HeadingMagnetic
		}
		s.HeadingMagnetic = advised
	}
	if piece, ok := f.pieceAt(t); ok {
		n, _ := f.here(t)
		altitudeFt := n.point.AltitudeFt
		if f.airborne.IsZero() {
			altitudeFt = piece.FromFt
		}
		s.TASKt = piece.TASKt
		s.IASKt = f.iasFor(piece.TASKt, altitudeFt)
	}
	if !l.last() {
		s.NotKnown = f.overdueBeyondNext(t)
		next := f.legs[f.leg+1].line()
		room.nextTrack = next.TrackMagnetic
		s.NextTrack = &room.nextTrack
		if piece, ok := f.outlook.cruisePiece(f.leg + 1); ok {
			room.nextHeading = f.headingOn(piece)
			s.NextHeading = &room.nextHeading
		}
	}
	return s
}

// overdueBeyondNext reports whether the leg's end is overdue by more than the next leg takes.
func (f *ahead) overdueBeyondNext(t time.Time) bool {
	n, flying := f.here(t)
	if !flying || n.overdue <= 0 || f.legs[f.leg].last() {
		return false
	}
	next := place{f.leg + 1, f.legs[f.leg+1].line().DistanceNM}
	end, ended := f.outlook.minutesTo(f.endOfLeg())
	over, ok := f.outlook.minutesTo(next)
	return ended && ok && n.overdue.Minutes() > over-end
}

func (f *ahead) groundspeedAt(t time.Time) GroundspeedNow {
	g := GroundspeedNow{PlannedKt: f.legs[f.leg].plannedKt, Sum: f.sum, SumTo: f.sumTo}
	if !f.flying() { // none on the ground
		return g
	}
	if piece, ok := f.pieceAt(t); ok {
		g.UsedKt = piece.Heading.GroundspeedKt
	}
	if n := len(f.marks); n > 1 {
		g.MeasuredKt, _, _ = madeGood(f.marks[n-2], f.marks[n-1])
	}
	if g.UsedKt == 0 && g.MeasuredKt != nil {
		g.UsedKt = *g.MeasuredKt
	}
	return g
}

func (f *ahead) windAt(t time.Time) WindNow {
	altitudeFt := f.levelFt(f.leg)
	if n, ok := f.here(t); ok {
		altitudeFt = n.point.AltitudeFt
	}
	winds := f.windsAloft(altitudeFt, t)
	now := WindNow{
		FromTrue: winds.inUse.FromTrue, SpeedKt: winds.inUse.SpeedKt, SigmaKt: f.predicted(t).windSigmaKt(),
		ForecastFrom: winds.forecast.FromTrue, ForecastKt: winds.forecast.SpeedKt, Source: WindForecast,
	}
	switch {
	case f.belief.taken > 0:
		now.Source = WindFound
	case f.windTold:
		now.Source = WindReport
	}
	return now
}

// windsAloft are the winds at an altitude.
type windsAloft struct{ inUse, forecast air.Wind }

func (f *ahead) windsAloft(altitudeFt float64, t time.Time) windsAloft {
	return keep(f.lookAt(t), func(k *kept) *keptPart[float64, windsAloft] { return &k.winds }, altitudeFt, func() (winds windsAloft) {
		winds.inUse, _ = f.outlook.air.Layers.At(altitudeFt)
		winds.forecast, _ = f.sheet.Air.Layers.At(altitudeFt)
		return winds
	})
}
