package sheet

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// document is a sheet in words: what text, Markdown and HTML say alike. Its figures are rounded so that whoever adds up what is printed
// comes to what is printed.
type document struct {
	Title     string
	Heading   []string // lines below the title
	Columns   []column // of the log
	Legs      []documentLeg
	Totals    []string // by column
	Fuel      []entry
	Tanks     []entry
	Beacons   []documentBeacon
	Arrivals  [][]string // by arrivalColumns: the destination, then the alternates
	FromWhere string     // from where the alternates' figures count
	Remarks   []string   // the plan's
	Problems  []plan.Problem
	Caution   string
	Urgent    []plan.Problem // what is said first, below the heading
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
	End     mark // overhead the leg's end, which Rows have already
}

// mark is something that is passed or done on a leg.
type mark struct {
	At     time.Time
	After  string // nm from the leg's start
	Text   string
	Passed bool // a place whose passing is timed: there is room for a revised and an actual time
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

	// arrivalColumns are of the destination and the alternates.
	arrivalColumns = []column{
		{"TO", "", true},
		{"HDG °M", "heading from overhead the destination, magnetic", false},
		{"DIST", "nm", false},
		{"TIME", "min:s", false},
		{"FUEL", "in the aircraft's unit", false},
		{"ETA UTC", "overhead", false},
		{"SUNSET", "UTC", false},
		{"DUSK", "end of civil twilight, UTC", false},
	}

	// What is taken down before take-off and written in by hand: long lines and short ones.
	roomLong  = []string{"ATIS", "CLEARANCE"}
	roomShort = []string{"SQUAWK", "OFF BLOCKS", "AIRBORNE", "LANDED", "ON BLOCKS"}
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
		Title:     s.Plan.Title,
		Heading:   s.headingWords(),
		Columns:   s.columns(),
		Legs:      s.legWords(),
		Totals:    s.totalWords(),
		Fuel:      s.fuelWords(),
		Tanks:     s.tankWords(),
		Beacons:   s.beaconWords(),
		Arrivals:  s.arrivalWords(),
		FromWhere: fmt.Sprintf("from overhead %s at %v", s.Route.Destination().Ident, s.Route.Legs[len(s.Route.Legs)-1].Level),
		Remarks:   s.Plan.Remarks,
		Problems:  s.Problems,
		Caution:   say.Caution,
		Urgent:    slices.DeleteFunc(slices.Clone(s.Problems), func(p plan.Problem) bool { return !p.Urgent }),
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
		winds[i] = say.Feet(wind.AltitudeFt) + " " + say.Wind(wind.FromTrue, wind.SpeedKt)
		if wind.TemperatureC != nil {
			winds[i] += fmt.Sprintf(" %+.0f°C", *wind.TemperatureC)
		}
	}
	return []string{
		aircraft,
		fmt.Sprintf("%s   off blocks %s   airborne %s   overhead %s %s", p.OffBlocks.UTC().Format("Mon 2 January 2006"),
			say.Minute(p.OffBlocks), say.Minute(s.Airborne), s.Route.Destination().Ident, say.Minute(s.Arrival())),
		fmt.Sprintf("QNH %s   ISA %s   %s", say.QNHInBoth(conditions.QNH), s.deviationWords(), s.freezingWords()),
		"wind °T " + strings.Join(winds, ", "),
		"variation " + s.variationWords(),
	}
}

// deviationWords are how much warmer than standard the air of the forecast is, to the whole degree: "+2°C", or from the least to the most of its levels.
func (s *Sheet) deviationWords() string {
	least, most := math.Inf(1), math.Inf(-1)
	for _, level := range s.Air.Layers {
		whole := math.Round(level.Deviation) + 0 // no -0
		least, most = min(least, whole), max(most, whole)
	}
	if least == most {
		return fmt.Sprintf("%+.0f°C", most)
	}
	return fmt.Sprintf("%+.0f to %+.0f°C", least, most)
}

