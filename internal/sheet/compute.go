package sheet

import (
	"errors"
	"math"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
)

// The kinds of a leg that has more than one phase; one with a single phase has that phase's name.
const mixed = "mixed"

// Compute makes the nav log of a plan, and says what of the plan does not hold. The sheet is nil only when an error makes it
// impossible; other errors (fuel that does not suffice) are among its problems too.
func Compute(p *plan.Plan) (*Sheet, []plan.Problem) {
	route, problems := NewRoute(p)
	if route == nil {
		return nil, problems
	}
	from, _ := p.Point(p.Route.From)
	s := &Sheet{Plan: p, Route: route, Air: Forecast(p), Airborne: p.Airborne(), Problems: problems}
	var err error
	if s.Trajectory, err = route.Reckon(Start{AltitudeFt: from.ElevationFt}, s.Air); err == nil {
		err = s.compute()
	}
	if err != nil {
		return nil, append(problems, unreckonable(p, err))
	}
	s.check()
	return s, plan.InOrder(s.Problems)
}

// unreckonable is why there is no sheet at all.
func unreckonable(p *plan.Plan, err error) plan.Problem {
	path, hint := "aircraft", ""
	var onLeg *LegError
	if errors.As(err, &onLeg) {
		path, hint = legPath(onLeg.Leg), "another level, another day, or tables that cover it"
	}
	return newProblem(p, plan.Error, path, hint, "%v", err)
}

func (s *Sheet) compute() error {
	s.Legs = make([]Leg, 0, len(s.Route.Legs))
	for i := range s.Route.Legs {
		leg, err := s.leg(i)
		if err != nil {
			return err
		}
		s.Legs = append(s.Legs, leg)
	}
	if s.Trajectory[0].Phase == Climb {
		climb := s.Trajectory.FirstClimb()
		s.Climb = s.levelChange(climb, climb[len(climb)-1].Leg, climb[len(climb)-1].ToNM)
	}
	if descent := s.Trajectory.LastDescent(); len(descent) > 0 {
		s.Descent = s.levelChange(descent, descent[0].Leg, descent[0].FromNM)
	}
	s.radio()
	s.contacts()
	if err := s.fuel(); err != nil {
		return err
	}
	return s.tanks()
}

// Arrival is the planned time overhead the destination.
func (s *Sheet) Arrival() time.Time { return s.after(s.Trajectory.TotalMinutes()) }

// after is the time so many minutes after the planned take-off.
func (s *Sheet) after(minutes float64) time.Time { return after(s.Airborne, minutes) }

// after is a time that was reckoned, to the whole second here and for every reader.
func after(start time.Time, minutes float64) time.Time {
	return start.Add(time.Duration(math.Round(minutes*60)) * time.Second)
}

// TimeAt is when a place on a leg is passed by the plan.
func (s *Sheet) TimeAt(leg int, afterNM float64) time.Time {
	minutes, _ := s.Trajectory.MinutesTo(leg, afterNM)
	return s.after(minutes)
}

// leg is one row of the nav log. The wind, the airspeed and what follows from them are those of the cruise; on a leg without any,
// those at its mean height in the phase that most of it is flown in.
func (s *Sheet) leg(index int) (Leg, error) {
	line, way := s.Route.Legs[index], s.Trajectory.OnLeg(index)
	leg := Leg{RouteLeg: line, Fuel: way.Fuel(), ETA: s.TimeAt(index, line.DistanceNM)}
	for _, piece := range way {
		leg.Minutes += piece.Minutes
	}
	var phase Phase
	var altitudeFt float64
	leg.Kind, phase, altitudeFt = summary(way)
	k := newReckoner(s.Route, Start{Leg: index}, s.Air, layerFt, index)
	defer reckoners.Put(k)
	piece, _, err := k.through(phase, index, Track{TrackTrue: line.TrackTrue}, altitudeFt)
	if err != nil {
		return leg, err
	}
	leg.Wind, leg.TASKt = piece.Wind, piece.TASKt
	leg.CorrectionDeg, leg.HeadingTrue, leg.GroundspeedKt = piece.Heading.CorrectionDeg, piece.Heading.HeadingTrue, piece.Heading.GroundspeedKt
	leg.HeadingMagnetic = deadreckon.MagneticFromTrue(leg.HeadingTrue, line.Variation)
	for _, checkpoint := range line.Checkpoints {
		leg.CheckpointETAs = append(leg.CheckpointETAs, s.TimeAt(index, checkpoint.AfterNM))
	}
	return leg, nil
}

// summary tells the kind of a leg, and the phase and height that stand for it.
func summary(way Trajectory) (kind string, phase Phase, altitudeFt float64) {
	lengths := map[Phase]float64{}
	total, heights := 0.0, 0.0
	for _, piece := range way {
		length := piece.ToNM - piece.FromNM
		lengths[piece.Phase] += length
		total += length
		heights += length * (piece.FromFt + piece.ToFt) / 2
		if piece.Phase == Cruise {
			altitudeFt = piece.FromFt
		}
	}
	kind, phase = mixed, way[0].Phase
	if len(lengths) == 1 {
		kind = string(phase)
	}
	if lengths[Cruise] > 0 {
		return kind, Cruise, altitudeFt
	}
	for _, other := range []Phase{Climb, Descent} {
		if lengths[other] > lengths[phase] {
			phase = other
		}
	}
	return kind, phase, heights / total
}

