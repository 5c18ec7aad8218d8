package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// document is a sheet in words: what text, Markdown and HTML say alike.
type document struct {
	Title    string
	Heading  []string // lines below the title
	Columns  []column // of the log
	Legs     []documentLeg
	Totals   []string // by column
	Changes  []entry  // climb and descent
	Fuel     []entry
	Tanks    []entry
	Beacons  []documentBeacon
	Ways     []entry  // to the alternates
	Remarks  []string // the plan's
	Daylight []entry
	Problems []plan.Problem
	Caution  string
	Urgent   []plan.Problem // what is said first, below the heading
}

// column is a column of the log.
type column struct {
	Head, Meaning string
	Left          bool
}

// documentLeg is a leg's rows in the log, one to a phase of flight, and what lies along the leg, by time.
type documentLeg struct {
	Name    string
	Rows    [][]string
	Courses string
	Marks   []mark
}

// mark is something that is passed or done on a leg.
type mark struct {
	at    time.Time
	Time  string
	After string // nm from the leg's start
	What  string // checkpoint, radio, tank, climb, descent
	Text  string
}

// entry is a line of a list: a name and its figure, with a word of explanation.
type entry struct{ Name, Value, More string }

type documentBeacon struct{ Ident, Name, Frequency, Morse, Range string }

// The columns of the log; the last of them on paper are for a pencil.
var (
	logColumns = []column{
		{"LEG", "from and to; TOC top of climb, TOD top of descent, LVL level-off", true},
		{"DIST", "nm", false},
		{"LEVEL", "ft above sea level, or flight level", false},
		{"MSA", "minimum safe altitude, ft", false},
		{"TRK °M", "track, magnetic", false},
		{"WIND °T", "from, true, and knots", false},
		{"TAS", "true airspeed, kt", false},
		{"WCA", "wind correction angle, right positive", false},
		{"HDG °M", "heading, magnetic", false},
		{"GS", "groundspeed, kt", false},
		{"TIME", "min:s", false},
		{"ETA UTC", "overhead", false},
		{"FUEL", "used, in the aircraft's unit", false},
		{"LEFT", "usable fuel remaining", false},
	}
	compassColumn = column{"CMP", "heading by compass, from its deviation card", false}
	pencilColumns = []string{"REV", "ACT"}
)

// The places of some columns.
const (
	correctionColumn = 7
	headingColumn    = 8
)

// columns are those of the sheet's log: where the aircraft has a deviation card its heading takes the wind correction's place.
func (s *Sheet) columns() []column {
	columns := slices.Clone(logColumns)
	if len(s.Plan.Aircraft.Deviation) > 0 {
		columns[correctionColumn] = columns[headingColumn]
		columns[headingColumn] = compassColumn
	}
	return columns
}

func (s *Sheet) document() document {
	return document{
		Title:    s.Plan.Title,
		Heading:  s.headingWords(),
		Columns:  s.columns(),
		Legs:     s.legWords(),
		Totals:   s.totalWords(),
		Changes:  s.changeWords(),
		Fuel:     s.fuelWords(),
		Tanks:    s.tankWords(),
		Beacons:  s.beaconWords(),
		Ways:     s.alternateWords(),
		Remarks:  s.Plan.Remarks,
		Daylight: s.daylightWords(),
		Problems: s.Problems,
		Caution:  say.Caution,
		Urgent:   slices.DeleteFunc(slices.Clone(s.Problems), func(p plan.Problem) bool { return !p.Urgent }),
	}
}

func (s *Sheet) headingWords() []string {
	p := s.Plan
	aircraft := p.Aircraft.Name
	if p.Aircraft.Registration != "" {
		aircraft = p.Aircraft.Registration + "  " + aircraft
	}
	conditions := p.Conditions
	winds := make([]string, len(conditions.Winds))
	for i, wind := range conditions.Winds {
		winds[i] = fmt.Sprintf("%s %v", say.Feet(wind.AltitudeFt), air.Wind{FromTrue: wind.FromTrue, SpeedKt: wind.SpeedKt})
		if wind.TemperatureC != nil {
			winds[i] += fmt.Sprintf(" %+.0f°C", *wind.TemperatureC)
		}
	}
	return []string{
		aircraft,
		fmt.Sprintf("%s   off blocks %s   airborne %s   overhead %s %s", p.OffBlocks.UTC().Format("Mon 2 January 2006"),
			say.Minute(p.OffBlocks), say.Minute(s.Airborne), s.Route.Destination().Ident, say.Minute(s.Arrival())),
		fmt.Sprintf("QNH %.0f hPa %.2f inHg   ISA %+.0f°C   %s   wind °T %s", conditions.QNH, air.InHgFromHPa(conditions.QNH), conditions.ISADeviation,
			s.freezingWords(), strings.Join(winds, ", ")),
	}
}

