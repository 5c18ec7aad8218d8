package flight

import (
	"fmt"
	"strings"
	"time"
)

// positionReport is the report to read out after the passing of a point, in the order of PANS-ATM 4.11.2: identification, position,
// time, level, next position and time over, ensuing point; then the endurance, which flight information units ask for. It is nil
// before the first passing and after the last.
func (p *progress) positionReport(t time.Time) *PositionReport {
	lines := p.reportLines(t)
	if lines == nil {
		return nil
	}
	return &PositionReport{Text: strings.Join(lines, ", "), Lines: lines}
}

// reportLines are the parts of the report, one line each. Times are minutes past the hour, as they are spoken.
func (p *progress) reportLines(t time.Time) []string {
	if p.airborne.IsZero() || p.complete || !p.landed.IsZero() || p.lastPassed.at.IsZero() {
		return nil
	}
	var lines []string
	if registration := p.sheet.Plan.Aircraft.Registration; registration != "" {
		lines = append(lines, registration)
	}
	lines = append(lines, fmt.Sprintf("%s %s", p.pointTitle(p.lastPassed.name), minuteText(p.lastPassed.at)), p.levelText(t))
	w := p.legs[p.leg].way
	for i := p.leg; i < min(p.leg+2, w.first+len(w.route.Legs)); i++ {
		to := p.legs[i].line().To
		if i > p.leg {
			lines = append(lines, to.Title()+" next")
			continue
		}
		if eta, ok := p.eta(p.endOfLeg(), t); ok {
			lines = append(lines, fmt.Sprintf("%s %s", to.Title(), minuteText(eta)))
		}
	}
	return append(lines, "endurance "+longText(p.enduranceAt(p.quantitiesAt(t)).CountsMinutes))
}

// pointTitle is the name of a point as it is spoken.
func (p *progress) pointTitle(name string) string {
	if point, ok := p.sheet.Plan.Point(name); ok {
		return point.Title()
	}
	return name
}

// levelText is the level as it is reported: with the one aimed at while it is not reached.
func (p *progress) levelText(t time.Time) string {
	level := p.legs[p.leg].line().Level
	text := level.String()
	if level.FlightLevel == 0 {
		text = fmt.Sprintf("%.0f feet", level.AltitudeFt)
	}
	if n, ok := p.here(t); ok && different(n.point.AltitudeFt, p.levelFt(p.leg)) {
		const hundred = 100
		passing := fmt.Sprintf("%.0f feet", float64(int(n.point.AltitudeFt/hundred+0.5))*hundred)
		if n.descending {
			return passing + " descending"
		}
		return "passing " + passing + " for " + text
	}
	return text
}

// minuteText is a time as minutes past the hour, to the nearest minute.
func minuteText(t time.Time) string { return t.Round(time.Minute).Format("04") }

// longText is a length of time in hours and minutes.
func longText(m float64) string {
	whole := int(m)
	return fmt.Sprintf("%d hours %02d", whole/60, whole%60)
}
