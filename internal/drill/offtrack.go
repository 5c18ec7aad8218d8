package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
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
	e := Exercise{
		Task: "track error", Tool: InTheHead,
		Given:    []Given{miles("off track", offNM), miles("flown", flownNM)},
		Question: "What is the track error, in degrees?",
		Form:     numberForm("°", 0), Answers: either(rule, exact), Tolerance: aDegree(),
		Steps: []string{
			fmt.Sprintf("60 × %s / %s = %.0f°", figure(offNM), figure(flownNM), rule),
			fmt.Sprintf("exactly: atan(%s / %s) = %.0f°", figure(offNM), figure(flownNM), exact),
		},
	}
	e.slip(UpsideDown, flownNM/offNM, "that is how many miles to each mile off: 60 stands on top")
	e.slip(SixtyForgotten, offNM, "the miles taken for degrees: that holds after 60 nm only")
	return e
}

// offsetAfter asks how far off track an angle leads.
func offsetAfter(angleDeg, flownNM float64) Exercise {
	rule, exact := deadreckon.OffsetAt(angleDeg, flownNM)
	e := Exercise{
		Task: "off track", Tool: InTheHead,
		Given:    []Given{degrees("off the track by", angleDeg), miles("flown so", flownNM)},
		Question: "How far off track is the aircraft?",
		Form:     numberForm("nm", 1), Answers: either(rule, exact), Tolerance: ruleOfThumb(max(0.1, 0.05*rule)),
		Steps: []string{
			fmt.Sprintf("%s × %s / 60 = %.1f nm", figure(angleDeg), figure(flownNM), rule),
			fmt.Sprintf("exactly: %s × tan(%s) = %.1f nm", figure(flownNM), figure(angleDeg), exact),
		},
	}
	e.slip(SixtyForgotten, angleDeg, "the degrees taken for miles: that holds after 60 nm only")
	e.slip(UpsideDown, 60*angleDeg/flownNM, "60 belongs below: one mile in 60 to the degree")
	return e
}

// offTrackGiven are what is known of an aircraft that is off track.
func offTrackGiven(offNM, flownNM, toGoNM float64) []Given {
	return []Given{aside("the aircraft is", offNM), miles("flown", flownNM), miles("to go", toGoNM)}
}

// turnSteps works out both angles and the turn, each to so many decimals.
func turnSteps(offNM, flownNM, toGoNM float64, ofAngles, ofTurn int) []string {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	off := math.Abs(offNM)
	return []string{
		fmt.Sprintf("track error: 60 × %s / %s = %.*f°", figure(off), figure(flownNM), ofAngles, math.Abs(o.TrackErrorRule)),
		fmt.Sprintf("closing angle: 60 × %s / %s = %.*f°", figure(off), figure(toGoNM), ofAngles, math.Abs(o.ClosingRule)),
		fmt.Sprintf("both, towards the track: %.*f + %.*f = %s", ofAngles, math.Abs(o.TrackErrorRule), ofAngles, math.Abs(o.ClosingRule), sayAngle(o.TurnRule(), ofTurn)),
		fmt.Sprintf("exactly: atan(%s / %s) + atan(%s / %s) = %s",
			figure(off), figure(flownNM), figure(off), figure(toGoNM), sayAngle(o.TurnExact(), ofTurn)),
	}
}

