package flight

import (
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sheet"
)

// doubtFuture doubts what is to come.
func (s *State) doubtFuture(e Event) error {
	if e.Rec.IsZero() || e.Act == Clock {
		return nil
	}
	const slack = time.Second
	if ahead := e.T.Sub(s.flightTime(e.Rec)); ahead > slack {
		return doubt("%s lies %s in the future", say.Time(e.T), say.Duration(ahead))
	}
	return nil
}

// doubted says what looks wrong with an event as the flight stands at its place in time, and before the entries after it.
func (s *State) doubted(at Record, after []Record) error {
	doubted := at.Act.known().doubted
	if doubted == nil {
		return nil
	}
	if err := doubted(s, *at.Event); err != nil || at.Act != Passing {
		return err
	}
	for _, r := range after {
		if r.Act != Passing {
			continue
		}
		next := s.fold
		next.learn(at)
		if _, behind, ok := next.find(r.Point); ok && behind {
			return doubt("%s is before %s was passed, %s", say.Time(at.T), r.Point, say.Time(r.T))
		}
		break
	}
	return nil
}

// doubtAmended doubts of an entry as it would then stand what would be doubted if it were typed so.
func (s *State) doubtAmended(e Event) error {
	amended, err := s.amended(e)
	if err != nil {
		return nil // refused
	}
	if err := s.doubtFuture(*amended.Event); err != nil {
		return err
	}
	then, after := s.around(amended)
	return then.doubted(amended, after)
}

func (s *State) doubtAirborne(e Event) error {
	if p := &s.fold; !p.offBlocks.IsZero() && e.T.Before(p.offBlocks) {
		return doubt("off blocks was at %s, after that", say.Time(p.offBlocks))
	}
	return nil
}

func (s *State) doubtClock(e Event) error {
	if p := &s.fold; e.Set != nil && s.records.Len() > 0 && e.Set.Before(p.last) {
		return doubt("the clock would go back before the last entry, %s", say.Time(p.last))
	}
	return nil
}

// A passing looks wrong if it needs more than fastest or less than slowest times the true airspeed.
const (
	fastest = 2.0
	slowest = 0.3
)

func (s *State) doubtPassing(e Event) error {
	p := &s.fold
	found, behind, ok := p.find(e.Point)
	switch {
	case !ok:
		return doubt("%s is not on this route: it counts as a position", e.Point)
	case behind:
		return doubt("%s is behind you: %s was passed last", e.Point, p.lastPassed.name)
	case e.T.Before(p.lastPassed.at):
		return doubt("%s is before %s was passed, %s", say.Time(e.T), p.lastPassed.name, say.Time(p.lastPassed.at))
	case found.leg > p.leg:
		return doubt("%s comes before %s", p.legs[p.leg].line().To.Ident, e.Point)
	}
	piece, ok := p.pieceAt(e.T)
	if !ok || !p.holding.IsZero() || found.leg != p.lastPassed.leg {
		return nil
	}
	distance, took := found.afterNM-p.lastPassed.afterNM, e.T.Sub(p.lastPassed.at)-p.heldSince(p.lastPassed.at, e.T)
	speed := distance / took.Hours()
	switch {
	case distance <= 0:
	case took < time.Second:
		return doubt("%s from %s to %s in no time", say.Miles(distance), p.lastPassed.name, e.Point)
	case speed > fastest*piece.TASKt || speed < slowest*piece.TASKt:
		return doubt("%s in %s would be %s: TAS is %.0f", say.Miles(distance), say.Duration(took), say.Knots(speed), piece.TASKt)
	}
	if err := p.doubtTime(e, found); err != nil {
		return err
	}
	return p.doubtBeside(e)
}

// doubtTime doubts a passing at a time that no wind is likely to be the reason of.
func (f *ahead) doubtTime(e Event, s spot) error {
	reckonedNM, groundspeedKt := f.reckonedAlong(e.T)
	believed := f.predicted(e.T)
	early, sigmaNM := s.afterNM-reckonedNM-believed.mean[alongNM], timingSigma.Hours()*groundspeedKt
	sigmas := believed.misfit(early, vector{alongNM: 1}, sigmaNM*sigmaNM)
	if groundspeedKt <= 0 || math.Abs(sigmas) <= unheardSigmas {
		return nil
	}
	word := "earlier"
	if early < 0 {
		word = "later"
	}
	span := func(distanceNM float64) string {
		return say.Duration(minutes(math.Abs(distanceNM) / groundspeedKt * 60))
	}
	return doubt("%s would be %s %s than expected, where ±%s is usual", e.Point, span(early), word, span(early/sigmas))
}

