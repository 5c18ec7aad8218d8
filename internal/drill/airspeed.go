package drill

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
)

func airspeedTasks() [3][]task {
	return [3][]task{
		{func(d *draw) Exercise {
			return airspeedInHead(oneOf(d, 80.0, 90, 100, 110, 120), d.from(3000, 10000, 1000))
		}},
		{func(d *draw) Exercise {
			altitude := d.from(3000, 10000, 500)
			return airspeed(d.from(80, 130, 1), altitude, drawTemperature(d, altitude))
		}},
		{
			func(d *draw) Exercise {
				altitude := d.from(3000, 9500, 500)
				return airspeedOnQNH(d.from(80, 130, 1), altitude, d.from(985, 1035, 1), drawTemperature(d, altitude))
			},
			func(d *draw) Exercise {
				altitude := d.from(3000, 10000, 500)
				return calibratedFor(d.from(90, 135, 1), altitude, drawTemperature(d, altitude))
			},
		},
	}
}

// drawTemperature draws a temperature that is 6 to 18 degrees warmer or colder than standard.
func drawTemperature(d *draw, altitudeFt float64) float64 {
	return math.Round(air.ISATemperatureC(altitudeFt) + d.signed(6, 18, 1))
}

// twoKnots is the tolerance of the airspeed window of a slide rule.
func twoKnots() Tolerance {
	return Tolerance{By: 2, Why: "the airspeed window is set by altitude and temperature: 2 kt"}
}

func celsius(value float64) Given { return given("temperature", "%s °C", figure(value)) }

// airspeedInHead asks for the true airspeed by the rule of 2 % for 1,000 ft.
func airspeedInHead(casKt, altitudeFt float64) Exercise {
	rule := air.TASRule(casKt, altitudeFt)
	exact := air.TASFromCAS(casKt, altitudeFt, air.ISATemperatureC(altitudeFt))
	e := Exercise{
		Task: "rule", Tool: InTheHead,
		Given:    []Given{knots("calibrated airspeed", casKt), feet("pressure altitude", altitudeFt), {"temperature", "standard"}},
		Question: "What is the true airspeed?",
		Form:     numberForm("kt", 0), Answers: either(rule, exact), Tolerance: ruleOfThumb(1),
		Steps: []string{
			fmt.Sprintf("2 %% for each 1000 ft: 2 × %s / 1000 = %s %%", figure(altitudeFt), figure(2*altitudeFt/1000)),
			fmt.Sprintf("%s + %s × %s / 100 = %.0f kt", figure(casKt), figure(casKt), figure(2*altitudeFt/1000), rule),
			fmt.Sprintf("density ratio of the standard atmosphere at %s ft, from the table: %.4f", figure(altitudeFt), air.DensityRatio(altitudeFt, air.ISATemperatureC(altitudeFt))),
			trueStep("exactly", casKt, air.DensityRatio(altitudeFt, air.ISATemperatureC(altitudeFt)), exact),
		},
	}
	e.slip(StepLeftOut, casKt, "that is the calibrated airspeed: thin air is not in it yet")
	e.slip(WrongWay, 2*casKt-rule, "taken away instead of added: thin air makes the true airspeed the higher one")
	return e
}

// trueStep works the true airspeed out from the density of the air.
func trueStep(name string, casKt, densityRatio, tasKt float64) string {
	return fmt.Sprintf("%s: %s / root(density ratio %.4f) = %.0f kt", name, figure(casKt), densityRatio, tasKt)
}

