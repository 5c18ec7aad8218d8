package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// performance is an aircraft's tables, made ready to be looked up.
type performance struct {
	aircraft   plan.Aircraft
	climb      table   // rate, flow
	cruise     []power // by power, lowest first
	climbing   air.Impact
	descending air.Impact
	err        error // a position error table that is none
}

// power is the lines of the cruise table at one power: true airspeed, flow; and of those that give it, the rpm.
type power struct {
	percent float64
	lines   table
	rpm     table
}

// table is two quantities by pressure altitude, lowest first.
type table []tableLine

type tableLine struct{ altitudeFt, first, second float64 }

func newPerformance(aircraft plan.Aircraft) *performance {
	p := &performance{aircraft: aircraft}
	for _, row := range aircraft.Climb.Table {
		p.climb = append(p.climb, tableLine{row.AltitudeFt, row.RateFtMin, row.FlowPerHour})
	}
	for _, row := range aircraft.Cruise.Table {
		i, found := slices.BinarySearchFunc(p.cruise, row.Power, func(p power, percent float64) int { return cmp.Compare(p.percent, percent) })
		if !found {
			p.cruise = slices.Insert(p.cruise, i, power{percent: row.Power})
		}
		p.cruise[i].lines = append(p.cruise[i].lines, tableLine{row.AltitudeFt, row.TASKt, row.FlowPerHour})
		if row.RPM > 0 {
			p.cruise[i].rpm = append(p.cruise[i].rpm, tableLine{altitudeFt: row.AltitudeFt, first: row.RPM})
		}
	}
	p.climb.sort()
	for _, column := range p.cruise {
		column.lines.sort()
		column.rpm.sort()
	}
	impact := func(iasKt float64) air.Impact {
		casKt, err := air.Calibrated(aircraft.PositionError, iasKt)
		if p.err == nil {
			p.err = err
		}
		return air.ImpactOf(casKt)
	}
	p.climbing, p.descending = impact(aircraft.Climb.IASKt), impact(aircraft.Descent.IASKt)
	return p
}

func (t table) sort() {
	slices.SortStableFunc(t, func(a, b tableLine) int { return cmp.Compare(a.altitudeFt, b.altitudeFt) })
}

// at interpolates between lines. Outside the table ok is false, with one exception: a lowest line at or below sea level also
// holds below it, for that is what its pilot reads on a day of high pressure.
func (t table) at(pressureAltitudeFt float64) (first, second float64, ok bool) {
	for i, upper := range t {
		switch {
		case pressureAltitudeFt > upper.altitudeFt:
			continue
		case pressureAltitudeFt == upper.altitudeFt || i == 0 && upper.altitudeFt <= 0:
			return upper.first, upper.second, true
		case i == 0:
			return 0, 0, false
		}
		lower := t[i-1]
		share := (pressureAltitudeFt - lower.altitudeFt) / (upper.altitudeFt - lower.altitudeFt)
		return lower.first + share*(upper.first-lower.first), lower.second + share*(upper.second-lower.second), true
	}
	return 0, 0, false
}

// covers reports whether it has all altitudes between two.
func (t table) covers(lowestFt, highestFt float64) bool {
	_, _, low := t.at(lowestFt)
	_, _, high := t.at(highestFt)
	return low && high
}

func (t table) String() string {
	if len(t) == 0 {
		return "no lines"
	}
	return fmt.Sprintf("%.0f to %s", t[0].altitudeFt, say.Feet(t[len(t)-1].altitudeFt))
}

// climbAt is the rate and the flow of the climb table. The error says what the table covers.
func (p *performance) climbAt(pressureAltitudeFt float64) (rateFtMin, flowPerHour float64, err error) {
	rate, flow, ok := p.climb.at(pressureAltitudeFt)
	if !ok {
		return 0, 0, fmt.Errorf("the climb table has no %s of pressure altitude: it covers %v", say.Feet(pressureAltitudeFt), p.climb)
	}
	if rate <= 0 {
		return 0, 0, fmt.Errorf("by the climb table the aircraft does not climb at %s of pressure altitude", say.Feet(pressureAltitudeFt))
	}
	return rate, flow, nil
}

// cruiseAt is the true airspeed and the flow of the cruise table at the plan's power: between the lines of that power, else
// between the nearest powers below and above it that both cover the altitude. The error says what the table covers.
func (p *performance) cruiseAt(pressureAltitudeFt float64) (tasKt, flowPerHour float64, err error) {
	tasKt, flowPerHour, ok := p.betweenPowers(pressureAltitudeFt, func(column *power) table { return column.lines })
	if !ok {
		return 0, 0, fmt.Errorf("the cruise table has no %.0f %% power at %s of pressure altitude: it covers %s",
			p.aircraft.Cruise.Power, say.Feet(pressureAltitudeFt), p.cruiseCoverage())
	}
	return tasKt, flowPerHour, nil
}

// rpmAt is the rpm of the plan's power, interpolated as true airspeed and flow are, among the rows that give one; 0 where these do not tell it.
func (p *performance) rpmAt(pressureAltitudeFt float64) float64 {
	rpm, _, _ := p.betweenPowers(pressureAltitudeFt, func(column *power) table { return column.rpm })
	return rpm
}

