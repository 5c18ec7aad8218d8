package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

func radialTasks() [3][]task {
	sense := func(d *draw) string { return oneOf(d, radio.To, radio.From).String() }
	return [3][]task{
		{
			func(d *draw) Exercise {
				radial := d.direction(10)
				off := oneOf(d, 0.0, 10, 20, 30, 40, 60, 120, 140, 150, 160, 170, 180)
				return flag(angle.Wrap360(radial+oneOf(d, off, -off)), radial)
			},
			func(d *draw) Exercise { return radialCentred(d.direction(5), sense(d)) },
			func(d *draw) Exercise { return courseInbound(d.direction(5)) },
		},
		{
			func(d *draw) Exercise {
				radial := d.direction(1)
				off := d.signed(2, 9, 1)
				if d.yes() {
					off += 180
				}
				return needle(angle.Wrap360(radial+off), radial)
			},
			func(d *draw) Exercise { return radialOfBearing(d.direction(1), d.signed(2, 12, 1)) },
		},
		{
			func(d *draw) Exercise { return radialFromNeedle(d.direction(1), sense(d), d.signed(2, 9, 1)) },
			func(d *draw) Exercise {
				course := d.direction(1)
				radial := angle.Wrap360(course + d.signed(2, 9, 1) + oneOf(d, 0.0, 180))
				heading := angle.Wrap360(course + d.signed(0, 40, 5) + oneOf(d, 0.0, 180))
				return lineSide(heading, course, radial)
			},
		},
	}
}

// flag asks what the flag of a VOR receiver shows.
func flag(course, radial float64) Exercise {
	sense, _ := radio.CourseReading(course, radial)
	off := math.Abs(angle.Turn(radial, course))
	compared := "more than"
	if off < 90 {
		compared = "less than"
	}
	e := Exercise{
		Task: "flag", Tool: InTheHead,
		Given:    []Given{toward("course selected", course, "magnetic"), given("the aircraft is on radial", "%s", say.Degrees(radial))},
		Question: "What does the flag show?", Tolerance: exactly(),
		Steps: []string{
			fmt.Sprintf("radial %s leads FROM the station; the course selected is %.0f° off it", say.Degrees(radial), off),
			fmt.Sprintf("%s 90°: %s", compared, sense),
		},
	}
	e.Form, e.Answers = choose(sense.String(), "TO", "FROM")
	e.slip(Reciprocal, 1-e.Answers[0].Value, "the flag compares the course with the radial, not with the heading: within 90° of the radial it is FROM")
	return e
}

// radialsReading finds the whole radials on which a receiver shows a flag and a needle.
func radialsReading(course float64, sense string, needleDeg float64) (radials []float64) {
	for radial := 1.0; radial <= 360; radial++ {
		if flag, off := radio.CourseReading(course, radial); flag.String() == sense && math.Abs(off-needleDeg) < 0.01 {
			radials = append(radials, radial)
		}
	}
	return radials
}

// radialCentred asks for the radial when the needle is centred.
func radialCentred(course float64, sense string) Exercise {
	e := radialFromNeedle(course, sense, 0)
	e.Task, e.Tool = "centred", InTheHead
	e.Given[2] = Given{"the needle", "centred"}
	return e
}

// radialFromNeedle asks for the radial from course, flag and needle.
func radialFromNeedle(course float64, sense string, needleDeg float64) Exercise {
	radial := radialsReading(course, sense, needleDeg)[0]
	e := Exercise{
		Task: "radial", Tool: InTheHead,
		Given: []Given{
			toward("course selected", course, "magnetic"), given("the flag", "%s", sense),
			given("the needle stands off by", "%s", sayAngle(needleDeg, 0)),
		},
		Question: "On which radial is the aircraft?",
		Form:     directionForm("magnetic"), Answers: only(radial), Tolerance: adding(),
	}
	line := course
	if sense == radio.To.String() {
		line = angle.Reciprocal(course)
		e.Steps = append(e.Steps, fmt.Sprintf("TO: the line of the course is the radial %s = %s", sum(course, reciprocalOf(course)), say.Degrees(line)))
	} else {
		e.Steps = append(e.Steps, "FROM: the line of the course is the radial "+say.Degrees(line))
	}
	off := angle.Turn(line, radial)
	if needleDeg != 0 {
		e.Steps = append(e.Steps, fmt.Sprintf("the needle points %s, facing along the course: the aircraft stands %s of the line", say.LeftRight(needleDeg), say.LeftRight(-needleDeg)),
			fmt.Sprintf("%s = %s", sum(line, off), say.Degrees(radial)))
	}
	e.slip(Reciprocal, angle.Reciprocal(radial), "that is the reciprocal: a radial counts FROM the station")
	e.slip(WrongWay, line-off, "off to the wrong side: the needle points to the line, the aircraft is on the other side of it")
	e.slip(Reciprocal, angle.Reciprocal(line-off), "that is the reciprocal: a radial counts FROM the station")
	e.slip(StepLeftOut, line, "that is the line of the course: the needle is left out")
	return e
}

