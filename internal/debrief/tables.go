package debrief

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

// table is what a report shows in rows, the same in text and in HTML.
type table struct {
	Title string
	Note  string // what the figures mean, in one line
	Heads []string
	Left  int // so many of the first columns hold words
	Rows  [][]string

	links map[[2]int]string // of cells, by row and column: addresses that are safe to follow
}

// link makes a cell lead somewhere.
func (t *table) link(row, column int, address string) {
	if address == "" {
		return
	}
	if t.links == nil {
		t.links = map[[2]int]string{}
	}
	t.links[[2]int{row, column}] = address
}

// tables are a report's, those without rows left out.
func (f *Flight) tables() []table {
	all := append(practiceTables(f.Practice), f.timesTable(), f.legsTable(), f.headingsTable(), f.passingsTable())
	all = append(all, f.flownTables()...)
	if !f.byTrack() {
		all = append(all, f.tanksTable(), f.fuelTable(), f.gaugesTable(), f.disciplineTable(), f.promptsTable(), f.beaconsTable(), f.checksTable())
	}
	var filled []table
	for _, t := range all {
		if len(t.Rows) > 0 {
			filled = append(filled, t)
		}
	}
	return filled
}

func (f *Flight) timesTable() table {
	t := table{Title: "Times", Heads: []string{"", "planned", "actual", "late"}, Left: 1}
	for _, row := range []struct {
		name string
		of   Milestone
	}{
		{"off blocks", f.Totals.OffBlocks},
		{"airborne", f.Totals.Airborne},
		{"overhead " + f.Totals.Destination, f.Totals.Overhead},
		{"landed", f.Totals.Landed},
		{"on blocks", f.Totals.OnBlocks},
	} {
		t.Rows = append(t.Rows, []string{row.name, say.TimeOf(row.of.Planned), say.TimeOf(row.of.Actual), say.SignedOf(row.of.DifferenceSeconds)})
	}
	return t
}

func (f *Flight) legsTable() table {
	t := table{
		Title: "Legs: time and groundspeed", Left: 2, Note: "Groundspeeds are over the whole leg, climb and descent included.",
		Heads: []string{"from", "to", "nm", "plan", "actual", "late", "GS plan, kt", "GS, kt", "off track"},
	}
	hold := func(leg int, atStart bool) {
		for _, h := range f.Holds {
			if h.Leg == leg && (h.AfterNM == 0) == atStart {
				t.Rows = append(t.Rows, []string{"hold", h.Point, "", "", say.Between(h.From, h.To), say.Signed(say.Apart(h.From, h.To).Seconds()), "", "", ""})
			}
		}
	}
	for _, leg := range f.Legs {
		hold(leg.Index, true)
		if leg.LeftOut {
			actual := "left out"
			if leg.LeftAfterMinutes != nil {
				actual = "left after " + minutesOf(leg.LeftAfterMinutes)
			}
			t.Rows = append(t.Rows, []string{leg.From, leg.To, say.Tenth(leg.DistanceNM), minutesOf(leg.PlannedMinutes), actual, "", say.Or(leg.PlannedGroundspeedKt, say.Whole), "", ""})
			hold(leg.Index, false)
			continue
		}
		t.Rows = append(t.Rows, []string{
			leg.From, leg.To, say.Tenth(leg.DistanceNM), minutesOf(leg.PlannedMinutes), minutesOf(leg.ActualMinutes), say.SignedOf(leg.longerSeconds()),
			say.Or(leg.PlannedGroundspeedKt, say.Whole), say.Or(leg.ActualGroundspeedKt, say.Whole), say.Or(leg.OffTrackNM, say.MilesAside),
		})
		hold(leg.Index, false)
	}
	return t
}

func (f *Flight) headingsTable() table {
	t := table{
		Title: "Legs: heading, drift, wind", Left: 2,
		Note:  "Headings are magnetic: planned, given by the program, logged as steered. Drift R is to the right. Wind is from, true; ± is one standard error of a component.",
		Heads: []string{"from", "to", "track", "plan", "given", "steered", "drift plan", "found", "forecast", "found", "±"},
	}
	for _, leg := range f.Legs {
		if leg.LeftOut {
			continue
		}
		forecast, found, sigma := none, none, none
		if leg.Wind != nil {
			forecast, found = say.Wind(leg.Wind.ForecastFrom, leg.Wind.ForecastKt), say.Wind(leg.Wind.FromTrue, leg.Wind.SpeedKt)
			sigma = say.Whole(leg.Wind.SigmaKt)
		}
		t.Rows = append(t.Rows, []string{
			leg.From, leg.To, say.Degrees(leg.TrackMagnetic), say.DegreesOf(leg.PlannedHeading), say.DegreesOf(leg.GivenHeading),
			say.DegreesOf(leg.SteeredHeading), driftOf(leg.PlannedDrift), driftOf(leg.FoundDrift), forecast, found, sigma,
		})
	}
	return t
}

