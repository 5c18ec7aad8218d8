package sums

import (
	"fmt"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/worked"
)

// Ways are the groundspeeds on and back along a track: given themselves, or by the track, the true airspeed and the wind.
type Ways struct {
	OnKt, BackKt *float64
	Track        *say.Direction // on; true where no north is said
	TASKt        *float64
	Wind         *air.Wind
	Variation    *float64 // optional: for a magnetic track
}

func (y Ways) figures() []Figure {
	track := say.Direction{Degrees: unknown, North: say.True}
	if y.Track != nil {
		track = y.Track.Or(say.True)
	}
	wind := Figure{Label: "wind", Values: []Value{{"wind_from", nil}, {"wind_kt", nil}}}
	if y.Wind != nil {
		wind = windFigure(*y.Wind)
	}
	return []Figure{
		speedGiven("groundspeed on", "on_kt", valueOf(y.OnKt)), speedGiven("groundspeed back", "back_kt", valueOf(y.BackKt)), eitherGiven("track", "track", track),
		speedGiven("true airspeed", "tas_kt", valueOf(y.TASKt)), wind, variationFigure(valueOf(y.Variation)),
	}
}

// speeds are the two groundspeeds. A problem says why one of them does not exist.
func (y Ways) speeds(w *Working) (onKt, backKt float64, problem string, err error) {
	byWind := y.Track != nil && y.TASKt != nil && y.Wind != nil
	bySpeed := y.OnKt != nil && y.BackKt != nil
	mixed := (y.Track != nil || y.TASKt != nil || y.Wind != nil) && (y.OnKt != nil || y.BackKt != nil)
	switch {
	case mixed || byWind == bySpeed:
		return 0, 0, "", unfit("give two groundspeeds (on 165 back 195), or the track, the true airspeed and the wind (track 090 tas 100 wind 240/15)",
			"the groundspeeds on and back are needed, in one way")
	case bySpeed:
		if *y.OnKt <= 0 || *y.BackKt <= 0 {
			problem = "without a groundspeed on and back there is no such point"
		}
		return *y.OnKt, *y.BackKt, problem, nil
	}
	trackTrue, err := w.trueOf("track", *y.Track, y.Variation)
	if err != nil {
		return 0, 0, "", err
	}
	on, errOn := w.heading("on: ", trackTrue, *y.TASKt, *y.Wind)
	if errOn != nil {
		return unknown, unknown, "on the way on: " + errOn.Error(), nil
	}
	back, errBack := w.heading("back: ", angle.Reciprocal(trackTrue), *y.TASKt, *y.Wind)
	if errBack != nil {
		return on.GroundspeedKt, unknown, "on the way back: " + errBack.Error(), nil
	}
	return on.GroundspeedKt, back.GroundspeedKt, "", nil
}

// EqualTime asks for the point from which it is as long on as back.
type EqualTime struct {
	DistanceNM float64 // from the start to the end
	Ways       Ways
	OutKt      *float64 // optional: the groundspeed up to the point, where it is another than that on from it
}

// Sum works out the point of equal time.
func (e EqualTime) Sum() (Sum, error) {
	s := Sum{
		Name: "equaltime", Title: "The point of equal time",
		Given: append([]Figure{milesGiven("distance", "distance_nm", e.DistanceNM)},
			append(e.Ways.figures(), speedGiven("groundspeed up to it", "out_kt", valueOf(e.OutKt)))...),
		Rule:   "from the start: distance × back / (on + back); a wind moves the point towards where it comes from",
		Source: "AFM 51-40, equal time point; for one wind and level, turns not counted",
	}
	var w Working
	on, back, problem, err := e.Ways.speeds(&w)
	if err != nil {
		return Sum{}, err
	}
	s.Problem = problem
	point, minutes := deadreckon.EqualTime(e.DistanceNM, on, back)
	toEnd, minutesTo := unknown, unknown
	if known(point) {
		toEnd = e.DistanceNM - point
		w.EqualTime(e.DistanceNM, on, back, point)
		w.Line("to the end: %s - %s = %s nm", num(e.DistanceNM), num(point), num(toEnd))
		w.Time("from there, either way", point, back, minutes)
		out := on
		if e.OutKt != nil {
			out = *e.OutKt
		}
		minutesTo = deadreckon.Minutes(point, out)
		w.Time("to the point", point, out, minutesTo)
	}
	s.Working = w.Text()
	s.Answers = []Figure{
		miles("from the start", "from_start_nm", point), miles("to the end", "to_end_nm", toEnd), span("from there, either way", "minutes", minutes),
		span("to the point", "to_point_minutes", minutesTo), speed("groundspeed on", "on_kt", on), speed("groundspeed back", "back_kt", back),
	}
	return s, nil
}

// NoReturn asks for the farthest point from which the start can be reached again.
type NoReturn struct {
	EnduranceMinutes *float64  // or Fuel and Flow
	Fuel, Flow       *say.Fuel // usable, and an hour on the way out
	FlowBack         *say.Fuel // optional: an hour on the way back
	ReserveMinutes   *float64  // optional: kept on landing
	Ways             Ways
	DistanceNM       *float64 // optional: of the leg
}

