package drill

import (
	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func descentTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise { return descentByRule(d.from(4, 11, 1)*1000, d.from(1, 3, 1)*1000) },
			func(d *draw) Exercise {
				rate, to := oneOf(d, 400.0, 500, 600), d.from(1000, 2000, 500)
				return descentMinutes(to+rate*d.from(4, 12, 1), to, rate)
			},
		},
		{
			func(d *draw) Exercise {
				return topOfDescent(d.from(4000, 9500, 500), d.from(50, 1500, 50), oneOf(d, 400.0, 500, 600), d.from(80, 135, 1))
			},
			func(d *draw) Exercise { return rateForThreeDegrees(d.from(70, 135, 1)) },
		},
		{
			func(d *draw) Exercise {
				return topOfDescentAt(d.timeOfDay(60), d.from(4000, 9500, 500), d.from(50, 1500, 50), oneOf(d, 400.0, 500, 600))
			},
			func(d *draw) Exercise {
				return topOfDescentBefore(d.from(4000, 9500, 500), d.from(1500, 3000, 500), oneOf(d, 400.0, 500, 600, 800), d.from(80, 135, 1), d.from(2, 8, 1))
			},
			func(d *draw) Exercise {
				return rateToMakeGood(d.from(3000, 7500, 100), d.from(10, 25, 1), d.from(80, 135, 1))
			},
		},
	}
}

func descentRate(ftPerMin float64) Given { return Given{"rate", say.Rate.Say(ftPerMin, twoDecimals)} }

// circuitFt is the height above the aerodrome at which the exercises arrive.
const circuitFt = 1000

// descentByRule asks for the distance of a descent by the rule of 3 nm for 1,000 ft.
func descentByRule(fromFt, toFt float64) Exercise {
	distance := deadreckon.DescentDistanceRuleNM(fromFt - toFt)
	var w sums.Working
	w.Decimals(0, distance)
	w.Line("3 × (%s - %s) / 1000 = %s", num(fromFt), num(toFt), worked.Miles(distance))
	e := Exercise{
		Task: "rule", Tool: InTheHead,
		Given:    []Given{feet("from", fromFt), feet("to", toFt), {"rule", "3 nm for each 1000 ft"}},
		Question: "How far before the place does the descent begin?",
		Form:     numberForm("nm", 0), Answers: only(distance), Tolerance: InTheHead.within(distance, 0.5),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, deadreckon.DescentDistanceRuleNM(fromFt), "counted down to sea level: it ends at the height wanted")
	e.slip(UpsideDown, (fromFt-toFt)/1000/3, "divided by three: 3 nm go with each 1000 ft")
	return e
}

// descentMinutes asks how long a descent takes.
func descentMinutes(fromFt, toFt, rateFtPerMin float64) Exercise {
	minutes, _ := deadreckon.LevelChange(toFt-fromFt, rateFtPerMin, 0)
	e := Exercise{
		Task: "minutes", Tool: InTheHead,
		Given:    []Given{feet("from", fromFt), feet("to", toFt), descentRate(rateFtPerMin)},
		Question: "How long does the descent take?",
		Form:     Form{Kind: Span}, Answers: only(minutes), Tolerance: InTheHead.within(minutes, 0.1),
	}
	var w sums.Working
	w.Took(minutes, e.Say(Reply{Value: minutes}), "(%s - %s) / %s", num(fromFt), num(toFt), num(rateFtPerMin))
	e.Steps = w.Plain()
	e.slip(StepLeftOut, fromFt/rateFtPerMin, "counted down to sea level: it ends at the height wanted")
	e.slip(UpsideDown, 60*rateFtPerMin/(fromFt-toFt), "rate divided by height: the height goes on top")
	e.slipFactorOfTen()
	return e
}

func arrivalGiven(fromFt, elevationFt, rateFtPerMin float64) []Given {
	return []Given{
		feet("cruise", fromFt), feet("aerodrome elevation", elevationFt), feet("circuit above it", circuitFt),
		descentRate(rateFtPerMin),
	}
}

// arrival works out the height to lose and how long that takes, which is said so where that is a step of its own.
func arrival(w *sums.Working, fromFt, elevationFt, rateFtPerMin, minutes float64, said string) {
	height := fromFt - elevationFt - circuitFt
	w.Line("to lose: %s - %s - %s = %s", num(fromFt), num(elevationFt), circuitFt, worked.Feet(height))
	w.Took(minutes, said, "time: %s / %s", num(height), num(rateFtPerMin))
}

// topOfDescent asks for the distance of the top of descent from the aerodrome.
func topOfDescent(fromFt, elevationFt, rateFtPerMin, groundspeedKt float64) Exercise {
	minutes, distance := deadreckon.LevelChange(elevationFt+circuitFt-fromFt, rateFtPerMin, groundspeedKt)
	var w sums.Working
	w.Decimals(1, distance)
	arrival(&w, fromFt, elevationFt, rateFtPerMin, minutes, "")
	w.Distance("distance", groundspeedKt, minutes, distance)
	e := Exercise{
		Task: "distance", Tool: SlideRule,
		Given:    append(arrivalGiven(fromFt, elevationFt, rateFtPerMin), knots("groundspeed", groundspeedKt)),
		Question: "How far before the aerodrome does the descent begin?",
		Form:     numberForm("nm", 1), Answers: only(distance), Tolerance: SlideRule.within(distance, 0.2),
		Steps: w.Plain(),
	}
	to := func(heightFt float64) float64 {
		_, distance := deadreckon.LevelChange(heightFt, rateFtPerMin, groundspeedKt)
		return distance
	}
	e.slip(StepLeftOut, to(fromFt-circuitFt), "the elevation is left out: the circuit is counted from the ground")
	e.slip(StepLeftOut, to(fromFt-elevationFt), "counted down to the ground: it ends at circuit height")
	e.slip(StepLeftOut, to(fromFt), "counted down to sea level: it ends at circuit height above the aerodrome")
	e.slip(StepLeftOut, minutes, "that is the time in minutes: the miles follow from the groundspeed")
	e.slipFactorOfTen()
	return e
}

