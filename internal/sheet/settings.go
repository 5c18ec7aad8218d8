package sheet

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
)

// Setting is how the aircraft is set up for a phase of flight, as far as its tables tell: 0 and empty stand for what they don't.
type Setting struct {
	PowerPercent float64
	RPM          float64
	Mixture      string
	IASKt        float64
}

// Setting is that of a phase at an altitude above sea level. In cruise power, rpm and mixture are those of the nearest row of the table,
// the nearest power of the one asked for first, and the indicated airspeed is that of the true airspeed there; in climb and descent it is
// the one that the aircraft is flown at.
func (s *Sheet) Setting(phase Phase, altitudeFt float64) Setting {
	aircraft := s.Plan.Aircraft
	switch phase {
	case Climb:
		return Setting{IASKt: aircraft.Climb.IASKt}
	case Descent:
		d := aircraft.Descent
		return Setting{d.Power, d.RPM, d.Mixture, d.IASKt}
	}
	pressureAltitudeFt := air.PressureAltitudeFt(altitudeFt, s.Air.QNH)
	row := nearestRow(aircraft.Cruise, pressureAltitudeFt)
	setting := Setting{PowerPercent: aircraft.Cruise.Power, RPM: row.RPM, Mixture: row.Mixture}
	if tasKt, _, err := s.Route.performance.cruiseAt(pressureAltitudeFt); err == nil {
		_, deviation := s.Air.Layers.At(altitudeFt)
		casKt := air.CASFromTAS(tasKt, pressureAltitudeFt, air.ISATemperatureC(pressureAltitudeFt)+deviation)
		if iasKt, err := air.Indicated(aircraft.PositionError, casKt); err == nil {
			setting.IASKt = iasKt
		}
	}
	return setting
}

// nearestRow is the row of the cruise table nearest to the power flown with, and of these to a pressure altitude.
func nearestRow(cruise plan.Cruise, pressureAltitudeFt float64) (nearest plan.CruiseRow) {
	off := func(row plan.CruiseRow) (power, altitude float64) {
		return math.Abs(row.Power - cruise.Power), math.Abs(row.AltitudeFt - pressureAltitudeFt)
	}
	for i, row := range cruise.Table {
		power, altitude := off(row)
		if leastPower, leastAltitude := off(nearest); i == 0 || power < leastPower || power == leastPower && altitude < leastAltitude {
			nearest = row
		}
	}
	return nearest
}

// String is the setting as it is read out: "70 %, 2480 rpm, mixture leaned, IAS 96".
func (s Setting) String() string {
	var words []string
	add := func(given bool, format string, value any) {
		if given {
			words = append(words, fmt.Sprintf(format, value))
		}
	}
	add(s.PowerPercent > 0, "%.0f %%", s.PowerPercent)
	add(s.RPM > 0, "%.0f rpm", s.RPM)
	add(s.Mixture != "", "mixture %s", s.Mixture)
	add(s.IASKt > 0, "IAS %.0f", s.IASKt)
	return strings.Join(words, ", ")
}
