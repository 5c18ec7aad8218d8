package drill

import (
	"fmt"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

func etaTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			speed, minutes := oneOf(d, 90.0, 120, 150, 180), d.from(4, 40, 2)
			return etaAtGroundspeed(d.timeOfDay(60), deadreckon.Distance(speed, minutes), speed, InTheHead)
		}},
		{
			func(d *draw) Exercise {
				return etaAtGroundspeed(d.timeOfDay(10), d.from(10, 55, 0.5), d.from(72, 128, 1), SlideRule)
			},
			func(d *draw) Exercise {
				planned := d.from(10, 24, 1)
				return etaByRatio(d.timeOfDay(30), planned, planned+d.signed(2, 4, 0.5), d.from(12, 40, 1), SlideRule)
			},
		},
		{func(d *draw) Exercise {
			minutes := d.from(5, 18, 1.0/6)
			flown := float64(int(deadreckon.Distance(d.from(72, 128, 1), minutes)*10)) / 10
			first := d.timeOfDay(10)
			return etaFromPassings(first, first+minutes, flown, d.from(12, 55, 0.5), SlideRule)
		}},
	}
}

// aMinute is the tolerance of an ETA, which is said to the minute.
func aMinute(tool Tool) Tolerance {
	if tool == InTheHead {
		return Tolerance{By: 0.5, Why: "an ETA is said to the minute, and the figures come out even"}
	}
	return Tolerance{By: 1, Why: "an ETA is said to the minute, and the slide rule may be a little out"}
}

// etaAtGroundspeed asks for the ETA at the next point.
func etaAtGroundspeed(passed, distanceNM, groundspeedKt float64, tool Tool) Exercise {
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	e := Exercise{
		Task: "ETA", Tool: tool,
		Given:    []Given{atTime("passed the dam", passed), miles("to the bridge", distanceNM), knots("groundspeed", groundspeedKt)},
		Question: "What is the ETA at the bridge?",
		Form:     timeForm(passed + minutes), Answers: only(passed + minutes), Tolerance: aMinute(tool),
	}
	e.Steps = e.etaSteps(passed, minutes, fmt.Sprintf("60 × %s / %s", figure(distanceNM), figure(groundspeedKt)), twoDecimals)
	e.slipETA(passed, minutes)
	e.slip(UpsideDown, passed+deadreckon.Minutes(groundspeedKt, distanceNM)/60, "groundspeed divided by distance: the distance goes on top")
	return e
}

// etaSteps works a time of day out from the sum of the minutes to it, given to so many decimals.
func (e Exercise) etaSteps(passed, minutes float64, sum string, decimals int) []string {
	span := sayWhole(say.SaySpan, minutes)
	return []string{
		fmt.Sprintf("%s = %s min", sum, say.SayNumber(minutes, decimals)),
		fmt.Sprintf("%s min = %s", say.SayNumber(minutes, decimals), span),
		fmt.Sprintf("%s + %s = %s", say.SayTimeOfDay(passed), span, e.Say(Reply{Value: passed + minutes})),
	}
}

// slipETA adds the mistakes of adding minutes to a time of day.
func (e *Exercise) slipETA(passed, minutes float64) {
	e.slip(WrongWay, passed-minutes, "taken away instead of added")
	if within := passed - 60*float64(int(passed/60)); within+minutes >= 60 {
		e.slip(MinutesAsDecimals, passed+minutes+60, "an hour too many: 60 minutes make one")
		e.slip(MinutesAsDecimals, passed+minutes-60, "the full hour forgotten: past 60 the hour goes up by one")
		e.slip(MinutesAsDecimals, passed+minutes-40, "the hour taken to have 100 minutes")
	}
}

// etaByRatio asks for the ETA when the time needed so far differs from the plan.
func etaByRatio(passed, planned, actual, plannedToGo float64, tool Tool) Exercise {
	// Planned times stand for distances at any one speed.
	const plannedKt = 60
	speed := deadreckon.Groundspeed(deadreckon.Distance(plannedKt, planned), actual)
	minutes := deadreckon.Minutes(deadreckon.Distance(plannedKt, plannedToGo), speed)
	e := Exercise{
		Task: "ratio", Tool: tool,
		Given: []Given{
			atTime("passed the dam", passed), lasting("planned to the dam", planned), lasting("it took", actual),
			lasting("planned from dam to bridge", plannedToGo),
		},
		Question: "What is the ETA at the bridge, same track and wind?",
		Form:     timeForm(passed + minutes), Answers: only(passed + minutes), Tolerance: aMinute(tool),
	}
	e.Steps = e.etaSteps(passed, minutes, fmt.Sprintf("%s × %s / %s", figure(plannedToGo), figure(actual), figure(planned)), twoDecimals)
	e.slipETA(passed, minutes)
	e.slip(StepLeftOut, passed+plannedToGo, "the planned time added as it stood: the plan was wrong by a ratio, and still is")
	e.slip(StepLeftOut, passed+plannedToGo+actual-planned, "the delay so far carried over: it grows with the way to go")
	e.slip(UpsideDown, passed+plannedToGo*planned/actual, "the ratio upside down: actual goes over planned")
	return e
}

// etaFromPassings asks for the ETA from the groundspeed between two passings.
func etaFromPassings(first, second, flownNM, toGoNM float64, tool Tool) Exercise {
	speed := deadreckon.Groundspeed(flownNM, second-first)
	minutes := deadreckon.Minutes(toGoNM, speed)
	e := Exercise{
		Task: "ETA from passings", Tool: tool,
		Given: []Given{
			atTime("passed the dam", first), atTime("passed the bridge", second),
			miles("from dam to bridge", flownNM), miles("from bridge to castle", toGoNM),
		},
		Question: "What is the ETA at the castle, same track and wind?",
		Form:     timeForm(second + minutes), Answers: only(second + minutes), Tolerance: aMinute(tool),
	}
	e.Steps = e.passingsSteps(first, second, flownNM, toGoNM, 1, twoDecimals)
	e.slipETA(second, minutes)
	e.slip(WrongFigure, first+minutes, "counted from the first passing, not from the last")
	e.slip(UpsideDown, second+deadreckon.Minutes(flownNM, deadreckon.Groundspeed(toGoNM, second-first)), "the two distances changed over")
	return e
}

// passingsSteps works it out, the groundspeed to so many decimals and the minutes of which it is made to two more, the minutes to go to so many.
func (e Exercise) passingsSteps(first, second, flownNM, toGoNM float64, ofSpeed, ofMinutes int) []string {
	taken := second - first
	speed := deadreckon.Groundspeed(flownNM, taken)
	steps := append([]string{elapsed(first, second)}, speedSteps(flownNM, taken, ofSpeed+2, ofSpeed)...)
	return append(steps, e.etaSteps(second, deadreckon.Minutes(toGoNM, speed), fmt.Sprintf("60 × %s / %.*f", figure(toGoNM), ofSpeed, speed), ofMinutes)...)
}
