package drill

import (
	"fmt"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

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
	return []Given{toward("heading", heading, "magnetic"), given("relative bearing", "%s", say.Degrees(relative))}
}

// qdmStep adds a relative bearing to a heading.
func qdmStep(heading, relative, qdm float64) string {
	return fmt.Sprintf("QDM, heading and relative bearing: %s = %s", sum(heading, relative), say.Degrees(qdm))
}

// bearingTo asks for the QDM.
func bearingTo(heading, relative float64) Exercise {
	qdm := radio.QDM(heading, relative)
	e := Exercise{
		Task: "QDM", Tool: InTheHead, Given: adfGiven(heading, relative),
		Question: "What is the QDM, the magnetic bearing to the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdm), Tolerance: adding(),
		Steps: []string{qdmStep(heading, relative, qdm)},
	}
	e.slip(Reciprocal, angle.Reciprocal(qdm), "that is the QDR, the bearing FROM the beacon")
	e.slip(WrongWay, angle.Wrap360(heading-relative), "taken away instead of added")
	e.slip(StepLeftOut, relative, "that is the relative bearing: it counts from the nose, not from north")
	return e
}

// bearingFrom asks for the QDR.
func bearingFrom(heading, relative float64) Exercise {
	qdm, qdr := radio.QDM(heading, relative), radio.QDR(heading, relative)
	e := Exercise{
		Task: "QDR", Tool: InTheHead, Given: adfGiven(heading, relative),
		Question: "What is the QDR, the magnetic bearing from the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdr), Tolerance: adding(),
		Steps: []string{
			qdmStep(heading, relative, qdm),
			fmt.Sprintf("QDR, the other way: %s = %s", sum(qdm, reciprocalOf(qdm)), say.Degrees(qdr)),
		},
	}
	e.slip(Reciprocal, qdm, "that is the QDM, the bearing TO the beacon")
	e.slip(WrongWay, angle.Reciprocal(heading-relative), "taken away instead of added")
	return e
}

// relativeOf asks what the needle will show.
func relativeOf(heading, qdm float64) Exercise {
	relative := radio.RelativeBearing(heading, qdm)
	e := Exercise{
		Task: "relative bearing", Tool: InTheHead,
		Given:    []Given{toward("heading", heading, "magnetic"), toward("QDM", qdm, "magnetic")},
		Question: "What relative bearing does the needle show?",
		Form:     directionForm("relative"), Answers: only(relative), Tolerance: adding(),
		Steps: []string{fmt.Sprintf("QDM - heading: %s = %s", sum(qdm, -float64(angle.Whole(heading))), say.Degrees(relative))},
	}
	e.slip(WrongWay, angle.Wrap360(heading-qdm), "turned round: from the bearing the heading is taken away")
	e.slip(Reciprocal, angle.Reciprocal(relative), "that is the tail of the needle")
	return e
}

// trueBearingFrom asks for the QTE, to be drawn on a chart.
func trueBearingFrom(heading, relative, variation float64) Exercise {
	qdm, qdr := radio.QDM(heading, relative), radio.QDR(heading, relative)
	qte := deadreckon.TrueFromMagnetic(qdr, variation)
	e := Exercise{
		Task: "QTE", Tool: InTheHead, Given: append(adfGiven(heading, relative), eastward("variation", variation)),
		Question: "What is the QTE, the true bearing from the beacon, to draw on the chart?",
		Form:     directionForm("true"), Answers: only(qte), Tolerance: adding(),
		Steps: []string{
			qdmStep(heading, relative, qdm),
			fmt.Sprintf("QDR, the other way: %s = %s", sum(qdm, reciprocalOf(qdm)), say.Degrees(qdr)),
			fmt.Sprintf("%s: %s = %s", putOn(variation), sum(qdr, variation), say.Degrees(qte)),
		},
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
	e := Exercise{
		Task: "QDM by compass", Tool: InTheHead,
		Given: []Given{
			toward("heading", compass, "compass"), eastward("deviation", deviation), given("relative bearing", "%s", say.Degrees(relative)),
		},
		Question: "What is the QDM, the magnetic bearing to the beacon?",
		Form:     directionForm("magnetic"), Answers: only(qdm), Tolerance: adding(),
		Steps: []string{
			fmt.Sprintf("deviation, %s: %s = %s magnetic", putOn(deviation), sum(compass, deviation), say.Degrees(heading)),
			qdmStep(heading, relative, qdm),
		},
	}
	e.slip(Reciprocal, angle.Reciprocal(qdm), "that is the QDR, the bearing FROM the beacon")
	e.slip(StepLeftOut, qdm-deviation, "deviation is left out")
	e.slip(WrongWay, qdm-2*deviation, "deviation to the wrong side: from compass to magnetic west is taken away, east added")
	e.slip(WrongWay, angle.Wrap360(heading-relative), "taken away instead of added")
	return e
}
