package drill

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func diversionTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				track, windKt, groundspeed := d.direction(10), d.from(10, 30, 5), oneOf(d, 60.0, 90, 120)
				w, tas := air.Wind{FromTrue: track, SpeedKt: windKt}, groundspeed+windKt
				if d.yes() && groundspeed > 60 {
					w.FromTrue, tas = angle.Reciprocal(track), groundspeed-windKt
				}
				return diversionMinutes(track, tas, w, deadreckon.Distance(groundspeed, d.from(6, 24, 2)))
			},
			func(d *draw) Exercise {
				flow, minutes := oneOf(d, 24.0, 30, 36), d.from(10, 40, 10)
				return fuelAfterMinutes(fuelFor(minutes, flow)+d.from(10, 30, 1), flow, minutes)
			},
		},
		{
			func(d *draw) Exercise {
				track, tas, w := drawTriangle(d)
				return diversionETA(d.timeOfDay(60), track, tas, w, d.from(8, 45, 0.5))
			},
			func(d *draw) Exercise {
				v := drawVolume(d)
				flow, distance, speed := v.flow(d), d.from(8, 45, 0.5), d.from(70, 125, 1)
				return fuelOnArrival(fuelFor(deadreckon.Minutes(distance, speed)+d.from(30, 90, 1), flow), distance, speed, flow, v.unit)
			},
		},
		{
			func(d *draw) Exercise {
				v := drawVolume(d)
				track, tas, w := drawTriangle(d)
				flow, distance := v.flow(d), d.from(8, 45, 0.5)
				minutes := deadreckon.Minutes(distance, solve(track, tas, w).GroundspeedKt)
				return extraOnArrival(track, tas, w, distance, fuelFor(minutes+d.from(40, 110, 1), flow), flow, 30, v.unit)
			},
			func(d *draw) Exercise {
				v := drawVolume(d)
				flow, distance, speed := v.flow(d), d.from(8, 45, 0.5), d.from(70, 125, 1)
				usable := fuelFor(deadreckon.Minutes(distance, speed)+d.from(50, 120, 1), flow)
				return latestDiversion(d.timeOfDay(60), usable, flow, distance, speed, oneOf(d, 30.0, 45), v.unit)
			},
		},
	}
}

// diversionMinutes asks how long it is to the field with the wind on the nose or on the tail.
func diversionMinutes(track, tasKt float64, w air.Wind, distanceNM float64) Exercise {
	t := solve(track, tasKt, w)
	e := groundspeedAlong(track, tasKt, w)
	minutes := deadreckon.Minutes(distanceNM, t.GroundspeedKt)
	e.Task, e.Question, e.Mistakes = "minutes", "You divert to a field. How long does it take?", nil
	e.Given = append(t.given(), miles("to the field", distanceNM))
	e.Given[0].Name = "track to the field"
	e.Form, e.Answers = Form{Kind: Span}, only(minutes)
	e.Tolerance = InTheHead.within(0, 0.1)
	var steps sums.Working
	steps.Took(minutes, e.Say(Reply{Value: minutes}), "time: 60 × %s / %s", num(distanceNM), worked.Rounded(t.GroundspeedKt, 0))
	e.Steps = append(e.Steps, steps.Plain()...)
	against, _ := w.Along(track)
	e.slip(Reciprocal, deadreckon.Minutes(distanceNM, tasKt+against), "the wind taken the wrong way round: it is given by where it comes FROM")
	e.slip(StepLeftOut, deadreckon.Minutes(distanceNM, tasKt), "that is the time at the true airspeed: the wind is not in it yet")
	e.slip(UpsideDown, t.GroundspeedKt/distanceNM, "groundspeed divided by distance: the distance goes on top")
	return e
}

