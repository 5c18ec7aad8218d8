package drill

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
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
		Given:    []Given{toward("course selected", course, "magnetic"), {"the aircraft is on radial", say.Degrees(radial)}},
		Question: "What does the flag show?", Tolerance: exactly(),
		Steps: []string{
			"radial " + say.Degrees(radial) + " leads FROM the station; the course selected is " + say.Angle.Say(off, 0) + " off it",
			compared + " 90°: " + sense.String(),
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
			toward("course selected", course, "magnetic"),
			{"the flag", sense},
			{"the needle stands off by", sayAngle(needleDeg, 0)},
		},
		Question: "On which radial is the aircraft?",
		Form:     directionForm("magnetic"), Answers: only(radial), Tolerance: adding(),
	}
	var w sums.Working
	line := lineOfCourse(&w, course, sense)
	off := angle.Turn(line, radial)
	if needleDeg != 0 {
		w.Line("the needle points %s, facing along the course: the aircraft stands %s of the line", say.LeftRight(needleDeg), say.LeftRight(-needleDeg))
		w.Turned("radial", line, off, radial)
	}
	e.Steps = w.Plain()
	e.slip(Reciprocal, angle.Reciprocal(radial), "that is the reciprocal: a radial counts FROM the station")
	e.slip(WrongWay, line-off, "off to the wrong side: the needle points to the line, the aircraft is on the other side of it")
	e.slip(Reciprocal, angle.Reciprocal(line-off), "that is the reciprocal: a radial counts FROM the station")
	e.slip(StepLeftOut, line, "that is the line of the course: the needle is left out")
	return e
}

// lineOfCourse works out the radial on which the line of a course lies.
func lineOfCourse(w *sums.Working, course float64, sense string) (radial float64) {
	if sense != radio.To.String() {
		w.Line("FROM, the line of the course lies on the radial %s", say.Degrees(course))
		return course
	}
	return reciprocal(w, "TO, the line of the course lies on the radial", course)
}

// reciprocal works the opposite direction out.
func reciprocal(w *sums.Working, label string, direction float64) float64 {
	opposite := angle.Reciprocal(direction)
	w.WholeDirections(opposite)
	w.Turned(label, direction, reciprocalOf(direction), opposite)
	return opposite
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
	var w sums.Working
	w.Line("inbound is against the radial, with TO")
	course := reciprocal(&w, "course", radial)
	e := Exercise{
		Task: "course inbound", Tool: InTheHead,
		Given:    []Given{{"the aircraft is on radial", say.Degrees(radial)}, {"it flies", "to the station"}},
		Question: "What course is selected, so that turning towards the needle is right?",
		Form:     directionForm("magnetic"), Answers: only(course), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(Reciprocal, radial, "that shows FROM and the needle works the wrong way round: inbound is the reciprocal of the radial")
	return e
}

// needle asks for the needle.
func needle(course, radial float64) Exercise {
	sense, off := radio.CourseReading(course, radial)
	e := Exercise{
		Task: "needle", Tool: InTheHead,
		Given:    []Given{toward("course selected", course, "magnetic"), {"the aircraft is on radial", say.Degrees(radial)}},
		Question: "How many degrees to which side does the needle stand?",
		Form:     Form{Kind: Turn}, Answers: only(off), Tolerance: adding(),
	}
	var w sums.Working
	lineOfCourse(&w, course, sense.String())
	w.Line("facing along the course the aircraft stands %s of it", sayAngle(-off, 0))
	w.Line("the needle points to the line: %s", sayAngle(off, 0))
	e.Steps = w.Plain()
	e.slip(WrongWay, -off, "the needle points to the line, the aircraft is on the other side of it; with TO look towards the station")
	return e
}

// radialOfBearing asks for the radial of a true bearing.
func radialOfBearing(bearingTrue, variation float64) Exercise {
	radial := deadreckon.MagneticFromTrue(bearingTrue, variation)
	var w sums.Working
	w.Magnetic("radial", bearingTrue, variation, radial)
	e := Exercise{
		Task: "radial of a bearing", Tool: InTheHead,
		Given: []Given{
			toward("bearing of the place from the VOR, on the chart", bearingTrue, "true"), eastward("the station's own variation", variation),
		},
		Question: "On which radial is the place?",
		Form:     directionForm("magnetic"), Answers: only(radial), Tolerance: adding(),
		Steps: w.Plain(),
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
			{"the flag", sense.String()},
			{"the needle stands off by", sayAngle(off, 0)},
		},
		Question: "To which side must the aircraft turn to reach the line of the course?", Tolerance: exactly(),
		Steps: []string{
			"heading " + say.Degrees(heading) + " is " + say.Angle.Say(math.Abs(angle.Turn(heading, course)), 0) + " from the course " + say.Degrees(course),
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

func relativeTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			heading := d.from(10, 350, 5)
			return bearingTo(heading, d.from(5, 360-heading, 5))
		}},
		{
			func(d *draw) Exercise {
				heading := d.from(100, 360, 1)
				return bearingTo(heading, d.from(361-heading, 359, 1))
			},
			func(d *draw) Exercise { return bearingFrom(d.direction(1), d.from(1, 359, 1)) },
			func(d *draw) Exercise { return relativeOf(d.direction(1), d.direction(1)) },
		},
		{
			func(d *draw) Exercise { return trueBearingFrom(d.direction(1), d.from(1, 359, 1), d.signed(2, 14, 1)) },
			func(d *draw) Exercise {
				return bearingToByCompass(d.direction(1), d.signed(1, 4, 1), d.from(1, 359, 1))
			},
		},
	}
}

