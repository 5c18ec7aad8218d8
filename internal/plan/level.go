package plan

import (
	"fmt"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
)

// AltitudeFtAt is the level's altitude above sea level in feet, by the QNH in hPa.
func (l Level) AltitudeFtAt(qnh float64) float64 {
	if l.FlightLevel == 0 {
		return l.AltitudeFt
	}
	return air.AltitudeFt(float64(l.FlightLevel)*100, qnh)
}

// PressureAltitudeFt is the level's pressure altitude in feet, by the QNH in hPa.
func (l Level) PressureAltitudeFt(qnh float64) float64 {
	if l.FlightLevel == 0 {
		return air.PressureAltitudeFt(l.AltitudeFt, qnh)
	}
	return float64(l.FlightLevel) * 100
}

// String is the level as a pilot writes it: "4000 ft" or "FL065".
func (l Level) String() string {
	if l.FlightLevel == 0 {
		return fmt.Sprintf("%s", say.Feet(l.AltitudeFt))
	}
	return fmt.Sprintf("FL%03d", l.FlightLevel)
}
