package debrief

import "fmt"

// table is what a report shows in rows, the same in text and in HTML.
type table struct {
	Title string
	Note  string // what the figures mean, in one line
	Heads []string
	Left  int // so many of the first columns hold words
	Rows  [][]string
}

// tables are a report's, those without rows left out.
func (f *Flight) tables() []table {
	all := append(practiceTables(f.Practice), f.timesTable(), f.legsTable(), f.headingsTable(), f.passingsTable())
	if !f.byTrack() {
		all = append(all, f.tanksTable(), f.fuelTable(), f.gaugesTable(), f.disciplineTable(), f.promptsTable(), f.beaconsTable(), f.checksTable())
	}
	var filled []table
	for _, t := range append(all, f.remarksTable()) {
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
		t.Rows = append(t.Rows, []string{row.name, zuluOf(row.of.Planned), zuluOf(row.of.Actual), signed(row.of.DifferenceSeconds)})
	}
	return t
}

func (f *Flight) legsTable() table {
	t := table{
		Title: "Legs: time and speed", Left: 2, Note: "Speeds are over the whole leg, climb and descent included.",
		Heads: []string{"from", "to", "nm", "plan", "actual", "late", "kt plan", "kt actual", "off track"},
	}
	for _, leg := range f.Legs {
		if leg.LeftOut {
			t.Rows = append(t.Rows, []string{leg.From, leg.To, fmt.Sprintf("%.1f", leg.DistanceNM), minutesOf(leg.PlannedMinutes), "left out", "", wholeOf(leg.PlannedGroundspeedKt), "", ""})
			continue
		}
		var late *float64
		if leg.PlannedMinutes != nil && leg.ActualMinutes != nil {
			late = ref((*leg.ActualMinutes - *leg.PlannedMinutes) * 60)
		}
		t.Rows = append(t.Rows, []string{
			leg.From, leg.To, fmt.Sprintf("%.1f", leg.DistanceNM), minutesOf(leg.PlannedMinutes), minutesOf(leg.ActualMinutes), signed(late),
			wholeOf(leg.PlannedGroundspeedKt), wholeOf(leg.ActualGroundspeedKt), sideOf(leg.OffTrackNM),
		})
	}
	return t
}

func (f *Flight) headingsTable() table {
	t := table{
		Title: "Legs: heading, drift, wind", Left: 2,
		Note:  "Headings are magnetic: planned, given by the program, said to be steered. Drift R is to the right. Wind is from, true; ± is one standard error of a component.",
		Heads: []string{"from", "to", "track", "plan", "given", "steered", "drift plan", "found", "forecast", "found", "±"},
	}
	for _, leg := range f.Legs {
		if leg.LeftOut {
			continue
		}
		forecast, found, sigma := none, none, none
		if leg.Wind != nil {
			forecast, found = windWords(leg.Wind.ForecastFrom, leg.Wind.ForecastKt), windWords(leg.Wind.FromTrue, leg.Wind.SpeedKt)
			sigma = fmt.Sprintf("%.0f", leg.Wind.SigmaKt)
		}
		t.Rows = append(t.Rows, []string{
			leg.From, leg.To, direction(leg.TrackMagnetic), directionOf(leg.PlannedHeading), directionOf(leg.GivenHeading),
			directionOf(leg.SteeredHeading), driftOf(leg.PlannedDrift), driftOf(leg.FoundDrift), forecast, found, sigma,
		})
	}
	return t
}

func (f *Flight) passingsTable() table {
	t := table{
		Title: "Passings: how late against each ETA", Left: 1,
		Note: "Late is +. The hand sums and the revised ETA are those that there were at the point before: carried over, the plan's times " +
			"later by what the last point was late; by ratio, the plan's minutes stretched as those between the last two points.",
		Heads: []string{"point", "at", "plan", "carried", "ratio", "revised", "±", "from", "kt"},
	}
	for _, p := range f.Passings {
		name := p.Point
		if p.Checkpoint {
			name = "  " + name
		}
		row := []string{name, zulu(p.At), signed(&p.PlanErrorSeconds), none, none, none, none, none, wholeOf(p.GroundspeedKt)}
		if e := p.Estimate; e != nil {
			row[3], row[4], row[5] = signed(e.CarriedErrorSeconds), signed(e.RatioErrorSeconds), signed(e.RevisedErrorSeconds)
			row[6], row[7] = span(e.SigmaSeconds), e.After
		}
		t.Rows = append(t.Rows, row)
	}
	if f.ETA.Count > 0 {
		mean := func(seconds *float64) string {
			if seconds == nil {
				return none
			}
			return span(*seconds)
		}
		t.Rows = append(t.Rows, []string{"mean error", "", mean(f.ETA.PlanMean), "", mean(f.ETA.HandMean), mean(f.ETA.RevisedMean), percentOf(f.ETA.Within1Sigma), "in ±", ""})
	}
	return t
}

