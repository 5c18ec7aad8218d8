package drill

import (
	"math"

	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
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
	var w sums.Working
	w.Line("%s / %s = %s h", num(usable), num(flowPerHour), num(minutes/60))
	w.Line("%s h = %s", num(minutes/60), e.Say(Reply{Value: minutes}))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(UpsideDown, 60*flowPerHour/usable, "flow divided by quantity: the quantity goes on top")
	e.slipFactorOfTen()
	return e
}

// burned asks how much is used in a time.
func burned(minutes, flowPerHour float64, unit string, tool Tool) Exercise {
	used := fuel.Burned(minutes, flowPerHour)
	var w sums.Working
	w.Decimals(1, used)
	w.Fuel("used", flowPerHour, minutes, used, unit)
	e := Exercise{
		Task: "used", Tool: tool,
		Given:    []Given{lasting("time", minutes), amount("flow", flowPerHour, unit+anHour)},
		Question: "How much fuel is used?",
		Form:     numberForm(unit, 1), Answers: only(used), Tolerance: tool.within(used, 0.1),
		Steps: w.Plain(),
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
	var w sums.Working
	w.Decimals(0, whole, minutes)
	w.Line("usable: %s - %s = %s", num(total), num(unusable), worked.Amount(usable, unit))
	w.Line("endurance: %s / %s × 60 = %s min", num(usable), num(flowPerHour), num(whole))
	w.Took(minutes, e.Say(Reply{Value: minutes}), "less the reserve: %s - %s", num(whole), num(reserveMinutes))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(StepLeftOut, whole, "that is the whole endurance: the reserve is still in it")
	e.slip(StepLeftOut, fuel.MinutesToReserve(total, flowPerHour, reserveMinutes), "what cannot be used is still in it")
	e.slip(WrongWay, whole+reserveMinutes, "the reserve added instead of taken away")
	return e
}

// flowFound asks for the flow from two gauge readings.
func flowFound(before, after, minutes float64, unit string) Exercise {
	flow := fuel.MeasuredFlowPerHour(before, after, minutes)
	var w sums.Working
	w.Decimals(1, flow)
	w.Line("used: %s - %s = %s", num(before), num(after), worked.Amount(before-after, unit))
	w.Line("flow: 60 × %s / %s = %s", num(before-after), num(minutes), worked.Amount(flow, unit+anHour))
	e := Exercise{
		Task: "flow", Tool: SlideRule,
		Given:    []Given{amount("gauges then", before, unit), amount("gauges now", after, unit), lasting("time between", minutes)},
		Question: "What is the flow?",
		Form:     numberForm(unit+anHour, 1), Answers: only(flow), Tolerance: SlideRule.within(flow, 0.1),
		Steps: w.Plain(),
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
	var w sums.Working
	w.Decimals(1, minutes, used)
	w.Took(minutes, "", "time: 60 × %s / %s", num(distanceNM), num(groundspeedKt))
	w.Fuel("used", flowPerHour, minutes, used, unit)
	e := Exercise{
		Task: "fuel for a distance", Tool: SlideRule,
		Given: []Given{
			miles("distance", distanceNM), knots("groundspeed", groundspeedKt), amount("flow", flowPerHour, unit+anHour),
		},
		Question: "How much fuel does it take?",
		Form:     numberForm(unit, 1), Answers: only(used), Tolerance: SlideRule.within(used, 0.1),
		Steps: w.Plain(),
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
	var w sums.Working
	w.Decimals(2, flow)
	w.Decimals(0, whole, left)
	w.Line("flow: 60 × (%s - %s) / %s = %s", num(before), num(after), num(minutes), worked.Amount(flow, unit+anHour))
	w.Line("lasts: %s / %s × 60 = %s min", num(after), num(flow), num(whole))
	w.Took(left, e.Say(Reply{Value: left}), "less the reserve: %s - %s", num(whole), num(reserveMinutes))
	e.Steps = w.Plain()
	e.slipMinutes()
	e.slip(StepLeftOut, whole, "that is until the tanks are dry: the reserve is still in it")
	e.slip(WrongFigure, fuel.MinutesToReserve(before, flow, reserveMinutes), "counted from the first reading, not from now")
	e.slip(WrongWay, whole+reserveMinutes, "the reserve added instead of taken away")
	return e
}

// The two tanks of the exercises.
const (
	leftTank  = "left"
	rightTank = "right"
)

func tankTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				flow, minutes := oneOf(d, 6.0, 12, 24, 30), d.from(10, 50, 10)
				return untilLimit(pair{}.level(d, flow), flow, fuel.Burned(minutes, flow), InTheHead)
			},
			func(d *draw) Exercise { return tankToSelect(drawPair(d)) },
		},
		{
			func(d *draw) Exercise {
				p := drawPair(d)
				return untilLimit(p, p.flow(d), p.limit(d), SlideRule)
			},
			func(d *draw) Exercise {
				p := drawPair(d)
				return latestChange(p, p.flow(d), p.limit(d), d.timeOfDay(60), 0)
			},
		},
		{
			func(d *draw) Exercise {
				p := drawPair(d)
				return latestChange(p, p.flow(d), p.limit(d), d.timeOfDay(60), 0.1)
			},
			func(d *draw) Exercise {
				c := drawChanges(d)
				if d.yes() {
					return imbalanceAfter(c)
				}
				return quantityAfter(c)
			},
		},
	}
}