func (s *Sheet) levelChange(way Trajectory, topLeg int, topAfterNM float64) LevelChange {
	change := LevelChange{DistanceNM: way.DistanceNM(), Fuel: way.Fuel(), TopLeg: topLeg, TopAfterNM: topAfterNM, TopAt: s.TimeAt(topLeg, topAfterNM)}
	for _, piece := range way {
		change.Minutes += piece.Minutes
	}
	return change
}

func (s *Sheet) radio() {
	steps := 0
	for i := range s.Route.Legs {
		steps += len(s.Route.Legs[i].Radio)
	}
	if steps == 0 {
		return
	}
	s.Radio, s.RadioETAs = make([]RadioStep, 0, steps), make([]time.Time, 0, steps)
	for _, leg := range s.Route.Legs {
		for _, step := range leg.Radio {
			s.Radio = append(s.Radio, step)
			s.RadioETAs = append(s.RadioETAs, s.TimeAt(step.Leg, step.AfterNM))
		}
	}
}

// Alternate is the way from overhead the destination straight to an alternate, at cruise on the last leg's level.
type Alternate struct {
	plan.Point
	DistanceNM      float64
	HeadingMagnetic float64 // at mid-way
	Minutes         float64
	Fuel            float64
	ETA             time.Time // after the planned arrival
}

// alternate is the ident of the one that fuel is kept for; empty when there is none.
func (s *Sheet) alternate() string {
	if s.Plan.Fuel.Alternate == "" && len(s.Plan.Route.Alternates) > 0 {
		return s.Plan.Route.Alternates[0]
	}
	return s.Plan.Fuel.Alternate
}

// alternates finds the way to every alternate that can be reached in the forecast, and the end of the day at the destination and at each
// of them for the planned time of arrival there.
func (s *Sheet) alternates(cruiseFlow float64) {
	destination := s.Route.Destination()
	s.Daylight = append(s.Daylight, DaylightAt(destination, s.Arrival()))
	for _, ident := range s.Plan.Route.Alternates {
		point, ok := s.Plan.Point(ident)
		if !ok || ident == destination.Ident {
			continue
		}
		way, err := s.alternateWay(point)
		if err != nil {
			continue
		}
		way.ETA, way.Fuel = after(s.Arrival(), way.Minutes), fuel.Burned(way.Minutes, cruiseFlow)
		s.Alternates = append(s.Alternates, way)
		s.Daylight = append(s.Daylight, DaylightAt(point, way.ETA))
	}
}

// wayTo is the way to the alternate that fuel is kept for, which mostly is one of the route's.
func (s *Sheet) wayTo(alternate plan.Point) (Alternate, error) {
	for _, way := range s.Alternates {
		if way.Ident == alternate.Ident {
			return way, nil
		}
	}
	return s.alternateWay(alternate)
}

// alternateWay is the way to an alternate but for its fuel and ETA.
func (s *Sheet) alternateWay(alternate plan.Point) (Alternate, error) {
	last := s.Route.Legs[len(s.Route.Legs)-1]
	route, err := s.Route.Direct(last.To.At, last.AltitudeFt, alternate, last.Level)
	if err != nil {
		return Alternate{}, err
	}
	leg := route.Legs[0]
	way := Alternate{Point: alternate, DistanceNM: leg.DistanceNM}
	k := newReckoner(route, Start{}, s.Air, layerFt, len(route.Legs)-1)
	defer reckoners.Put(k)
	for _, track := range leg.Tracks {
		piece, _, err := k.through(Cruise, 0, track, last.AltitudeFt)
		if err != nil {
			return Alternate{}, err
		}
		way.Minutes += deadreckon.Minutes(track.ToNM-track.FromNM, piece.Heading.GroundspeedKt)
	}
	piece, _, err := k.through(Cruise, 0, Track{TrackTrue: leg.TrackTrue}, last.AltitudeFt)
	way.HeadingMagnetic = deadreckon.MagneticFromTrue(piece.Heading.HeadingTrue, leg.Variation)
	return way, err
}

// DaylightAt is the end of the day at a point for an arrival there: sunset and dusk of the solar day in which the arrival falls or,
// when that is before sunrise, of the one before.
func DaylightAt(point plan.Point, arrival time.Time) Daylight {
	day := earth.SunAround(point.At, arrival)
	daylight := Daylight{
		Ident: point.Ident, Arrival: arrival, from: day.Begins, until: day.Ends, dawn: day.CivilDawn, dusk: day.CivilDusk,
		SunDown: isDown(day.Sunrise, day.Sunset, arrival),
	}
	daylight.Night = daylight.NightAt(arrival)
	switch {
	case !day.Sunrise.Occurs:
	case !arrival.Before(day.Sunrise.At):
		daylight.from = day.Sunrise.At
	default:
		daylight.until = day.Sunrise.At
		day = earth.SunAround(point.At, day.Begins.Add(-time.Minute))
	}
	if day.Sunset.Occurs {
		daylight.Sunset = &day.Sunset.At
	}
	if day.CivilDusk.Occurs {
		daylight.CivilTwilightEnd = &day.CivilDusk.At
	}
	return daylight
}