func (f *Flight) passingsTable() table {
	t := table{
		Title: "Passings: how late against each ETA", Left: 1,
		Note: "Late is +. The hand sums and the revised ETA are those that there were at the point before: carried over, the plan's times " +
			"later by what the last point was late; by ratio, the plan's minutes stretched as those between the last two points.",
		Heads: []string{"point", "at", "plan", "carried", "ratio", "revised", "±", "from", "GS, kt"},
	}
	corrected := false
	for _, p := range f.Passings {
		name := p.Point
		if p.Checkpoint {
			name = "  " + name
		}
		row := []string{name, say.Time(p.At), say.SignedOf(&p.PlanErrorSeconds), none, none, none, none, none, say.Or(p.GroundspeedKt, say.Whole)}
		if e := p.Estimate; e != nil {
			row[3], row[4], row[5] = say.SignedOf(e.CarriedErrorSeconds), say.SignedOf(e.RatioErrorSeconds), say.SignedOf(e.RevisedErrorSeconds)
			row[6], row[7] = say.Span(e.SigmaSeconds), e.After
			if e.CorrectedSince {
				corrected = true
				row[7] += " *"
			}
		}
		t.Rows = append(t.Rows, row)
	}
	if slices.ContainsFunc(f.Legs, func(leg Leg) bool { return leg.Diversion }) {
		t.Note += " The plan of a diversion is its reckoning when it was turned to, and no hand sum reaches across that turn."
	}
	if corrected {
		t.Note += " From a point with * the ETAs are as known then: a time that they stand on was corrected later."
	}
	if len(f.Holds) > 0 {
		t.Note += " A hold is no part of a groundspeed or a ratio; by hand it delays what comes after it."
	}
	if f.ETA.Count > 0 {
		mean := func(seconds *float64) string {
			if seconds == nil {
				return none
			}
			return say.Span(*seconds)
		}
		t.Rows = append(t.Rows, []string{"mean error", "", mean(f.ETA.PlanMean), "", mean(f.ETA.HandMean), mean(f.ETA.RevisedMean), say.Or(f.ETA.Within1Sigma, say.Share), "in ±", ""})
	}
	return t
}

func (f *Flight) tanksTable() table {
	t := table{
		Title: "Tank changes, " + say.Unit(f.Tanks.Unit), Left: 2, Heads: []string{"", "to", "at", "imbalance", "after due"},
	}
	for _, change := range f.Tanks.Planned {
		t.Rows = append(t.Rows, []string{"planned", change.To, say.Time(change.At), say.Amount(change.Imbalance), ""})
	}
	for _, change := range f.Tanks.Made {
		t.Rows = append(t.Rows, []string{"made", change.To, say.Time(change.At), say.Amount(change.Imbalance), say.SignedOf(change.Seconds)})
	}
	if f.Tanks.Limit != nil {
		t.Note = fmt.Sprintf("Limit %g. Highest %s at %s. Above the limit for %s minutes.", *f.Tanks.Limit, say.Amount(f.Tanks.HighestImbalance),
			say.TimeOf(f.Tanks.HighestAt), say.Tenth(f.Tanks.MinutesAboveLimit))
	}
	return t
}

func (f *Flight) fuelTable() table {
	u := f.Fuel
	t := table{
		Title: "Fuel, " + say.Unit(u.Unit), Left: 1, Heads: []string{"", "planned", "calculated", "measured"},
		Note: fmt.Sprintf("Block fuel %s, minimum %s.", say.Amount(u.Block), say.Amount(u.MinimumBlock)),
	}
	t.Rows = append(t.Rows, []string{"burned to the destination", say.Amount(u.PlannedBurn), say.Or(u.ReckonedBurn, say.Tenth), ""})
	t.Rows = append(t.Rows, []string{"fuel on arrival, usable overhead", say.Amount(u.PlannedArrival), say.Or(u.ReckonedArrival, say.Tenth), ""})
	if u.MeasuredAt != nil {
		t.Rows = append(t.Rows, []string{"left at " + say.Time(*u.MeasuredAt) + ", with the unusable", "", say.Or(u.ReckonedThen, say.Tenth), say.Or(u.Measured, say.Tenth)})
	}
	if u.Landed != nil && u.ExtraMinutes != nil {
		name, stands := "usable after landing", ", kept with "+say.Long(*u.ExtraMinutes)+" over it in cruise."
		if !f.Totals.Complete {
			name, stands = "usable where the log ends", "; "+say.Long(*u.ExtraMinutes)+" over it in cruise where the log ends, before the landing."
		}
		if *u.ExtraMinutes < 0 {
			stands = ", NOT KEPT: " + say.Shortage(u.Reserve-*u.Landed, u.Unit) + " short."
		}
		t.Rows = append(t.Rows, []string{name, "", say.Tenth(*u.Landed), ""})
		t.Note += " Final reserve " + say.AmountIn(u.Reserve, u.Unit) + ", " + u.ReserveRule + stands
	}
	return t
}