// fuelAfterMinutes asks how much is left after a way of so many minutes.
func fuelAfterMinutes(usable, flowPerHour, minutes float64) Exercise {
	usable = tidy(usable)
	used := fuel.Burned(minutes, flowPerHour)
	var w sums.Working
	w.Decimals(1, usable-used)
	w.Fuel("used", flowPerHour, minutes, used, litres)
	w.Line("left: %s - %s = %s", num(usable), num(used), worked.Amount(usable-used, litres))
	e := Exercise{
		Task: "fuel after minutes", Tool: InTheHead,
		Given:    []Given{amount("usable fuel", usable, litres), amount("flow", flowPerHour, litres+anHour), lasting("to the field", minutes)},
		Question: "You divert to a field. How much usable fuel remains there?",
		Form:     numberForm(litres, 1), Answers: only(usable - used), Tolerance: InTheHead.within(0, 0.1),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, used, "that is what the way takes: what is LEFT is asked")
	e.slip(WrongWay, usable+used, "added instead of taken away")
	e.slip(SixtyForgotten, usable-flowPerHour, "a whole hour's fuel taken off: the way is shorter")
	return e
}

// diversionETA asks for the ETA at the field.
func diversionETA(now, track, tasKt float64, w air.Wind, distanceNM float64) Exercise {
	t := solve(track, tasKt, w)
	minutes := deadreckon.Minutes(distanceNM, t.GroundspeedKt)
	e := Exercise{
		Task: "ETA", Tool: SlideRule, Given: append([]Given{atTime("now", now)}, append(t.given(), miles("to the field", distanceNM))...),
		Question: "You turn for a field. What is the ETA there?",
		Form:     timeForm(now + minutes), Answers: only(now + minutes),
		Tolerance: Tolerance{By: max(0.03*minutes, 1), Why: "an ETA is given to the minute; 2 kt of the wind side and the slide rule's own error are 3 %"},
	}
	e.Given[1].Name = "track to the field"
	steps := t.working(1)
	steps.Took(minutes, spanOf(minutes), "time: 60 × %s / %s", num(distanceNM), num(t.GroundspeedKt))
	e.Steps = e.at(steps, "ETA", now, minutes).Plain()
	e.slipETA(now, minutes)
	e.slip(StepLeftOut, now+deadreckon.Minutes(distanceNM, tasKt), "at the true airspeed: the wind is not in it yet")
	if back, err := deadreckon.HeadingFor(angle.Reciprocal(track), tasKt, w); err == nil {
		e.slip(Reciprocal, now+deadreckon.Minutes(distanceNM, back.GroundspeedKt), "the wind taken the wrong way round: it is given by where it comes FROM")
	}
	return e
}

