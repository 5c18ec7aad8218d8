package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

func headingTasks() [3][]task {
	return [3][]task{
		{
			func(d *draw) Exercise {
				track := d.direction(10)
				w := air.Wind{FromTrue: track, SpeedKt: d.from(10, 30, 5)}
				if d.yes() {
					w.FromTrue = angle.Reciprocal(track)
				}
				return groundspeedAlong(track, d.from(90, 120, 5), w)
			},
			func(d *draw) Exercise {
				track := d.direction(10)
				return correctionSide(track, air.Wind{FromTrue: angle.Wrap360(track + d.signed(20, 160, 10)), SpeedKt: d.from(10, 30, 5)})
			},
			func(d *draw) Exercise {
				track := d.direction(10)
				w := air.Wind{FromTrue: angle.Wrap360(track + d.signed(90, 90, 1)), SpeedKt: oneOf(d, 10.0, 15, 20)}
				return correctionAcross(track, oneOf(d, 90.0, 100, 120), w)
			},
		},
		{
			func(d *draw) Exercise { return headingTrue(drawTriangle(d)) },
			func(d *draw) Exercise { return groundspeedInWind(drawTriangle(d)) },
		},
		{
			func(d *draw) Exercise {
				track, tas, w := drawTriangle(d)
				return headingMagneticInWind(track, tas, w, d.signed(3, 12, 1))
			},
			func(d *draw) Exercise {
				track, tas, w := drawTriangle(d)
				return legTimeInWind(track, tas, w, d.from(12, 60, 0.5))
			},
			func(d *draw) Exercise {
				heading, tas, w := drawTriangle(d)
				if d.yes() {
					return trackMadeGood(heading, tas, w)
				}
				return groundspeedMadeGood(heading, tas, w)
			},
		},
	}
}

// drawTriangle draws a direction, an airspeed and a wind that matters.
func drawTriangle(d *draw) (direction, tasKt float64, w air.Wind) {
	return d.direction(1), d.from(85, 125, 1), air.Wind{FromTrue: d.direction(10), SpeedKt: d.from(12, 35, 1)}
}

// triangle is a wind triangle solved, for the steps.
type triangle struct {
	track, tas float64
	wind       air.Wind
	deadreckon.Heading
}

// solve is for figures that can be flown; any other is a fault of the program.
func solve(track, tasKt float64, w air.Wind) triangle {
	heading, err := deadreckon.HeadingFor(track, tasKt, w)
	if err != nil {
		panic("drill: " + err.Error())
	}
	return triangle{track, tasKt, w, heading}
}

// given are the three figures that a triangle is solved from.
func (t triangle) given() []Given {
	return []Given{toward("track", t.track, "true"), knots("true airspeed", t.tas), windGiven(t.wind)}
}

// correctionSteps works out the correction and the heading.
func (t triangle) correctionSteps() []string {
	off := angle.Turn(t.track, t.wind.FromTrue)
	steps := append(t.acrossSteps(), clockCode(off, t.tas, t.wind)...)
	return append(steps, t.windSide(), fmt.Sprintf("heading: %s = %s", sum(t.track, t.CorrectionDeg), say.Degrees(t.HeadingTrue)))
}

// acrossSteps works out the correction by trigonometry.
func (t triangle) acrossSteps() []string {
	off := angle.Turn(t.track, t.wind.FromTrue)
	_, across := t.wind.Along(t.track)
	return []string{
		fmt.Sprintf("the wind comes from %.0f° %s of the track", math.Abs(off), say.LeftRight(off)),
		fmt.Sprintf("across the track: %s × sin(%.0f) = %.1f kt", figure(t.wind.SpeedKt), math.Abs(off), math.Abs(across)),
		fmt.Sprintf("correction into the wind: asin(%.1f / %s) = %s", math.Abs(across), figure(t.tas), sayAngle(t.CorrectionDeg, 1)),
	}
}