// variationWords are the variations that the legs' magnetic directions are made with, and whose they are.
func (s *Sheet) variationWords() string {
	var words []string
	for _, source := range []struct {
		from plan.Source
		name string
	}{{plan.FromPlan, "the plan"}, {plan.FromModel, "the magnetic model"}} {
		lowest, highest := math.Inf(1), math.Inf(-1)
		for _, leg := range s.Legs {
			if leg.VariationFrom == source.from {
				lowest, highest = min(lowest, leg.Variation), max(highest, leg.Variation)
			}
		}
		if lowest > highest {
			continue
		}
		span := say.SayEast(lowest, 1)
		if upTo := say.SayEast(highest, 1); upTo != span {
			span += " to " + upTo
		}
		words = append(words, span+" by "+source.name)
	}
	return strings.Join(words, ", ")
}

func (s *Sheet) freezingWords() string {
	if altitudeFt, ok := s.FreezingLevelFt(); ok {
		return fmt.Sprintf("freezing level %s", say.Feet(math.Round(altitudeFt/100)*100))
	}
	return "freezing level not between 0 and 30000 ft"
}

func (s *Sheet) legWords() []documentLeg {
	legs := make([]documentLeg, len(s.Legs))
	for i, leg := range s.Legs {
		legs[i] = documentLeg{
			Name: leg.From.Ident + "-" + leg.To.Ident, Courses: courseWords(leg), Marks: s.marks(i),
			End: mark{At: leg.ETA, After: say.Tenth(leg.DistanceNM), Text: say.Named(leg.To.Ident, leg.To.Name), Passed: true},
		}
	}
	for _, row := range s.logRows() {
		leg := &legs[row.leg]
		leg.Rows = append(leg.Rows, s.rowWords(row))
	}
	return legs
}