// fuelOnArrival asks how much usable fuel is left overhead the field.
func fuelOnArrival(usable, distanceNM, groundspeedKt, flowPerHour float64, unit string) Exercise {
	usable = tenth(usable)
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	used := fuel.Burned(minutes, flowPerHour)
	var w sums.Working
	w.Decimals(1, minutes, used, usable-used)
	w.Took(minutes, "", "time: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	w.Fuel("used", flowPerHour, minutes, used, unit)
	w.Line("left: %s - %s = %s", num(usable), num(used), worked.Amount(usable-used, unit))
	e := Exercise{
		Task: "fuel on arrival", Tool: SlideRule,
		Given: []Given{
			amount("usable fuel", usable, unit), amount("flow", flowPerHour, unit+anHour), miles("to the field", distanceNM), knots("groundspeed", groundspeedKt),
		},
		Question: "You divert to a field. How much usable fuel remains overhead?",
		Form:     numberForm(unit, 1), Answers: only(usable - used), Tolerance: Tolerance{By: max(0.03*used, 0.1), Why: "3 % of what is used: two settings of the slide rule"},
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, used, "that is what the way takes: what is LEFT is asked")
	e.slip(MinutesAsDecimals, usable-flowPerHour*minutes/100, "minutes read as decimals: there are 60 in the hour, not 100")
	e.slip(UpsideDown, usable-flowPerHour*groundspeedKt/distanceNM/60, "groundspeed divided by distance: the distance goes on top")
	return e
}

// extraOnArrival asks for the time that is left overhead beyond the final reserve.
func extraOnArrival(track, tasKt float64, w air.Wind, distanceNM, usable, flowPerHour, reserveMinutes float64, unit string) Exercise {
	usable = tenth(usable)
	t := solve(track, tasKt, w)
	minutes := deadreckon.Minutes(distanceNM, t.GroundspeedKt)
	endurance := fuel.EnduranceMinutes(usable, flowPerHour)
	extra := endurance - minutes - reserveMinutes
	e := Exercise{
		Task: "extra on arrival", Tool: SlideRule,
		Given: append(t.given(), miles("to the field", distanceNM), amount("usable fuel", usable, unit), amount("flow", flowPerHour, unit+anHour),
			lasting("final reserve", reserveMinutes)),
		Question: "You divert to a field. How much time is there overhead beyond the final reserve?",
		Form:     Form{Kind: Hours}, Answers: only(extra),
		Tolerance: Tolerance{By: max(0.03*minutes+0.02*endurance, 1), Why: "2 % of the endurance and 3 % of the way: so far the slide rule reads"},
	}
	e.Given[0].Name = "track to the field"
	steps := t.working(1)
	steps.Decimals(1, minutes, endurance)
	steps.Decimals(0, extra)
	steps.Took(minutes, "", "on the way: 60 × %s / %s", num(distanceNM), num(t.GroundspeedKt))
	steps.Line("endurance: %s / %s × 60 = %s min", num(usable), num(flowPerHour), num(endurance))
	steps.Took(extra, e.Say(Reply{Value: extra}), "beyond the reserve: %s - %s - %s", num(endurance), num(minutes), num(reserveMinutes))
	e.Steps = steps.Plain()
	e.slipMinutes()
	e.slip(StepLeftOut, endurance-minutes, "the final reserve is still in it")
	e.slip(StepLeftOut, endurance-reserveMinutes, "that is from now: the way to the field has to come off")
	e.slip(WrongWay, extra+2*reserveMinutes, "the reserve added instead of taken away")
	return e
}

// latestDiversion asks until when one can stay.
func latestDiversion(now, usable, flowPerHour, distanceNM, groundspeedKt, reserveMinutes float64, unit string) Exercise {
	usable = tenth(usable)
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	endurance := fuel.EnduranceMinutes(usable, flowPerHour)
	wait := endurance - reserveMinutes - minutes
	var w sums.Working
	w.Line("endurance: %s / %s × 60 = %s min", num(usable), num(flowPerHour), num(endurance))
	w.Took(minutes, "", "on the way: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	w.Took(wait, say.SaySpan(wait), "to stay: %s - %s - %s", num(endurance), num(reserveMinutes), num(minutes))
	w.Line("%s + %s = %s", say.SayTimeOfDay(now), say.SaySpan(wait), say.SayTimeOfDay(now+wait))
	e := Exercise{
		Task: "latest divert time", Tool: SlideRule,
		Given: []Given{
			atTime("now", now), amount("usable fuel", usable, unit), amount("flow", flowPerHour, unit+anHour), lasting("final reserve", reserveMinutes),
			miles("to the alternate", distanceNM), knots("groundspeed", groundspeedKt),
		},
		Question: "You hold overhead. When do you leave for the alternate at the latest, to be there with the final reserve?",
		Form:     timeForm(now + wait), Answers: only(now + wait),
		Tolerance: Tolerance{By: max(0.02*endurance, 1), Why: "2 % of the endurance, as the slide rule reads, and at least a minute"},
		Steps:     w.Plain(),
	}
	e.latest(now + wait)
	e.slip(StepLeftOut, now+endurance-minutes, "the final reserve is still in it")
	e.slip(StepLeftOut, now+endurance-reserveMinutes, "the way to the alternate has to come off")
	e.slip(WrongFigure, now+endurance, "that is when the tanks are dry")
	return e
}