func (f *Flight) gaugesTable() table {
	t := table{Title: "Gauges, " + say.Unit(f.Tanks.Unit), Left: 2, Heads: []string{"at", "tank", "read", "calculated", "difference"}}
	for _, g := range f.Tanks.Gauges {
		t.Rows = append(t.Rows, []string{say.Time(g.At), g.Tank, say.Amount(g.Reading), say.Amount(g.Reckoned), fmt.Sprintf("%+.1f", g.Difference)})
	}
	return t
}

func (f *Flight) disciplineTable() table {
	d := f.Discipline
	t := table{Title: "How the log was kept", Left: 2, Heads: []string{"", ""}}
	add := func(name, format string, values ...any) {
		t.Rows = append(t.Rows, []string{name, fmt.Sprintf(format, values...)})
	}
	add("passings logged", "%d of %d", d.PassingsLogged, d.PassingsDue)
	for _, missed := range d.Missed {
		add("not logged", "%s", missed.Point)
	}
	if d.EnteredLate == 0 {
		add("entered late", "none")
	} else {
		add("entered late", "%d, at most %s after the fact", d.EnteredLate, say.Span(d.WorstEnteredLate))
	}
	add("prompts", "%d: %d in time, %d late, %d skipped, %d unanswered", d.PromptsAsked, d.PromptsInTime, d.PromptsLate, d.PromptsSkipped, d.PromptsLeft)
	if d.MedianSeconds != nil && d.WorstSeconds != nil {
		add("answered", "median %s due, latest %s", besideDue(*d.MedianSeconds), besideDue(*d.WorstSeconds))
	}
	const most = 3
	for _, gap := range d.Gaps[:min(len(d.Gaps), most)] {
		add("nothing logged", "%.0f minutes from %s", gap.Minutes, say.Time(gap.From))
	}
	switch left := d.Gaps[min(len(d.Gaps), most):]; len(left) {
	case 0:
	case 1:
		add("nothing logged", "1 more stretch, of %.0f minutes", left[0].Minutes)
	default:
		add("nothing logged", "%d more stretches, the longest of %.0f minutes", len(left), left[0].Minutes)
	}
	add("corrected", "%d voided, %d amended", d.Voided, d.Amended)
	if d.ByProgram > 0 {
		add("by the program", "%s", say.Counted(d.ByProgram, "entry", "entries"))
	}
	return t
}

// promptsTable names those that were not answered in time.
func (f *Flight) promptsTable() table {
	t := table{Title: "Prompts not answered in time", Left: 2, Heads: []string{"due", "prompt", "met", "after due"}}
	for _, p := range f.Discipline.Prompts {
		if p.Met != InTime {
			t.Rows = append(t.Rows, []string{say.Time(p.Due), p.Text, p.Met, say.SignedOf(p.Seconds)})
		}
	}
	return t
}

func (f *Flight) beaconsTable() table {
	t := table{Title: "Beacons", Left: 2, Heads: []string{"receiver", "beacon", "tuned", "identified", "first used", "for"}}
	for _, b := range f.Discipline.Beacons {
		what := b.UsedFor
		switch {
		case b.Tuned == nil:
			what += ", NOT TUNED"
		case b.UsedUnverified:
			what += ", NOT IDENTIFIED"
		}
		t.Rows = append(t.Rows, []string{cmp.Or(b.Receiver, none), b.Beacon, say.TimeOf(b.Tuned), say.TimeOf(b.Identified), say.TimeOf(b.Used), what})
	}
	return t
}

func (f *Flight) checksTable() table {
	t := table{Title: "Checks", Left: 1, Heads: []string{"", "asked", "done", "longest between"}}
	for _, check := range f.Discipline.Checks {
		t.Rows = append(t.Rows, []string{check.Name, fmt.Sprint(check.Asked), fmt.Sprint(check.Done), minutesOf(check.LongestMinutes)})
	}
	return t
}