func (s *Sheet) freezingWords() string {
	if altitudeFt, ok := s.FreezingLevelFt(); ok {
		return fmt.Sprintf("freezing level %s", say.Feet(math.Round(altitudeFt/100)*100))
	}
	return "freezing level not between 0 and 30000 ft"
}

func (s *Sheet) legWords() []documentLeg {
	legs := make([]documentLeg, len(s.Legs))
	left := s.Fuel.OnBoard - s.Fuel.Unusable - s.Fuel.Taxi
	for i, leg := range s.Legs {
		legs[i] = documentLeg{Name: leg.From.Ident + "-" + leg.To.Ident, Courses: courseWords(leg), Marks: s.marks(i)}
		for _, part := range s.LogParts(i) {
			left -= part.Fuel
			legs[i].Rows = append(legs[i].Rows, s.partWords(leg, part, left))
		}
	}
	return legs
}

// partWords are the cells of a row.
func (s *Sheet) partWords(leg Leg, part LogPart, left float64) []string {
	safe := ""
	if leg.SafeAltitudeFt != nil {
		safe = say.Whole(*leg.SafeAltitudeFt)
	}
	cells := []string{
		part.From + "-" + part.To, say.Tenth(part.DistanceNM), levelWords(leg.Level), safe,
		say.Degrees(part.TrackMagnetic), part.Wind.String(), say.Whole(part.TASKt), signed(part.CorrectionDeg),
		say.Degrees(part.HeadingMagnetic), say.Whole(part.GroundspeedKt), say.Span(60 * part.Minutes), say.UTC(part.ETA), say.Tenth(part.Fuel), say.Tenth(left),
	}
	if compass, ok := s.Plan.Aircraft.CompassHeading(part.HeadingMagnetic); ok {
		cells[correctionColumn], cells[headingColumn] = cells[headingColumn], say.Degrees(compass)
	}
	return cells
}

// courseWords are the courses to select at the leg's ends, which differ from the track at its middle on a long leg; those that a
// radio step of the leg says already are left out.
func courseWords(leg Leg) string {
	var words []string
	add := func(station plan.Point, course plan.Course, degrees *float64) {
		said := slices.ContainsFunc(leg.Radio, func(step RadioStep) bool { return step.Beacon.Ident == station.Ident && step.Course == course })
		if degrees != nil && !said {
			words = append(words, fmt.Sprintf("%s %s %s", station.Ident, course, say.Degrees(*degrees)))
		}
	}
	add(leg.From, plan.Outbound, leg.CourseOutbound)
	add(leg.To, plan.Inbound, leg.CourseInbound)
	return strings.Join(words, ", ")
}

func (s *Sheet) totalWords() []string {
	cells := make([]string, len(logColumns))
	cells[0], cells[1] = "total", say.Tenth(s.Route.DistanceNM())
	cells[10], cells[12], cells[13] = say.Span(60*s.Trajectory.TotalMinutes()), say.Tenth(s.Fuel.Trip), say.Tenth(s.Fuel.OnArrival)
	return cells
}