// reciprocalOf is what leads to the reciprocal without leaving the circle: 180 added or taken away.
func reciprocalOf(direction float64) float64 {
	if angle.Whole(direction) > 180 {
		return -180
	}
	return 180
}

// courseInbound asks which course leads to the station with the needle in the right sense.
func courseInbound(radial float64) Exercise {
	course := angle.Reciprocal(radial)
	e := Exercise{
		Task: "course inbound", Tool: InTheHead,
		Given:    []Given{given("the aircraft is on radial", "%s", say.Degrees(radial)), {"it flies", "to the station"}},
		Question: "What course is selected, so that turning towards the needle is right?",
		Form:     directionForm("magnetic"), Answers: only(course), Tolerance: adding(),
		Steps: []string{
			"inbound is against the radial, with TO",
			fmt.Sprintf("%s = %s", sum(radial, reciprocalOf(radial)), say.Degrees(course)),
		},
	}
	e.slip(Reciprocal, radial, "that shows FROM and the needle works the wrong way round: inbound is the reciprocal of the radial")
	return e
}

// needle asks for the needle.
func needle(course, radial float64) Exercise {
	sense, off := radio.CourseReading(course, radial)
	e := Exercise{
		Task: "needle", Tool: InTheHead,
		Given:    []Given{toward("course selected", course, "magnetic"), given("the aircraft is on radial", "%s", say.Degrees(radial))},
		Question: "How many degrees to which side does the needle stand?",
		Form:     Form{Kind: Turn}, Answers: only(off), Tolerance: adding(),
	}
	line := course
	if sense == radio.To {
		line = angle.Reciprocal(course)
		e.Steps = []string{fmt.Sprintf("TO: the line of the course is the radial %s = %s", sum(course, reciprocalOf(course)), say.Degrees(line))}
	} else {
		e.Steps = []string{"FROM: the line of the course is the radial " + say.Degrees(line)}
	}
	e.Steps = append(e.Steps,
		fmt.Sprintf("facing along the course the aircraft stands %.0f° %s of it", math.Abs(off), say.LeftRight(-off)),
		"the needle points to the line: "+sayAngle(off, 0))
	e.slip(WrongWay, -off, "the needle points to the line, the aircraft is on the other side of it; with TO look towards the station")
	return e
}

// radialOfBearing asks for the radial of a true bearing.
func radialOfBearing(bearingTrue, variation float64) Exercise {
	radial := deadreckon.MagneticFromTrue(bearingTrue, variation)
	e := Exercise{
		Task: "radial of a bearing", Tool: InTheHead,
		Given: []Given{
			toward("bearing of the place from the VOR, on the chart", bearingTrue, "true"), eastward("the station's own variation", variation),
		},
		Question: "On which radial is the place?",
		Form:     directionForm("magnetic"), Answers: only(radial), Tolerance: adding(),
		Steps: []string{fmt.Sprintf("%s: %s = %s", takenOff(variation), sum(bearingTrue, -variation), say.Degrees(radial))},
	}
	e.slip(MagneticForTrue, bearingTrue, "that is the true bearing: radials count from the station's magnetic north")
	e.slip(MagneticForTrue, deadreckon.TrueFromMagnetic(bearingTrue, variation), "variation to the wrong side: west is added, east taken away")
	e.slip(Reciprocal, angle.Reciprocal(radial), "that is the reciprocal: a radial counts FROM the station")
	return e
}

// lineSide asks on which side of the aircraft the line of the course lies.
func lineSide(heading, course, radial float64) Exercise {
	sense, off := radio.CourseReading(course, radial)
	reverse := radio.ReverseSensing(heading, course)
	answer := "LEFT"
	if (off > 0) != reverse {
		answer = "RIGHT"
	}
	e := Exercise{
		Task: "side of the line", Tool: InTheHead,
		Given: []Given{
			toward("heading", heading, "magnetic"), toward("course selected", course, "magnetic"),
			given("the flag", "%s", sense), given("the needle stands off by", "%s", sayAngle(off, 0)),
		},
		Question: "To which side must the aircraft turn to reach the line of the course?", Tolerance: exactly(),
		Steps: []string{
			fmt.Sprintf("heading %s is %.0f° from the course %s", say.Degrees(heading), math.Abs(angle.Turn(heading, course)), say.Degrees(course)),
			"less than 90°: turn towards the needle, " + answer,
		},
	}
	if reverse {
		e.Steps[1] = "more than 90°: the needle works the wrong way round, turn away from it, " + answer
	}
	e.Form, e.Answers = choose(answer, "LEFT", "RIGHT")
	e.slip(WrongWay, 1-e.Answers[0].Value, "a needle is right only when the heading is within 90° of the course selected")
	return e
}
