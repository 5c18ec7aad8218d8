package sheet

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// How far a figure of the sheet may be from what was asked for before a word is said.
const (
	levelToleranceFt     = 1
	safeToleranceFt      = 1
	steepDescentFraction = 0.05
)

func (s *Sheet) add(severity plan.Severity, path, hint, format string, arguments ...any) {
	s.Problems = append(s.Problems, newProblem(s.Plan, severity, path, hint, format, arguments...))
}

// check says what of the plan does not hold, now that it has been reckoned.
func (s *Sheet) check() {
	s.checkTables()
	for i := range s.Legs {
		s.checkLevel(i)
		s.checkSafeAltitude(i)
	}
	s.checkArrival()
	s.checkReception()
	s.checkFuel()
	s.checkTanks()
	s.checkDaylight()
}

// checkTables tells of the one case in which a table is used beyond its lines.
func (s *Sheet) checkTables() {
	takeOff := air.PressureAltitudeFt(s.Trajectory[0].FromFt, s.Air.QNH)
	table := s.Route.performance.climb
	if s.Trajectory[0].Phase == Climb && takeOff < table[0].altitudeFt-levelToleranceFt {
		s.add(plan.Note, "aircraft.climb.table", "", "the take-off is at %s of pressure altitude, below the table: its lowest row, %s, is used",
			say.Feet(takeOff), say.Feet(table[0].altitudeFt))
	}
}

// checkLevel tells of a leg whose level is not reached.
func (s *Sheet) checkLevel(index int) {
	leg, way := s.Legs[index], s.Trajectory.OnLeg(index)
	highest, descends := way[0].FromFt, false
	for _, piece := range way {
		highest = max(highest, piece.ToFt)
		descends = descends || piece.Phase == Descent
	}
	if highest > leg.AltitudeFt-levelToleranceFt {
		return
	}
	path := legPath(index) + ".altitude"
	top, _, _ := s.Trajectory.TopOfDescent()
	switch {
	case descends && top == index:
		s.add(plan.Caution, path, fmt.Sprintf("%s or lower", say.Feet(math.Floor(highest/100)*100)),
			"the climb does not reach %s: it meets the descent to %s at %s", leg.Level, s.Route.Destination().Ident, say.Feet(highest))
	case descends || len(s.Trajectory.LastDescent()) > 0 && top < index:
		s.add(plan.Note, path, "", "%s is not flown: the descent to %s begins before the leg", leg.Level, s.Route.Destination().Ident)
	default:
		s.add(plan.Note, path, "", "%s is not reached on this leg: at %s the climb has come to %s", leg.Level, leg.To.Ident, say.Feet(highest))
	}
}

// checkSafeAltitude tells where the climb or the last descent is below a leg's minimum safe altitude. A level below it is the
// plan's own fault, found when it is read.
func (s *Sheet) checkSafeAltitude(index int) {
	leg := s.Legs[index]
	if leg.SafeAltitudeFt == nil || leg.AltitudeFt < *leg.SafeAltitudeFt-safeToleranceFt {
		return
	}
	safe := *leg.SafeAltitudeFt
	belowFrom, belowUntil := leg.DistanceNM, 0.0
	for _, piece := range s.Trajectory.OnLeg(index) {
		if min(piece.FromFt, piece.ToFt) >= safe-safeToleranceFt {
			continue
		}
		crossing := piece.FromNM
		if piece.ToFt != piece.FromFt {
			crossing += (piece.ToNM - piece.FromNM) * min(max((safe-piece.FromFt)/(piece.ToFt-piece.FromFt), 0), 1)
		}
		if piece.ToFt > piece.FromFt {
			belowUntil = max(belowUntil, crossing)
		} else { // level, it is after a descent: no level of the plan is below
			belowFrom = min(belowFrom, crossing)
		}
	}
	below := func(phase, part string, distanceNM float64) {
		if distanceNM > 0 {
			s.add(plan.Note, legPath(index)+".safe_altitude", "", "%s to %s: below the MSA of %s in the %s, for the %s %s",
				leg.From.Ident, leg.To.Ident, say.Feet(safe), phase, part, say.Miles(distanceNM))
		}
	}
	below("climb", "first", belowUntil)
	below("descent", "last", leg.DistanceNM-belowFrom)
}

// checkArrival tells of an arrival that is not at circuit height, or that needs a steeper descent than the aircraft's.
func (s *Sheet) checkArrival() {
	arrivalFt, ok := s.Route.ArrivalFt()
	if !ok {
		return
	}
	last := len(s.Legs) - 1
	destination, descent := s.Route.Destination().Ident, s.Trajectory.LastDescent()
	path := legPath(last) + ".altitude"
	if end := s.Trajectory[len(s.Trajectory)-1].ToFt; math.Abs(end-arrivalFt) > levelToleranceFt {
		s.add(plan.Caution, path, "", "%s is reached at %s, but its circuit is joined at %s", destination, say.Feet(end), say.Feet(arrivalFt))
		return
	}
	if len(descent) == 0 {
		return
	}
	rate, planned := (descent[0].FromFt-descent[0].ToFt)/descent[0].Minutes, s.Plan.Aircraft.Descent.RateFtMin
	if rate > planned*(1+steepDescentFraction) {
		s.add(plan.Caution, path, "", "the descent to %s needs %s from the start, the aircraft's is %s", destination, say.FeetPerMinute(math.Ceil(rate)), say.FeetPerMinute(planned))
	}
}