// marks are what lies along a leg, by time.
func (s *Sheet) marks(leg int) []mark {
	var marks []mark
	add := func(at time.Time, afterNM float64, what, format string, arguments ...any) {
		marks = append(marks, mark{at, say.Time(at), say.Tenth(afterNM), what, fmt.Sprintf(format, arguments...)})
	}
	for i, checkpoint := range s.Legs[leg].Checkpoints {
		text := s.checkpointWords(checkpoint)
		if off := side(checkpoint.RightNM); off != "" {
			text += ", " + off
		}
		what := "checkpoint"
		if checkpoint.Boundary {
			what, text = "boundary", "boundary of "+text
		}
		add(s.Legs[leg].CheckpointETAs[i], checkpoint.AfterNM, what, "%s", text)
	}
	for _, contact := range s.Contacts {
		if contact.Leg == leg {
			add(contact.ETA, contact.AfterNM, "contact", "call %s", contactWords(contact.Contact))
		}
	}
	for i, step := range s.Radio {
		if step.Leg == leg {
			add(s.RadioETAs[i], step.AfterNM, "radio", "%s", stepWords(step))
		}
	}
	for _, change := range s.Tanks.Changes {
		if at := s.Trajectory.At(change.MinutesAfterAirborne); at.Leg == leg {
			add(change.At, at.AfterNM, "tank", "tank to %s, imbalance %s %s", change.To, say.Tenth(change.ImbalanceBefore), s.Fuel.Unit)
		}
	}
	if s.Climb.Minutes > 0 && s.Climb.TopLeg == leg {
		altitudeFt, _ := s.Trajectory.AltitudeAt(leg, s.Climb.TopAfterNM)
		add(s.Climb.TopAt, s.Climb.TopAfterNM, "climb", "top of climb, %s: %v", say.Feet(altitudeFt), s.Setting(Cruise, altitudeFt))
	}
	if s.Descent.Minutes > 0 && s.Descent.TopLeg == leg {
		add(s.Descent.TopAt, s.Descent.TopAfterNM, "descent", "top of descent, %s before %s: %v", say.Miles(s.Descent.DistanceNM), s.Route.Destination().Ident, s.Setting(Descent, 0))
	}
	slices.SortStableFunc(marks, func(a, b mark) int { return cmp.Compare(a.at.UnixNano(), b.at.UnixNano()) })
	return marks
}

// checkpointWords is a checkpoint's name, with that of the point where it has one of its own.
func (s *Sheet) checkpointWords(checkpoint Checkpoint) string {
	if point, ok := s.Plan.Point(checkpoint.Name); ok && point.Name != "" {
		return checkpoint.Name + " " + point.Name
	}
	return checkpoint.Name
}

// stepWords is a radio step: "NAV1 KVN 114.35 inbound 058".
func stepWords(step RadioStep) string {
	words := []string{step.Receiver, step.Beacon.Ident, say.Frequency(step.Beacon.Frequency)}
	if step.CourseMagnetic != nil {
		course := string(step.Course)
		switch {
		case step.Beacon.Kind == plan.NDB && step.Course == plan.Outbound:
			course = "QDR"
		case step.Beacon.Kind == plan.NDB:
			course = "QDM"
		case step.Course == plan.Given:
			course = "course"
		}
		words = append(words, course, directionOf(step.CourseMagnetic))
	}
	if !step.InRange {
		words = append(words, "(not received all the way)")
	}
	return strings.Join(words, " ")
}

func (s *Sheet) changeWords() []entry {
	var entries []entry
	add := func(name string, change LevelChange) {
		if change.Minutes > 0 {
			entries = append(entries, entry{
				name, say.Span(60 * change.Minutes),
				fmt.Sprintf("%s, %.1f %s, top at %s", say.Miles(change.DistanceNM), change.Fuel, s.Fuel.Unit, say.Minute(change.TopAt)),
			})
		}
	}
	add("climb", s.Climb)
	add("descent", s.Descent)
	return entries
}

