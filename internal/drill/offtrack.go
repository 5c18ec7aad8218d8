package drill

import (
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
)

func offTrackTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				flown := oneOf(d, 10.0, 12, 15, 20, 30, 60)
				return trackError(math.Max(1, math.Round(flown*d.from(2, 9, 1)/60)), flown)
			},
			func(d *draw) Exercise { return offsetAfter(d.from(2, 10, 1), oneOf(d, 12.0, 15, 18, 24, 30, 36, 60)) },
		},
		{
			func(d *draw) Exercise { return turnToEnd(d.signed(1, 4, 0.5), d.from(24, 45, 1), d.from(24, 60, 1)) },
			func(d *draw) Exercise { return turnToRegain(d.signed(1, 4, 0.5), d.from(24, 45, 1)) },
		},
		{
			func(d *draw) Exercise {
				return headingToEnd(d.direction(1), d.signed(1, 4, 0.5), d.from(24, 45, 1), d.from(24, 60, 1))
			},
			func(d *draw) Exercise { return headingOnceBack(d.direction(1), d.signed(1, 4, 0.5), d.from(24, 45, 1)) },
		},
	}
}

// aDegree is the tolerance of 1 in 60: the rule itself is no better.
func aDegree() Tolerance { return ruleOfThumb(1) }

// trackError asks for the track error angle.
func trackError(offNM, flownNM float64) Exercise {
	rule, exact := deadreckon.OneInSixty(offNM, flownNM)
	var w sums.Working
	w.Decimals(0, rule, exact)
	w.OneInSixty("track error", offNM, flownNM, worked.Degrees(rule))
	w.Exactly(offNM, flownNM, worked.Degrees(exact))
	e := Exercise{
		Task: "track error", Tool: InTheHead,
		Given:    []Given{miles("off track", offNM), miles("flown", flownNM)},
		Question: "What is the track error, in degrees?",
		Form:     numberForm("°", 0), Answers: either(rule, exact), Tolerance: aDegree(),
		Steps: w.Plain(),
	}
	e.slip(UpsideDown, flownNM/offNM, "that is how many miles to each mile off: 60 stands on top")
	e.slip(SixtyForgotten, offNM, "the miles taken for degrees: that holds after 60 nm only")
	return e
}

// offsetAfter asks how far off track an angle leads.
func offsetAfter(angleDeg, flownNM float64) Exercise {
	rule, exact := deadreckon.OffsetAt(angleDeg, flownNM)
	var w sums.Working
	w.Decimals(1, rule, exact)
	w.Line("%s × %s / 60 = %s", num(angleDeg), num(flownNM), worked.Miles(rule))
	w.Line("exactly: %s × tan(%s) = %s", num(flownNM), num(angleDeg), worked.Miles(exact))
	e := Exercise{
		Task: "off track", Tool: InTheHead,
		Given:    []Given{degrees("off the track by", angleDeg), miles("flown so", flownNM)},
		Question: "How far off track is the aircraft?",
		Form:     numberForm("nm", 1), Answers: either(rule, exact), Tolerance: ruleOfThumb(max(0.1, 0.05*rule)),
		Steps: w.Plain(),
	}
	e.slip(SixtyForgotten, angleDeg, "the degrees taken for miles: that holds after 60 nm only")
	e.slip(UpsideDown, 60*angleDeg/flownNM, "60 belongs below: one mile in 60 to the degree")
	return e
}

// offTrackGiven are what is known of an aircraft that is off track.
func offTrackGiven(offNM, flownNM, toGoNM float64) []Given {
	return []Given{aside("the aircraft is", offNM), miles("flown", flownNM), miles("to go", toGoNM)}
}

// turnByRule works out both angles and the turn.
func turnByRule(w *sums.Working, o deadreckon.OffTrack, offNM, flownNM, toGoNM float64) {
	w.Decimals(1, o.TrackErrorRule, o.ClosingRule)
	w.OneInSixty("track error", offNM, flownNM, worked.Degrees(math.Abs(o.TrackErrorRule)))
	w.OneInSixty("closing angle", offNM, toGoNM, worked.Degrees(math.Abs(o.ClosingRule)))
	w.Both("both, towards the track", o.TrackErrorRule, o.ClosingRule, o.TurnRule())
}

// turnExactly works out the turn by both angles as they are.
func turnExactly(w *sums.Working, o deadreckon.OffTrack, offNM, flownNM, toGoNM float64) {
	off := num(math.Abs(offNM))
	w.Line("exactly: atan(%s / %s) + atan(%s / %s) = %s", off, num(flownNM), off, num(toGoNM), worked.Sided(o.TurnExact()))
}

// turnWorking works out the turn by the rule and exactly.
func turnWorking(offNM, flownNM, toGoNM float64) (w sums.Working) {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	w.Decimals(0, o.TurnRule(), o.TurnExact())
	turnByRule(&w, o, offNM, flownNM, toGoNM)
	turnExactly(&w, o, offNM, flownNM, toGoNM)
	return w
}

// turnToEnd asks for the turn that leads to the end of the leg.
func turnToEnd(offNM, flownNM, toGoNM float64) Exercise {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	w := turnWorking(offNM, flownNM, toGoNM)
	e := Exercise{
		Task: "turn", Tool: SlideRule, Given: offTrackGiven(offNM, flownNM, toGoNM),
		Question: "What turn leads straight to the end of the leg?",
		Form:     Form{Kind: Turn}, Answers: either(o.TurnRule(), o.TurnExact()), Tolerance: aDegree(),
		Steps: w.Plain(),
	}
	e.slipTurn(o, func(turn float64) float64 { return turn })
	return e
}

