package drill

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

func equalTimeTasks() [3][]task {
	head := func(d *draw) (tas, on, back float64) {
		tas = oneOf(d, 90.0, 100, 120)
		wind := d.signed(10, 30, 10)
		return tas, tas - wind, tas + wind
	}
	return [3][]task{
		{
			func(d *draw) Exercise {
				tas, on, back := head(d)
				return equalTimeDistance(tas*d.from(1, 3, 1), on, back, InTheHead)
			},
			func(d *draw) Exercise {
				_, on, back := head(d)
				return equalTimeSide(on, back)
			},
		},
		{
			func(d *draw) Exercise {
				return equalTimeDistance(d.from(90, 320, 1), d.from(72, 98, 1), d.from(102, 130, 1), SlideRule)
			},
			func(d *draw) Exercise {
				return equalTimeMinutes(d.from(90, 320, 1), d.from(102, 130, 1), d.from(72, 98, 1))
			},
			func(d *draw) Exercise { return noReturn(d.from(90, 260, 5), d.from(72, 98, 1), d.from(102, 130, 1)) },
		},
		{
			func(d *draw) Exercise {
				track, tas, w := drawTriangle(d)
				return equalTimeInWind(d.from(90, 320, 1), track, tas, w)
			},
			func(d *draw) Exercise {
				v := drawVolume(d)
				return noReturnByFuel(v.total(d), v.unusable, v.flow(d), oneOf(d, 30.0, 45), d.from(72, 98, 1), d.from(102, 130, 1), v.unit)
			},
		},
	}
}

func onAndBack(onKt, backKt float64) []Given {
	return []Given{knots("groundspeed on", onKt), knots("groundspeed back", backKt)}
}

// equalTime works out the distance of the point from the start. A knot of one of the groundspeeds would be nearly a mile.
func equalTime(w *sums.Working, distanceNM, onKt, backKt, fromStartNM float64) {
	w.Decimals(1, fromStartNM)
	w.EqualTime(distanceNM, tenth(onKt), tenth(backKt), fromStartNM)
}

// equalTimeDistance asks for the distance of the point of equal time from the start.
func equalTimeDistance(distanceNM, onKt, backKt float64, tool Tool) Exercise {
	fromStart, _ := deadreckon.EqualTime(distanceNM, onKt, backKt)
	var w sums.Working
	equalTime(&w, distanceNM, onKt, backKt, fromStart)
	e := Exercise{
		Task: "distance", Tool: tool, Given: append([]Given{miles("from start to destination", distanceNM)}, onAndBack(onKt, backKt)...),
		Question: "How far from the start is it as long on as back?",
		Form:     numberForm("nm", 1), Answers: only(fromStart), Tolerance: tool.within(fromStart, 0.5),
		Steps: w.Plain(),
	}
	e.slipEqualTime(distanceNM, fromStart)
	return e
}

func (e *Exercise) slipEqualTime(distanceNM, fromStartNM float64) {
	e.slip(Reciprocal, distanceNM-fromStartNM, "that is counted from the destination: the groundspeed BACK goes on top")
	e.slip(StepLeftOut, distanceNM/2, "half-way: that holds without wind only")
	e.slipFactorOfTen()
}

// equalTimeSide asks to which side of half-way the wind moves the point.
func equalTimeSide(onKt, backKt float64) Exercise {
	fromStart, _ := deadreckon.EqualTime(2, onKt, backKt)
	answer, wind := "BEFORE HALF-WAY", "a tailwind on the way on"
	if fromStart > 1 {
		answer, wind = "PAST HALF-WAY", "a headwind on the way on"
	}
	e := Exercise{
		Task: "side", Tool: InTheHead, Given: onAndBack(onKt, backKt),
		Question: "Where is the point from which it is as long on as back?", Tolerance: exactly(),
		Steps: []string{
			say.Knots(onKt) + " on, " + say.Knots(backKt) + " back: " + wind,
			"the wind moves the point towards where it comes from: " + answer,
		},
	}
	e.Form, e.Answers = choose(answer, "BEFORE HALF-WAY", "PAST HALF-WAY")
	e.slip(WrongWay, 1-e.Answers[0].Value, "the point moves INTO the wind: the slow way is the shorter one")
	return e
}

// equalTimeMinutes asks how long after the start the point is reached.
func equalTimeMinutes(distanceNM, onKt, backKt float64) Exercise {
	fromStart, either := deadreckon.EqualTime(distanceNM, onKt, backKt)
	minutes := deadreckon.Minutes(fromStart, onKt)
	e := Exercise{
		Task: "minutes", Tool: SlideRule, Given: append([]Given{miles("from start to destination", distanceNM)}, onAndBack(onKt, backKt)...),
		Question: "How long after the start is the point reached from which it is as long on as back?",
		Form:     spanForm(minutes), Answers: only(minutes),
	}
	e.Tolerance = e.tolerableTime(minutes)
	var w sums.Working
	equalTime(&w, distanceNM, onKt, backKt, fromStart)
	w.Took(minutes, e.Say(Reply{Value: minutes}), "time: 60 × %s / %s", num(fromStart), num(onKt))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(WrongFigure, either, "that is the time from there, on or back, not the time to get there")
	e.slip(StepLeftOut, deadreckon.Minutes(distanceNM/2, onKt), "half-way: that holds without wind only")
	return e
}