func (s *Sheet) fuelWords() []entry {
	needed := s.Fuel
	entries := []entry{
		{"taxi", say.Tenth(needed.Taxi), fmt.Sprintf("%.0f min", s.Plan.TaxiMinutes)},
		{"trip", say.Tenth(needed.Trip), say.Span(60 * s.Trajectory.TotalMinutes())},
		{"contingency", say.Tenth(needed.Contingency), fmt.Sprintf("%g %%", s.Plan.Fuel.ContingencyPercent)},
	}
	if alternate := s.alternate(); alternate != "" {
		entries = append(entries, entry{"alternate", say.Tenth(needed.Alternate), fmt.Sprintf("%s, %.0f min", alternate, needed.AlternateMinutes)})
	}
	entries = append(
		entries,
		entry{"final reserve", say.Tenth(needed.Reserve), s.reserveWords()},
		entry{"minimum block fuel", say.Tenth(needed.Required), ""},
		entry{"block fuel", say.Tenth(needed.OnBoard), fmt.Sprintf("%.1f usable", needed.OnBoard-needed.Unusable)},
		entry{"extra fuel", say.Tenth(needed.Spare), fmt.Sprintf("%s at cruise, %.1f an hour", say.Span(60*fuel.EnduranceMinutes(needed.Spare, needed.CruiseFlow)), needed.CruiseFlow)},
		entry{"endurance", say.Span(60 * needed.EnduranceMinutes), "the usable block fuel at the flow of cruise"},
		entry{"fuel on arrival", say.Tenth(needed.OnArrival), "usable overhead " + s.Route.Destination().Ident},
	)
	if mass := needed.Mass; mass != nil {
		unit, _ := fuel.ParseUnit(needed.Unit)
		entries = append(entries, entry{
			"mass", unit.MassText(mass.OnBoardKg),
			fmt.Sprintf("%s at take-off, %s on landing", unit.MassText(mass.TakeOffKg), unit.MassText(mass.LandingKg)),
		})
	}
	return entries
}

func (s *Sheet) tankWords() []entry {
	tanks, schedule := s.Plan.Aircraft.Fuel.Tanks, s.Tanks.Schedule
	var entries []entry
	for i, tank := range tanks {
		var more []string
		if tank.Name == s.Plan.Fuel.StartOn {
			more = append(more, "start on it")
		}
		if i == schedule.LandsOn && len(tanks) > 1 {
			more = append(more, "land on it")
		}
		more = append(more, say.Tenth(schedule.Remaining[i])+" on landing")
		entries = append(entries, entry{tank.Name, say.Tenth(s.Plan.Fuel.OnBoard[tank.Name]), strings.Join(more, ", ")})
	}
	for _, change := range s.Tanks.Changes {
		entries = append(entries, entry{"to " + change.To, say.Minute(change.At), fmt.Sprintf("imbalance %.1f", change.ImbalanceBefore)})
	}
	if limit := s.Plan.Aircraft.Fuel.MaxImbalance; limit != nil {
		entries = append(entries, entry{"imbalance", say.Tenth(schedule.HighestImbalance), imbalanceWords(schedule, *limit)})
	}
	return entries
}

// imbalanceWords goes with the highest imbalance planned.
func imbalanceWords(schedule fuel.Schedule, limit float64) string {
	words := fmt.Sprintf("highest planned, limit %g", limit)
	if over := schedule.HighestImbalance - limit; over > leastQuantity {
		words += fmt.Sprintf(": %.1f ABOVE THE LIMIT", over)
		if schedule.StartsAboveLimit {
			words += " at the start"
		}
	}
	return words
}

// beaconWords is every beacon of the radio steps, once, with what it is known by.
func (s *Sheet) beaconWords() []documentBeacon {
	var beacons []documentBeacon
	for _, step := range s.Radio {
		beacon := step.Beacon
		if slices.ContainsFunc(beacons, func(b documentBeacon) bool { return b.Ident == beacon.Ident }) {
			continue
		}
		morse, _ := radio.Morse(beacon.Ident)
		entry := documentBeacon{beacon.Ident, beacon.Title(), say.Frequency(beacon.Frequency), morse, ""}
		if beacon.RangeNM > 0 {
			entry.Range = fmt.Sprintf("%.0f nm", beacon.RangeNM)
		}
		beacons = append(beacons, entry)
	}
	return beacons
}

func (s *Sheet) daylightWords() []entry {
	entries := make([]entry, len(s.Daylight))
	for i, daylight := range s.Daylight {
		sunset, dusk := "no sunset", "no end of twilight"
		if daylight.Sunset != nil {
			sunset = "sunset " + say.Minute(*daylight.Sunset)
		}
		if daylight.CivilTwilightEnd != nil {
			dusk = "twilight ends " + say.Minute(*daylight.CivilTwilightEnd)
		}
		entries[i] = entry{daylight.Ident, say.Minute(daylight.Arrival), sunset + ", " + dusk}
	}
	return entries
}
