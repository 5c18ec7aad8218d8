package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/say"
)

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
