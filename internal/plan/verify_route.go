package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

const (
	shortestLegNM = 0.01 // 19 m: two names for one place
	longestLegNM  = 300  // beyond it a slip in a position is likelier than such a leg by hand; common practice, no source
	farOffTrackNM = 10   // from where passing abeam can hardly be judged; common practice, no source
)

// legLine is a leg as a line on the earth. Without both its ends it has no length: NaN.
type legLine struct {
	path     string
	from, to *pointEntry // nil where there is no such point
	lengthNM float64
}

func (d *draft) verifyRoute() {
	route := d.Route
	d.verifyEnd("route.from", route.From, "begins")
	for i, ident := range route.Alternates {
		d.verifyAerodrome(fmt.Sprintf("route.alternates[%d]", i), ident)
	}
	if join := route.JoinAltitudeFt; join != nil {
		if entry, known := d.points.find(route.Destination()); known && *join <= entry.ElevationFt {
			d.failAt("route.join_altitude", "an altitude above sea level at which the circuit is joined", "%s is not above %s, %s", say.Feet(*join), entry.Ident, say.Feet(entry.ElevationFt))
		}
	}
	from := route.From
	for i, leg := range route.Legs {
		line := d.line(i, from, leg.To)
		d.verifyLine(line, leg)
		d.verifyLevel(i, line)
		d.verifySemicircular(i, line, leg.Level)
		d.verifyCheckpoints(line, leg.Checkpoints)
		d.verifyRadio(line, leg.Radio)
		from = leg.To
	}
	if len(route.Legs) > 0 {
		d.verifyEnd(fmt.Sprintf("route.legs[%d].to", len(route.Legs)-1), route.Destination(), "ends")
	}
}

// verifyEnd checks that the route begins or ends at an aerodrome.
func (d *draft) verifyEnd(path, ident, does string) {
	if entry, known := d.points.find(ident); known && entry.Kind != Aerodrome && entry.Kind != "" {
		d.cautionAt(path, "a point of kind aerodrome", "the route %s at %s, which is not an aerodrome but of kind %s", does, ident, entry.Kind)
	}
}

func (d *draft) line(leg int, from, to string) legLine {
	line := legLine{path: fmt.Sprintf("route.legs[%d]", leg), lengthNM: math.NaN()}
	line.from, _ = d.points.find(from)
	line.to, _ = d.points.find(to)
	if leg == 0 {
		d.verifyKnown("route.from", from, nil)
	}
	d.verifyKnown(line.path+".to", to, nil)
	if line.placed() {
		line.lengthNM = earth.Inverse(line.from.At, line.to.At).DistanceNM
	}
	return line
}

// name is the leg by its ends: "QLB to LKM".
func (l legLine) name() string {
	if l.from == nil || l.to == nil {
		return "the leg"
	}
	return l.from.Ident + " to " + l.to.Ident
}

func (l legLine) placed() bool { return l.from != nil && l.to != nil && l.from.placed && l.to.placed }

// verifyKnown checks that a name is that of a point; a name that could not be read has been reported.
func (d *draft) verifyKnown(path, ident string, wanted func(Kind) bool) {
	if _, known := d.points.find(ident); !known && ident != "" {
		d.failAt(path, meant(ident, d.points.idents(wanted)), "there is no point %q", ident)
	}
}

func (d *draft) verifyLine(line legLine, leg Leg) {
	switch {
	case line.lengthNM < shortestLegNM:
		d.failAt(line.path+".to", "another point", "the leg has no length: %s is where it begins", leg.To)
	case line.lengthNM > longestLegNM:
		d.cautionAt(line.path+".to", "look for a slip in the positions of its ends", "%s is %.0f nm long", line.name(), line.lengthNM)
	}
	altitudeFt := leg.Level.AltitudeFtAt(d.Conditions.QNH)
	if safe := leg.SafeAltitudeFt; safe != nil && altitudeFt < *safe {
		d.cautionAt(line.path+".safe_altitude", "a higher level", "%s: %s is below the MSA of the leg, %s", line.name(), leg.Level, say.Feet(*safe))
	}
}

func (d *draft) verifyCheckpoints(line legLine, checkpoints []Checkpoint) {
	var names []string
	for i, checkpoint := range checkpoints {
		path := fmt.Sprintf("%s.checkpoints[%d]", line.path, i)
		switch {
		case slices.Contains(names, checkpoint.Name):
			d.failAt(path, "a name of its own for each", "the leg has two checkpoints %q", checkpoint.Name)
		case line.from != nil && checkpoint.Name == line.from.Ident || line.to != nil && checkpoint.Name == line.to.Ident:
			d.failAt(path, "another name", "%q is an end of the leg, not a checkpoint on it", checkpoint.Name)
		case checkpoint.AfterNM != nil:
			d.verifyOnLeg(line, path+".after", *checkpoint.AfterNM)
		default:
			d.verifyAbeam(line, path, checkpoint.Point)
		}
		names = append(names, checkpoint.Name)
	}
}

