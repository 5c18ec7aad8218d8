package drill

import (
	"fmt"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
)

// volume is a unit of fuel with what a light aircraft burns and holds in it.
type volume struct {
	unit                          string
	flowLow, flowHigh, flowStep   float64
	totalLow, totalHigh, unusable float64
}

func drawVolume(d *draw) volume {
	return oneOf(d, volume{litres, 18, 36, 0.5, 70, 160, 3}, volume{gallons, 5, 10, 0.1, 20, 45, 1})
}

func (v volume) flow(d *draw) float64 { return d.from(v.flowLow, v.flowHigh, v.flowStep) }

func (v volume) total(d *draw) float64 { return d.from(v.totalLow, v.totalHigh, 0.5) }

func enduranceTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				flow, hours := oneOf(d, 6.0, 8, 20, 24, 30), d.from(2, 5, 0.5)
				return endurance(flow*hours, flow, unitOfFlow(flow), InTheHead)
			},
			func(d *draw) Exercise {
				flow := oneOf(d, 6.0, 12, 24, 30, 36)
				return burned(d.from(10, 90, 10), flow, unitOfFlow(flow), InTheHead)
			},
		},
		{
			func(d *draw) Exercise {
				v := drawVolume(d)
				return enduranceToReserve(v.total(d), v.unusable*oneOf(d, 1.0, 2), v.flow(d), oneOf(d, 30.0, 45), v.unit)
			},
			func(d *draw) Exercise {
				v := drawVolume(d)
				before, minutes := v.total(d), d.from(20, 75, 5)
				used := float64(int(10*fuel.Burned(minutes, v.flow(d)))) / 10
				return flowFound(before, tidy(before-used), minutes, v.unit)
			},
		},
		{
			func(d *draw) Exercise {
				v := drawVolume(d)
				return fuelForDistance(d.from(120, 420, 5), d.from(80, 125, 1), v.flow(d), v.unit)
			},
			func(d *draw) Exercise {
				v := drawVolume(d)
				before, minutes := v.total(d), d.from(20, 60, 5)
				used := float64(int(10*fuel.Burned(minutes, v.flow(d)))) / 10
				return timeLeftByGauge(before, tidy(before-used), minutes, oneOf(d, 30.0, 45), v.unit)
			},
		},
	}
}

// unitOfFlow is the unit in which a light aircraft has such a flow.
func unitOfFlow(flowPerHour float64) string {
	if flowPerHour <= 12 {
		return gallons
	}
	return litres
}

func fuelFor(minutes, flowPerHour float64) float64 { return fuel.Burned(minutes, flowPerHour) }

// hoursSteps works a time out in hours and as it is said.
func (e Exercise) hoursSteps(sum string, minutes float64) []string {
	return []string{
		fmt.Sprintf("%s = %s h", sum, figure(minutes/60)),
		fmt.Sprintf("%s h = %s", figure(minutes/60), e.Say(Reply{Value: minutes})),
	}
}

// hoursWithin is the tolerance of an endurance.
func hoursWithin(tool Tool, minutes float64) Tolerance { return tool.within(minutes, 1) }

// endurance asks how long usable fuel lasts.
func endurance(usable, flowPerHour float64, unit string, tool Tool) Exercise {
	minutes := fuel.EnduranceMinutes(usable, flowPerHour)
	e := Exercise{
		Task: "endurance", Tool: tool,
		Given:    []Given{amount("usable fuel", usable, unit), amount("flow", flowPerHour, unit+anHour)},
		Question: "How long does it last?",
		Form:     Form{Kind: Hours}, Answers: only(minutes), Tolerance: hoursWithin(tool, minutes),
	}
	e.Steps = e.hoursSteps(fmt.Sprintf("%s / %s", figure(usable), figure(flowPerHour)), minutes)
	e.slipMinutes()
	e.slip(UpsideDown, 60*flowPerHour/usable, "flow divided by quantity: the quantity goes on top")
	e.slipFactorOfTen()
	return e
}

// burned asks how much is used in a time.
func burned(minutes, flowPerHour float64, unit string, tool Tool) Exercise {
	used := fuel.Burned(minutes, flowPerHour)
	e := Exercise{
		Task: "used", Tool: tool,
		Given:    []Given{lasting("time", minutes), amount("flow", flowPerHour, unit+anHour)},
		Question: "How much fuel is used?",
		Form:     numberForm(unit, 1), Answers: only(used), Tolerance: tool.within(used, 0.1),
		Steps: []string{fmt.Sprintf("%s × %s / 60 = %.1f %s", figure(flowPerHour), figure(minutes), used, unit)},
	}
	e.slipReadAsDecimals(minutes, func(misread float64) float64 { return fuel.Burned(misread, flowPerHour) })
	e.slip(MinutesAsDecimals, flowPerHour*minutes/100, "minutes read as decimals: there are 60 in the hour, not 100")
	e.slip(SixtyForgotten, flowPerHour*minutes, "the 60 left out: the flow is for an hour")
	e.slipFactorOfTen()
	return e
}

