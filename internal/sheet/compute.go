package sheet

import (
	"errors"
	"math"
	"time"

	"example.com/legclock/internal/deadreckon"
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
	for _, leg := range s.Route.Legs {
		for _, step := range leg.Radio {
			s.Radio = append(s.Radio, step)
			s.RadioETAs = append(s.RadioETAs, s.TimeAt(step.Leg, step.AfterNM))
		}
	}
}
