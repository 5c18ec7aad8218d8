package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func speedTasks() [3][]task {
	round := func(d *draw) (speedKt, minutes, distanceNM float64) {
		speedKt = oneOf(d, 60.0, 90, 120, 150, 180)
		minutes = d.from(4, 40, 2)
		return speedKt, minutes, deadreckon.Distance(speedKt, minutes)
	}
	return [3][]task{
		{
			func(d *draw) Exercise {
				speed, _, distance := round(d)
				return timeForDistance(distance, speed, InTheHead)
			},
			func(d *draw) Exercise {
				speed, minutes, _ := round(d)
				return distanceInTime(speed, minutes, InTheHead)
			},
			func(d *draw) Exercise {
				_, minutes, distance := round(d)
				return speedOverDistance(distance, minutes, InTheHead)
			},
		},
		{
			func(d *draw) Exercise { return timeForDistance(d.from(6, 58, 0.5), d.from(72, 128, 1), SlideRule) },
			func(d *draw) Exercise { return distanceInTime(d.from(72, 128, 1), d.from(4, 40, 0.25), SlideRule) },
			func(d *draw) Exercise {
				minutes := d.from(4, 30, 0.25)
				distance := tidy(float64(int(deadreckon.Distance(d.from(72, 128, 1), minutes)*10)) / 10)
				return speedOverDistance(distance, minutes, SlideRule)
			},
		},
		{
			func(d *draw) Exercise { return timeForDistance(d.from(140, 320, 1), d.from(72, 128, 1), SlideRule) },
			func(d *draw) Exercise { return distanceInTime(d.from(72, 128, 1), d.from(65, 190, 1), SlideRule) },
			func(d *draw) Exercise {
				return timeForLegs([3]float64{d.from(12, 45, 0.5), d.from(12, 45, 0.5), d.from(12, 45, 0.5)}, d.from(72, 128, 1), SlideRule)
			},
		},
	}
}

