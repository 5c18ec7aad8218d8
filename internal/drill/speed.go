package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
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
	e.Steps = e.timeSteps(fmt.Sprintf("60 × %s / %s", figure(distanceNM), figure(groundspeedKt)), minutes)
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

// timeSteps works a length of time out: in minutes, and then as it is said.
func (e Exercise) timeSteps(sum string, minutes float64) []string {
	return []string{
		fmt.Sprintf("%s = %s min", sum, figure(minutes)),
		fmt.Sprintf("%s min = %s", figure(minutes), e.Say(Reply{Value: minutes})),
	}
}

// inMinutes is the step from a length of time in minutes and seconds to minutes and their decimals; none where it is in whole minutes.
func inMinutes(minutes float64, decimals int) []string {
	if minutes == math.Trunc(minutes) {
		return nil
	}
	return []string{fmt.Sprintf("%s = %s min", say.SaySpan(minutes), say.SayNumber(minutes, decimals))}
}

// speedSteps works a speed out, with so many decimals of the minutes and of the speed.
func speedSteps(distanceNM, minutes float64, decimals, ofSpeed int) []string {
	return append(inMinutes(minutes, decimals),
		fmt.Sprintf("60 × %s / %s = %.*f kt", figure(distanceNM), say.SayNumber(minutes, decimals), ofSpeed, deadreckon.Groundspeed(distanceNM, minutes)))
}

// distanceInTime asks how far a time leads.
func distanceInTime(groundspeedKt, minutes float64, tool Tool) Exercise {
	distance := deadreckon.Distance(groundspeedKt, minutes)
	e := Exercise{
		Task: "distance", Tool: tool,
		Given:    []Given{knots("groundspeed", groundspeedKt), lasting("time", minutes)},
		Question: "How far is it?",
		Form:     numberForm("nm", 1), Answers: only(distance),
		Tolerance: tool.within(distance, 0.1),
		Steps:     append(inMinutes(minutes, twoDecimals), fmt.Sprintf("%s × %s / 60 = %.1f nm", figure(groundspeedKt), figure(minutes), distance)),
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
	e := Exercise{
		Task: "speed", Tool: tool,
		Given:    []Given{miles("distance", distanceNM), lasting("time", minutes)},
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(speed),
		Tolerance: tool.within(speed, 1),
		Steps:     speedSteps(distanceNM, minutes, twoDecimals, 0),
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
	sum := fmt.Sprintf("%s + %s + %s", figure(legsNM[0]), figure(legsNM[1]), figure(legsNM[2]))
	e.Given = []Given{
		miles("first leg", legsNM[0]), miles("second leg", legsNM[1]), miles("third leg", legsNM[2]), knots("groundspeed", groundspeedKt),
	}
	e.Steps = append([]string{fmt.Sprintf("%s = %s nm", sum, figure(total))}, e.Steps...)
	e.slip(StepLeftOut, deadreckon.Minutes(legsNM[0]+legsNM[1], groundspeedKt), "the last leg left out")
	return e
}
