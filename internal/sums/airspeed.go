package sums

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
)

// levelFigure has a name for an altitude and one for a flight level; one of them is nothing.
func levelFigure(label, before string, level say.Level) Figure {
	altitude, flightLevel := level.Feet, unknown
	if level.FlightLevel {
		altitude, flightLevel = unknown, level.Feet/100
	}
	return Figure{Label: label, Text: level.String(), Values: []Value{{before + "altitude_ft", altitude}, {before + "flight_level", flightLevel}}}
}

func qnhFigure(qnh *float64) Figure {
	return figure("QNH", "qnh_hpa", valueOf(qnh), say.QNHInBoth)
}

func temperatureFigure(t *say.Temperature) Figure {
	f := Figure{Label: "temperature", Values: []Value{{"temperature_c", nil}, {"isa_deviation", nil}}}
	switch {
	case t == nil:
	case t.FromISA:
		f.Text, f.Values[1].Value = t.String(), t.Celsius
	default:
		f.Text, f.Values[0].Value = t.String(), t.Celsius
	}
	return f
}

// atLevel is the air at a level, with what was taken for granted.
type atLevel struct {
	qnhHPa, altitudeFt, pressureAltitudeFt, temperatureC, deviationC float64
	notes                                                            []string
}

func airAt(level say.Level, qnh *float64, temperature *say.Temperature) atLevel {
	a := atLevel{qnhHPa: air.StandardQNH}
	if qnh != nil {
		a.qnhHPa = *qnh
	} else if !level.FlightLevel {
		a.notes = append(a.notes, "no QNH given: "+say.QNHInBoth(air.StandardQNH)+" taken, with which an altitude is a pressure altitude")
	}
	a.altitudeFt, a.pressureAltitudeFt = level.AltitudeFt(a.qnhHPa), level.PressureAltitudeFt(a.qnhHPa)
	standard := air.ISATemperatureC(a.pressureAltitudeFt)
	a.temperatureC = standard
	if temperature != nil {
		a.temperatureC = temperature.At(a.pressureAltitudeFt)
	} else {
		a.notes = append(a.notes, "no temperature given: the standard one taken")
	}
	a.deviationC = a.temperatureC - standard
	if math.Abs(a.deviationC) > farthestFromISA {
		a.notes = append(a.notes, fmt.Sprintf("the air would be %s °C from standard at that level: was the temperature read right?", num(math.Round(math.Abs(a.deviationC)))))
	}
	return a
}

// temperatureLine says how warm the air is against standard.
func (w *Working) temperatureLine(a atLevel) {
	w.Line("above standard: %s - %s = %s °C", num(a.temperatureC), fig(a.temperatureC-a.deviationC), num(a.deviationC))
}

// TAS asks for the true airspeed of a calibrated one.
type TAS struct {
	CASKt       float64
	Level       say.Level
	QNHHPa      *float64         // optional: standard
	Temperature *say.Temperature // optional: standard
}

// Sum works out the true airspeed.
func (t TAS) Sum() (Sum, error) {
	a := airAt(t.Level, t.QNHHPa, t.Temperature)
	tas := air.TASFromCAS(t.CASKt, a.pressureAltitudeFt, a.temperatureC)
	if sound := air.SpeedOfSoundKt(a.temperatureC); !(tas < sound) {
		return Sum{}, unfit("give the calibrated airspeed of a light aircraft, for example 98",
			"this is faster than sound, for which the sum does not hold")
	}
	rule := air.TASRule(t.CASKt, a.pressureAltitudeFt)
	var w Working
	w.Line("pressure altitude: %s ft at %s hPa is %s ft", num(a.altitudeFt), num(a.qnhHPa), num(a.pressureAltitudeFt))
	w.temperatureLine(a)
	w.Line("by the rule: %s × (1 + 0.02 × %s / 1000) = %s kt", num(t.CASKt), fig(a.pressureAltitudeFt), num(rule))
	w.Line("exactly, density %s of that at sea level: %s kt", num(air.DensityRatio(a.pressureAltitudeFt, a.temperatureC)), num(tas))
	return Sum{
		Name: "tas", Title: "True airspeed",
		Given: []Figure{
			speedGiven("calibrated airspeed", "cas_kt", t.CASKt), levelFigure("level", "", t.Level), qnhFigure(t.QNHHPa), temperatureFigure(t.Temperature),
		},
		Rule:    "add 2 % for each 1000 ft of pressure altitude; exactly by pressure and temperature, with compressibility",
		Working: w.Text(),
		Answers: []Figure{
			speed("true airspeed", "tas_kt", tas), speed("by the rule", "tas_rule_kt", rule),
			feet("pressure altitude", "pressure_altitude_ft", a.pressureAltitudeFt),
			feet("density altitude", "density_altitude_ft", air.DensityAltitudeFt(a.pressureAltitudeFt, a.temperatureC)),
		},
		Notes:  a.notes,
		Source: "ISO 2533 and isentropic flow, dry air; calibrated is indicated without the position error; the rule takes the air as standard",
	}, nil
}

