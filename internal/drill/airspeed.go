package drill

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
	"example.com/legclock/internal/worked"
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

var celsius = say.Quantity{Unit: "°C"}

func temperature(value float64) Given { return Given{"temperature", celsius.Say(value, twoDecimals)} }

// airspeedInHead asks for the true airspeed by the rule of 2 % for 1,000 ft.
func airspeedInHead(casKt, altitudeFt float64) Exercise {
	rule := air.TASRule(casKt, altitudeFt)
	exact := air.TASFromCAS(casKt, altitudeFt, air.ISATemperatureC(altitudeFt))
	density, percent := air.DensityRatio(altitudeFt, air.ISATemperatureC(altitudeFt)), 2*altitudeFt/1000
	var w sums.Working
	w.Decimals(0, rule)
	w.Line("2 % for each 1000 ft: 2 × %s / 1000 = %s", num(altitudeFt), num(percent).In(say.Percent))
	w.Line("%s + %s × %s / 100 = %s", num(casKt), num(casKt), num(percent), worked.Knots(rule))
	w.Line("density ratio of the standard atmosphere at %s, from the table: %s", worked.Feet(altitudeFt), worked.Rounded(density, 4))
	trueAirspeed(&w, "exactly", casKt, density, exact)
	e := Exercise{
		Task: "rule", Tool: InTheHead,
		Given:    []Given{knots("calibrated airspeed", casKt), feet("pressure altitude", altitudeFt), {"temperature", "standard"}},
		Question: "What is the true airspeed?",
		Form:     numberForm("kt", 0), Answers: either(rule, exact), Tolerance: ruleOfThumb(1),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, casKt, "that is the calibrated airspeed: thin air is not in it yet")
	e.slip(WrongWay, 2*casKt-rule, "taken away instead of added: thin air makes the true airspeed the higher one")
	return e
}

// trueAirspeed works the true airspeed out from the density of the air.
func trueAirspeed(w *sums.Working, name string, casKt, densityRatio, tasKt float64) {
	w.Decimals(0, tasKt)
	w.Line("%s: %s / root(density ratio %s) = %s", name, num(casKt), worked.Rounded(densityRatio, 4), worked.Knots(tasKt))
}

// density works out the setting of the airspeed window, and the density of the air from the standard atmosphere's table (ICAO Doc 7488: at
// sea level 288.15 K) and the temperature.
func density(w *sums.Working, pressureAltitudeFt, temperatureC float64) float64 {
	const kelvin, seaLevelK = 273.15, 288.15
	density := air.DensityRatio(pressureAltitudeFt, temperatureC)
	pressure := worked.Rounded(density*(kelvin+temperatureC)/seaLevelK, 4)
	w.Line("airspeed window: %s against %s", num(temperatureC).In(celsius), worked.Rounded(pressureAltitudeFt, 0).In(say.Height))
	w.Line("pressure ratio of the standard atmosphere there, from the table: %s", pressure)
	w.Line("density ratio: %s × %s / (%s %s) = %s", pressure, seaLevelK, kelvin, worked.Plus(temperatureC), worked.Rounded(density, 4))
	return density
}

// airspeed asks for the true airspeed.
func airspeed(casKt, pressureAltitudeFt, temperatureC float64) Exercise {
	tas := air.TASFromCAS(casKt, pressureAltitudeFt, temperatureC)
	var w sums.Working
	trueAirspeed(&w, "true over calibrated", casKt, density(&w, pressureAltitudeFt, temperatureC), tas)
	e := Exercise{
		Task: "true airspeed", Tool: SlideRule,
		Given:    []Given{knots("calibrated airspeed", casKt), feet("pressure altitude", pressureAltitudeFt), temperature(temperatureC)},
		Question: "What is the true airspeed?",
		Form:     numberForm("kt", 0), Answers: only(tas), Tolerance: twoKnots(),
		Steps: w.Plain(),
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
		knots("calibrated airspeed", casKt), feet("altitude", altitudeFt), {"QNH", say.Quantity{Unit: "hPa"}.Say(qnhHPa, twoDecimals)}, temperature(temperatureC),
	}
	rule := air.PressureAltitudeRuleFt(altitudeFt, qnhHPa, sums.FeetPerHPa)
	var w sums.Working
	w.Decimals(0, rule)
	w.PressureRule(altitudeFt, qnhHPa, rule)
	w.Line("pressure altitude by the table of the standard atmosphere: %s", worked.Rounded(pressureAltitude, 0).In(say.Height))
	e.Steps = append(w.Plain(), e.Steps...)
	return e
}

// calibratedFor asks which calibrated airspeed gives a true one.
func calibratedFor(tasKt, pressureAltitudeFt, temperatureC float64) Exercise {
	cas := air.CASFromTAS(tasKt, pressureAltitudeFt, temperatureC)
	var w sums.Working
	w.Decimals(0, cas)
	ratio := density(&w, pressureAltitudeFt, temperatureC)
	w.Line("calibrated under true: %s × root(density ratio %s) = %s", num(tasKt), worked.Rounded(ratio, 4), worked.Knots(cas))
	e := Exercise{
		Task: "calibrated airspeed", Tool: SlideRule,
		Given:    []Given{knots("true airspeed planned", tasKt), feet("pressure altitude", pressureAltitudeFt), temperature(temperatureC)},
		Question: "What calibrated airspeed is to be flown?",
		Form:     numberForm("kt", 0), Answers: only(cas), Tolerance: twoKnots(),
		Steps: w.Plain(),
	}
	e.slip(StepLeftOut, tasKt, "that is the true airspeed: the indicator shows less in thin air")
	e.slip(WrongWay, air.TASFromCAS(tasKt, pressureAltitudeFt, temperatureC), "read the other way: calibrated stands inside, true outside")
	return e
}