func (f *Flight) tanksTable() table {
	t := table{
		Title: "Tank changes, " + unitWords(f.Tanks.Unit), Left: 2, Heads: []string{"", "to", "at", "apart then", "after due"},
	}
	for _, change := range f.Tanks.Planned {
		t.Rows = append(t.Rows, []string{"planned", change.To, zulu(change.At), fmt.Sprintf("%.1f", change.Imbalance), ""})
	}
	for _, change := range f.Tanks.Made {
		t.Rows = append(t.Rows, []string{"made", change.To, zulu(change.At), fmt.Sprintf("%.1f", change.Imbalance), signed(change.Seconds)})
	}
	if f.Tanks.Limit != nil {
		t.Note = fmt.Sprintf("Limit %g. Highest %.1f at %s. Above the limit for %s minutes.", *f.Tanks.Limit, f.Tanks.HighestImbalance,
			zuluOf(f.Tanks.HighestAt), fmt.Sprintf("%.1f", f.Tanks.MinutesAboveLimit))
	}
	return t
}

func (f *Flight) fuelTable() table {
	u := f.Fuel
	t := table{
		Title: "Fuel, " + unitWords(u.Unit), Left: 1, Heads: []string{"", "planned", "reckoned", "measured"},
		Note: fmt.Sprintf("On board %.1f, required %.1f.", u.OnBoard, u.RequiredAtTakeOff),
	}
	t.Rows = append(t.Rows, []string{"burned to the destination", fmt.Sprintf("%.1f", u.PlannedBurn), tenthOf(u.ReckonedBurn), ""})
	t.Rows = append(t.Rows, []string{"left overhead it", fmt.Sprintf("%.1f", u.PlannedArrival), tenthOf(u.ReckonedArrival), ""})
	if u.MeasuredAt != nil {
		t.Rows = append(t.Rows, []string{"left at " + zulu(*u.MeasuredAt), "", tenthOf(u.ReckonedThen), tenthOf(u.Measured)})
	}
	t.Rows = append(t.Rows, []string{"reserve, minutes", fmt.Sprintf("%.0f", u.ReserveMinutes), wholeOf(u.ReserveHeld), ""})
	return t
}

func (f *Flight) gaugesTable() table {
	t := table{Title: "Gauges, " + unitWords(f.Tanks.Unit), Left: 2, Heads: []string{"at", "tank", "read", "reckoned", "difference"}}
	for _, g := range f.Tanks.Gauges {
		t.Rows = append(t.Rows, []string{zulu(g.At), g.Tank, fmt.Sprintf("%.1f", g.Reading), fmt.Sprintf("%.1f", g.Reckoned), fmt.Sprintf("%+.1f", g.Difference)})
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
	add("entered late", "%d, at most %s after the fact", d.EnteredLate, span(d.WorstEnteredLate))
	add("prompts", "%d: %d in time, %d late, %d skipped, %d unanswered", d.PromptsAsked, d.PromptsInTime, d.PromptsLate, d.PromptsSkipped, d.PromptsLeft)
	if d.MedianSeconds != nil && d.WorstSeconds != nil {
		add("answered after due", "%s in the middle, %s at most", signed(d.MedianSeconds), signed(d.WorstSeconds))
	}
	for i, gap := range d.Gaps {
		if i == 3 {
			break
		}
		add("nothing logged", "%.0f minutes from %s", gap.Minutes, zulu(gap.From))
	}
	add("corrected", "%d voided, %d amended", d.Voided, d.Amended)
	if d.ByProgram > 0 {
		add("by the program", "%s", counted(d.ByProgram, "entry", "entries"))
	}
	return t
}

// promptsTable names those that were not answered in time.
func (f *Flight) promptsTable() table {
	t := table{Title: "Prompts not answered in time", Left: 2, Heads: []string{"due", "prompt", "met", "after due"}}
	for _, p := range f.Discipline.Prompts {
		if p.Met != InTime {
			t.Rows = append(t.Rows, []string{zulu(p.Due), p.Text, p.Met, signed(p.Seconds)})
		}
	}
	return t
}

func (f *Flight) beaconsTable() table {
	t := table{Title: "Beacons", Left: 2, Heads: []string{"receiver", "beacon", "tuned", "identified", "first used", "for"}}
	for _, b := range f.Discipline.Beacons {
		what := b.UsedFor
		if b.UsedUnverified {
			what += ", NOT IDENTIFIED"
		}
		t.Rows = append(t.Rows, []string{b.Receiver, b.Beacon, zulu(b.Tuned), zuluOf(b.Identified), zuluOf(b.Used), what})
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
		t.Rows = append(t.Rows, []string{zulu(remark.At), remark.By, remark.Text})
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
