package drill

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
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

// working works out the correction, the heading and the groundspeed, to so many decimals.
func (t triangle) working(decimals int) *sums.Working {
	var w sums.Working
	t.heading(&w)
	t.groundspeed(&w, decimals)
	return &w
}

// heading works out the correction and the heading.
func (t triangle) heading(w *sums.Working) {
	t.correction(w)
	clockCode(w, angle.Turn(t.track, t.wind.FromTrue), t.tas, t.wind)
	w.Line("%s", t.windSide())
	w.WholeDirections(t.HeadingTrue)
	w.Turned("heading true", t.track, t.CorrectionDeg, t.HeadingTrue)
}

// correction works out the correction by trigonometry.
func (t triangle) correction(w *sums.Working) {
	_, across := t.wind.Along(t.track)
	w.Decimals(1, across, t.CorrectionDeg)
	off := w.WindOff("", "track", t.track, t.wind)
	w.Across("", "track", t.wind.SpeedKt, off, across)
	w.Correction("", across, t.tas, t.CorrectionDeg)
}

// clockCode is the correction in the head: the wind abeam by 1 in 60, 60 × wind / true airspeed, and of that a quarter of the hour for
// each 15° that the wind is off the track, all of it from 60° on (taught as the clock code; common practice, no source).
func clockCode(w *sums.Working, off, tasKt float64, wind air.Wind) {
	acute := math.Round(math.Abs(off))
	if acute > 90 {
		w.Line("from the nearer end of the line: 180 - %s = %s", num(acute), worked.Degrees(180-acute))
		acute = 180 - acute
	}
	rule := "in the head, by the clock code"
	if acute > 60 {
		rule += ", all of it beyond 60°"
	}
	minutes := min(acute, 60)
	w.Line("%s: %s / 60 × (60 × %s / %s) = %s", rule, num(minutes), num(wind.SpeedKt), num(tasKt), worked.Degrees(math.Round(minutes*wind.SpeedKt/tasKt)))
}

// windSide is the triangle on the wind side of a circular slide rule with a sliding grid: the dot stands for the wind, the lines for degrees
// and the arcs for knots (as it is taught with the dot above the centre for a heading and below it for a track; from memory).
func (t triangle) windSide() string {
	return "wind side: " + say.Degrees(t.wind.FromTrue) + " at the index, dot " + say.Knots(t.wind.SpeedKt) + " above the centre; then " +
		say.Degrees(t.track) + " at the index, dot on the " + say.Knots(t.tas) + " arc: it lies " + sayAngle(t.CorrectionDeg, 0) + ", and the centre is at " +
		say.Knots(t.GroundspeedKt)
}

// groundspeed works out the groundspeed, to so many decimals.
func (t triangle) groundspeed(w *sums.Working, decimals int) {
	against, _ := t.wind.Along(t.track)
	w.Decimals(1, against)
	w.Decimals(decimals, t.GroundspeedKt)
	w.Along("", "track", t.wind.SpeedKt, angle.Turn(t.track, t.wind.FromTrue), against)
	w.GroundspeedAlong("", t.tas, t.CorrectionDeg, against, t.GroundspeedKt)
}