// rateForThreeDegrees asks for the rate of descent on a path of 3 degrees.
func rateForThreeDegrees(groundspeedKt float64) Exercise {
	rule, exact := deadreckon.RateForAngle(3, groundspeedKt)
	var w sums.Working
	w.Decimals(0, rule, exact)
	w.Line("5 × groundspeed: 5 × %s = %s", num(groundspeedKt), num(rule).In(say.Rate))
	w.Line("exactly: %s × tan(3) × %s / 60 = %s", worked.Rounded(air.FeetPerNM, 0), num(groundspeedKt), num(exact).In(say.Rate))
	e := Exercise{
		Task: "rate", Tool: InTheHead,
		Given:    []Given{knots("groundspeed", groundspeedKt), degrees("path", 3)},
		Question: "What rate of descent is that?",
		Form:     numberForm("ft/min", 0), Answers: either(rule, exact), Tolerance: ruleOfThumb(10),
		Steps: w.Plain(),
	}
	e.slip(SixtyForgotten, 3*100*groundspeedKt, "that is in an hour: 300 ft a mile, and a minute has a sixtieth of the groundspeed")
	e.slip(StepLeftOut, 300, "that is feet to the mile, not to the minute")
	e.slipFactorOfTen()
	return e
}

// topOfDescentAt asks for the time of the top of descent.
func topOfDescentAt(eta, fromFt, elevationFt, rateFtPerMin float64) Exercise {
	minutes, _ := deadreckon.LevelChange(elevationFt+circuitFt-fromFt, rateFtPerMin, 0)
	e := Exercise{
		Task: "time", Tool: InTheHead,
		Given:    append([]Given{atTime("ETA overhead", eta)}, arrivalGiven(fromFt, elevationFt, rateFtPerMin)...),
		Question: "When does the descent begin?",
		Form:     timeForm(eta - minutes), Answers: only(eta - minutes), Tolerance: Tolerance{By: 0.5, Why: "a time is given to the minute"},
	}
	span := say.SaySpan(minutes)
	var w sums.Working
	arrival(&w, fromFt, elevationFt, rateFtPerMin, minutes, span)
	w.Line("%s - %s = %s", say.SayTimeOfDay(eta), span, e.Say(Reply{Value: eta - minutes}))
	e.Steps = w.Plain()
	e.slip(WrongWay, eta+minutes, "added to the ETA: the descent comes before it")
	e.slip(StepLeftOut, eta-(fromFt-circuitFt)/rateFtPerMin, "the elevation is left out: the circuit is counted from the ground")
	e.slip(StepLeftOut, eta-(fromFt-elevationFt)/rateFtPerMin, "counted down to the ground: it ends at circuit height")
	return e
}

// topOfDescentBefore asks for the distance of the top of descent when the aircraft has to be level some miles before.
func topOfDescentBefore(fromFt, toFt, rateFtPerMin, groundspeedKt, levelNM float64) Exercise {
	minutes, distance := deadreckon.LevelChange(toFt-fromFt, rateFtPerMin, groundspeedKt)
	var w sums.Working
	w.Decimals(1, distance, distance+levelNM)
	w.Took(minutes, "", "time: (%s - %s) / %s", num(fromFt), num(toFt), num(rateFtPerMin))
	w.Distance("distance", groundspeedKt, minutes, distance)
	w.Line("before the beacon: %s + %s = %s", num(distance), num(levelNM), worked.Miles(distance+levelNM))
	e := Exercise{
		Task: "level before", Tool: SlideRule,
		Given: []Given{
			feet("from", fromFt), feet("to", toFt), descentRate(rateFtPerMin),
			knots("groundspeed", groundspeedKt), miles("to be level before the beacon by", levelNM),
		},
		Question: "How far before the beacon does the descent begin?",
		Form:     numberForm("nm", 1), Answers: only(distance + levelNM), Tolerance: SlideRule.within(distance, 0.2),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, distance, "the miles in level flight are left out")
	e.slip(WrongWay, distance-levelNM, "the miles in level flight taken away: they come on top")
	e.slip(StepLeftOut, minutes, "that is the time in minutes: the miles follow from the groundspeed")
	return e
}

// rateToMakeGood asks for the rate that loses a height within a distance.
func rateToMakeGood(heightFt, distanceNM, groundspeedKt float64) Exercise {
	rate := deadreckon.RateForDistance(heightFt, distanceNM, groundspeedKt)
	minutes := deadreckon.Minutes(distanceNM, groundspeedKt)
	var w sums.Working
	w.Decimals(0, rate)
	w.Took(minutes, "", "time: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	w.Line("rate: %s / %s = %s", num(heightFt), num(minutes), num(rate).In(say.Rate))
	e := Exercise{
		Task: "rate to make good", Tool: SlideRule,
		Given:    []Given{feet("to lose", heightFt), miles("within", distanceNM), knots("groundspeed", groundspeedKt)},
		Question: "What rate of descent does it take?",
		Form:     numberForm("ft/min", 0), Answers: only(rate), Tolerance: SlideRule.within(rate, 10),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, heightFt/distanceNM, "that is feet to the mile, not to the minute")
	e.slip(UpsideDown, heightFt*groundspeedKt/distanceNM, "that is in an hour: a minute has a sixtieth of it")
	e.slipFactorOfTen()
	return e
}