// NightAt reports whether it is night at the point at a time for which EndsAsFor is true.
func (d *Daylight) NightAt(at time.Time) bool { return isDown(d.dawn, d.dusk, at) }

// EndsAsFor reports whether for another arrival at the point the day ends at the same times, sunset and dusk.
func (d *Daylight) EndsAsFor(arrival time.Time) bool {
	return !arrival.Before(d.from) && arrival.Before(d.until)
}

// isDown reports whether the sun stands below the horizon that it rises above and sets below on a solar day.
func isDown(rising, setting earth.SunEvent, at time.Time) bool {
	switch {
	case rising.Occurs && at.Before(rising.At):
		return true
	case setting.Occurs:
		return !at.Before(setting.At)
	case rising.Occurs:
		return false
	}
	return !setting.StaysAbove
}

// fuel reckons what is needed and what is on board, and with it the daylight: the published reserve depends on whether the
// arrival is by night.
func (s *Sheet) fuel() error {
	p := s.Plan
	last := s.Route.Legs[len(s.Route.Legs)-1]
	_, cruiseFlow, err := s.Route.performance.cruiseAt(last.Level.PressureAltitudeFt(s.Air.QNH))
	if err != nil {
		return &LegError{Leg: len(s.Route.Legs) - 1, From: last.From.Ident, To: last.To.Ident, Err: err}
	}
	s.alternates(cruiseFlow)
	s.Fuel.CruiseFlow = cruiseFlow
	needed := FuelNeeded{Unit: p.Aircraft.Fuel.Unit, Trip: s.Trajectory.Fuel()}
	needed.Taxi = fuel.Burned(p.TaxiMinutes, p.Aircraft.TaxiFlow)
	needed.Contingency = needed.Trip * p.Fuel.ContingencyPercent / 100
	needed.CruiseFlow = cruiseFlow
	reserve := s.FinalReserve(s.Daylight[0].Night)
	needed.ReserveMinutes, needed.ReserveSource, needed.Reserve, needed.ReserveRule = reserve.Minutes, reserve.Source, reserve.Fuel, reserve.Rule
	for _, tank := range p.Aircraft.Fuel.Tanks {
		needed.Block += p.Fuel.OnBoard[tank.Name]
		needed.Unusable += min(tank.Unusable, p.Fuel.OnBoard[tank.Name])
	}
	needed.EnduranceFlow = cruiseFlow
	if first, ok := s.Trajectory.FirstCruise(); ok {
		needed.EnduranceFlow = s.Trajectory[first].FlowPerHour
	}
	needed.EnduranceMinutes = fuel.EnduranceMinutes(needed.Block-needed.Unusable, needed.EnduranceFlow)
	if alternate, ok := p.Point(s.alternate()); ok {
		way, err := s.wayTo(alternate)
		if err != nil {
			s.add(plan.Caution, "fuel.alternate", "name another alternate", "no fuel is planned for the alternate: %v", err)
		}
		needed.AlternateMinutes, needed.Alternate = way.Minutes, fuel.Burned(way.Minutes, cruiseFlow)
	}
	needed.MinimumBlock = needed.Taxi + needed.Trip + needed.Contingency + needed.Alternate + needed.Reserve
	needed.Extra = needed.Block - needed.Unusable - needed.MinimumBlock
	needed.OnArrival = needed.Block - needed.Unusable - needed.Taxi - needed.Trip
	needed.Mass = massOf(p.Aircraft.Fuel, needed)
	s.Fuel = needed
	return nil
}

// FuelMass is the mass of the fuel on board, in kilograms.
type FuelMass struct {
	OnBoardKg, TakeOffKg, LandingKg float64
}

// massOf is nil where the aircraft gives no density.
func massOf(system plan.FuelSystem, needed FuelNeeded) *FuelMass {
	unit, err := fuel.ParseUnit(system.Unit)
	if system.DensityKgPerLitre == nil || err != nil {
		return nil
	}
	kg := func(quantity float64) float64 { return unit.MassKg(max(0, quantity), *system.DensityKgPerLitre) }
	return &FuelMass{
		OnBoardKg: kg(needed.Block), TakeOffKg: kg(needed.Block - needed.Taxi), LandingKg: kg(needed.Block - needed.Taxi - needed.Trip),
	}
}

// FastestTAS is the highest true airspeed of the cruise table at an altitude, at whatever power; 0 outside the table.
func (r *Route) FastestTAS(altitudeFt, qnh float64) float64 {
	fastest := 0.0
	for _, column := range r.performance.cruise {
		if tasKt, _, ok := column.lines.at(air.PressureAltitudeFt(altitudeFt, qnh)); ok {
			fastest = max(fastest, tasKt)
		}
	}
	return fastest
}