// groundspeedAlong asks for the groundspeed with the wind on the nose or on the tail.
func groundspeedAlong(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	against, _ := w.Along(track)
	end := "nose"
	if against < 0 {
		end = "tail"
	}
	var steps sums.Working
	steps.Decimals(0, t.GroundspeedKt)
	steps.Line("the wind is on the %s", end)
	steps.Line("groundspeed: %s %s = %s", num(tasKt), worked.Minus(against), worked.Knots(t.GroundspeedKt))
	e := Exercise{
		Task: "along", Tool: InTheHead, Given: t.given(),
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(t.GroundspeedKt), Tolerance: InTheHead.within(0, 1),
		Steps: steps.Plain(),
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
			"from " + say.Degrees(w.FromTrue) + " the wind comes from " + say.Angle.Say(math.Abs(off), 0) + " to the " + say.LeftRight(off) + " of " + say.Degrees(track),
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
	var steps sums.Working
	steps.Decimals(0, rule, t.CorrectionDeg)
	steps.Line("the wind is straight across, from the %s", say.LeftRight(across))
	steps.Line("60 × %s / %s = %s", num(math.Abs(across)), num(tasKt), worked.Sided(rule))
	steps.Line("exactly: asin(%s / %s) = %s", num(math.Abs(across)), num(tasKt), worked.Sided(t.CorrectionDeg))
	e := Exercise{
		Task: "across", Tool: InTheHead, Given: t.given(),
		Question: "How many degrees to which side must the nose point off the track?",
		Form:     Form{Kind: Turn}, Answers: either(rule, t.CorrectionDeg), Tolerance: ruleOfThumb(1),
		Steps: steps.Plain(),
	}
	e.slip(WrongWay, -rule, "corrected away from the wind: the nose goes INTO it")
	return e
}

// headingTrue asks for the heading to steer.
func headingTrue(track, tasKt float64, w air.Wind) Exercise {
	t := solve(track, tasKt, w)
	var steps sums.Working
	t.heading(&steps)
	e := Exercise{
		Task: "heading", Tool: SlideRule, Given: t.given(),
		Question: "What is the true heading?",
		Form:     directionForm("true"), Answers: only(t.HeadingTrue), Tolerance: windSide(),
		Steps: steps.Plain(),
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
		Steps: t.working(0).Plain(),
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
	var steps sums.Working
	steps.WholeDirections(magnetic)
	t.heading(&steps)
	steps.Magnetic("heading magnetic", t.HeadingTrue, variation, magnetic)
	e := Exercise{
		Task: "magnetic heading", Tool: SlideRule, Given: append(t.given(), eastward("variation", variation)),
		Question: "What is the magnetic heading?",
		Form:     directionForm("magnetic"), Answers: only(magnetic), Tolerance: windSide(),
		Steps: steps.Plain(),
	}
	e.slipHeading(t, variation)
	return e
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
	steps := t.working(1)
	steps.Took(minutes, e.Say(Reply{Value: minutes}), "time: 60 × %s / %s", num(distanceNM), num(t.GroundspeedKt))
	e.Steps = steps.Plain()
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
		Steps: drifted(heading, tasKt, w, false),
	}
	e.slip(WrongWay, heading-deadreckon.Drift(heading, track), "drift to the wrong side: the wind blows the aircraft away from where it comes from")
	e.slip(StepLeftOut, heading, "that is the heading: the wind is not in it yet")
	e.slip(Reciprocal, angle.Reciprocal(track), "that is the reciprocal")
	return e
}

// groundspeedMadeGood asks for the groundspeed on a heading.
func groundspeedMadeGood(heading, tasKt float64, w air.Wind) Exercise {
	_, speed := deadreckon.TrackFor(heading, tasKt, w)
	e := Exercise{
		Task: "groundspeed made good", Tool: SlideRule, Given: madeGoodGiven(heading, tasKt, w),
		Question: "What is the groundspeed?",
		Form:     numberForm("kt", 0), Answers: only(speed), Tolerance: windSide(),
		Steps: drifted(heading, tasKt, w, true),
	}
	_, other := deadreckon.TrackFor(angle.Reciprocal(heading), tasKt, w)
	e.slip(Reciprocal, other, "the wind taken the wrong way round: it is given by where it comes FROM")
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the wind is not in it yet")
	return e
}

// drifted works out where a heading leads: on which track and, where that is asked for, how fast.
func drifted(heading, tasKt float64, wind air.Wind, fast bool) []string {
	track, groundspeed := deadreckon.TrackFor(heading, tasKt, wind)
	drift := deadreckon.Drift(heading, track)
	head, across := wind.Along(heading)
	var w sums.Working
	w.Decimals(1, head, across, tasKt-head, drift)
	w.WholeDirections(track)
	w.Decimals(0, groundspeed)
	off := w.WindOff("", "heading", heading, wind)
	w.Across("", "heading", wind.SpeedKt, off, across)
	w.Along("", "heading", wind.SpeedKt, off, head)
	clockCode(&w, off, tasKt, wind)
	w.Line("wind side: %s at the index, dot %s below the centre; then %s at the index, the centre on the %s arc: the dot lies %s, at %s",
		say.Degrees(wind.FromTrue), say.Knots(wind.SpeedKt), say.Degrees(heading), say.Knots(tasKt), sayAngle(drift, 0), say.Knots(groundspeed))
	along := w.Against(tasKt, head)
	if fast {
		w.Vector("groundspeed", along, across, groundspeed)
		return w.Plain()
	}
	w.Off("drift, away from the wind", across, along, drift)
	w.Turned("track", heading, drift, track)
	return w.Plain()
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
	var lines sums.Working
	lines.Decimals(0, w.SpeedKt)
	if drift == 0 {
		way := "from ahead"
		if f.groundspeed > f.tas {
			way = "from behind"
		}
		lines.Line("no drift: the wind is along the heading")
		lines.Line("%s: %s - %s = %s", way, num(max(f.tas, f.groundspeed)), num(min(f.tas, f.groundspeed)), worked.Knots(w.SpeedKt))
		lines.Line("the wind is %s", said)
		return lines.Plain()
	}
	head, across := w.Along(f.heading)
	from := angle.Turn(f.heading, w.FromTrue)
	lines.Decimals(1, head, across)
	lines.Line("wind side: %s at the index, the centre on the %s arc, a dot where %s meets the %s arc; turned until the dot stands below the centre: %s at the index, %s",
		say.Degrees(f.heading), say.Knots(f.tas), sayAngle(drift, 0), worked.Knots(f.groundspeed), say.Degrees(w.FromTrue), say.Knots(w.SpeedKt))
	lines.WindAcross(f.tas, f.groundspeed, f.heading, f.track, w)
	lines.Vector("wind speed", head, across, w.SpeedKt)
	lines.Line("it comes from %s of the heading: the wind is %s", sayAngle(from, 0), said)
	return lines.Plain()
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
	var steps sums.Working
	steps.Groundspeed(distanceNM, minutes, f.groundspeed)
	steps.True("heading true", headingMagnetic, variation, f.heading)
	steps.True("track true", trackMagnetic, variation, f.track)
	e.Steps = append(steps.Plain(), f.steps()...)
	w := f.wind()
	const text = "that is the wind from magnetic north: winds aloft are true"
	e.slipWind(MagneticForTrue, air.Wind{FromTrue: deadreckon.MagneticFromTrue(w.FromTrue, variation), SpeedKt: w.SpeedKt}, text)
	e.slipWind(MagneticForTrue, air.Wind{FromTrue: deadreckon.MagneticFromTrue(w.FromTrue, 2*variation), SpeedKt: w.SpeedKt},
		"variation to the wrong side: from magnetic to true west is taken away, east added")
	return e
}