// clockCode is the correction in the head: the wind abeam by 1 in 60, 60 × wind / true airspeed, and of that a quarter of the hour for
// each 15° that the wind is off the track, all of it from 60° on (taught as the clock code; common practice, no source).
func clockCode(off, tasKt float64, wind air.Wind) (steps []string) {
	acute := math.Round(math.Abs(off))
	if acute > 90 {
		steps = append(steps, fmt.Sprintf("from the nearer end of the line: 180 - %.0f = %.0f°", acute, 180-acute))
		acute = 180 - acute
	}
	rule := "in the head, by the clock code"
	if acute > 60 {
		rule += ", all of it beyond 60°"
	}
	minutes := min(acute, 60)
	return append(steps, fmt.Sprintf("%s: %.0f / 60 × (60 × %s / %s) = %.0f°", rule, minutes, figure(wind.SpeedKt), figure(tasKt),
		math.Round(minutes*wind.SpeedKt/tasKt)))
}

// windSide is the triangle on the wind side of a circular slide rule with a sliding grid: the dot stands for the wind, the lines for degrees
// and the arcs for knots (as it is taught with the dot above the centre for a heading and below it for a track; from memory).
func (t triangle) windSide() string {
	return fmt.Sprintf("wind side: %s at the index, dot %.0f kt above the centre; then %s at the index, dot on the %.0f kt arc: it lies %s, and the centre is at %.0f kt",
		say.Degrees(t.wind.FromTrue), t.wind.SpeedKt, say.Degrees(t.track), t.tas, sayAngle(t.CorrectionDeg, 0), t.GroundspeedKt)
}

// groundspeedSteps works out the groundspeed, to so many decimals.
func (t triangle) groundspeedSteps(decimals int) []string {
	off := math.Abs(angle.Turn(t.track, t.wind.FromTrue))
	against, _ := t.wind.Along(t.track)
	return []string{
		fmt.Sprintf("along the track: %s × cos(%.0f) = %s", figure(t.wind.SpeedKt), off, sayAlong(against)),
		fmt.Sprintf("groundspeed: %s × cos(%.1f) - %s = %.*f kt", figure(t.tas), math.Abs(t.CorrectionDeg), bracket(against), decimals, t.GroundspeedKt),
	}
}

// sayAlong says a headwind, or a tailwind as a negative one.
func sayAlong(headwindKt float64) string {
	if headwindKt < 0 {
		return fmt.Sprintf("%.1f kt, behind", headwindKt)
	}
	return fmt.Sprintf("%.1f kt, ahead", headwindKt)
}

// sum writes a direction with an angle added and a full circle more or less where it is needed: "355 + 20 - 360".
func sum(direction, add float64) string {
	text := fmt.Sprintf("%s %s %s", say.Degrees(direction), sign(add), say.SayNumber(math.Abs(add), 1))
	shown := float64(angle.Whole(direction))
	switch total := math.Round(shown + add); {
	case total > 360:
		text += " - 360"
	case total < 1:
		text += " + 360"
	}
	return text
}

func sign(value float64) string {
	if value < 0 {
		return "-"
	}
	return "+"
}

// bracket puts a negative number in brackets.
func bracket(value float64) string {
	if value < 0 {
		return fmt.Sprintf("(%.1f)", value)
	}
	return fmt.Sprintf("%.1f", value)
}

// groundspeedAlong asks for the groundspeed with the wind on the nose or on the tail.
func groundspeedAlong(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	against, _ := w.Along(track)
	e := Exercise{
		Task: "along", Tool: InTheHead, Given: t.given(),
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(t.GroundspeedKt), Tolerance: InTheHead.within(0, 1),
		Steps: []string{"the wind is on the nose", fmt.Sprintf("%s - %s = %.0f kt", figure(tasKt), figure(against), t.GroundspeedKt)},
	}
	if against < 0 {
		e.Steps = []string{"the wind is on the tail", fmt.Sprintf("%s + %s = %.0f kt", figure(tasKt), figure(-against), t.GroundspeedKt)}
	}
	e.slip(Reciprocal, tasKt+against, "the wind taken the wrong way round: it is given by where it comes FROM")
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the wind is not in it yet")
	return e
}