// pair is two tanks and which of them feeds the engine.
type pair struct {
	left, right float64
	unit        string
	onRight     bool
}

// level draws two tanks that hold the same.
func (pair) level(d *draw, flow float64) pair {
	p := pair{unit: unitOfFlow(flow), onRight: d.yes()}
	p.left = d.from(14, 20, 1)
	if p.unit == litres {
		p.left = d.from(45, 70, 5)
	}
	p.right = p.left
	return p
}

// drawPair draws two tanks that differ by less than any limit and hold more than any exercise burns from one.
func drawPair(d *draw) pair {
	p := pair{unit: oneOf(d, litres, gallons), onRight: d.yes()}
	if p.unit == litres {
		p.left = d.from(50, 62, 1)
		p.right = p.left + d.signed(2, 8, 1)
	} else {
		p.left = d.from(14, 20, 0.5)
		p.right = p.left + d.signed(0.5, 2, 0.5)
	}
	return p
}

func (p pair) flow(d *draw) float64 {
	if p.unit == litres {
		return d.from(18, 30, 0.5)
	}
	return d.from(5.5, 9, 0.1)
}

func (p pair) limit(d *draw) float64 {
	if p.unit == litres {
		return d.from(12, 20, 1)
	}
	return d.from(3, 5, 0.5)
}

// fed is the quantity of the tank in use and its name, other those of the other one.
func (p pair) fed() (quantity float64, name string) {
	if p.onRight {
		return p.right, rightTank
	}
	return p.left, leftTank
}

func (p pair) other() (quantity float64, name string) {
	p.onRight = !p.onRight
	return p.fed()
}

func (p pair) given() []Given {
	_, name := p.fed()
	return []Given{amount("left tank", p.left, p.unit), amount("right tank", p.right, p.unit), {"the engine is fed from", name}}
}

// untilLimit asks how long the tank in use can stay so.
func untilLimit(p pair, flowPerHour, limit float64, tool Tool) Exercise {
	fed, _ := p.fed()
	other, _ := p.other()
	lead := fed - other
	minutes := fuel.EnduranceMinutes(limit+lead, flowPerHour)
	e := Exercise{
		Task: "until the limit", Tool: tool,
		Given:    append(p.given(), amount("flow", flowPerHour, p.unit+anHour), amount("largest imbalance allowed", limit, p.unit)),
		Question: "After how long is the largest imbalance reached, without a change?",
		Form:     spanForm(minutes), Answers: only(minutes),
	}
	e.Tolerance = e.tolerableTime(minutes)
	var w sums.Working
	p.toLimit(&w, limit)
	w.Took(minutes, e.Say(Reply{Value: minutes}), "time: 60 × %s / %s", num(limit+lead), num(flowPerHour))
	e.Steps = w.Plain()
	e.slipMinutes()
	if lead != 0 {
		e.slip(WrongWay, fuel.EnduranceMinutes(limit-lead, flowPerHour), "the difference there is now counted the wrong way")
		e.slip(StepLeftOut, fuel.EnduranceMinutes(limit, flowPerHour), "the difference there is now is left out")
	}
	e.slip(UpsideDown, flowPerHour/(limit+lead), "flow divided by quantity: the quantity goes on top")
	e.slip(WrongFigure, fuel.EnduranceMinutes(fed, flowPerHour), "that is until the tank is empty")
	e.slipFactorOfTen()
	return e
}

// toLimit works out how much may be burned from the tank in use.
func (p pair) toLimit(w *sums.Working, limit float64) {
	fed, _ := p.fed()
	other, _ := p.other()
	switch lead := fed - other; {
	case lead > 0:
		w.Line("the tank in use holds more: %s - %s = %s", num(fed), num(other), worked.Amount(lead, p.unit))
		w.Line("first to level, then to the limit: %s + %s = %s", num(lead), num(limit), worked.Amount(limit+lead, p.unit))
	case lead < 0:
		w.Line("the tank in use holds less already: %s - %s = %s", num(other), num(fed), worked.Amount(-lead, p.unit))
		w.Line("what is left to the limit: %s - %s = %s", num(limit), num(-lead), worked.Amount(limit+lead, p.unit))
	default:
		w.Line("the tanks are level: %s may be burned", worked.Amount(limit, p.unit))
	}
}