// doubtFix doubts a fix that is farther from where the aircraft is calculated to be than is likely.
func (s *State) doubtFix(e Event) error {
	p := &s.fold
	n, ok := p.here(e.T)
	if !ok {
		return nil
	}
	figures := p.figures(e, n)
	reckonedNM, _ := p.reckonedAlong(e.T)
	believed := p.ofStation(p.predicted(e.T), e)
	if len(figures) == 1 {
		believed = p.supposed(believed, figures, reckonedNM)
	} else { // these tell where it is, however far that is; what is asked is whether it is so
		believed = p.about(believed)
	}
	for _, f := range figures {
		if apartNM, sigmas := f.apart(believed, reckonedNM); sigmas > wildSigmas {
			return doubtPlace(e, apartNM, sigmas)
		}
	}
	return p.doubtBeside(e)
}

// doubtPlace doubts that an event is so far from where the aircraft is calculated to be, which is so many standard errors.
func doubtPlace(e Event, apartNM, sigmas float64) error {
	return doubt("%s would be %s from where the aircraft is calculated to be: ±%.1f is usual", Describe(e), say.Miles(apartNM), apartNM/sigmas)
}

// doubtBeside doubts a distance off track that is farther from where the aircraft is calculated to be than is likely.
func (f *ahead) doubtBeside(e Event) error {
	if e.OffTrack == nil {
		return nil
	}
	believed := f.about(f.predicted(e.T))
	apartNM := *e.OffTrack - believed.mean[acrossNM]
	sigmas := believed.misfit(apartNM, vector{acrossNM: 1}, offTrackSigmaNM*offTrackSigmaNM)
	if math.Abs(sigmas) <= wildSigmas {
		return nil
	}
	return doubtPlace(e, math.Abs(apartNM), math.Abs(sigmas))
}

// about is a belief by which one asks whether the aircraft may be where somebody says: in a hold anywhere in it, and where it was not seen beside its
// track as far from there as an aircraft may well be.
func (f *believed) about(b belief) belief {
	b = f.withinHold(b)
	if f.offTrack != nil {
		return b
	}
	return b.uncorrelated(acrossNM, max(b.covariance[acrossNM][acrossNM], strayNM*strayNM))
}

// doubtHold doubts a hold that would begin over a point where the aircraft can hardly be.
func (s *State) doubtHold(e Event) error {
	p := &s.fold
	point, known := p.sheet.Plan.Point(e.Point)
	here := p.positionAt(e.T)
	if !known || here == nil || p.comesTo(e.Point, e.T) {
		return nil
	}
	apartNM := earth.Inverse(here.Place(), point.At).DistanceNM
	if apartNM <= wildSigmas*math.Hypot(here.UncertaintyNM, here.UncertaintyAcrossNM)+holdReachNM {
		return nil
	}
	return doubt("%s is %s from where the aircraft is calculated to be, and a hold begins over its point", e.Point, say.Miles(apartNM))
}

// doubtOnGround doubts that the aircraft is on the ground where it can't have come down yet from where it is calculated to be: not to the nearest
// aerodrome of the plan, in the time that it may be ahead of its reckoning. Since a leg's end is overdue it may have gone anywhere.
func (s *State) doubtOnGround(e Event) error {
	p := &s.fold
	n, flying := p.here(e.T)
	if !flying {
		return nil
	}
	here := p.positionAt(e.T)
	nearest, distanceNM := p.nearestAerodrome(here.Place())
	if nearest == nil {
		return nil
	}
	unsureNM := wildSigmas * here.UncertaintyNM
	if here.FlownSinceNM != nil {
		flownNM := *here.FlownSinceNM
		unsureNM = flownNM + wildSigmas*math.Sqrt(math.Max(0, here.UncertaintyNM*here.UncertaintyNM-flownNM*flownNM))
	}
	over := deadreckon.Minutes(math.Max(0, distanceNM-unsureNM), p.outlook.trajectory[n.point.Piece].TASKt)
	down := (here.AltitudeFt-nearest.ElevationFt-nearest.CircuitFt)/p.sheet.Plan.Aircraft.Descent.RateFtMin - n.overdue.Minutes()
	if minutes(math.Max(over, down)) <= landedEarly-circuitTime {
		return nil
	}
	return doubt("%s from the nearest aerodrome, %s, at %s by dead reckoning", say.Miles(distanceNM), nearest.Ident, say.Feet(here.AltitudeFt))
}