// correctionSide asks on which side of the track to point the nose.
func correctionSide(track float64, w air.Wind) Exercise {
	_, across := w.Along(track)
	answer := "RIGHT"
	if across < 0 {
		answer = "LEFT"
	}
	off := angle.Turn(track, w.FromTrue)
	e := Exercise{
		Task: "side", Tool: InTheHead, Given: []Given{toward("track", track, "true"), windGiven(w)},
		Question:  "On which side of the track must the nose point to stay on it?",
		Tolerance: exactly(),
		Steps: []string{
			fmt.Sprintf("from %s the wind comes from %.0f° to the %s of %s", say.Degrees(w.FromTrue), math.Abs(off), say.LeftRight(off), say.Degrees(track)),
			"the nose goes into the wind: " + answer,
		},
	}
	e.Form, e.Answers = choose(answer, "LEFT", "RIGHT")
	e.slip(WrongWay, 1-e.Answers[0].Value, "away from the wind: the nose goes INTO it, and it blows from where it is named")
	return e
}

// correctionAcross asks for the correction in a wind straight across, by the rule that 60 stands for a radian's degrees.
func correctionAcross(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	_, across := w.Along(track)
	rule, _ := deadreckon.OneInSixty(across, tasKt)
	e := Exercise{
		Task: "across", Tool: InTheHead, Given: t.given(),
		Question: "How many degrees to which side must the nose point off the track?",
		Form:     Form{Kind: Turn}, Answers: either(rule, t.CorrectionDeg), Tolerance: ruleOfThumb(1),
		Steps: []string{
			fmt.Sprintf("the wind is straight across, from the %s", say.LeftRight(across)),
			fmt.Sprintf("60 × %s / %s = %s", figure(math.Abs(across)), figure(tasKt), sayAngle(rule, 0)),
			fmt.Sprintf("exactly: asin(%s / %s) = %s", figure(math.Abs(across)), figure(tasKt), sayAngle(t.CorrectionDeg, 0)),
		},
	}
	e.slip(WrongWay, -rule, "corrected away from the wind: the nose goes INTO it")
	return e
}

// headingTrue asks for the heading to steer.
func headingTrue(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	e := Exercise{
		Task: "heading", Tool: SlideRule, Given: t.given(),
		Question: "What is the true heading?",
		Form:     directionForm("true"), Answers: only(t.HeadingTrue), Tolerance: windSide(),
		Steps: t.correctionSteps(),
	}
	e.slipHeading(t, 0)
	return e
}

// slipHeading adds the mistakes of a heading. Toward is what was taken off to come to the north that is wanted.
func (e *Exercise) slipHeading(t triangle, variation float64) {
	right := deadreckon.MagneticFromTrue(t.HeadingTrue, variation)
	e.slip(WrongWay, deadreckon.MagneticFromTrue(t.track-t.CorrectionDeg, variation), "corrected away from the wind: the nose goes INTO it")
	if variation != 0 {
		e.slip(MagneticForTrue, t.HeadingTrue, "that is the true heading: variation is left out")
		e.slip(MagneticForTrue, deadreckon.TrueFromMagnetic(t.HeadingTrue, variation), "variation to the wrong side: west is added, east taken away")
	}
	e.slip(StepLeftOut, deadreckon.MagneticFromTrue(t.track, variation), "that is the track: the wind is not in it yet")
	e.slip(Reciprocal, angle.Reciprocal(right), "that is the reciprocal")
}

// groundspeedInWind asks for the groundspeed along a track.
func groundspeedInWind(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	e := Exercise{
		Task: "groundspeed", Tool: SlideRule, Given: t.given(),
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(t.GroundspeedKt), Tolerance: windSide(),
		Steps: append(t.correctionSteps(), t.groundspeedSteps(0)...),
	}
	if back, err := deadreckon.HeadingFor(angle.Reciprocal(track), tasKt, w); err == nil {
		e.slip(Reciprocal, back.GroundspeedKt, "the wind taken the wrong way round: it is given by where it comes FROM")
	}
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the wind is not in it yet")
	return e
}

// headingMagneticInWind asks for the magnetic heading.
func headingMagneticInWind(track, tasKt float64, w air.Wind, variation float64) Exercise {
	t := solve(track, tasKt, w)
	magnetic := deadreckon.MagneticFromTrue(t.HeadingTrue, variation)
	e := Exercise{
		Task: "magnetic heading", Tool: SlideRule, Given: append(t.given(), eastward("variation", variation)),
		Question: "What is the magnetic heading?",
		Form:     directionForm("magnetic"), Answers: only(magnetic), Tolerance: windSide(),
		Steps: append(t.correctionSteps(), fmt.Sprintf("%s: %s = %s", takenOff(variation), sum(t.HeadingTrue, -variation), say.Degrees(magnetic))),
	}
	e.slipHeading(t, variation)
	return e
}