// timeForDistance asks how long a distance takes.
func timeForDistance(distanceNM, groundspeedKt float64, tool Tool) Exercise {
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	e := Exercise{
		Task: "time", Tool: tool,
		Given:    []Given{miles("distance", distanceNM), knots("groundspeed", groundspeedKt)},
		Question: "How long does it take?",
		Form:     spanForm(minutes), Answers: only(minutes),
	}
	e.Tolerance = e.tolerableTime(minutes)
	var w sums.Working
	w.Took(minutes, e.Say(Reply{Value: minutes}), "time: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(UpsideDown, 60*groundspeedKt/distanceNM/60, "groundspeed divided by distance: the distance goes on top")
	e.slip(SixtyForgotten, distanceNM/groundspeedKt, "hours taken for minutes: distance / groundspeed is in hours")
	e.slipFactorOfTen()
	return e
}

// tolerableTime is the tolerance of a length of time that is a product: 2 % and at least 6 seconds, or a minute where hours are
// said.
func (e Exercise) tolerableTime(minutes float64) Tolerance {
	least := 0.1
	if e.Form.Kind == Hours {
		least = 1
	}
	return e.Tool.within(minutes, least)
}

// inMinutes is the step from a length of time in minutes and seconds to minutes and their decimals; none where it is in whole minutes.
func inMinutes(w *sums.Working, minutes float64) {
	if minutes != math.Trunc(minutes) {
		w.Line("%s = %s min", say.SaySpan(minutes), num(minutes))
	}
}

// speedOver works a speed out, to so many decimals.
func speedOver(w *sums.Working, distanceNM, minutes float64, decimals int) {
	speed := deadreckon.Groundspeed(distanceNM, minutes)
	w.Decimals(decimals, speed)
	inMinutes(w, minutes)
	w.Groundspeed(distanceNM, minutes, speed)
}

// distanceInTime asks how far a time leads.
func distanceInTime(groundspeedKt, minutes float64, tool Tool) Exercise {
	distance := deadreckon.Distance(groundspeedKt, minutes)
	var w sums.Working
	w.Decimals(1, distance)
	inMinutes(&w, minutes)
	w.Distance("distance", groundspeedKt, minutes, distance)
	e := Exercise{
		Task: "distance", Tool: tool,
		Given:    []Given{knots("groundspeed", groundspeedKt), lasting("time", minutes)},
		Question: "How far is it?",
		Form:     numberForm("nm", 1), Answers: only(distance),
		Tolerance: tool.within(distance, 0.1),
		Steps:     w.Plain(),
	}
	e.slipReadAsDecimals(minutes, func(misread float64) float64 { return deadreckon.Distance(groundspeedKt, misread) })
	e.slip(UpsideDown, deadreckon.Minutes(groundspeedKt, minutes), "divided by the time: the longer, the farther")
	e.slip(SixtyForgotten, groundspeedKt*minutes, "the 60 left out: knots are miles in 60 minutes")
	e.slipFactorOfTen()
	return e
}

// slipReadAsDecimals adds what comes of a time given as 7:20 when it is read as 7.20 minutes.
func (e *Exercise) slipReadAsDecimals(minutes float64, sum func(misread float64) float64) {
	whole := float64(int(minutes))
	seconds := 60 * (minutes - whole)
	misread := whole + seconds/100
	if minutes > 60 {
		hours := float64(int(minutes / 60))
		misread = 60 * (hours + (minutes-60*hours)/100)
	}
	if misread != minutes {
		e.slip(MinutesAsDecimals, sum(misread), fmt.Sprintf("minutes read as decimals: %s is %s min", say.SayTaken(minutes), figure(minutes)))
	}
}

// speedOverDistance asks for the speed over a distance in a time.
func speedOverDistance(distanceNM, minutes float64, tool Tool) Exercise {
	speed := deadreckon.Groundspeed(distanceNM, minutes)
	var w sums.Working
	speedOver(&w, distanceNM, minutes, 0)
	e := Exercise{
		Task: "speed", Tool: tool,
		Given:    []Given{miles("distance", distanceNM), lasting("time", minutes)},
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(speed),
		Tolerance: tool.within(speed, 1),
		Steps:     w.Plain(),
	}
	e.slipSpeed(distanceNM, minutes)
	return e
}

// slipSpeed adds the mistakes of a speed from a distance and a time.
func (e *Exercise) slipSpeed(distanceNM, minutes float64) {
	e.slipReadAsDecimals(minutes, func(misread float64) float64 { return deadreckon.Groundspeed(distanceNM, misread) })
	e.slip(UpsideDown, 60*minutes/distanceNM, "time divided by distance: the distance goes on top")
	e.slip(UpsideDown, distanceNM*minutes/60, "multiplied by the time: the longer it takes, the slower")
	e.slip(SixtyForgotten, distanceNM/minutes, "miles a minute: knots are 60 times as many")
	e.slipFactorOfTen()
}

// timeForLegs asks how long three legs take at one groundspeed.
func timeForLegs(legsNM [3]float64, groundspeedKt float64, tool Tool) Exercise {
	total := legsNM[0] + legsNM[1] + legsNM[2]
	e := timeForDistance(total, groundspeedKt, tool)
	e.Task, e.Question = "time of legs", "How long do all three take?"
	e.Given = []Given{
		miles("first leg", legsNM[0]), miles("second leg", legsNM[1]), miles("third leg", legsNM[2]), knots("groundspeed", groundspeedKt),
	}
	var w sums.Working
	w.Line("all three: %s + %s + %s = %s", num(legsNM[0]), num(legsNM[1]), num(legsNM[2]), worked.Miles(total))
	e.Steps = append(w.Plain(), e.Steps...)
	e.slip(StepLeftOut, deadreckon.Minutes(legsNM[0]+legsNM[1], groundspeedKt), "the last leg left out")
	return e
}

func passingTasks() [3][]task {
	distanceAt := func(d *draw, minutes float64) float64 {
		return math.Floor(deadreckon.Distance(d.from(72, 128, 1), minutes)*10) / 10
	}
	return [3][]task{
		{func(d *draw) Exercise {
			speed, minutes := oneOf(d, 90.0, 120, 150, 180), d.from(4, 20, 2)
			first := float64(60*(7+d.below(12)) + 5 + d.below(30))
			return groundspeedFromPassing(deadreckon.Distance(speed, minutes), first, first+minutes, InTheHead)
		}},
		{func(d *draw) Exercise {
			minutes, first := d.from(5, 18, 1.0/6), float64(60*(7+d.below(12)))+d.from(2, 30, 1.0/6)
			return groundspeedFromPassing(distanceAt(d, minutes), first, first+minutes, SlideRule)
		}},
		{
			func(d *draw) Exercise {
				minutes, first := d.from(7, 18, 1.0/6), float64(60*(7+d.below(12)))+d.from(54, 58, 1.0/6)
				return groundspeedFromPassing(distanceAt(d, minutes), first, first+minutes, SlideRule)
			},
			func(d *draw) Exercise {
				minutes, first := d.from(5, 18, 1.0/6), float64(60*(7+d.below(12)))+d.from(2, 58, 1.0/6)
				start := d.from(4, 30, 0.1)
				return groundspeedFromTwoMarks(start, tidy(start+distanceAt(d, minutes)), first, first+minutes, SlideRule)
			},
			func(d *draw) Exercise {
				minutes := d.from(5, 18, 1.0/6)
				return minutesToNextPoint(distanceAt(d, minutes), minutes, d.from(8, 40, 0.5), SlideRule)
			},
		},
	}
}

// groundspeedFromPassing asks for the groundspeed between two points passed at two times of day.
func groundspeedFromPassing(distanceNM, first, second float64, tool Tool) Exercise {
	minutes := second - first
	e := speedOverDistance(distanceNM, minutes, tool)
	e.Task, e.Question = "passing", "What is the groundspeed between them?"
	e.Given = []Given{atTime("passed the dam", first), atTime("passed the bridge", second), miles("from dam to bridge", distanceNM)}
	e.Steps = append([]string{elapsed(first, second)}, e.Steps...)
	if hour := math.Floor(second / 60); math.Floor(first/60) < hour {
		e.slip(MinutesAsDecimals, deadreckon.Groundspeed(distanceNM, minutes+40), "the hour taken to have 100 minutes")
	}
	return e
}

// elapsed is the step from two times of day to the time between.
func elapsed(first, second float64) string {
	return "it took: " + say.SayTimeOfDay(second) + " - " + say.SayTimeOfDay(first) + " = " + say.SaySpan(second-first)
}

// groundspeedFromTwoMarks asks for the groundspeed between two places on a leg.
func groundspeedFromTwoMarks(firstNM, secondNM, first, second float64, tool Tool) Exercise {
	distance := secondNM - firstNM
	e := groundspeedFromPassing(distance, first, second, tool)
	e.Task = "marks"
	e.Given = []Given{
		miles("the dam, after the start of the leg", firstNM), atTime("passed the dam", first),
		miles("the bridge, after the start of the leg", secondNM), atTime("passed the bridge", second),
	}
	var w sums.Working
	w.Line("flown: %s - %s = %s", num(secondNM), num(firstNM), worked.Miles(distance))
	e.Steps = append(w.Plain(), e.Steps...)
	e.slip(StepLeftOut, deadreckon.Groundspeed(secondNM, second-first), "the distance counted from the start of the leg, not from the first mark")
	return e
}

// minutesToNextPoint asks how long the next stretch takes at the groundspeed of the last.
func minutesToNextPoint(flownNM, minutes, toGoNM float64, tool Tool) Exercise {
	speed := deadreckon.Groundspeed(flownNM, minutes)
	next := deadreckon.Minutes(toGoNM, speed)
	e := Exercise{
		Task: "next point", Tool: tool,
		Given:    []Given{miles("last stretch", flownNM), lasting("it took", minutes), miles("next stretch", toGoNM)},
		Question: "How long does the next stretch take at the same groundspeed?",
		Form:     spanForm(next), Answers: only(next),
	}
	e.Tolerance = e.tolerableTime(next)
	var w sums.Working
	speedOver(&w, flownNM, minutes, 1)
	w.Took(next, e.Say(Reply{Value: next}), "time: 60 × %s / %s", num(toGoNM), num(speed))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slipReadAsDecimals(minutes, func(misread float64) float64 {
		return deadreckon.Minutes(toGoNM, deadreckon.Groundspeed(flownNM, misread))
	})
	e.slip(UpsideDown, deadreckon.Minutes(flownNM, deadreckon.Groundspeed(toGoNM, minutes)), "the two distances swapped")
	e.slipFactorOfTen()
	return e
}

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
		return Tolerance{By: 0.5, Why: "an ETA is given to the minute, and the figures come out even"}
	}
	return Tolerance{By: 1, Why: "an ETA is given to the minute, and the slide rule may be a little out"}
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
	var w sums.Working
	w.Took(minutes, spanOf(minutes), "time: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	e.Steps = e.at(&w, "ETA", passed, minutes).Plain()
	e.slipETA(passed, minutes)
	e.slip(UpsideDown, passed+deadreckon.Minutes(groundspeedKt, distanceNM)/60, "groundspeed divided by distance: the distance goes on top")
	return e
}