// nearestAerodrome is that of the plan's aerodromes which is nearest to a position; nil where the plan has none.
func (p *ofPlan) nearestAerodrome(to earth.Position) (nearest *plan.Point, distanceNM float64) {
	for i := range p.sheet.Plan.Points {
		point := &p.sheet.Plan.Points[i]
		if point.Kind != plan.Aerodrome {
			continue
		}
		if away := earth.Inverse(to, point.At).DistanceNM; nearest == nil || away < distanceNM {
			nearest, distanceNM = point, away
		}
	}
	return nearest, distanceNM
}

// doubtAirspeed doubts an airspeed that the aircraft, by its own figures, does not have in any phase of flight.
func (s *State) doubtAirspeed(e Event) error {
	const odd = 1.2 // beyond its slowest and its fastest
	p := &s.fold
	n, ok := p.here(e.T)
	if !ok {
		return nil
	}
	tasKt, ok := p.tasTold(e, n.point.AltitudeFt)
	slowest, fastest := p.airspeeds(n.point.AltitudeFt)
	if !ok || tasKt >= slowest/odd && tasKt <= fastest*odd {
		return nil
	}
	if e.TAS == nil {
		return doubt("IAS %.0f in an aircraft that is flown at %.0f to %.0f", *e.IAS, p.iasFor(slowest, n.point.AltitudeFt), p.iasFor(fastest, n.point.AltitudeFt))
	}
	return doubt("TAS %.0f in an aircraft that is flown at %.0f to %.0f", tasKt, slowest, fastest)
}

// airspeeds are the lowest and the highest true airspeed that the aircraft's figures have at an altitude, of all phases of flight.
func (f *believed) airspeeds(altitudeFt float64) (slowestKt, fastestKt float64) {
	aircraft := f.sheet.Plan.Aircraft
	indicated := []float64{aircraft.Climb.IASKt, aircraft.Descent.IASKt}
	if aircraft.Holding != nil {
		indicated = append(indicated, aircraft.Holding.IASKt)
	}
	slowestKt, fastestKt = math.Inf(1), f.sheet.Route.FastestTAS(altitudeFt, f.forecast.QNH)
	for _, ias := range indicated {
		if tasKt, ok := f.tasTold(Event{IAS: &ias}, altitudeFt); ok {
			slowestKt, fastestKt = math.Min(slowestKt, tasKt), math.Max(fastestKt, tasKt)
		}
	}
	for _, row := range aircraft.Cruise.Table {
		slowestKt, fastestKt = math.Min(slowestKt, row.TASKt), math.Max(fastestKt, row.TASKt)
	}
	return slowestKt, fastestKt
}

// A level change looks wrong if it needs more than quickest or less than slackest times the rate of the aircraft's table.
const (
	quickest = 2.0
	slackest = 0.5
)

// doubtLevel doubts a level-off long after the climb must have ended.
func (s *State) doubtLevel(e Event) error {
	if err := s.doubtAltitude(e); err != nil {
		return err
	}
	p := &s.fold
	const leastFt = 500 // above the surface: 14 CFR 91.119(c)
	if lowest := p.lowestAerodrome(); lowest != nil && e.Altitude != nil && *e.Altitude < lowest.ElevationFt+leastFt {
		return doubt("%s is less than %s above %s, the lowest aerodrome of the plan", say.Feet(*e.Altitude), say.Feet(leastFt), lowest.Ident)
	}
	due, climbed, ok := p.levelDue(e.T)
	if !ok || e.Altitude != nil && different(*e.Altitude, p.levelFt(p.leg)) {
		return nil
	}
	if late := e.T.Sub(due); late > patient && late.Minutes() > climbed.Minutes()*(1/slackest-1) {
		return doubt("level was due at %s, %s ago: press b first to give it its time", say.Time(due), say.Duration(late))
	}
	return nil
}

// levelDue is when the climb was to end that leads to the level flown at a moment, and how long it takes. It is not known of every climb.
func (f *fold) levelDue(t time.Time) (due time.Time, climbed time.Duration, ok bool) {
	for i := range f.prompts.made {
		if open := &f.prompts.made[i]; open.Kind == PromptLevel && !open.due.After(t) {
			return open.due, minutes(f.outlook.trajectory.FirstClimb().TotalMinutes()), true
		}
	}
	first := f.legs[f.leg].way.from.IsZero() && !different(f.levelFt(f.leg), f.levelFt(0))
	return f.cruiseFrom, f.cruiseFrom.Sub(f.airborne), first && !f.cruiseFrom.IsZero()
}