// turnToEnd asks for the turn that leads to the end of the leg.
func turnToEnd(offNM, flownNM, toGoNM float64) Exercise {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	e := Exercise{
		Task: "turn", Tool: SlideRule, Given: offTrackGiven(offNM, flownNM, toGoNM),
		Question: "What turn leads straight to the end of the leg?",
		Form:     Form{Kind: Turn}, Answers: either(o.TurnRule(), o.TurnExact()), Tolerance: aDegree(),
		Steps: turnSteps(offNM, flownNM, toGoNM, 1, 0),
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
	e := Exercise{
		Task: "regain", Tool: SlideRule,
		Given:    []Given{aside("the aircraft is", offNM), miles("flown", flownNM)},
		Question: "What turn brings it back onto the track after as many miles again?",
		Form:     Form{Kind: Turn}, Answers: either(r.FirstTurnRule, r.FirstTurnExact), Tolerance: aDegree(),
		Steps: []string{
			fmt.Sprintf("track error: 60 × %s / %s = %.1f°", figure(math.Abs(offNM)), figure(flownNM), math.Abs(o.TrackErrorRule)),
			fmt.Sprintf("twice that, towards the track: 2 × %.1f = %s", math.Abs(o.TrackErrorRule), sayAngle(r.FirstTurnRule, 0)),
			fmt.Sprintf("exactly: 2 × atan(%s / %s) = %s", figure(math.Abs(offNM)), figure(flownNM), sayAngle(r.FirstTurnExact, 0)),
		},
	}
	e.slip(WrongWay, -r.FirstTurnRule, "away from the track: off to the right means a turn to the left")
	e.slip(StepLeftOut, -o.TrackErrorRule, "the track error alone: that flies parallel to the track, double it to close")
	return e
}

// headingToEnd asks for the new heading to the end of the leg.
func headingToEnd(headingMagnetic, offNM, flownNM, toGoNM float64) Exercise {
	o := deadreckon.OffTrackBy(offNM, flownNM, toGoNM)
	turned := func(turn float64) float64 { return angle.Wrap360(headingMagnetic + turn) }
	steps := turnSteps(offNM, flownNM, toGoNM, 1, 1)
	e := Exercise{
		Task: "heading", Tool: SlideRule,
		Given:    append([]Given{toward("heading so far", headingMagnetic, "magnetic")}, offTrackGiven(offNM, flownNM, toGoNM)...),
		Question: "What is the new heading to the end of the leg?",
		Form:     directionForm("magnetic"), Answers: either(turned(o.TurnRule()), turned(o.TurnExact())), Tolerance: aDegree(),
		Steps: append(steps[:3:3],
			fmt.Sprintf("%s = %s", sum(headingMagnetic, o.TurnRule()), say.Degrees(turned(o.TurnRule()))),
			steps[3],
			fmt.Sprintf("%s = %s", sum(headingMagnetic, o.TurnExact()), say.Degrees(turned(o.TurnExact())))),
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
	off := math.Abs(o.TrackErrorRule)
	e := Exercise{
		Task: "heading once back", Tool: SlideRule,
		Given: []Given{
			toward("heading so far", headingMagnetic, "magnetic"), aside("the aircraft is", offNM), miles("flown", flownNM),
		},
		Question: "It turns by twice the track error and meets the track after as many miles again. What heading holds it then?",
		Form:     directionForm("magnetic"), Answers: either(rule, exact), Tolerance: aDegree(),
		Steps: []string{
			fmt.Sprintf("track error: 60 × %s / %s = %.1f°", figure(math.Abs(offNM)), figure(flownNM), off),
			fmt.Sprintf("twice that towards the track now: 2 × %.1f = %s", off, sayAngle(r.FirstTurnRule, 1)),
			fmt.Sprintf("then half of it back: %s = %s", sum(headingMagnetic, r.FirstTurnRule+r.ThenTurnRule), say.Degrees(rule)),
			fmt.Sprintf("exactly: atan(%s / %s) = %.1f°", figure(math.Abs(offNM)), figure(flownNM), math.Abs(r.FirstTurnExact+r.ThenTurnExact)),
			fmt.Sprintf("%s = %s", sum(headingMagnetic, r.FirstTurnExact+r.ThenTurnExact), say.Degrees(exact)),
		},
	}
	e.slip(WrongWay, turned(-r.FirstTurnRule-r.ThenTurnRule), "away from the track: off to the right means a turn to the left")
	e.slip(StepLeftOut, turned(r.FirstTurnRule), "that is the heading to close: half the turn comes off again on the track")
	e.slip(StepLeftOut, headingMagnetic, "all of the turn taken off again: the wind that led off the track is still there")
	return e
}