// verifyAbeam checks a point that is to be passed abeam. Whether it is passed on this leg at all is the sheet's to say.
func (d *draft) verifyAbeam(line legLine, path, ident string) {
	d.verifyKnown(path, ident, nil)
	point, known := d.points.find(ident)
	if !known || !point.placed || !line.placed() {
		return
	}
	if _, right := earth.Abeam(line.from.At, line.to.At, point.At); math.Abs(right) > farOffTrackNM {
		d.cautionAt(path, "a point nearer to the track", "%s lies %.0f nm from the track", ident, math.Abs(right))
	}
}

// verifyOnLeg checks a distance along a leg, from either end.
func (d *draft) verifyOnLeg(line legLine, path string, distanceNM float64) {
	if distanceNM > line.lengthNM {
		d.failAt(path, fmt.Sprintf("at most %.1f", line.lengthNM), "%s nm is beyond the leg, which is %s long",
			formatNumber(distanceNM), say.Miles(line.lengthNM))
	}
}

func (d *draft) verifyRadio(line legLine, steps []RadioStep) {
	for i, step := range steps {
		path := fmt.Sprintf("%s.radio[%d]", line.path, i)
		d.verifyTuning(path, step)
		if step.AfterNM != nil {
			d.verifyOnLeg(line, path+".after", *step.AfterNM)
		}
		if step.BeforeNM != nil {
			d.verifyOnLeg(line, path+".before", *step.BeforeNM)
		}
		for _, other := range steps[:i] {
			if step.Receiver != "" && step.Receiver == other.Receiver && samePlace(step, other) {
				d.failAt(path, "after, before or at, to say where the second one is tuned",
					"%s can't be tuned to %s and to %s at one place", step.Receiver, other.Beacon, step.Beacon)
			}
		}
	}
}

func samePlace(a, b RadioStep) bool {
	same := func(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }
	return a.At == b.At && same(a.AfterNM, b.AfterNM) && same(a.BeforeNM, b.BeforeNM) && a.At != InRange
}

// verifyTuning checks that the receiver is there, that the beacon is known, and that the one receives the other.
func (d *draft) verifyTuning(path string, step RadioStep) {
	if d.Aircraft.Receivers != nil && step.Receiver != "" && !slices.Contains(d.Aircraft.Receivers, step.Receiver) {
		d.failAt(path+".receiver", meant(step.Receiver, d.Aircraft.Receivers), "the aircraft has no receiver %q", step.Receiver)
		return
	}
	d.verifyKnown(path+".beacon", step.Beacon, Kind.IsBeacon)
	beacon, known := d.points.find(step.Beacon)
	course := step.Course != NoCourse
	switch {
	case !known || beacon.Kind == "" || step.Receiver == "":
	case !beacon.Kind.IsBeacon():
		d.failAt(path+".beacon", oneOf(d.points.idents(Kind.IsBeacon)), "%s is not a beacon: it is of kind %s", step.Beacon, beacon.Kind)
	case !Receives(step.Receiver, beacon.Kind):
		d.failAt(path+".receiver", d.receiversOf(beacon.Kind), "%s does not receive %s, which is of kind %s", step.Receiver, step.Beacon, beacon.Kind)
	case course && beacon.Kind == NDB: // the QDM or QDR to hold
	case course && !beacon.Kind.HasRadials():
		d.failAt(path+".course", "leave the course out", "%s has no radials to select a course on: it is of kind %s", step.Beacon, beacon.Kind)
	case course && !SelectsCourse(step.Receiver):
		d.failAt(path+".course", "leave the course out", "%s has no course to select", step.Receiver)
	}
}

// receiversOf names the aircraft's receivers for a kind of beacon.
func (d *draft) receiversOf(kind Kind) string {
	var fit []string
	for _, receiver := range d.Aircraft.Receivers {
		if Receives(receiver, kind) {
			fit = append(fit, receiver)
		}
	}
	if len(fit) == 0 {
		return "the aircraft has no receiver for it"
	}
	return "tune it on " + strings.Join(fit, " or ")
}

// magneticTrack is the track to fly, magnetic, at mid-leg: the azimuth there less the variation there.
func (d *draft) magneticTrack(index int, line legLine, altitudeFt float64) (track float64, ok bool) {
	if !line.placed() || !(line.lengthNM >= shortestLegNM) {
		return 0, false
	}
	middle, azimuth := earth.NewLine(line.from.At, line.to.At).At(line.lengthNM / 2)
	north, _, err := d.VariationOn(index, middle, altitudeFt)
	return angle.Wrap360(deadreckon.MagneticFromTrue(azimuth, north)), err == nil && !math.IsNaN(north)
}

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
func (d *draft) verifySemicircular(index int, line legLine, level Level) {
	altitudeFt := level.AltitudeFtAt(d.Conditions.QNH)
	track, ok := d.magneticTrack(index, line, altitudeFt)
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
		"%s: %s is not a cruising level under visual rules on a magnetic track of %03d (14 CFR 91.159, ICAO Annex 2 appendix 3: %s thousands and 500 ft above 3000 ft)",
		line.name(), level, whole, halfOf(whole))
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