// slipTurn adds the mistakes of a turn back to the track; result is what the turn leads to.
func (e *Exercise) slipTurn(o deadreckon.OffTrack, result func(turn float64) float64) {
	e.slip(WrongWay, result(-o.TurnRule()), "away from the track: off to the right means a turn to the left")
	e.slip(StepLeftOut, result(-o.TrackErrorRule), "the track error alone: that flies parallel to the track")
	e.slip(StepLeftOut, result(-o.ClosingRule), "the closing angle alone: the track error has to be taken out as well")
}

// turnToRegain asks for the turn that brings the aircraft back onto its track after the distance already flown.
func turnToRegain(offNM, flownNM float64) Exercise {
	r := deadreckon.RegainTrack(offNM, flownNM, flownNM)
	o := deadreckon.OffTrackBy(offNM, flownNM, flownNM)
	var w sums.Working
	w.Decimals(1, o.TrackErrorRule)
	w.Decimals(0, r.FirstTurnRule, r.FirstTurnExact)
	w.OneInSixty("track error", offNM, flownNM, worked.Degrees(math.Abs(o.TrackErrorRule)))
	w.Line("twice that, towards the track: 2 × %s = %s", num(math.Abs(o.TrackErrorRule)), worked.Sided(r.FirstTurnRule))
	w.Line("exactly: 2 × atan(%s / %s) = %s", num(math.Abs(offNM)), num(flownNM), worked.Sided(r.FirstTurnExact))
	e := Exercise{
		Task: "regain", Tool: SlideRule,
		Given:    []Given{aside("the aircraft is", offNM), miles("flown", flownNM)},
		Question: "What turn brings it back onto the track after as many miles again?",
		Form:     Form{Kind: Turn}, Answers: either(r.FirstTurnRule, r.FirstTurnExact), Tolerance: aDegree(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, -r.FirstTurnRule, "away from the track: off to the right means a turn to the left")
	e.slip(StepLeftOut, -o.TrackErrorRule, "the track error alone: that flies parallel to the track, double it to close")
	return e
}

// headingToEnd asks for the new heading to the end of the leg.
func headingToEnd(headingMagnetic, offNM, flownNM, toGoNM float64) Exercise {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	turned := func(turn float64) float64 { return angle.Wrap360(headingMagnetic + turn) }
	var w sums.Working
	w.Decimals(1, o.TurnRule(), o.TurnExact())
	w.WholeDirections(turned(o.TurnRule()), turned(o.TurnExact()))
	turnByRule(&w, o, offNM, flownNM, toGoNM)
	w.Turned("heading", headingMagnetic, o.TurnRule(), turned(o.TurnRule()))
	turnExactly(&w, o, offNM, flownNM, toGoNM)
	w.Turned("heading exactly", headingMagnetic, o.TurnExact(), turned(o.TurnExact()))
	e := Exercise{
		Task: "heading", Tool: SlideRule,
		Given:    append([]Given{toward("heading so far", headingMagnetic, "magnetic")}, offTrackGiven(offNM, flownNM, toGoNM)...),
		Question: "What is the new heading to the end of the leg?",
		Form:     directionForm("magnetic"), Answers: either(turned(o.TurnRule()), turned(o.TurnExact())), Tolerance: aDegree(),
		Steps: w.Plain(),
	}
	e.slipTurn(o, turned)
	e.slip(Reciprocal, angle.Reciprocal(turned(o.TurnRule())), "that is the reciprocal")
	return e
}

// headingOnceBack asks for the heading to hold when the track is met again after as many miles as were flown.
func headingOnceBack(headingMagnetic, offNM, flownNM float64) Exercise {
	r := deadreckon.RegainTrack(offNM, flownNM, flownNM)
	o := deadreckon.OffTrackBy(offNM, flownNM, flownNM)
	turned := func(turn float64) float64 { return angle.Wrap360(headingMagnetic + turn) }
	rule, exact := turned(r.FirstTurnRule+r.ThenTurnRule), turned(r.FirstTurnExact+r.ThenTurnExact)
	var w sums.Working
	w.Decimals(1, o.TrackErrorRule, r.FirstTurnRule, r.FirstTurnRule+r.ThenTurnRule, r.FirstTurnExact+r.ThenTurnExact)
	w.WholeDirections(rule, exact)
	w.OneInSixty("track error", offNM, flownNM, worked.Degrees(math.Abs(o.TrackErrorRule)))
	w.Line("twice that, towards the track, now: 2 × %s = %s", num(math.Abs(o.TrackErrorRule)), worked.Sided(r.FirstTurnRule))
	w.Turned("then half of it back, heading", headingMagnetic, r.FirstTurnRule+r.ThenTurnRule, rule)
	w.Exactly(offNM, flownNM, worked.Degrees(math.Abs(r.FirstTurnExact+r.ThenTurnExact)))
	w.Turned("heading exactly", headingMagnetic, r.FirstTurnExact+r.ThenTurnExact, exact)
	e := Exercise{
		Task: "heading once back", Tool: SlideRule,
		Given: []Given{
			toward("heading so far", headingMagnetic, "magnetic"), aside("the aircraft is", offNM), miles("flown", flownNM),
		},
		Question: "It turns by twice the track error and meets the track after as many miles again. What heading holds it then?",
		Form:     directionForm("magnetic"), Answers: either(rule, exact), Tolerance: aDegree(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, turned(-r.FirstTurnRule-r.ThenTurnRule), "away from the track: off to the right means a turn to the left")
	e.slip(StepLeftOut, turned(r.FirstTurnRule), "that is the heading to close: half the turn comes off again on the track")
	e.slip(StepLeftOut, headingMagnetic, "all of the turn taken off again: the wind that led off the track is still there")
	return e
}