// densitySteps are the setting of the airspeed window, and the density of the air from the standard atmosphere's table (ICAO Doc 7488: at
// sea level 288.15 K) and the temperature.
func densitySteps(pressureAltitudeFt, temperatureC float64) []string {
	const kelvin, seaLevelK = 273.15, 288.15
	density := air.DensityRatio(pressureAltitudeFt, temperatureC)
	pressure := density * (kelvin + temperatureC) / seaLevelK
	return []string{
		fmt.Sprintf("airspeed window: %s °C against %.0f ft", figure(temperatureC), pressureAltitudeFt),
		fmt.Sprintf("pressure ratio of the standard atmosphere there, from the table: %.4f", pressure),
		fmt.Sprintf("density ratio: %.4f × %g / (%g %s %s) = %.4f", pressure, seaLevelK, kelvin, sign(temperatureC), figure(math.Abs(temperatureC)), density),
	}
}

// airspeed asks for the true airspeed.
func airspeed(casKt, pressureAltitudeFt, temperatureC float64) Exercise {
	tas := air.TASFromCAS(casKt, pressureAltitudeFt, temperatureC)
	e := Exercise{
		Task: "true airspeed", Tool: SlideRule,
		Given:    []Given{knots("calibrated airspeed", casKt), feet("pressure altitude", pressureAltitudeFt), celsius(temperatureC)},
		Question: "What is the true airspeed?",
		Form:     numberForm("kt", 0), Answers: only(tas), Tolerance: twoKnots(),
		Steps: append(densitySteps(pressureAltitudeFt, temperatureC), trueStep("true over calibrated", casKt, air.DensityRatio(pressureAltitudeFt, temperatureC), tas)),
	}
	e.slip(StepLeftOut, casKt, "that is the calibrated airspeed: thin air is not in it yet")
	e.slip(WrongWay, air.CASFromTAS(casKt, pressureAltitudeFt, temperatureC), "read the other way: calibrated stands inside, true outside")
	if temperatureC != 0 {
		e.slip(WrongWay, air.TASFromCAS(casKt, pressureAltitudeFt, -temperatureC), "the temperature with the wrong sign")
	}
	return e
}

// airspeedOnQNH asks for the true airspeed at an altitude on a QNH.
func airspeedOnQNH(casKt, altitudeFt, qnhHPa, temperatureC float64) Exercise {
	pressureAltitude := air.PressureAltitudeFt(altitudeFt, qnhHPa)
	e := airspeed(casKt, pressureAltitude, temperatureC)
	e.Task = "true airspeed on a QNH"
	e.Given = []Given{
		knots("calibrated airspeed", casKt), feet("altitude", altitudeFt), given("QNH", "%s hPa", figure(qnhHPa)), celsius(temperatureC),
	}
	rule := altitudeFt + 27*(1013.25-qnhHPa)
	e.Steps = append([]string{
		fmt.Sprintf("pressure altitude, by 27 ft for each hPa: %s + 27 × (1013.25 - %s) = %.0f ft", figure(altitudeFt), figure(qnhHPa), rule),
		fmt.Sprintf("pressure altitude by the table of the standard atmosphere: %.0f ft", pressureAltitude),
	}, e.Steps...)
	return e
}

// calibratedFor asks which calibrated airspeed gives a true one.
func calibratedFor(tasKt, pressureAltitudeFt, temperatureC float64) Exercise {
	cas := air.CASFromTAS(tasKt, pressureAltitudeFt, temperatureC)
	e := Exercise{
		Task: "calibrated airspeed", Tool: SlideRule,
		Given:    []Given{knots("true airspeed planned", tasKt), feet("pressure altitude", pressureAltitudeFt), celsius(temperatureC)},
		Question: "What calibrated airspeed is to be flown?",
		Form:     numberForm("kt", 0), Answers: only(cas), Tolerance: twoKnots(),
		Steps: append(densitySteps(pressureAltitudeFt, temperatureC),
			fmt.Sprintf("calibrated under true: %s × root(density ratio %.4f) = %.0f kt", figure(tasKt), air.DensityRatio(pressureAltitudeFt, temperatureC), cas)),
	}
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the indicator shows less in thin air")
	e.slip(WrongWay, air.TASFromCAS(tasKt, pressureAltitudeFt, temperatureC), "read the other way: calibrated stands inside, true outside")
	return e
}