// noReturnPoint works out the time to the point of no return, and the distance.
func noReturnPoint(w *sums.Working, enduranceMinutes, outKt, homeKt, minutes, distanceNM float64) {
	w.Decimals(1, minutes, distanceNM)
	w.NoReturn(enduranceMinutes, outKt, homeKt, minutes, "")
	w.Distance("distance", outKt, minutes, distanceNM)
}

// noReturn asks for the point of no return.
func noReturn(enduranceMinutes, outKt, homeKt float64) Exercise {
	distance, minutes := deadreckon.NoReturn(enduranceMinutes, outKt, homeKt)
	var w sums.Working
	noReturnPoint(&w, enduranceMinutes, outKt, homeKt, minutes, distance)
	e := Exercise{
		Task: "PNR", Tool: SlideRule,
		Given:    []Given{lasting("endurance, the reserve taken off", enduranceMinutes), knots("groundspeed out", outKt), knots("groundspeed home", homeKt)},
		Question: "How far out can the aircraft go and still come home?",
		Form:     numberForm("nm", 1), Answers: only(distance),
		Tolerance: Tolerance{By: max(0.03*distance, 0.5), Why: "two settings of the slide rule, one after the other: 3 %"},
		Steps:     w.Plain(),
	}
	e.slip(StepLeftOut, deadreckon.Distance(outKt, enduranceMinutes), "that is how far it goes without coming home")
	e.slip(StepLeftOut, deadreckon.Distance(outKt, enduranceMinutes/2), "half the time out: that holds without wind only")
	e.slip(StepLeftOut, minutes, "that is the time out in minutes: the miles follow from the groundspeed")
	e.slipReadAsDecimals(enduranceMinutes, func(misread float64) float64 {
		distance, _ := deadreckon.NoReturn(misread, outKt, homeKt)
		return distance
	})
	return e
}

// equalTimeInWind asks for the point of equal time when the groundspeeds have to be found first.
func equalTimeInWind(distanceNM, track, tasKt float64, wind air.Wind) Exercise {
	on, back := solve(track, tasKt, wind), solve(angle.Reciprocal(track), tasKt, wind)
	fromStart, _ := deadreckon.EqualTime(distanceNM, on.GroundspeedKt, back.GroundspeedKt)
	e := Exercise{
		Task: "distance in wind", Tool: SlideRule,
		Given:    append([]Given{miles("from start to destination", distanceNM)}, on.given()...),
		Question: "How far from the start is it as long on as back?",
		Form:     numberForm("nm", 1), Answers: only(fromStart),
		Tolerance: Tolerance{By: max(0.03*fromStart, 0.5), Why: "2 kt of the wind side and the slide rule's own error: 3 %"},
	}
	var w sums.Working
	for _, way := range []struct {
		name string
		triangle
	}{{"on", on}, {"back", back}} {
		w.Line("%s, track %s", way.name, say.Degrees(way.track))
		way.correction(&w)
		way.groundspeed(&w, 1)
		w.Line("%s", way.windSide())
	}
	equalTime(&w, distanceNM, on.GroundspeedKt, back.GroundspeedKt, fromStart)
	e.Steps = w.Plain()
	e.slipEqualTime(distanceNM, fromStart)
	return e
}

// noReturnByFuel asks for the point of no return from the fuel.
func noReturnByFuel(total, unusable, flowPerHour, reserveMinutes, outKt, homeKt float64, unit string) Exercise {
	usable := fuel.Usable(total, unusable)
	minutes := fuel.MinutesToReserve(usable, flowPerHour, reserveMinutes)
	spare := usable - fuelFor(reserveMinutes, flowPerHour)
	distance, out := deadreckon.NoReturnByFuel(spare, flowPerHour, outKt, flowPerHour, homeKt)
	e := noReturn(minutes, outKt, homeKt)
	e.Task = "PNR by fuel"
	e.Answers = only(distance)
	e.Given = []Given{
		amount("fuel in the tanks", total, unit), amount("of it unusable", unusable, unit), amount("flow", flowPerHour, unit+anHour),
		lasting("reserve", reserveMinutes), knots("groundspeed out", outKt), knots("groundspeed home", homeKt),
	}
	var w sums.Working
	w.Decimals(0, minutes)
	w.Line("endurance: (%s - %s) / %s × 60 - %s = %s min", num(total), num(unusable), num(flowPerHour), num(reserveMinutes), num(minutes))
	noReturnPoint(&w, minutes, outKt, homeKt, out, distance)
	e.Steps = w.Plain()
	withReserve, _ := deadreckon.NoReturn(minutes+reserveMinutes, outKt, homeKt)
	e.slip(StepLeftOut, withReserve, "the reserve is still in it")
	return e
}