func adfGiven(heading, relative float64) []Given {
	return []Given{toward("heading", heading, "magnetic"), {"relative bearing", say.Degrees(relative)}}
}

// adfWorking adds a relative bearing to a heading for the QDM and, where that is asked for, works out the QDR.
func adfWorking(w *sums.Working, heading, relative, qdm float64, qdr bool) {
	w.Turned("QDM, heading and relative bearing", heading, relative, qdm)
	if qdr {
		reciprocal(w, "QDR, the other way", qdm)
	}
}

// bearingTo asks for the QDM.
func bearingTo(heading, relative float64) Exercise {
	qdm := radio.QDM(heading, relative)
	var w sums.Working
	adfWorking(&w, heading, relative, qdm, false)
	e := Exercise{
		Task: "QDM", Tool: InTheHead, Given: adfGiven(heading, relative),
		Question: "What is the QDM, the magnetic bearing to the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdm), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(Reciprocal, angle.Reciprocal(qdm), "that is the QDR, the bearing FROM the beacon")
	e.slip(WrongWay, angle.Wrap360(heading-relative), "taken away instead of added")
	e.slip(StepLeftOut, relative, "that is the relative bearing: it counts from the nose, not from north")
	return e
}

// bearingFrom asks for the QDR.
func bearingFrom(heading, relative float64) Exercise {
	qdm, qdr := radio.QDM(heading, relative), radio.QDR(heading, relative)
	var w sums.Working
	adfWorking(&w, heading, relative, qdm, true)
	e := Exercise{
		Task: "QDR", Tool: InTheHead, Given: adfGiven(heading, relative),
		Question: "What is the QDR, the magnetic bearing from the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdr), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(Reciprocal, qdm, "that is the QDM, the bearing TO the beacon")
	e.slip(WrongWay, angle.Reciprocal(heading-relative), "taken away instead of added")
	return e
}

// relativeOf asks what the needle will show.
func relativeOf(heading, qdm float64) Exercise {
	relative := radio.RelativeBearing(heading, qdm)
	var w sums.Working
	w.Turned("QDM - heading", qdm, -float64(angle.Whole(heading)), relative)
	e := Exercise{
		Task: "relative bearing", Tool: InTheHead,
		Given:    []Given{toward("heading", heading, "magnetic"), toward("QDM", qdm, "magnetic")},
		Question: "What relative bearing does the needle show?",
		Form:     directionForm("relative"), Answers: only(relative), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(WrongWay, angle.Wrap360(heading-qdm), "turned round: from the bearing the heading is taken away")
	e.slip(Reciprocal, angle.Reciprocal(relative), "that is the tail of the needle")
	return e
}

// trueBearingFrom asks for the QTE, to be drawn on a chart.
func trueBearingFrom(heading, relative, variation float64) Exercise {
	qdm, qdr := radio.QDM(heading, relative), radio.QDR(heading, relative)
	qte := deadreckon.TrueFromMagnetic(qdr, variation)
	var w sums.Working
	adfWorking(&w, heading, relative, qdm, true)
	w.True("QTE", qdr, variation, qte)
	e := Exercise{
		Task: "QTE", Tool: InTheHead, Given: append(adfGiven(heading, relative), eastward("variation", variation)),
		Question: "What is the QTE, the true bearing from the beacon, to draw on the chart?",
		Form:     directionForm("true"), Answers: only(qte), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(Reciprocal, angle.Reciprocal(qte), "that is the true bearing TO the beacon")
	e.slip(MagneticForTrue, qdr, "that is the QDR: variation is left out")
	e.slip(MagneticForTrue, deadreckon.MagneticFromTrue(qdr, variation), "variation to the wrong side: from magnetic to true west is taken away, east added")
	e.slip(StepLeftOut, qdm, "that is the QDM: it leads TO the beacon and counts from magnetic north")
	return e
}

// bearingToByCompass asks for the QDM from a compass heading.
func bearingToByCompass(compass, deviation, relative float64) Exercise {
	heading := angle.Wrap360(compass + deviation)
	qdm := radio.QDM(heading, relative)
	var w sums.Working
	w.True("heading magnetic", compass, deviation, heading)
	adfWorking(&w, heading, relative, qdm, false)
	e := Exercise{
		Task: "QDM by compass", Tool: InTheHead,
		Given: []Given{
			toward("heading", compass, "compass"), eastward("deviation", deviation), {"relative bearing", say.Degrees(relative)},
		},
		Question: "What is the QDM, the magnetic bearing to the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdm), Tolerance: adding(),
		Steps: w.Plain(),
	}
	e.slip(Reciprocal, angle.Reciprocal(qdm), "that is the QDR, the bearing FROM the beacon")
	e.slip(StepLeftOut, qdm-deviation, "deviation is left out")
	e.slip(WrongWay, qdm-2*deviation, "deviation to the wrong side: from compass to magnetic west is taken away, east added")
	e.slip(WrongWay, angle.Wrap360(heading-relative), "taken away instead of added")
	return e
}

func slantTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise { return overhead(d.from(4000, 24000, 1000)) }},
		{
			func(d *draw) Exercise {
				height := d.from(6000, 14000, 500)
				return groundDistance(math.Round(10*(height/air.FeetPerNM+d.from(0.2, 1.2, 0.1)))/10, height)
			},
			func(d *draw) Exercise { return slantDistance(d.from(0.5, 2.5, 0.1), d.from(6000, 14000, 500)) },
		},
		{func(d *draw) Exercise {
			elevation := d.from(500, 3000, 50)
			altitude := d.from(9000, 15000, 500)
			reading := math.Round(10*((altitude-elevation)/air.FeetPerNM+d.from(0.2, 0.9, 0.1))) / 10
			return groundDistanceAt(reading, altitude, elevation)
		}},
	}
}

// aTenth is the tolerance of a DME, which shows tenths.
func aTenth() Tolerance { return Tolerance{By: 0.1, Why: "a DME shows tenths of a mile"} }

// overhead asks what a DME shows overhead.
func overhead(heightFt float64) Exercise {
	reading := radio.SlantRangeNM(0, heightFt)
	var w sums.Working
	w.Line("overhead only the height is left, and a mile is about 6000 ft (6076)")
	w.Decimals(1, reading)
	w.HeightInMiles(heightFt)
	e := Exercise{
		Task: "overhead", Tool: InTheHead,
		Given:    []Given{feet("height above the station", heightFt), {"the aircraft is", "overhead"}},
		Question: "What does the DME show?",
		Form:     numberForm("nm", 1), Answers: only(reading), Tolerance: aTenth(),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, 0, "zero is the distance over the ground: a DME measures slantwise")
	e.slip(WrongFigure, heightFt/1000, "thousands of feet are not miles: a mile is about 6000 ft")
	return e
}

// groundDistance asks for the distance over the ground of a DME reading.
func groundDistance(slantNM, heightFt float64) Exercise {
	ground, _ := radio.GroundRangeNM(slantNM, heightFt)
	var w sums.Working
	w.Decimals(1, ground)
	height := w.HeightInMiles(heightFt)
	w.Leg("over the ground", slantNM, height, ground)
	e := Exercise{
		Task: "ground distance", Tool: SlideRule,
		Given:    []Given{miles("the DME shows", slantNM), feet("height above the station", heightFt)},
		Question: "How far is the station over the ground?",
		Form:     numberForm("nm", 1), Answers: only(ground), Tolerance: aTenth(),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, slantNM, "that is the slant range: the height is still in it")
	e.slip(WrongFigure, slantNM-height, "height taken from the range: they are two sides of a right triangle, square them")
	e.slip(UpsideDown, math.Hypot(slantNM, height), "squares added: the slant range is the longest side already")
	return e
}

// slantDistance asks what a DME shows at a distance over the ground.
func slantDistance(groundNM, heightFt float64) Exercise {
	reading := radio.SlantRangeNM(groundNM, heightFt)
	var w sums.Working
	w.Decimals(1, reading)
	height := w.HeightInMiles(heightFt)
	w.Slant("slant range", groundNM, height, reading)
	e := Exercise{
		Task: "slant range", Tool: SlideRule,
		Given:    []Given{miles("distance over the ground", groundNM), feet("height above the station", heightFt)},
		Question: "What does the DME show?",
		Form:     numberForm("nm", 1), Answers: only(reading), Tolerance: aTenth(),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, groundNM, "that is the distance over the ground: a DME measures slantwise")
	e.slip(WrongFigure, groundNM+height, "height and distance added: they are two sides of a right triangle, square them")
	return e
}

// groundDistanceAt asks for the distance over the ground from an altitude and the station's elevation.
func groundDistanceAt(slantNM, altitudeFt, elevationFt float64) Exercise {
	e := groundDistance(slantNM, altitudeFt-elevationFt)
	e.Task = "ground distance from altitude"
	e.Given = []Given{miles("the DME shows", slantNM), feet("altitude", altitudeFt), feet("elevation of the station", elevationFt)}
	var w sums.Working
	w.Line("above the station: %s - %s = %s", num(altitudeFt), num(elevationFt), worked.Feet(altitudeFt-elevationFt))
	e.Steps = append(w.Plain(), e.Steps...)
	wrong, _ := radio.GroundRangeNM(slantNM, altitudeFt)
	e.slip(WrongFigure, wrong, "the altitude taken for the height above the station")
	return e
}