// lowestAerodrome is that of the plan with the lowest elevation; nil where it has none.
func (p *ofPlan) lowestAerodrome() (lowest *plan.Point) {
	for i := range p.sheet.Plan.Points {
		if point := &p.sheet.Plan.Points[i]; point.Kind == plan.Aerodrome && (lowest == nil || point.ElevationFt < lowest.ElevationFt) {
			lowest = point
		}
	}
	return lowest
}

// doubtAltitude doubts an altitude that the aircraft's tables do not reach, one below the lowest aerodrome of the plan by more than a reading may be out, and one
// that it can't have climbed to since its take-off.
func (s *State) doubtAltitude(e Event) error {
	p := &s.fold
	n, ok := p.here(e.T)
	if !ok {
		return nil
	}
	altitudeFt := p.levelFt(p.leg)
	if e.Altitude != nil {
		altitudeFt = *e.Altitude
	}
	if endFt := p.tablesEnd(); air.PressureAltitudeFt(altitudeFt, p.forecast.QNH) > endFt+readingFt {
		return doubt("%s where the aircraft's tables end at %s", say.Feet(altitudeFt), say.Feet(endFt))
	}
	if lowest := p.lowestAerodrome(); lowest != nil && altitudeFt < lowest.ElevationFt-readingFt {
		return doubt("%s is below %s, the lowest aerodrome of the plan", say.Feet(altitudeFt), lowest.Ident)
	}
	gained, took := altitudeFt-p.sheet.Route.Legs[0].From.ElevationFt, e.T.Sub(p.airborne)
	flown, err := p.sheet.Route.Perform(sheet.Climb, n.point.AltitudeFt, p.forecast)
	if err != nil || gained <= quickest*flown.RateFtMin*took.Minutes() {
		return nil
	}
	return doubt("%s in %s since take-off would be %s: the table has %.0f",
		say.Feet(gained), say.Duration(took), say.FeetPerMinute(gained/took.Minutes()), flown.RateFtMin)
}

// tablesEnd is the highest pressure altitude in the aircraft's tables.
func (p *ofPlan) tablesEnd() (altitudeFt float64) {
	for _, row := range p.sheet.Plan.Aircraft.Climb.Table {
		altitudeFt = math.Max(altitudeFt, row.AltitudeFt)
	}
	for _, row := range p.sheet.Plan.Aircraft.Cruise.Table {
		altitudeFt = math.Max(altitudeFt, row.AltitudeFt)
	}
	return altitudeFt
}

// doubtSteering doubts a heading that leads away from the leg's end, unless that is about to be passed and the heading leads on to the next.
func (s *State) doubtSteering(e Event) error {
	const away = 90
	p := &s.fold
	if !p.flying() || p.complete || !p.holding.IsZero() || e.T.Before(p.lastPassed.at) {
		return nil
	}
	leads := func(leg int) bool {
		return math.Abs(angle.Turn(p.legs[leg].line().TrackMagnetic, *e.Heading)) <= away
	}
	end, ok := p.eta(p.endOfLeg(), e.T)
	near := !ok || end.Sub(e.T) <= announceEarly
	if leads(p.leg) || near && (p.legs[p.leg].last() || leads(p.leg+1)) {
		return nil
	}
	line := p.legs[p.leg].line()
	return doubt("%s leads away from %s, which lies on track %s", say.Degrees(*e.Heading), line.To.Ident, say.Degrees(line.TrackMagnetic))
}

// doubtWind doubts a wind that is farther from the one in use than is likely.
func (s *State) doubtWind(e Event) error {
	p := &s.fold
	if e.WindFrom == nil || e.WindSpeed == nil {
		return nil
	}
	use := p.windAt(e.T)
	north, east := air.Wind{FromTrue: use.FromTrue, SpeedKt: use.SpeedKt}.Components()
	toldNorth, toldEast := air.Wind{FromTrue: *e.WindFrom, SpeedKt: *e.WindSpeed}.Components()
	apart, usual := math.Hypot(toldNorth-north, toldEast-east), math.Hypot(use.SigmaKt, toldWindKt)
	if apart <= unheardSigmas*usual {
		return nil
	}
	return doubt("a wind of %03.0f/%02.0f where %03.0f/%02.0f is in use, ±%.0f", *e.WindFrom, *e.WindSpeed, use.FromTrue, use.SpeedKt, use.SigmaKt)
}

// doubtSetting doubts a QNH that is farther from the one in use than the weather changes in a flight.
func (s *State) doubtSetting(e Event) error {
	const odd = 20 // hPa; common practice, no source
	if e.QNH == nil || math.Abs(*e.QNH-s.fold.forecast.QNH) <= odd {
		return nil
	}
	return doubt("QNH %s where %s is set", say.QNH(*e.QNH, e.Inches), s.fold.qnh())
}