// Sum works out the point of no return.
func (n NoReturn) Sum() (Sum, error) {
	s := Sum{
		Name: "noreturn", Title: "The point of no return", Given: n.given(),
		Rule:   "minutes out = endurance × back / (on + back), the reserve taken off; by fuel, distance = fuel / (flow / on + flow back / back)",
		Source: "the same fuel flown out and back, for one wind and level; any wind along the track brings the point nearer",
	}
	if err := n.check(); err != nil {
		return Sum{}, err
	}
	var w Working
	on, back, problem, err := n.Ways.speeds(&w)
	if err != nil {
		return Sum{}, err
	}
	left := n.aboveReserve(&w)
	if problem == "" && left < 0 {
		problem = "less than the reserve is on board"
	}
	distance, minutes := unknown, unknown
	if problem == "" {
		distance, minutes = n.point(&w, left, on, back)
	}
	s.Problem, s.Working = problem, w.Text()
	if n.ReserveMinutes == nil {
		s.Notes = append(s.Notes, noReserve)
	}
	s.Answers = []Figure{
		miles("point of no return, from the start", "no_return_nm", distance), span("time to it", "minutes", minutes), n.beyond(distance, &s),
		speed("groundspeed on", "on_kt", on), speed("groundspeed back", "back_kt", back),
	}
	return s, nil
}

func (n NoReturn) given() []Figure {
	return append([]Figure{
		span("endurance", "endurance_minutes", valueOf(n.EnduranceMinutes)), fuelGiven("usable fuel", "usable_fuel", n.Fuel),
		flowFigure("flow", "flow_per_hour", n.Flow), flowFigure("flow back", "flow_back_per_hour", n.FlowBack), fuelUnit(n.Fuel, n.Flow, n.FlowBack),
		span("reserve", "reserve_minutes", valueOf(n.ReserveMinutes)), milesGiven("leg", "distance_nm", valueOf(n.DistanceNM)),
	}, n.Ways.figures()...)
}

// point works out the point from what is left above the reserve: minutes, or fuel where that was given.
func (n NoReturn) point(w *Working, left, onKt, backKt float64) (distanceNM, minutes float64) {
	if n.Fuel == nil {
		distanceNM, minutes = deadreckon.NoReturn(left, onKt, backKt)
		w.NoReturn(left, onKt, backKt, minutes, inSecondsToo(minutes))
		w.Distance("distance", onKt, minutes, distanceNM)
		return distanceNM, minutes
	}
	distanceNM, minutes = deadreckon.NoReturnByFuel(left, n.Flow.Amount, onKt, n.flowBack().Amount, backKt)
	w.Line("distance: %s / (%s / %s + %s / %s) = %s nm", num(left), num(n.Flow.Amount), num(onKt), num(n.flowBack().Amount), num(backKt), num(distanceNM))
	w.Time("out", distanceNM, onKt, minutes)
	return distanceNM, minutes
}

// beyond says whether the point lies past the end of the leg, if the leg is known.
func (n NoReturn) beyond(distanceNM float64, s *Sum) Figure {
	if n.DistanceNM == nil || !known(distanceNM) {
		return Figure{Label: "beyond the end of the leg", Values: []Value{{"beyond_end", nil}}}
	}
	beyond := distanceNM > *n.DistanceNM
	if beyond {
		s.Notes = append(s.Notes, "the point lies beyond the end of the leg: there is a return from everywhere on it")
	}
	return yes("beyond the end of the leg", "beyond_end", beyond)
}

func fuelGiven(label, name string, fuel *say.Fuel) Figure {
	if fuel == nil {
		return figure(label, name, unknown, nil)
	}
	return fuelFigure(label, name, *fuel)
}

func (n NoReturn) check() error {
	byFuel := n.Fuel != nil && n.Flow != nil
	switch {
	case (n.EnduranceMinutes != nil) == byFuel || n.EnduranceMinutes != nil && (n.Fuel != nil || n.Flow != nil || n.FlowBack != nil):
		return unfit("give the endurance (6.5 h), or the usable fuel and its flow (fuel 30 flow 8)", "the endurance is needed, in one way")
	case byFuel && n.Flow.Amount <= 0 || n.FlowBack != nil && n.FlowBack.Amount <= 0:
		return unfit("give the flow an hour, for example 8", "without a flow there is no endurance")
	}
	return oneUnit(n.Fuel, n.Flow, n.FlowBack)
}

// oneUnit refuses amounts of fuel in different units.
func oneUnit(amounts ...*say.Fuel) error {
	unit := ""
	for _, amount := range amounts {
		switch {
		case amount == nil || amount.Unit == "":
		case unit == "":
			unit = amount.Unit
		case unit != amount.Unit:
			return unfit("give all fuel in one unit", fmt.Sprintf("the fuel is in %s and in %s", unit, amount.Unit))
		}
	}
	return nil
}

func (n NoReturn) flowBack() say.Fuel {
	if n.FlowBack != nil {
		return *n.FlowBack
	}
	return *n.Flow
}

// aboveReserve is what may be flown: minutes, or fuel where that was given.
func (n NoReturn) aboveReserve(w *Working) float64 {
	left, kept := valueOf(n.EnduranceMinutes), 0.0
	if n.ReserveMinutes != nil {
		kept = *n.ReserveMinutes
	}
	if n.Fuel == nil {
		w.Span("endurance", left)
		if kept > 0 {
			w.Line("less the reserve: %s - %s = %s min", num(left), num(kept), num(left-kept))
		}
		return left - kept
	}
	reserve := burned(kept, n.flowBack())
	left = n.Fuel.Amount - reserve.Amount
	if kept > 0 {
		w.Fuel("reserve", n.flowBack().Amount, kept, reserve.Amount, reserve.Unit)
		w.Line("less the reserve: %s - %s = %s", num(n.Fuel.Amount), num(reserve.Amount), worked.Amount(left, n.Fuel.Unit))
	}
	return left
}