// rowWords are the cells of a row of the log.
func (s *Sheet) rowWords(row logRow) []string {
	leg := s.Legs[row.leg]
	safe := ""
	if leg.SafeAltitudeFt != nil {
		safe = say.Whole(*leg.SafeAltitudeFt)
	}
	cells := []string{
		row.From + "-" + row.To, say.Tenth(row.DistanceNM), levelWords(leg.Level), safe,
		say.Degrees(row.TrackMagnetic), row.Wind.String(), say.Whole(row.TASKt), signed(row.correction),
		say.Degrees(row.HeadingMagnetic), say.Whole(row.GroundspeedKt), say.Span(row.seconds), say.UTC(row.ETA), say.Tenth(row.fuel), say.Tenth(row.left),
	}
	if compass, ok := s.Plan.Aircraft.CompassHeading(row.HeadingMagnetic); ok {
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
	block := s.writtenFuel()
	cells := make([]string, len(logColumns))
	cells[0], cells[1] = "total", say.Tenth(s.Route.DistanceNM())
	cells[10], cells[12], cells[13] = say.Between(s.Airborne, s.Arrival()), say.Tenth(block.Trip), say.Tenth(block.OnArrival)
	return cells
}

// marks are what lies along a leg, by time.
func (s *Sheet) marks(leg int) []mark {
	var marks []mark
	add := func(at time.Time, afterNM float64, format string, arguments ...any) {
		marks = append(marks, mark{At: at, After: say.Tenth(afterNM), Text: fmt.Sprintf(format, arguments...)})
	}
	for i, checkpoint := range s.Legs[leg].Checkpoints {
		text := s.checkpointWords(checkpoint)
		if math.Abs(checkpoint.RightNM) >= 0.1 {
			text += ", " + say.MilesAside(checkpoint.RightNM)
		}
		if checkpoint.Boundary {
			text = "boundary of " + text
		}
		add(s.Legs[leg].CheckpointETAs[i], checkpoint.AfterNM, "%s", text)
		marks[len(marks)-1].Passed = true
	}
	for _, contact := range s.Contacts {
		if contact.Leg == leg {
			add(contact.ETA, contact.AfterNM, "call %s", contactWords(contact.Contact))
		}
	}
	set := map[string]Tuning{}
	for i, step := range s.Radio {
		if step.Leg == leg {
			add(s.RadioETAs[i], step.AfterNM, "%s", stepWords(step, set[step.Receiver]))
		}
		set[step.Receiver] = step.Tuning()
	}
	for _, change := range s.Tanks.Changes {
		if at := s.Trajectory.At(change.MinutesAfterAirborne); at.Leg == leg {
			add(change.At, at.AfterNM, "tank to %s, imbalance %s", change.To, say.AmountIn(change.ImbalanceBefore, s.Fuel.Unit))
		}
	}
	if s.Climb.Minutes > 0 && s.Climb.TopLeg == leg {
		altitudeFt, _ := s.Trajectory.AltitudeAt(leg, s.Climb.TopAfterNM)
		add(s.Climb.TopAt, s.Climb.TopAfterNM, "top of climb, %s: %v", say.Feet(altitudeFt), s.Setting(Cruise, altitudeFt))
	}
	if s.Descent.Minutes > 0 && s.Descent.TopLeg == leg {
		add(s.Descent.TopAt, s.Descent.TopAfterNM, "top of descent, %s before %s: %v", say.Miles(s.Descent.DistanceNM), s.Route.Destination().Ident, s.Setting(Descent, 0))
	}
	slices.SortStableFunc(marks, func(a, b mark) int { return a.At.Compare(b.At) })
	return marks
}

// checkpointWords is a checkpoint's name, with that of the point where it has one of its own.
func (s *Sheet) checkpointWords(checkpoint Checkpoint) string {
	if point, ok := s.Plan.Point(checkpoint.Name); ok && point.Name != "" {
		return checkpoint.Name + " " + point.Name
	}
	return checkpoint.Name
}

// stepWords is a radio step: "NAV1 KVN 114.35 inbound 058"; of a receiver that is set so from the step before, that it stays tuned.
func stepWords(step RadioStep, before Tuning) string {
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
	if before.SameAs(step.Tuning()) {
		words = append(words, "stays tuned")
	}
	if !step.InRange {
		words = append(words, "(not received all the way)")
	}
	return strings.Join(words, " ")
}

// problemWords is what does not hold and, of what is the pilot's to judge, what would be right.
func problemWords(problem plan.Problem) string {
	if problem.Severity != plan.Caution || problem.Hint == "" {
		return problem.Text
	}
	return problem.Text + " (" + problem.Hint + ")"
}

// writtenFuel is the fuel calculation in tenths, the sums made of what is written.
func (s *Sheet) writtenFuel() FuelNeeded {
	f := s.Fuel
	for _, part := range []*float64{&f.Taxi, &f.Trip, &f.Contingency, &f.Alternate, &f.Reserve, &f.Block, &f.Unusable} {
		*part = tenths(*part)
	}
	f.MinimumBlock = tenths(f.Taxi + f.Trip + f.Contingency + f.Alternate + f.Reserve)
	f.Extra = tenths(f.Block - f.Unusable - f.MinimumBlock)
	f.OnArrival = tenths(f.Block - f.Unusable - f.Taxi - f.Trip)
	return f
}

func (s *Sheet) fuelWords() []entry {
	f := s.writtenFuel()
	entries := []entry{
		{"taxi", say.Amount(f.Taxi), say.Whole(s.Plan.TaxiMinutes) + " min"},
		{"trip", say.Amount(f.Trip), say.Between(s.Airborne, s.Arrival())},
		{"contingency", say.Amount(f.Contingency), fmt.Sprintf("%g %%", s.Plan.Fuel.ContingencyPercent)},
	}
	if alternate := s.alternate(); alternate != "" {
		entries = append(entries, entry{"alternate", say.Amount(f.Alternate), alternate + ", " + say.Span(60*f.AlternateMinutes)})
	}
	entries = append(
		entries,
		entry{"final reserve", say.Amount(f.Reserve), s.Fuel.ReserveRule},
		entry{"minimum block fuel", say.Amount(f.MinimumBlock), "the sum of these"},
		entry{"block fuel", say.Amount(f.Block), say.Amount(f.Block-f.Unusable) + " of it usable"},
		entry{"extra fuel", say.Amount(f.Extra), fmt.Sprintf("over the minimum; %s in cruise at %s an hour", say.Span(60*fuel.EnduranceMinutes(s.Fuel.Extra, f.CruiseFlow)), say.Amount(f.CruiseFlow))},
		entry{"endurance", say.Span(60 * f.EnduranceMinutes), "usable fuel in the first cruise, " + say.Amount(f.EnduranceFlow) + " an hour"},
		entry{"fuel on arrival", say.Amount(f.OnArrival), "usable overhead " + s.Route.Destination().Ident},
	)
	if mass := f.Mass; mass != nil {
		entries = append(entries, entry{
			"mass", say.Mass(mass.OnBoardKg, f.Unit),
			fmt.Sprintf("%s at take-off, %s overhead %s", say.Mass(mass.TakeOffKg, f.Unit), say.Mass(mass.LandingKg, f.Unit), s.Route.Destination().Ident),
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
		more = append(more, say.Tenth(schedule.Remaining[i])+" overhead "+s.Route.Destination().Ident)
		entries = append(entries, entry{tank.Name, say.Tenth(s.Plan.Fuel.OnBoard[tank.Name]), strings.Join(more, ", ")})
	}
	for _, change := range s.Tanks.Changes {
		entries = append(entries, entry{"to " + change.To, say.Minute(change.At), "imbalance " + say.Amount(change.ImbalanceBefore)})
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
		words += ": " + say.Amount(over) + " ABOVE THE LIMIT"
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
			entry.Range = say.Whole(beacon.RangeNM) + " nm"
		}
		beacons = append(beacons, entry)
	}
	return beacons
}

// arrivalWords are the cells of the destination and of each alternate.
func (s *Sheet) arrivalWords() [][]string {
	rows := make([][]string, len(s.Daylight))
	for i, day := range s.Daylight {
		row := []string{day.Ident, "", "", "", "", say.ColumnMinute(day.Arrival), endOf(day.Sunset), endOf(day.CivilTwilightEnd)}
		if i > 0 {
			way := s.Alternates[i-1]
			row[1], row[2], row[3], row[4] = say.Degrees(way.HeadingMagnetic), say.Tenth(way.DistanceNM), say.Between(s.Arrival(), way.ETA), say.Amount(way.Fuel)
		}
		rows[i] = row
	}
	return rows
}

// endOf is when the sun or twilight ends, on a day on which it may not.
func endOf(at *time.Time) string {
	if at == nil {
		return "none"
	}
	return say.ColumnMinute(*at)
}

// directionOf is a direction that may not be there.
func directionOf(degrees *float64) string {
	if degrees == nil {
		return ""
	}
	return say.Degrees(*degrees)
}

// signed is a whole number with its sign: "+7", "-12", "0".
func signed(value float64) string {
	if math.Round(value) == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", value)
}

// levelWords is a level without its unit: "4000", "FL065".
func levelWords(level plan.Level) string {
	if level.FlightLevel != 0 {
		return level.String()
	}
	return say.Whole(level.AltitudeFt)
}

// formats is every form that a sheet can be written in.
var formats = []struct {
	name  string
	write func(*Sheet, io.Writer) error
}{
	{"text", (*Sheet).writeText},
	{"markdown", (*Sheet).writeMarkdown},
	{"html", (*Sheet).writeHTML},
	{"csv", (*Sheet).writeCSV},
	{"json", (*Sheet).writeJSON},
}

// Formats names the forms that Write knows, the default first.
func Formats() []string {
	names := make([]string, len(formats))
	for i, format := range formats {
		names[i] = format.name
	}
	return names
}

// Write prints the sheet in one of Formats. Nothing is written when it fails before the end.
func (s *Sheet) Write(w io.Writer, format string) error {
	i := slices.Index(Formats(), format)
	if i < 0 {
		return fmt.Errorf("there is no format %q for a sheet: use %s", format, strings.Join(Formats(), ", "))
	}
	var out bytes.Buffer
	if err := formats[i].write(s, &out); err != nil {
		return fmt.Errorf("writing the sheet as %s: %w", format, err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// LogPart is a row of the pilot's log: a leg, or the part of one that is flown in one phase, so that its distance by its groundspeed is
// its time.
type LogPart struct {
	From, To        string // an ident, TOC, TOD or LVL
	Phase           Phase
	DistanceNM      float64
	TrackMagnetic   float64
	Wind            air.Wind
	TASKt           float64
	CorrectionDeg   float64
	HeadingMagnetic float64
	GroundspeedKt   float64 // distance over time: of a climb or descent the mean
	Minutes         float64
	Fuel            float64
	ETA             time.Time // at its end
}

// The ends of a part that no point of the route names.
const (
	topOfClimb   = "TOC"
	topOfDescent = "TOD"
	levelOff     = "LVL"
)

// LogParts are the rows of a leg, split at the tops of climb and descent. The wind, airspeed and heading of a climb or descent are those
// at its mean height; a part of cruise has its leg's.
func (s *Sheet) LogParts(index int) []LogPart {
	leg, way := s.Legs[index], s.Trajectory.OnLeg(index)
	var parts []LogPart
	for first := 0; first < len(way); {
		next := first
		for next < len(way) && way[next].Phase == way[first].Phase {
			next++
		}
		parts = append(parts, s.logPart(leg, index, way[first:next]))
		if n := len(parts); n > 1 {
			join := topOfDescent
			switch {
			case parts[n-2].Phase == Climb && parts[n-1].Phase == Cruise:
				join = topOfClimb
			case parts[n-2].Phase == Descent:
				join = levelOff
			}
			parts[n-2].To, parts[n-1].From = join, join
		}
		first = next
	}
	parts[0].From, parts[len(parts)-1].To = leg.From.Ident, leg.To.Ident
	return parts
}

func (s *Sheet) logPart(leg Leg, index int, way Trajectory) LogPart {
	last := way[len(way)-1]
	part := LogPart{
		Phase: way[0].Phase, DistanceNM: way.DistanceNM(), TrackMagnetic: leg.TrackMagnetic, Fuel: way.Fuel(), ETA: s.TimeAt(index, last.ToNM),
		Wind: leg.Wind, TASKt: leg.TASKt, CorrectionDeg: leg.CorrectionDeg, HeadingMagnetic: leg.HeadingMagnetic,
	}
	heights := 0.0
	for _, piece := range way {
		part.Minutes += piece.Minutes
		heights += piece.Minutes * (piece.FromFt + piece.ToFt) / 2
	}
	part.GroundspeedKt = deadreckon.Groundspeed(part.DistanceNM, part.Minutes)
	if part.Phase == Cruise || part.Minutes == 0 {
		return part
	}
	k := newReckoner(s.Route, Start{Leg: index}, s.Air, layerFt, index)
	defer reckoners.Put(k)
	if piece, _, err := k.through(part.Phase, index, Track{TrackTrue: leg.TrackTrue}, heights/part.Minutes); err == nil {
		part.Wind, part.TASKt, part.CorrectionDeg = piece.Wind, piece.TASKt, piece.Heading.CorrectionDeg
		part.HeadingMagnetic = deadreckon.MagneticFromTrue(piece.Heading.HeadingTrue, leg.Variation)
	}
	return part
}

// logRow is a row of the log as it is written: its time is from one whole second to another, and its fuel from one tenth to another, so
// that the columns add up to their totals; its wind correction is what is between the track and the heading written.
type logRow struct {
	LogPart
	leg        int
	seconds    float64
	correction float64
	fuel, left float64 // used on the row; usable and remaining at its end
}

// logRows is the whole log.
func (s *Sheet) logRows() []logRow {
	block := s.writtenFuel()
	start := tenths(block.Block - block.Unusable - block.Taxi)
	var rows []logRow
	at, left, burned := s.Airborne, start, 0.0
	for i := range s.Legs {
		for _, part := range s.LogParts(i) {
			row := logRow{LogPart: part, leg: i, seconds: part.ETA.Sub(at).Seconds()}
			row.correction = angle.Turn(float64(angle.Whole(part.TrackMagnetic)), float64(angle.Whole(part.HeadingMagnetic)))
			burned += part.Fuel
			row.left = tenths(start - tenths(burned))
			row.fuel = tenths(left - row.left)
			at, left = part.ETA, row.left
			rows = append(rows, row)
		}
	}
	return rows
}

func tenths(value float64) float64 { return math.Round(10*value) / 10 }
