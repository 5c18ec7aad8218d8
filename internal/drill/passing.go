package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

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
	return fmt.Sprintf("%s - %s = %s", say.SayTimeOfDay(second), say.SayTimeOfDay(first), say.SaySpan(second-first))
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
	e.Steps = append([]string{fmt.Sprintf("%s - %s = %s nm", figure(secondNM), figure(firstNM), figure(distance))}, e.Steps...)
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
	e.Steps = append(speedSteps(flownNM, minutes, twoDecimals, 1),
		e.timeSteps(fmt.Sprintf("60 × %s / %.1f", figure(toGoNM), speed), next)...)
	e.slipMinutes()
	e.slipReadAsDecimals(minutes, func(misread float64) float64 {
		return deadreckon.Minutes(toGoNM, deadreckon.Groundspeed(flownNM, misread))
	})
	e.slip(UpsideDown, deadreckon.Minutes(flownNM, deadreckon.Groundspeed(toGoNM, minutes)), "the two distances changed over")
	e.slipFactorOfTen()
	return e
}