// checkReception tells of a beacon that is to be tuned in the climb, before the aircraft is high enough to receive it. Where the
// level of the leg is not enough either, the layout of the route has said so.
func (s *Sheet) checkReception() {
	for i, step := range s.Radio {
		altitudeFt, _ := s.Trajectory.AltitudeAt(step.Leg, step.AfterNM)
		if !step.InRange || reception(step.Beacon, altitudeFt) >= step.DistanceNM {
			continue
		}
		minutes, _ := s.Trajectory.MinutesTo(step.Leg, step.AfterNM)
		if heard, ok := s.firstHeard(step, minutes); ok {
			s.add(plan.Note, step.path, "", "%s is due on %s at %s, at %s, but is received from %s, at %s", step.Beacon.Ident, step.Receiver,
				say.Minute(s.RadioETAs[i]), say.Feet(altitudeFt), say.Minute(s.after(heard)), say.Feet(s.Trajectory.At(heard).AltitudeFt))
		}
	}
}

// firstHeard is the minute from which a beacon is received by the altitude flown, to some seconds.
func (s *Sheet) firstHeard(step RadioStep, fromMinutes float64) (minutes float64, ok bool) {
	const stepMinutes = 0.1
	if step.RangeNM == 0 {
		return 0, false
	}
	for minutes := fromMinutes; minutes < s.Trajectory.TotalMinutes(); minutes += stepMinutes {
		at := s.Trajectory.At(minutes)
		if at.Leg != step.Leg {
			break
		}
		if distanceAt(s.Route.Legs[at.Leg], at.AfterNM, step.Beacon.At) <= reception(step.Beacon, at.AltitudeFt) {
			return minutes, true
		}
	}
	return 0, false
}

func (s *Sheet) checkFuel() {
	needed, written := s.Fuel, s.writtenFuel() // what is said is what the sheet's figures say
	onLanding, short := needed.OnArrival, -written.Extra
	if short <= 0 {
		short = -needed.Extra
	}
	amount := func(quantity float64) string { return say.AmountIn(quantity, needed.Unit) }
	switch {
	case onLanding < 0:
		s.add(plan.Error, "fuel.on_board", "more fuel, or a landing on the way", "the fuel does not last to %s: taxi and trip take %s, usable are %s",
			s.Route.Destination().Ident, amount(written.Taxi+written.Trip), amount(written.Block-written.Unusable))
	case onLanding < needed.Reserve:
		s.add(plan.Error, "fuel.on_board", "at least "+amount(roundUp(short))+" more",
			"the fuel on arrival is %s, below the final reserve of %s: %s", amount(written.OnArrival), amount(written.Reserve), s.Fuel.ReserveRule)
	case needed.Extra < 0:
		s.add(plan.Error, "fuel.on_board", "at least "+amount(roundUp(short))+" more",
			"the fuel is %s short: the minimum block fuel is %s and %s are usable", amount(short), amount(written.MinimumBlock), amount(written.Block-written.Unusable))
	}
	if needed.ReserveSource != plan.ReserveFromPlan {
		s.add(plan.Note, "fuel.reserve_minutes", "", "no final reserve is given: the largest published minimum for the time of arrival is kept, %s, %s",
			needed.ReserveRule, amount(needed.Reserve))
	} else if text := s.ReserveTooShort(s.Daylight[0].Night, s.Arrival()); text != "" {
		s.add(plan.Caution, "fuel.reserve_minutes", "a longer reserve", "%s", text)
	}
}

func roundUp(quantity float64) float64 { return math.Ceil(quantity*10) / 10 }

// checkTanks tells which tank rules can't be kept, an imbalance above the limit before take-off first.
func (s *Sheet) checkTanks() {
	for _, pair := range s.Tanks.AboveLimitAtStart {
		s.add(plan.Caution, "fuel.on_board", pair.Hint, "%s", pair.Text)
		s.Problems[len(s.Problems)-1].Urgent = true
	}
	paths := map[fuel.Rule]string{
		fuel.RuleLongestTime: "aircraft.fuel.change_every",
		fuel.RuleImbalance:   "aircraft.fuel.max_imbalance",
		fuel.RuleQuietTime:   "aircraft.fuel.quiet_below",
		fuel.RuleUsableFuel:  "fuel.on_board",
	}
	for _, broken := range s.Tanks.Schedule.Broken {
		s.add(plan.Caution, paths[broken.Rule], broken.Hint, "tanks: at %s %s", say.Minute(s.after(broken.AtMinutes)), broken.Text)
	}
}

// checkDaylight tells of an arrival after the day: at the destination a caution, at an alternate a note.
func (s *Sheet) checkDaylight() {
	for i, daylight := range s.Daylight {
		severity, path := plan.Caution, "off_blocks"
		if i > 0 {
			severity = plan.Note
		}
		switch sunset, dusk := daylight.Sunset, daylight.CivilTwilightEnd; {
		case daylight.Night && dusk != nil:
			s.add(severity, path, "", "%s is reached at %s, by night: civil twilight ended at %s", daylight.Ident, say.Minute(daylight.Arrival), say.Minute(*dusk))
		case daylight.Night:
			s.add(severity, path, "", "%s is reached at %s, by night: there is no civil twilight that day", daylight.Ident, say.Minute(daylight.Arrival))
		case daylight.SunDown && sunset != nil:
			s.add(severity, path, "", "%s is reached at %s, in twilight: the sun set at %s", daylight.Ident, say.Minute(daylight.Arrival), say.Minute(*sunset))
		case daylight.SunDown:
			s.add(severity, path, "", "%s is reached at %s, in twilight: the sun does not rise that day", daylight.Ident, say.Minute(daylight.Arrival))
		}
	}
}