// spanOf is a length of time as it is added to a time of day.
func spanOf(minutes float64) string { return sayWhole(say.SaySpan, minutes) }

// at adds a length of time to a time of day: the ETA, or whatever is then.
func (e Exercise) at(w *sums.Working, what string, passed, minutes float64) *sums.Working {
	w.Line("%s: %s + %s = %s", what, say.SayTimeOfDay(passed), spanOf(minutes), e.Say(Reply{Value: passed + minutes}))
	return w
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
	var w sums.Working
	w.Took(minutes, spanOf(minutes), "time: %s × %s / %s", num(plannedToGo), num(actual), num(planned))
	e.Steps = e.at(&w, "ETA", passed, minutes).Plain()
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
	e.Steps = e.passingsWorking(first, second, flownNM, toGoNM).Plain()
	e.slipETA(second, minutes)
	e.slip(WrongFigure, first+minutes, "counted from the first passing, not from the last")
	e.slip(UpsideDown, second+deadreckon.Minutes(flownNM, deadreckon.Groundspeed(toGoNM, second-first)), "the two distances swapped")
	return e
}

// passingsWorking works it out, the groundspeed to a tenth and the minutes of which it is made to three places.
func (e Exercise) passingsWorking(first, second, flownNM, toGoNM float64) *sums.Working {
	taken := second - first
	speed := deadreckon.Groundspeed(flownNM, taken)
	minutes := deadreckon.Minutes(toGoNM, speed)
	var w sums.Working
	w.Line("%s", elapsed(first, second))
	w.UpTo(3, taken)
	speedOver(&w, flownNM, taken, 1)
	w.Took(minutes, spanOf(minutes), "time: 60 × %s / %s", num(toGoNM), num(speed))
	return e.at(&w, "ETA", second, minutes)
}