// takenOff says what is done with a variation or a deviation on the way from true to compass.
func takenOff(east float64) string {
	if east < 0 {
		return "west is added"
	}
	return "east is taken away"
}

// legTimeInWind asks how long a leg takes.
func legTimeInWind(track, tasKt float64, w air.Wind, distanceNM float64) Exercise {
	t := solve(track, tasKt, w)
	minutes := deadreckon.Minutes(distanceNM, t.GroundspeedKt)
	e := Exercise{
		Task: "leg time", Tool: SlideRule, Given: append(t.given(), miles("distance", distanceNM)),
		Question: "How long does the leg take?",
		Form:     spanForm(minutes), Answers: only(minutes),
		Tolerance: Tolerance{By: max(0.03*minutes, 0.1), Why: "2 kt of the wind side and the slide rule's own error: 3 %"},
	}
	e.Steps = append(append(t.correctionSteps(), t.groundspeedSteps(1)...),
		e.timeSteps(fmt.Sprintf("60 × %s / %.1f", figure(distanceNM), t.GroundspeedKt), minutes)...)
	e.slipMinutes()
	e.slip(StepLeftOut, deadreckon.Minutes(distanceNM, tasKt), "that is the time at the true airspeed: the wind is not in it yet")
	if back, err := deadreckon.HeadingFor(angle.Reciprocal(track), tasKt, w); err == nil {
		e.slip(Reciprocal, deadreckon.Minutes(distanceNM, back.GroundspeedKt), "the wind taken the wrong way round: it is given by where it comes FROM")
	}
	return e
}

// madeGoodGiven are the figures from which a track made good is found.
func madeGoodGiven(heading, tasKt float64, w air.Wind) []Given {
	return []Given{toward("heading", heading, "true"), knots("true airspeed", tasKt), windGiven(w)}
}

// trackMadeGood asks where a heading leads.
func trackMadeGood(heading, tasKt float64, w air.Wind) Exercise {
	track, _ := deadreckon.TrackFor(heading, tasKt, w)
	e := Exercise{
		Task: "track made good", Tool: SlideRule, Given: madeGoodGiven(heading, tasKt, w),
		Question: "What is the track made good?",
		Form:     directionForm("true"), Answers: only(track), Tolerance: windSide(),
		Steps: driftSteps(heading, tasKt, w),
	}
	e.slip(WrongWay, heading-deadreckon.Drift(heading, track), "drift to the wrong side: the wind blows the aircraft away from where it comes from")
	e.slip(StepLeftOut, heading, "that is the heading: the wind is not in it yet")
	e.slip(Reciprocal, angle.Reciprocal(track), "that is the reciprocal")
	return e
}

// groundspeedMadeGood asks for the groundspeed on a heading.
func groundspeedMadeGood(heading, tasKt float64, w air.Wind) Exercise {
	_, speed := deadreckon.TrackFor(heading, tasKt, w)
	head, across := w.Along(heading)
	e := Exercise{
		Task: "groundspeed made good", Tool: SlideRule, Given: madeGoodGiven(heading, tasKt, w),
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(speed), Tolerance: windSide(),
		Steps: append(driftSteps(heading, tasKt, w),
			fmt.Sprintf("along the heading: %s - %s = %.1f kt", figure(tasKt), bracket(head), tasKt-head),
			fmt.Sprintf("groundspeed: root(%.1f × %.1f + %.1f × %.1f) = %.0f kt", tasKt-head, tasKt-head, math.Abs(across), math.Abs(across), speed)),
	}
	_, other := deadreckon.TrackFor(angle.Reciprocal(heading), tasKt, w)
	e.slip(Reciprocal, other, "the wind taken the wrong way round: it is given by where it comes FROM")
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the wind is not in it yet")
	return e
}

