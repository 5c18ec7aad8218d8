package say

import (
	"regexp"
	"strconv"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/pattern"
)

var windForms = []func() *regexp.Regexp{
	pattern.Of(`^(\d{3})(\d{2,3})$`),
	pattern.Of(`^(\d{1,3}(?:\.\d+)?)(?: ?/ ?| at | )(\d{1,3}(?:\.\d+)?)$`),
}

// ParseWind reads a wind, where it blows from, true, and its knots: "240/15", "24015KT", "240 at 15", "240 15"; or "calm".
func ParseWind(text string) (air.Wind, error) {
	const right = "write where it blows from, true, and the knots: 240/15"
	stated := plain(text)
	stated = strings.TrimPrefix(stated, "from ")
	for _, unit := range Speed.Also {
		stated = strings.TrimSuffix(stated, unit)
	}
	stated = plain(strings.NewReplacer("°", "", "true", "").Replace(strings.TrimSuffix(stated, Speed.Unit)))
	if stated == "calm" {
		return air.Wind{}, nil
	}
	for _, form := range windForms {
		parts := form().FindStringSubmatch(stated)
		if parts == nil {
			continue
		}
		from, _ := strconv.ParseFloat(parts[1], 64) // digits and a point
		speed, _ := strconv.ParseFloat(parts[2], 64)
		if from > 360 {
			return air.Wind{}, misread(text, right, "blows from %s, beyond 360", parts[1])
		}
		return air.Wind{FromTrue: angle.Wrap360(from), SpeedKt: speed}, nil
	}
	return air.Wind{}, misread(text, right, "is not a wind")
}

// Level is a height above sea level by an altimeter on QNH, or a flight level.
type Level struct {
	Feet        float64 // of a flight level, its pressure altitude
	FlightLevel bool
}

var flightLevel = pattern.Of(`^(?:fl|f) ?(\d{2,3})$`)

// ParseLevel reads feet above sea level or a flight level: "4500", "4500 ft", "FL065".
func ParseLevel(text string) (Level, error) {
	const right = "write 4500, 4500 ft or FL065"
	if parts := flightLevel().FindStringSubmatch(plain(text)); parts != nil {
		hundreds, _ := strconv.Atoi(parts[1]) // two or three digits
		if hundreds == 0 || hundreds > 600 {
			return Level{}, misread(text, right, "lies outside FL010 to FL600")
		}
		return Level{Feet: 100 * float64(hundreds), FlightLevel: true}, nil
	}
	levels := Height
	levels.Low, levels.Example = -2000, right
	feet, err := levels.Parse(text)
	return Level{Feet: feet}, err
}

// AltitudeFt is what an altimeter on a QNH in hPa shows at the level.
func (l Level) AltitudeFt(qnhHPa float64) float64 {
	if l.FlightLevel {
		return air.AltitudeFt(l.Feet, qnhHPa)
	}
	return l.Feet
}

// PressureAltitudeFt is the level's pressure altitude, by the QNH in hPa.
func (l Level) PressureAltitudeFt(qnhHPa float64) float64 {
	if l.FlightLevel {
		return l.Feet
	}
	return air.PressureAltitudeFt(l.Feet, qnhHPa)
}

// String is the level as a pilot writes it: "4500 ft" or "FL065".
func (l Level) String() string {
	if l.FlightLevel {
		text := strconv.FormatFloat(l.Feet/100, 'f', 0, 64)
		return "FL" + strings.Repeat("0", max(0, 3-len(text))) + text
	}
	return Height.Say(l.Feet, 0)
}

// Temperature is an outside air temperature, or how far it is from standard.
type Temperature struct {
	Celsius float64
	FromISA bool // Celsius is the difference from the standard temperature of the level
}

var fromISA = pattern.Of(`^isa ?(?:([+-]) ?(\d+(?:\.\d+)?))? ?(?:°? ?c)?$`)

// ParseTemperature reads degrees Celsius, or Fahrenheit where that is written, or a difference from standard: "-10", "8 C", "45 F",
// "ISA-15", "ISA".
func ParseTemperature(text string) (Temperature, error) {
	const right = "write 8, -10, 45 F or ISA-15"
	stated := plain(text)
	if parts := fromISA().FindStringSubmatch(stated); parts != nil {
		difference, _ := strconv.ParseFloat(parts[1]+parts[2], 64) // nothing is no difference
		if difference < -60 || difference > 60 {
			return Temperature{}, misread(text, right, "is more than 60 °C from standard")
		}
		return Temperature{Celsius: difference, FromISA: true}, nil
	}
	value, unit, ok := split(stated)
	if !ok {
		return Temperature{}, misread(text, right, "is not a temperature")
	}
	switch strings.TrimSpace(strings.TrimPrefix(unit, "°")) {
	case "", "c", "celsius":
	case "f", "fahrenheit":
		value = air.CelsiusFromFahrenheit(value)
	default:
		return Temperature{}, misread(text, right, "has %q for a unit", unit)
	}
	if value < -100 || value > 60 {
		return Temperature{}, misread(text, right, "lies outside -100 to 60 °C")
	}
	return Temperature{Celsius: value}, nil
}

// At is the temperature at a pressure altitude, in degrees Celsius.
func (t Temperature) At(pressureAltitudeFt float64) float64 {
	if t.FromISA {
		return air.ISATemperatureC(pressureAltitudeFt) + t.Celsius
	}
	return t.Celsius
}

// String is the temperature as a pilot writes it: "8 °C" or "ISA-15".
func (t Temperature) String() string {
	switch {
	case !t.FromISA:
		return SayNumber(t.Celsius, 2) + " °C"
	case t.Celsius == 0:
		return "ISA"
	case t.Celsius > 0:
		return "ISA+" + SayNumber(t.Celsius, 2)
	}
	return "ISA" + SayNumber(t.Celsius, 2)
}
