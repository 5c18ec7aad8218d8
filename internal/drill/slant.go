package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/radio"
)

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
	e := Exercise{
		Task: "overhead", Tool: InTheHead,
		Given:    []Given{feet("height above the station", heightFt), {"the aircraft is", "overhead"}},
		Question: "What does the DME show?",
		Form:     numberForm("nm", 1), Answers: only(reading), Tolerance: aTenth(),
		Steps: []string{
			"overhead only the height is left, and a mile has about 6000 ft (6076)",
			fmt.Sprintf("%s / 6076 = %.1f nm", figure(heightFt), reading),
		},
	}
	e.slip(StepLeftOut, 0, "zero is the distance over the ground: a DME measures slantwise")
	e.slip(WrongFigure, heightFt/1000, "thousands of feet are not miles: a mile has about 6000 ft")
	return e
}

// inMiles works a height out in miles.
func inMiles(heightFt float64) string {
	return fmt.Sprintf("height: %s / 6076 = %.2f nm", figure(heightFt), heightFt/air.FeetPerNM)
}

// groundDistance asks for the distance over the ground of a DME reading.
func groundDistance(slantNM, heightFt float64) Exercise {
	ground, _ := radio.GroundRangeNM(slantNM, heightFt)
	height := heightFt / air.FeetPerNM
	e := Exercise{
		Task: "ground distance", Tool: SlideRule,
		Given:    []Given{miles("the DME shows", slantNM), feet("height above the station", heightFt)},
		Question: "How far is the station over the ground?",
		Form:     numberForm("nm", 1), Answers: only(ground), Tolerance: aTenth(),
		Steps: []string{
			inMiles(heightFt),
			fmt.Sprintf("root(%s × %s - %.2f × %.2f) = %.1f nm", figure(slantNM), figure(slantNM), height, height, ground),
		},
	}
	e.slip(StepLeftOut, slantNM, "that is the slant range: the height is still in it")
	e.slip(WrongFigure, slantNM-height, "height taken from the range: they are two sides of a right triangle, square them")
	e.slip(UpsideDown, math.Hypot(slantNM, height), "squares added: the slant range is the longest side already")
	return e
}

// slantDistance asks what a DME shows at a distance over the ground.
func slantDistance(groundNM, heightFt float64) Exercise {
	reading := radio.SlantRangeNM(groundNM, heightFt)
	height := heightFt / air.FeetPerNM
	e := Exercise{
		Task: "slant range", Tool: SlideRule,
		Given:    []Given{miles("distance over the ground", groundNM), feet("height above the station", heightFt)},
		Question: "What does the DME show?",
		Form:     numberForm("nm", 1), Answers: only(reading), Tolerance: aTenth(),
		Steps: []string{
			inMiles(heightFt),
			fmt.Sprintf("root(%s × %s + %.2f × %.2f) = %.1f nm", figure(groundNM), figure(groundNM), height, height, reading),
		},
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
	e.Steps = append([]string{fmt.Sprintf("above the station: %s - %s = %s ft", figure(altitudeFt), figure(elevationFt), figure(altitudeFt-elevationFt))}, e.Steps...)
	wrong, _ := radio.GroundRangeNM(slantNM, altitudeFt)
	e.slip(WrongFigure, wrong, "the altitude taken for the height above the station")
	return e
}