// driftSteps works out where a heading leads.
func driftSteps(heading, tasKt float64, w air.Wind) []string {
	track, groundspeed := deadreckon.TrackFor(heading, tasKt, w)
	drift := deadreckon.Drift(heading, track)
	off := angle.Turn(heading, w.FromTrue)
	head, across := w.Along(heading)
	steps := append([]string{
		fmt.Sprintf("the wind comes from %.0f° %s of the heading", math.Abs(off), say.LeftRight(off)),
		fmt.Sprintf("across: %s × sin(%.0f) = %.1f kt", figure(w.SpeedKt), math.Abs(off), math.Abs(across)),
		fmt.Sprintf("along: %s × cos(%.0f) = %s", figure(w.SpeedKt), math.Abs(off), sayAlong(head)),
	}, clockCode(off, tasKt, w)...)
	return append(steps,
		fmt.Sprintf("wind side: %s at the index, dot %.0f kt below the centre; then %s at the index, the centre on the %.0f kt arc: the dot lies %s, at %.0f kt",
			say.Degrees(w.FromTrue), w.SpeedKt, say.Degrees(heading), tasKt, sayAngle(drift, 0), groundspeed),
		fmt.Sprintf("drift away from the wind: atan(%.1f / (%s - %s)) = %s", math.Abs(across), figure(tasKt), bracket(head), sayAngle(drift, 1)),
		fmt.Sprintf("track: %s = %s", sum(heading, drift), say.Degrees(track)))
}

func windTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			tas := d.from(90, 120, 5)
			return windFound(flown{heading: d.direction(10), tas: tas, groundspeed: tas + d.signed(10, 30, 5)}.onTrack(), InTheHead)
		}},
		{func(d *draw) Exercise { return windFound(drawFlown(d), SlideRule) }},
		{func(d *draw) Exercise {
			f := drawFlown(d)
			minutes := d.from(9, 21, 0.5)
			distance := math.Round(deadreckon.Distance(f.groundspeed, minutes)*10) / 10
			return windFoundMagnetic(f, distance, minutes, d.signed(4, 12, 1))
		}},
	}
}

// flown is what was steered and what came of it.
type flown struct {
	heading, tas, track, groundspeed float64 // true
}

func (f flown) onTrack() flown {
	f.track = f.heading
	return f
}

func (f flown) wind() air.Wind { return deadreckon.WindFor(f.heading, f.tas, f.track, f.groundspeed) }

// drawFlown draws a wind, and gives to the degree and the knot what it does.
func drawFlown(d *draw) flown {
	for {
		heading, tas, w := drawTriangle(d)
		track, groundspeed := deadreckon.TrackFor(heading, tas, w)
		f := flown{heading, tas, float64(angle.Whole(track)), math.Round(groundspeed)}
		if math.Abs(deadreckon.Drift(f.heading, f.track)) >= 4 {
			return f
		}
	}
}

// windEnds is the tolerance of a wind found: what 1° and 2 kt of reading make at the speed of a light aircraft.
func windEnds(tool Tool) Tolerance {
	if tool == InTheHead {
		return Tolerance{By: 1, Why: "the figures come out even"}
	}
	return Tolerance{By: 3, Why: "a degree and two knots of reading move the end of the wind by 3 kt"}
}

func windAnswer(w air.Wind) []Answer {
	return []Answer{{Reply: Reply{angle.Wrap360(w.FromTrue), w.SpeedKt}}}
}

// slipWind adds a mistake that leads to another wind.
func (e *Exercise) slipWind(kind MistakeKind, w air.Wind, text string) {
	e.Mistakes = append(e.Mistakes, Mistake{Reply{w.FromTrue, w.SpeedKt}, kind, text})
}

// windFound asks for the wind from heading, airspeed, track and groundspeed.
func windFound(f flown, tool Tool) Exercise {
	e := Exercise{
		Task: "wind", Tool: tool,
		Given: []Given{
			toward("heading", f.heading, "true"), knots("true airspeed", f.tas),
			toward("track made good", f.track, "true"), knots("groundspeed", f.groundspeed),
		},
		Question: "What is the wind, true?",
		Form:     Form{Kind: WindForm}, Answers: windAnswer(f.wind()), Tolerance: windEnds(tool),
		Steps: f.steps(),
	}
	e.slipWind(Reciprocal, reversed(f.wind()), "that is where it blows TO: a wind is named by where it comes from")
	mirrored := f
	mirrored.track = f.heading - deadreckon.Drift(f.heading, f.track)
	e.slipWind(WrongWay, mirrored.wind(), "drift laid off to the wrong side of the heading")
	straight := f
	straight.track = f.heading
	e.slipWind(StepLeftOut, straight.wind(), "the drift is left out: only the difference of the speeds is in it")
	return e
}