// tankToSelect asks which tank brings the imbalance down.
func tankToSelect(p pair) Exercise {
	answer := leftTank
	if p.right > p.left {
		answer = rightTank
	}
	var w sums.Working
	w.Line("imbalance: %s - %s = %s", num(max(p.left, p.right)), num(min(p.left, p.right)), worked.Amount(fuel.Imbalance(p.left, p.right), p.unit))
	w.Line("burn from the fullest tank: %s", answer)
	e := Exercise{
		Task: "tank", Tool: InTheHead, Given: p.given()[:2],
		Question: "Which tank has to feed the engine to bring the imbalance down?", Tolerance: exactly(),
		Steps: w.Plain(),
	}
	e.Form, e.Answers = choose(answer, leftTank, rightTank)
	e.slip(WrongWay, 1-e.Answers[0].Value, "that one is the emptier: feeding from it makes the imbalance grow")
	return e
}

// latestChange asks for the latest time of the next change; extra is the part by which the burn may be more than planned.
func latestChange(p pair, flowPerHour, limit, now, extra float64) Exercise {
	fed, _ := p.fed()
	other, _ := p.other()
	lead := fed - other
	minutes := fuel.EnduranceMinutes(limit+lead, flowPerHour*(1+extra))
	e := Exercise{
		Task: "latest change", Tool: SlideRule,
		Given: append(append([]Given{atTime("now", now)}, p.given()...),
			amount("flow", flowPerHour, p.unit+anHour), amount("largest imbalance allowed", limit, p.unit)),
		Question: "When is the next change due at the latest?",
		Form:     timeForm(now + minutes), Answers: only(now + minutes), Tolerance: Tolerance{By: 1, Why: "a change is planned to the minute"},
	}
	if extra > 0 {
		e.Task = "latest change with a margin"
		e.Given = append(e.Given, Given{"allow for a burn higher by", say.Share(extra)})
		e.slip(StepLeftOut, now+fuel.EnduranceMinutes(limit+lead, flowPerHour), "the margin is left out")
		e.slip(WrongWay, now+fuel.EnduranceMinutes(limit+lead, flowPerHour*(1-extra)), "the margin taken off the flow: it has to be put on")
	}
	e.Steps = e.latestWorking(p, flowPerHour, limit, now, extra).Plain()
	e.latest(now + minutes)
	e.slip(WrongWay, now+fuel.EnduranceMinutes(limit-lead, flowPerHour*(1+extra)), "the difference there is now counted the wrong way")
	e.slip(StepLeftOut, now+fuel.EnduranceMinutes(limit, flowPerHour*(1+extra)), "the difference there is now is left out")
	e.slipETA(now, minutes)
	return e
}

// latestWorking works out the time of the next change.
func (e Exercise) latestWorking(p pair, flowPerHour, limit, now, extra float64) *sums.Working {
	fed, _ := p.fed()
	other, _ := p.other()
	left, burn := limit+fed-other, flowPerHour*(1+extra)
	minutes := fuel.EnduranceMinutes(left, burn)
	var w sums.Working
	p.toLimit(&w, limit)
	if extra > 0 {
		w.Decimals(2, burn)
		w.Line("flow with the margin: %s × %s = %s", num(flowPerHour), num(1+extra), worked.Amount(burn, p.unit+anHour))
	}
	w.Took(minutes, spanOf(minutes), "time: 60 × %s / %s", num(left), num(burn))
	return e.at(&w, "the change", now, minutes)
}

// changes are two changes of tank and the time since: how long on the first tank, on the other, and on the first again.
type changes struct {
	pair
	flowPerHour, start float64
	minutes            [3]float64
}

// drawChanges draws changes that leave an imbalance worth reckoning.
func drawChanges(d *draw) changes {
	for {
		p := drawPair(d)
		c := changes{p, p.flow(d), d.timeOfDay(60), [3]float64{d.from(20, 40, 5), d.from(20, 55, 5), d.from(10, 30, 5)}}
		if left, right := c.after(); fuel.Imbalance(left, right) >= fuel.Burned(15, c.flowPerHour) {
			return c
		}
	}
}

// after follows the changes.
func (c changes) after() (left, right float64) {
	first, second := 0, 1
	if c.onRight {
		first, second = 1, 0
	}
	end := c.minutes[0] + c.minutes[1] + c.minutes[2]
	s, err := fuel.Follow(fuel.Request{
		Tanks: []fuel.Tank{{Name: leftTank}, {Name: rightTank}}, Quantities: []float64{c.left, c.right}, Selected: first,
		Burns: []fuel.Burn{{Minutes: end, FlowPerHour: c.flowPerHour, ChangeAllowed: true}},
	}, first, []fuel.Change{{AtMinutes: c.minutes[0], To: second}, {AtMinutes: c.minutes[0] + c.minutes[1], To: first}})
	if err != nil {
		panic("drill: " + err.Error())
	}
	quantities := s.QuantitiesAt(end)
	return quantities[0], quantities[1]
}