func (f *Flight) remarksTable() table {
	t := table{Title: "Instructor's remarks", Left: 3, Heads: []string{"at", "by", "remark"}}
	for _, remark := range f.Remarks {
		t.Rows = append(t.Rows, []string{say.Time(remark.At), remark.By, remark.Text})
	}
	return t
}

// heading is what stands below the title.
func (f *Flight) heading() string {
	aircraft := f.Aircraft
	if f.Registration != "" {
		aircraft += ", " + f.Registration
	}
	day := ""
	if off := f.Totals.OffBlocks; off.Actual != nil {
		day = off.Actual.Format("2 January 2006") + " · "
	} else if off.Planned != nil {
		day = off.Planned.Format("2 January 2006") + " · "
	}
	who := ""
	if f.Pilot != "" {
		who += " · pilot " + f.Pilot
	}
	if f.Instructor != "" {
		who += " · instructor " + f.Instructor
	}
	return fmt.Sprintf("%s%s%s · %s · %s", day, aircraft, who, f.Mode, f.Name)
}

// formats is every form that a debrief can be written in.
var formats = []struct {
	name  string
	write func(*Flight, io.Writer) error
}{
	{"text", (*Flight).writeText},
	{"html", (*Flight).writeHTML},
	{"csv", (*Flight).writeCSV},
	{"json", func(f *Flight, w io.Writer) error { return writeJSON(w, f) }},
}

// Formats names the forms that Write knows, the default first.
func Formats() []string {
	names := make([]string, len(formats))
	for i, format := range formats {
		names[i] = format.name
	}
	return names
}