// enduranceToReserve asks how long fuel lasts until only the reserve is left.
func enduranceToReserve(total, unusable, flowPerHour, reserveMinutes float64, unit string) Exercise {
	usable := fuel.Usable(total, unusable)
	minutes := fuel.MinutesToReserve(usable, flowPerHour, reserveMinutes)
	whole := fuel.EnduranceMinutes(usable, flowPerHour)
	e := Exercise{
		Task: "to reserve", Tool: SlideRule,
		Given: []Given{
			amount("fuel in the tanks", total, unit), amount("of it unusable", unusable, unit),
			amount("flow", flowPerHour, unit+anHour), lasting("reserve", reserveMinutes),
		},
		Question: "How long can the aircraft fly and still land with the reserve?",
		Form:     Form{Kind: Hours}, Answers: only(minutes), Tolerance: hoursWithin(SlideRule, whole),
	}
	e.Steps = append([]string{fmt.Sprintf("usable: %s - %s = %s %s", figure(total), figure(unusable), figure(usable), unit)},
		fmt.Sprintf("%s / %s × 60 = %.0f min", figure(usable), figure(flowPerHour), whole),
		fmt.Sprintf("less the reserve: %.0f - %s = %.0f min", whole, figure(reserveMinutes), minutes),
		fmt.Sprintf("%.0f min = %s", minutes, e.Say(Reply{Value: minutes})))
	e.slipMinutes()
	e.slip(StepLeftOut, whole, "that is the whole endurance: the reserve is still in it")
	e.slip(StepLeftOut, fuel.MinutesToReserve(total, flowPerHour, reserveMinutes), "what cannot be used is still in it")
	e.slip(WrongWay, whole+reserveMinutes, "the reserve added instead of taken away")
	return e
}

// flowFound asks for the flow from two gauge readings.
func flowFound(before, after, minutes float64, unit string) Exercise {
	flow := fuel.MeasuredFlowPerHour(before, after, minutes)
	e := Exercise{
		Task: "flow", Tool: SlideRule,
		Given:    []Given{amount("gauges then", before, unit), amount("gauges now", after, unit), lasting("time between", minutes)},
		Question: "What is the flow?",
		Form:     numberForm(unit+anHour, 1), Answers: only(flow), Tolerance: SlideRule.within(flow, 0.1),
		Steps: []string{
			fmt.Sprintf("used: %s - %s = %s %s", figure(before), figure(after), figure(before-after), unit),
			fmt.Sprintf("60 × %s / %s = %.1f %s/h", figure(before-after), figure(minutes), flow, unit),
		},
	}
	e.slip(MinutesAsDecimals, 100*(before-after)/minutes, "minutes read as decimals: there are 60 in the hour, not 100")
	e.slip(SixtyForgotten, (before-after)/minutes, "that is the flow in a minute")
	e.slip(UpsideDown, (before-after)*minutes/60, "multiplied by the time: what goes in half an hour goes twice in an hour")
	e.slip(WrongFigure, 60*after/minutes, "what is left divided by the time: the flow is what was USED")
	e.slipFactorOfTen()
	return e
}

// fuelForDistance asks for the fuel of a distance.
func fuelForDistance(distanceNM, groundspeedKt, flowPerHour float64, unit string) Exercise {
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	used := fuel.Burned(minutes, flowPerHour)
	e := Exercise{
		Task: "fuel for a distance", Tool: SlideRule,
		Given: []Given{
			miles("distance", distanceNM), knots("groundspeed", groundspeedKt), amount("flow", flowPerHour, unit+anHour),
		},
		Question: "How much fuel does it take?",
		Form:     numberForm(unit, 1), Answers: only(used), Tolerance: SlideRule.within(used, 0.1),
		Steps: []string{
			fmt.Sprintf("60 × %s / %s = %.1f min", figure(distanceNM), figure(groundspeedKt), minutes),
			fmt.Sprintf("%s × %.1f / 60 = %.1f %s", figure(flowPerHour), minutes, used, unit),
		},
	}
	e.slip(UpsideDown, flowPerHour*groundspeedKt/distanceNM, "groundspeed divided by distance: the distance goes on top")
	e.slip(MinutesAsDecimals, flowPerHour*minutes/100, "minutes read as decimals: there are 60 in the hour, not 100")
	e.slipFactorOfTen()
	return e
}

// timeLeftByGauge asks how long the flight can go on, from two gauge readings.
func timeLeftByGauge(before, after, minutes, reserveMinutes float64, unit string) Exercise {
	flow := fuel.MeasuredFlowPerHour(before, after, minutes)
	left := fuel.MinutesToReserve(after, flow, reserveMinutes)
	whole := fuel.EnduranceMinutes(after, flow)
	e := Exercise{
		Task: "time left by gauges", Tool: SlideRule,
		Given: []Given{
			amount("usable fuel then", before, unit), amount("usable fuel now", after, unit),
			lasting("time between", minutes), lasting("reserve", reserveMinutes),
		},
		Question: "How long can the flight go on, at the same flow, and end with the reserve?",
		Form:     Form{Kind: Hours}, Answers: only(left), Tolerance: Tolerance{By: max(0.03*whole, 1), Why: "two settings of the slide rule, one after the other: 3 %"},
	}
	e.Steps = []string{
		fmt.Sprintf("flow: 60 × (%s - %s) / %s = %.2f %s/h", figure(before), figure(after), figure(minutes), flow, unit),
		fmt.Sprintf("lasts: %s / %.2f × 60 = %.0f min", figure(after), flow, whole),
		fmt.Sprintf("less the reserve: %.0f - %s = %.0f min", whole, figure(reserveMinutes), left),
		fmt.Sprintf("%.0f min = %s", left, e.Say(Reply{Value: left})),
	}
	e.slipMinutes()
	e.slip(StepLeftOut, whole, "that is until the tanks are dry: the reserve is still in it")
	e.slip(WrongFigure, fuel.MinutesToReserve(before, flow, reserveMinutes), "counted from the first reading, not from now")
	e.slip(WrongWay, whole+reserveMinutes, "the reserve added instead of taken away")
	return e
}
