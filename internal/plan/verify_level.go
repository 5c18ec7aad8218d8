package plan

import (
	"fmt"
	"math"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/say"
)

// verifyLevel checks a leg's level against the ground at its ends and against the aircraft's tables.
func (d *draft) verifyLevel(index int, line legLine) {
	legs, path := d.Route.Legs, line.path+".altitude"
	level := legs[index].Level
	altitudeFt := level.AltitudeFtAt(d.Conditions.QNH)
	if math.IsNaN(altitudeFt) {
		return
	}
	for _, end := range []*pointEntry{line.from, line.to} {
		if end != nil && end.elevationGiven && altitudeFt <= end.ElevationFt {
			d.failAt(path, "a level above it", "%s is not above %s, whose elevation is %s ft", level, end.Ident, formatNumber(end.ElevationFt))
			return
		}
	}
	if index > 0 && legs[index-1].Level == level {
		return
	}
	before := math.NaN()
	switch {
	case index > 0:
		before = legs[index-1].Level.AltitudeFtAt(d.Conditions.QNH)
	case line.from != nil:
		before = line.from.ElevationFt
	}
	d.verifyTables(path, level, before)
}

// verifyTables checks that the tables tell how to reach a level from the altitude before, and how to cruise there.
func (d *draft) verifyTables(path string, level Level, beforeFt float64) {
	qnh := d.Conditions.QNH
	pressureFt, altitudeFt := level.PressureAltitudeFt(qnh), level.AltitudeFtAt(qnh)
	lowest, highest := d.Aircraft.Climb.reach()
	startFt := Level{AltitudeFt: beforeFt}.PressureAltitudeFt(qnh)
	switch {
	case !(altitudeFt > beforeFt), math.IsNaN(lowest + highest + pressureFt): // no climb, or nothing to check it by
	case pressureFt > highest:
		d.failAt(path, "a lower level, or a table that reaches it", "%s, %s of pressure altitude, is above the climb table, which ends at %s",
			level, say.Feet(pressureFt), say.Feet(highest))
		return
	case !within(lowest, highest, startFt):
		d.failAt(path, "a table that begins at sea level", "the climb to %s begins at %s of pressure altitude, below the climb table, which begins at %s",
			level, say.Feet(startFt), say.Feet(lowest))
		return
	}
	if cruise := d.Aircraft.Cruise; len(cruise.Table) > 0 && !math.IsNaN(pressureFt) && !cruise.covers(pressureFt) {
		d.failAt(path, "another level, or a table that covers it", "%s, %s of pressure altitude, is not in the cruise table at %s %% power: %s",
			level, say.Feet(pressureFt), formatNumber(cruise.Power), cruise.coverage())
	}
}

// within reports whether a table that reaches from lowest to highest holds at a pressure altitude. A lowest row at or below sea
// level also holds below it: that is what a pilot reads there on a day of high pressure.
func within(lowest, highest, pressureFt float64) bool {
	return pressureFt <= highest && (pressureFt >= lowest || lowest <= 0)
}

// reach is the lowest and highest pressure altitude of the climb table; NaN without a table.
func (c Climb) reach() (lowest, highest float64) {
	if len(c.Table) == 0 {
		return math.NaN(), math.NaN()
	}
	return c.Table[0].AltitudeFt, c.Table[len(c.Table)-1].AltitudeFt
}

// reach is the lowest and highest pressure altitude of the cruise table's rows at one power.
func (c Cruise) reach(power float64) (lowest, highest float64) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	for _, row := range c.Table {
		if row.Power == power {
			lowest, highest = min(lowest, row.AltitudeFt), max(highest, row.AltitudeFt)
		}
	}
	return lowest, highest
}

// covers reports whether the table gives the power to be used at a pressure altitude: between rows of that power, or between rows
// of a lower and of a higher one that both reach there.
func (c Cruise) covers(pressureFt float64) bool {
	var lower, higher bool
	for _, row := range c.Table {
		if lowest, highest := c.reach(row.Power); within(lowest, highest, pressureFt) {
			lower = lower || row.Power <= c.Power
			higher = higher || row.Power >= c.Power
		}
	}
	return lower && higher
}

// coverage says what the table covers, power by power.
func (c Cruise) coverage() string {
	text, said := "", map[float64]bool{}
	for _, row := range c.Table {
		if said[row.Power] {
			continue
		}
		said[row.Power] = true
		lowest, highest := c.reach(row.Power)
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("%s %% from %.0f to %s", formatNumber(row.Power), lowest, say.Feet(highest))
	}
	return "it has " + text
}

// Where the semicircular rule holds: above 3,000 ft, below 18,000 ft.
const (
	semicircularAboveFt = 3000
	semicircularBelowFt = 18000
)

// verifySemicircular reminds of the cruising levels under visual rules: odd thousands and 500 ft on a magnetic track from 000 to
// 179, even ones from 180 to 359 (14 CFR 91.159; ICAO Annex 2 appendix 3). The rules speak of whole degrees, so the track is rounded
// first (common practice, no source), and of heights above the surface, which a plan doesn't know: sea level stands in.
func (d *draft) verifySemicircular(line legLine, level Level) {
	altitudeFt := level.AltitudeFtAt(d.Conditions.QNH)
	track, ok := d.magneticTrack(line, altitudeFt)
	if !ok || !(altitudeFt > semicircularAboveFt && altitudeFt < semicircularBelowFt) {
		return
	}
	shownFt, unit := altitudeFt, "%.0f ft"
	if level.FlightLevel != 0 {
		shownFt, unit = float64(level.FlightLevel)*100, "FL%03.0f"
	}
	whole := angle.Whole(track)
	below, above := cruisingLevels(whole, shownFt)
	if shownFt == below || shownFt == above {
		return
	}
	if level.FlightLevel != 0 {
		below, above = below/100, above/100
	}
	d.cautionAt(line.path+".altitude", fmt.Sprintf(unit+" or "+unit, below, above),
		"%s is no cruising level under visual rules on a magnetic track of %03d (14 CFR 91.159, ICAO Annex 2 appendix 3: %s thousands and 500 ft above 3000 ft)",
		level, whole, halfOf(whole))
}

func halfOf(track int) string {
	if track%360 < 180 {
		return "odd"
	}
	return "even"
}

// cruisingLevels are the two cruising levels under visual rules that enclose a height: the highest not above it, and the next.
func cruisingLevels(track int, heightFt float64) (below, above float64) {
	lowest := 3500.0
	if halfOf(track) == "even" {
		lowest = 4500
	}
	if heightFt < lowest {
		return lowest, lowest + 2000
	}
	below = lowest + 2000*math.Floor((heightFt-lowest)/2000)
	return below, below + 2000
}