// Altitude asks for the pressure, density and true altitude at a level.
type Altitude struct {
	Level       say.Level
	QNHHPa      *float64         // optional: standard
	Temperature *say.Temperature // optional: standard
}

// FeetPerHPa is the figure of the rule near sea level.
const FeetPerHPa = 27

// Sum works out the three altitudes.
func (q Altitude) Sum() (Sum, error) {
	a := airAt(q.Level, q.QNHHPa, q.Temperature)
	density, densityRule := air.DensityAltitudeFt(a.pressureAltitudeFt, a.temperatureC), air.DensityAltitudeRuleFt(a.pressureAltitudeFt, a.temperatureC)
	height := air.TrueAltitudeFt(a.pressureAltitudeFt, a.qnhHPa, a.deviationC)
	heightRule := air.TrueAltitudeRuleFt(a.altitudeFt, a.deviationC)
	var w Working
	pressureRule := q.pressureLines(&w, a)
	w.temperatureLine(a)
	w.Line("density altitude by the rule: %s + 120 × (%s - (15 - 2 × %s / 1000)) = %s ft", num(a.pressureAltitudeFt), num(a.temperatureC),
		fig(a.pressureAltitudeFt), num(densityRule))
	w.Line("density altitude exactly: %s ft", num(density))
	w.Line("true altitude by the rule: %s × (1 + 0.004 × %s) = %s ft", num(a.altitudeFt), fig(a.deviationC), num(heightRule))
	w.Line("true altitude exactly: %s ft", num(height))
	return Sum{
		Name: "altitude", Title: "Pressure, density and true altitude",
		Given:   []Figure{levelFigure("level", "", q.Level), qnhFigure(q.QNHHPa), temperatureFigure(q.Temperature)},
		Rule:    "27 ft for each hPa from 1013.25; 120 ft of density altitude for each °C above standard; 4 % of true altitude for each 10 °C",
		Working: w.Text(),
		Answers: []Figure{
			feet("altitude on QNH", "altitude_ft", a.altitudeFt), feet("pressure altitude", "pressure_altitude_ft", a.pressureAltitudeFt),
			feet("by the rule", "pressure_altitude_rule_ft", pressureRule), feet("density altitude", "density_altitude_ft", density),
			feet("by the rule", "density_altitude_rule_ft", densityRule), feet("true altitude", "true_altitude_ft", height),
			feet("by the rule", "true_altitude_rule_ft", heightRule),
		},
		Notes:  a.notes,
		Source: "ISO 2533, dry air; the true altitude takes all the air below as equally far from standard, and holds below the tropopause",
	}, nil
}

// pressureLines work out the pressure altitude, or of a flight level the altitude on QNH.
func (q Altitude) pressureLines(w *Working, a atLevel) (ruleFt float64) {
	if q.Level.FlightLevel {
		w.Line("altitude by the rule: %s - %s × (1013.25 - %s) = %s ft", num(a.pressureAltitudeFt), FeetPerHPa, num(a.qnhHPa),
			num(a.pressureAltitudeFt-air.PressureAltitudeRuleFt(0, a.qnhHPa, FeetPerHPa)))
		w.Line("altitude exactly: %s ft", num(a.altitudeFt))
		return unknown
	}
	ruleFt = air.PressureAltitudeRuleFt(a.altitudeFt, a.qnhHPa, FeetPerHPa)
	w.PressureRule(a.altitudeFt, a.qnhHPa, ruleFt)
	w.Line("pressure altitude exactly: %s ft", num(a.pressureAltitudeFt))
	return ruleFt
}