func (c changes) given() []Given {
	_, first := c.fed()
	_, second := c.other()
	at := c.start
	rows := []Given{
		amount("left tank at "+say.SayTimeOfDay(at), c.left, c.unit), amount("right tank at "+say.SayTimeOfDay(at), c.right, c.unit),
		{"fed from " + say.SayTimeOfDay(at), first},
	}
	for i, name := range []string{second, first} {
		at += c.minutes[i]
		rows = append(rows, Given{"changed at " + say.SayTimeOfDay(at), "to " + name})
	}
	return append(rows, atTime("now", at+c.minutes[2]), amount("flow", c.flowPerHour, c.unit+anHour))
}

// working works out how long each tank has fed and what is left in it, to so many decimals: of the first to feed and, where both are asked
// for, of the other.
func (c changes) working(decimals int, both bool) *sums.Working {
	firstThen, secondThen := c.after()
	if c.onRight {
		firstThen, secondThen = secondThen, firstThen
	}
	from := c.start
	var at [4]string
	for i := range at {
		at[i] = say.SayTimeOfDay(from)
		if i < len(c.minutes) {
			from += c.minutes[i]
		}
	}
	var w sums.Working
	fed := func(name, times string, minutes, quantity, left float64) {
		w.Decimals(decimals, left)
		w.Line("%s feeds: %s = %s min", name, times, num(minutes))
		w.Line("%s: %s - %s × %s / 60 = %s", name, num(quantity), num(c.flowPerHour), num(minutes), worked.Amount(left, c.unit))
	}
	quantity, name := c.fed()
	other, otherName := c.other()
	fed(name, at[1]+" - "+at[0]+" + "+at[3]+" - "+at[2], c.minutes[0]+c.minutes[2], quantity, firstThen)
	if both {
		fed(otherName, at[2]+" - "+at[1], c.minutes[1], other, secondThen)
	}
	return &w
}

// tankWithin is the tolerance of what is left in a tank.
func tankWithin(used float64) Tolerance {
	return Tolerance{By: max(0.02*used, 0.1), Why: "2 % of what was burned"}
}

// quantityAfter asks for what is left in the tank that was fed first.
func quantityAfter(c changes) Exercise {
	p, flowPerHour, minutes := c.pair, c.flowPerHour, c.minutes
	left, right := c.after()
	fed, name := p.fed()
	answer := left
	if p.onRight {
		answer = right
	}
	e := Exercise{
		Task: "quantity", Tool: SlideRule, Given: c.given(),
		Question: "How much does the " + name + " tank hold now?",
		Form:     numberForm(p.unit, 1), Answers: only(answer), Tolerance: tankWithin(fed - answer), Steps: c.working(1, false).Plain(),
	}
	e.slip(StepLeftOut, fed-fuel.Burned(minutes[0], flowPerHour), "the time since the last change is left out")
	e.slip(WrongFigure, fed-fuel.Burned(minutes[1], flowPerHour), "the time on the other tank taken")
	e.slip(StepLeftOut, fed-fuel.Burned(minutes[0]+minutes[1]+minutes[2], flowPerHour), "the whole time taken: part of it the other tank was in use")
	e.slip(MinutesAsDecimals, fed-(minutes[0]+minutes[2])/100*flowPerHour, "minutes read as decimals: there are 60 in the hour, not 100")
	return e
}

// imbalanceAfter asks for the imbalance.
func imbalanceAfter(c changes) Exercise {
	p, flowPerHour, minutes := c.pair, c.flowPerHour, c.minutes
	left, right := c.after()
	imbalance := fuel.Imbalance(left, right)
	w := c.working(2, true)
	w.Decimals(1, imbalance)
	w.Line("imbalance: %s - %s = %s", num(math.Max(left, right)), num(math.Min(left, right)), worked.Amount(imbalance, p.unit))
	e := Exercise{
		Task: "imbalance", Tool: SlideRule, Given: c.given(),
		Question: "What is the imbalance?",
		Form:     numberForm(p.unit, 1), Answers: only(imbalance), Tolerance: tankWithin(fuel.Burned(minutes[0]+minutes[1]+minutes[2], flowPerHour)),
		Steps: w.Plain(),
	}
	levelStart := math.Abs(imbalance - math.Abs(p.left-p.right))
	e.slip(StepLeftOut, levelStart, "the difference at the start is left out")
	e.slip(WrongFigure, left+right, "that is what is left in both together")
	return e
}