// betweenPowers are the quantities of a table of each power at the plan's.
func (p *performance) betweenPowers(pressureAltitudeFt float64, of func(*power) table) (first, second float64, ok bool) {
	percent := p.aircraft.Cruise.Power
	var below, above *power
	for i := range p.cruise {
		column := &p.cruise[i]
		if _, _, ok := of(column).at(pressureAltitudeFt); !ok {
			continue
		}
		if column.percent <= percent {
			below = column
		}
		if column.percent >= percent && above == nil {
			above = column
		}
	}
	if below == nil || above == nil {
		return 0, 0, false
	}
	first, second, _ = of(below).at(pressureAltitudeFt)
	if above.percent > below.percent {
		share := (percent - below.percent) / (above.percent - below.percent)
		firstAbove, secondAbove, _ := of(above).at(pressureAltitudeFt)
		first += share * (firstAbove - first)
		second += share * (secondAbove - second)
	}
	return first, second, true
}

// cruises reports whether the cruise table has all pressure altitudes between two, and gives the least true airspeed that it has at any.
func (p *performance) cruises(lowestFt, highestFt float64) (slowestKt float64, covered bool) {
	slowestKt = math.Inf(1)
	var below, above bool
	for _, column := range p.cruise {
		for _, line := range column.lines {
			slowestKt = min(slowestKt, line.first)
		}
		if column.lines.covers(lowestFt, highestFt) {
			below = below || column.percent <= p.aircraft.Cruise.Power
			above = above || column.percent >= p.aircraft.Cruise.Power
		}
	}
	return slowestKt, below && above
}

// climbs reports whether the aircraft climbs, by its table, at all pressure altitudes between two.
func (p *performance) climbs(lowestFt, highestFt float64) bool {
	sinks := slices.ContainsFunc(p.climb, func(line tableLine) bool { return line.first <= 0 })
	return !sinks && p.climb.covers(lowestFt, highestFt)
}

// levelFlow is the flow of level flight at cruise power, outside the table that of its nearest line.
func (p *performance) levelFlow(pressureAltitudeFt float64) (flowPerHour float64) {
	if _, flow, err := p.cruiseAt(pressureAltitudeFt); err == nil {
		return flow
	}
	nearestFt := math.Inf(1)
	for _, column := range p.cruise {
		for _, line := range column.lines {
			if off := math.Abs(line.altitudeFt - pressureAltitudeFt); off < nearestFt {
				nearestFt = off
				if _, flow, err := p.cruiseAt(line.altitudeFt); err == nil {
					flowPerHour = flow
				}
			}
		}
	}
	return flowPerHour
}

func (p *performance) cruiseCoverage() string {
	if len(p.cruise) == 0 {
		return "nothing"
	}
	parts := make([]string, len(p.cruise))
	for i, column := range p.cruise {
		parts[i] = fmt.Sprintf("%.0f %% from %v", column.percent, column.lines)
	}
	return strings.Join(parts, ", ")
}

// Flown is what the aircraft does in one phase at one altitude.
type Flown struct {
	TASKt       float64
	RateFtMin   float64 // of a climb or descent, positive; 0 in cruise
	FlowPerHour float64
}

// Perform is what the aircraft's tables, and the air's true airspeed bias, give for a phase at an altitude. The error says what the
// tables cover.
func (r *Route) Perform(phase Phase, altitudeFt float64, through Air) (Flown, error) {
	if r.performance.err != nil {
		return Flown{}, r.performance.err
	}
	_, deviation := through.Layers.At(altitudeFt)
	return r.performance.perform(phase, altitudeFt+air.PressureAltitudeAtFt(through.QNH), deviation, through.TASBiasKt)
}

func (p *performance) perform(phase Phase, pressureAltitudeFt, deviationC, biasKt float64) (f Flown, err error) {
	switch phase {
	case Climb:
		f.RateFtMin, f.FlowPerHour, err = p.climbAt(pressureAltitudeFt)
		f.TASKt = trueAirspeed(p.climbing, pressureAltitudeFt, deviationC)
	case Descent:
		f.RateFtMin, f.FlowPerHour = p.aircraft.Descent.RateFtMin, p.aircraft.Descent.FlowPerHour
		f.TASKt = trueAirspeed(p.descending, pressureAltitudeFt, deviationC)
	default:
		f.TASKt, f.FlowPerHour, err = p.cruiseAt(pressureAltitudeFt)
	}
	f.TASKt += biasKt
	return f, err
}

// Setting is how the aircraft is set up for a phase of flight, as far as its tables tell: 0 and empty stand for what they don't.
type Setting struct {
	PowerPercent float64
	RPM          float64
	Mixture      string
	IASKt        float64
}

// Setting is that of a phase at an altitude above sea level. In cruise the rpm is interpolated as true airspeed and flow are, to as much as is
// read off a tachometer where it is not a row's own; the mixture, which is text, is that of the nearest row, the nearest power of the one asked for
// first; and the indicated airspeed is that of the true airspeed there. In climb and descent it is the one that the aircraft is flown at.
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
	setting := Setting{PowerPercent: aircraft.Cruise.Power, RPM: s.Route.performance.rpmAt(pressureAltitudeFt), Mixture: row.Mixture}
	const readRPM = 10 // as a tachometer is read: common practice, no source
	if setting.RPM != row.RPM {
		setting.RPM = readRPM * math.Round(setting.RPM/readRPM)
	}
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