// Write prints the debrief in one of Formats. Nothing is written when it fails before the end.
func (f *Flight) Write(w io.Writer, format string) error {
	i := slices.Index(Formats(), format)
	if i < 0 {
		return unknownFormat(format)
	}
	var out bytes.Buffer
	if err := formats[i].write(f, &out); err != nil {
		return fmt.Errorf("writing the debrief as %s: %w", format, err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

func unknownFormat(format string) error {
	return fmt.Errorf("there is no format %q for a debrief: use %s", format, strings.Join(Formats(), ", "))
}

func writeJSON(w io.Writer, value any) error {
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(value)
}

// textWidth is the columns of the terminal that text is for.
const textWidth = 80

func (f *Flight) writeText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s\n", clean(f.Title), clean(f.heading()))
	for _, note := range f.Notes {
		wrap(&b, "! ", clean(note))
	}
	b.WriteString("\nWHAT MATTERED MOST\n")
	for _, lesson := range f.Lessons {
		wrap(&b, "- ", clean(lesson.Text))
		if lesson.Advice != "" {
			wrap(&b, "  > ", lesson.Advice)
		}
		if lesson.At != nil {
			fmt.Fprintf(&b, "    look at %s: %s\n", say.Time(*lesson.At), lesson.replay(clean(f.Name)))
		}
	}
	tables := f.tables()
	if remarks := f.remarksTable(); len(remarks.Rows) > 0 {
		tables = append(tables, remarks)
	}
	for _, t := range tables {
		t.writeText(&b)
	}
	b.WriteByte('\n')
	wrap(&b, "", f.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

// wrap writes text in lines of the terminal's width; the first begins with a mark, the others are indented as far.
func wrap(b *strings.Builder, mark, text string) {
	indent := strings.Repeat(" ", say.Cells(mark))
	line := mark
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && say.Cells(line)+1+say.Cells(word) > textWidth {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// clean takes out of text from a log what a terminal would obey.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
}

func (t table) writeText(b *strings.Builder) {
	fmt.Fprintf(b, "\n%s\n", strings.ToUpper(t.Title))
	if t.Note != "" {
		wrap(b, "", t.Note)
	}
	rows := t.Rows
	if slices.ContainsFunc(t.Heads, func(head string) bool { return head != "" }) {
		rows = append([][]string{t.Heads}, t.Rows...)
	}
	widths := make([]int, len(t.Heads))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], say.Cells(clean(cell)))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			cell = clean(cell)
			pad := strings.Repeat(" ", widths[i]-say.Cells(cell))
			if i > 0 {
				line.WriteString("  ")
			}
			if i < t.Left {
				line.WriteString(cell + pad)
			} else {
				line.WriteString(pad + cell)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// csvHead names the columns of one flight's CSV. A row is a leg, a passing, a tank change, a gauge reading or a prompt; what does not
// belong to a row is empty.
var csvHead = []string{
	"row", "name", "leg", "at", "planned_minutes", "actual_minutes", "planned_groundspeed_kt", "actual_groundspeed_kt",
	"planned_heading_magnetic", "steered_heading_magnetic", "wind_from", "wind_kt", "forecast_from", "forecast_kt", "off_track_nm",
	"plan_error_seconds", "carried_over_error_seconds", "by_ratio_error_seconds", "revised_error_seconds", "sigma_seconds",
	"seconds_after_due", "met", "imbalance", "reading", "calculated",
}

func (f *Flight) writeCSV(w io.Writer) error {
	out := markup.NewTable(w)
	put := func(row string, cells map[string]string) {
		line := make([]string, len(csvHead))
		for i, head := range csvHead {
			line[i] = cells[head]
		}
		line[0] = row
		out.Row(line...)
	}
	out.Row(csvHead...)
	for _, leg := range f.Legs {
		cells := map[string]string{
			"name": leg.From + "-" + leg.To, "leg": strconv.Itoa(leg.Index), "planned_minutes": number(leg.PlannedMinutes),
			"actual_minutes": number(leg.ActualMinutes), "planned_groundspeed_kt": number(leg.PlannedGroundspeedKt),
			"actual_groundspeed_kt": number(leg.ActualGroundspeedKt), "planned_heading_magnetic": number(leg.PlannedHeading),
			"steered_heading_magnetic": number(leg.SteeredHeading), "off_track_nm": number(leg.OffTrackNM),
		}
		if leg.Wind != nil {
			cells["wind_from"], cells["wind_kt"] = number(&leg.Wind.FromTrue), number(&leg.Wind.SpeedKt)
			cells["forecast_from"], cells["forecast_kt"] = number(&leg.Wind.ForecastFrom), number(&leg.Wind.ForecastKt)
		}
		put("leg", cells)
	}
	for _, p := range f.Passings {
		cells := map[string]string{
			"name": p.Point, "leg": strconv.Itoa(p.Leg), "at": stamp(p.At), "plan_error_seconds": number(&p.PlanErrorSeconds),
			"actual_groundspeed_kt": number(p.GroundspeedKt), "off_track_nm": number(p.OffTrackNM),
		}
		if e := p.Estimate; e != nil {
			cells["carried_over_error_seconds"], cells["by_ratio_error_seconds"] = number(e.CarriedErrorSeconds), number(e.RatioErrorSeconds)
			cells["revised_error_seconds"], cells["sigma_seconds"] = number(e.RevisedErrorSeconds), number(&e.SigmaSeconds)
		}
		put("passing", cells)
	}
	for _, change := range f.Tanks.Made {
		put("tank", map[string]string{"name": change.To, "at": stamp(change.At), "imbalance": number(&change.Imbalance), "seconds_after_due": number(change.Seconds)})
	}
	for _, g := range f.Tanks.Gauges {
		put("gauge", map[string]string{"name": g.Tank, "at": stamp(g.At), "reading": number(&g.Reading), "calculated": number(&g.Reckoned)})
	}
	for _, p := range f.Discipline.Prompts {
		put("prompt", map[string]string{"name": p.ID, "at": stamp(p.Due), "met": p.Met, "seconds_after_due": number(p.Seconds)})
	}
	return out.End()
}

func stamp(t time.Time) string { return t.UTC().Format(time.RFC3339Nano) }

// number is a number unrounded; empty when it is not known.
func number(value *float64) string {
	if value == nil {
		return ""
	}
	return strconv.FormatFloat(*value, 'f', -1, 64)
}

// none stands for what is not known.
const none = say.Unknown

func minutesOf(minutes *float64) string {
	return say.Or(minutes, func(m float64) string { return say.Span(60 * m) })
}

// driftOf is "9 R": degrees to the right.
func driftOf(degrees *float64) string {
	return say.Or(degrees, func(d float64) string {
		switch {
		case math.Round(d) == 0:
			return "0"
		case d < 0:
			return fmt.Sprintf("%.0f L", -d)
		}
		return fmt.Sprintf("%.0f R", d)
	})
}

// windDifference is the length of the vector between two winds.
func windDifference(fromTrue, speedKt, otherFrom, otherKt float64) float64 {
	n, e := air.Wind{FromTrue: fromTrue, SpeedKt: speedKt}.Components()
	otherN, otherE := air.Wind{FromTrue: otherFrom, SpeedKt: otherKt}.Components()
	return math.Hypot(n-otherN, e-otherE)
}

// minutes are whole minutes in words: "less than a minute", "1 minute", "45 minutes".
func minutes(value float64) string {
	if value < 0.5 {
		return "less than a minute"
	}
	return say.Minutes(value)
}