func reversed(w air.Wind) air.Wind {
	return air.Wind{FromTrue: angle.Reciprocal(w.FromTrue), SpeedKt: w.SpeedKt}
}

// steps works the wind out from how much it blows along the heading and across it.
func (f flown) steps() []string {
	w := f.wind()
	said := Form{Kind: WindForm}.Say(Reply{w.FromTrue, w.SpeedKt})
	drift := deadreckon.Drift(f.heading, f.track)
	if drift == 0 {
		way := "from ahead"
		if f.groundspeed > f.tas {
			way = "from behind"
		}
		return []string{
			"no drift: the wind is along the heading",
			fmt.Sprintf("%s: %s - %s = %.0f kt", way, figure(max(f.tas, f.groundspeed)), figure(min(f.tas, f.groundspeed)), w.SpeedKt),
			"the wind is " + said,
		}
	}
	head, across := w.Along(f.heading)
	from := angle.Turn(f.heading, w.FromTrue)
	return []string{
		fmt.Sprintf("wind side: %s at the index, the centre on the %.0f kt arc, a dot where %s meets the %s kt arc; turned until the dot stands below the centre: %s at the index, %.0f kt",
			say.Degrees(f.heading), f.tas, sayAngle(drift, 0), figure(f.groundspeed), say.Degrees(w.FromTrue), w.SpeedKt),
		fmt.Sprintf("drift: from %s to %s is %s", say.Degrees(f.heading), say.Degrees(f.track), sayAngle(drift, 0)),
		fmt.Sprintf("across the heading: %s × sin(%.0f) = %.1f kt, from the %s", figure(f.groundspeed), math.Abs(drift), math.Abs(across), say.LeftRight(across)),
		fmt.Sprintf("along the heading: %s - %s × cos(%.0f) = %s", figure(f.tas), figure(f.groundspeed), math.Abs(drift), sayAlong(head)),
		fmt.Sprintf("strength: root(%.1f × %.1f + %.1f × %.1f) = %.0f kt",
			math.Abs(across), math.Abs(across), math.Abs(head), math.Abs(head), w.SpeedKt),
		fmt.Sprintf("it comes from %.0f° %s of the heading: the wind is %s", math.Abs(from), say.LeftRight(from), said),
	}
}

// windFoundMagnetic asks for the true wind from magnetic directions and a stretch with its time.
func windFoundMagnetic(f flown, distanceNM, minutes, variation float64) Exercise {
	f.groundspeed = math.Round(100*deadreckon.Groundspeed(distanceNM, minutes)) / 100 // as it is printed
	headingMagnetic := deadreckon.MagneticFromTrue(f.heading, variation)
	trackMagnetic := deadreckon.MagneticFromTrue(f.track, variation)
	e := windFound(f, SlideRule)
	e.Task = "wind from a fix"
	e.Given = []Given{
		toward("heading", headingMagnetic, "magnetic"), knots("true airspeed", f.tas),
		toward("track made good", trackMagnetic, "magnetic"), eastward("variation", variation),
		miles("distance", distanceNM), lasting("time", minutes),
	}
	e.Steps = append([]string{
		fmt.Sprintf("groundspeed: 60 × %s / %s = %s kt", figure(distanceNM), figure(minutes), figure(f.groundspeed)),
		fmt.Sprintf("heading: %s = %s true", sum(headingMagnetic, variation), say.Degrees(f.heading)),
		fmt.Sprintf("track: %s = %s true", sum(trackMagnetic, variation), say.Degrees(f.track)),
	}, f.steps()...)
	w := f.wind()
	const text = "that is the wind from magnetic north: winds aloft are true"
	e.slipWind(MagneticForTrue, air.Wind{FromTrue: deadreckon.MagneticFromTrue(w.FromTrue, variation), SpeedKt: w.SpeedKt}, text)
	e.slipWind(MagneticForTrue, air.Wind{FromTrue: deadreckon.MagneticFromTrue(w.FromTrue, 2*variation), SpeedKt: w.SpeedKt},
		"variation to the wrong side: from magnetic to true west is taken away, east added")
	return e
}
