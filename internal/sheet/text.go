package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

// textWidth is the columns of the terminal that text is for.
const textWidth = 80

// writeText writes the sheet for a terminal of 80 columns.
func (s *Sheet) writeText(w io.Writer) error {
	d := s.document()
	page := &textPage{}
	page.wrap("", d.Title)
	for _, line := range d.Heading {
		page.wrap("", line)
	}
	for _, problem := range d.Urgent {
		page.wrap("", "CAUTION: "+problem.Text)
		page.wrap("  ", problem.Hint)
	}
	page.room()
	page.log(d)
	page.entries("FUEL, "+say.Unit(s.Fuel.Unit), d.Fuel)
	page.entries("TANKS, "+say.Unit(s.Fuel.Unit), d.Tanks)
	page.arrivals(d)
	page.beacons(d.Beacons)
	if len(d.Problems)+len(d.Remarks) > 0 {
		page.head("REMARKS")
	}
	for _, remark := range d.Remarks {
		page.wrap("  ", remark)
	}
	for _, problem := range d.Problems {
		page.wrap("  ", fmt.Sprintf("%s: %s", problem.Severity, problemWords(problem)))
	}
	page.line("")
	page.wrap("", d.Caution)
	_, err := io.WriteString(w, page.String())
	return err
}

// textPage collects lines.
type textPage struct{ strings.Builder }

func (t *textPage) line(text string) {
	t.WriteString(strings.TrimRight(text, " "))
	t.WriteByte('\n')
}

func (t *textPage) head(text string) {
	t.line("")
	t.line(text)
}

// wrap writes text in lines that fit, the later ones indented a little more.
func (t *textPage) wrap(indent, text string) {
	line := indent
	for _, word := range strings.Split(text, " ") {
		if say.Cells(line)+say.Cells(word) > textWidth && strings.TrimSpace(line) != "" {
			t.line(line)
			line = indent + "  "
			if word == "" {
				continue
			}
		}
		line += word + " "
	}
	t.line(line)
}

// room is where ATIS and clearance are taken down, and the times of the flight.
func (t *textPage) room() {
	const label, lines = 11, 2
	t.line("")
	for _, name := range roomLong {
		for range lines {
			t.line(fmt.Sprintf("%-*s%s", label, name, strings.Repeat("_", textWidth-label)))
			name = ""
		}
	}
	names := strings.Join(roomShort, "  ")
	blank := (textWidth - say.Cells(names) - len(roomShort)) / len(roomShort)
	line := ""
	for _, name := range roomShort {
		line += name + " " + strings.Repeat("_", blank) + "  "
	}
	t.line(line)
}

// pencil is the room for times that are written in beside a place.
var pencil = pencilColumns[0] + " ______ " + pencilColumns[1] + " ______"

// log writes the table of the legs, each with what lies along it below it.
func (t *textPage) log(d document) {
	heads := make([]string, len(d.Columns))
	for i, column := range d.Columns {
		heads[i], _, _ = strings.Cut(column.Head, " ")
	}
	rows := [][]string{heads}
	for _, leg := range d.Legs {
		rows = append(rows, leg.Rows...)
	}
	widths := textWidths(d.Columns, append(rows, d.Totals))
	t.line("")
	t.line("TRK and HDG °M, WIND °T, ETA UTC, LEFT usable; REV revised ETA, ACT actual time")
	t.row(d.Columns, widths, heads)
	for _, leg := range d.Legs {
		for _, cells := range leg.Rows {
			t.row(d.Columns, widths, cells)
		}
		if leg.Courses != "" {
			t.wrap("    ", leg.Courses)
		}
		for _, mark := range append(slices.Clone(leg.Marks), leg.End) {
			text := fmt.Sprintf("    %s %5s nm  %s", say.Time(mark.At), mark.After, mark.Text)
			switch gap := textWidth - say.Cells(text) - say.Cells(pencil); {
			case !mark.Passed:
				t.wrap("", text)
			case gap > 0:
				t.line(text + strings.Repeat(" ", gap) + pencil)
			default:
				t.wrap("", text)
				t.line(strings.Repeat(" ", textWidth-say.Cells(pencil)) + pencil)
			}
		}
	}
	t.row(d.Columns, widths, d.Totals)
}

// arrivals is the table of the destination and the alternates.
func (t *textPage) arrivals(d document) {
	heads := make([]string, len(arrivalColumns))
	for i, column := range arrivalColumns {
		heads[i] = column.Head
	}
	rows := append([][]string{heads}, d.Arrivals...)
	widths := textWidths(arrivalColumns, rows)
	widths[0] += 2
	t.head("ALTERNATES, " + d.FromWhere + ", AND DAYLIGHT")
	for _, cells := range rows {
		t.row(arrivalColumns, widths, append([]string{"  " + cells[0]}, cells[1:]...))
	}
}

// textWidths are the widths of the columns; the first gives way so that all fit.
func textWidths(columns []column, rows [][]string) []int {
	widths := make([]int, len(columns))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], say.Cells(cell))
		}
	}
	others := 0
	for _, width := range widths[1:] {
		others += width + 1
	}
	widths[0] = min(widths[0], max(textWidth-others, len("LEG")))
	return widths
}

func (t *textPage) row(columns []column, widths []int, cells []string) {
	var line strings.Builder
	for i, cell := range cells {
		if i > 0 {
			line.WriteByte(' ')
		}
		cell = say.Within(cell, widths[i])
		space := strings.Repeat(" ", widths[i]-say.Cells(cell))
		if columns[i].Left {
			line.WriteString(cell + space)
		} else {
			line.WriteString(space + cell)
		}
	}
	t.line(line.String())
}

func (t *textPage) entries(head string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	t.head(head)
	for _, entry := range entries {
		t.wrap("  ", fmt.Sprintf("%-18s %8s  %s", entry.Name, entry.Value, entry.More))
	}
}

func (t *textPage) beacons(beacons []documentBeacon) {
	if len(beacons) == 0 {
		return
	}
	t.head("BEACONS")
	for _, beacon := range beacons {
		t.wrap("  ", fmt.Sprintf("%-5s %6s  %-19s %6s  %s", beacon.Ident, beacon.Frequency, beacon.Morse, beacon.Range, beacon.Name))
	}
}

// writeMarkdown writes the sheet as tables that any reader of Markdown shows.
func (s *Sheet) writeMarkdown(w io.Writer) error {
	d := s.document()
	page := &markdownPage{}
	fmt.Fprintf(page, "# %s\n\n", markdownText(d.Title))
	for _, line := range d.Heading {
		fmt.Fprintf(page, "%s  \n", markdownText(strings.Join(strings.Fields(line), " ")))
	}
	for _, problem := range d.Urgent {
		fmt.Fprintf(page, "\n**CAUTION: %s. %s.**\n", markdownText(problem.Text), markdownText(problem.Hint))
	}
	page.WriteByte('\n')
	names := append(slices.Clone(roomLong), roomShort...)
	page.row(names...)
	fmt.Fprintf(page, "%s|\n", strings.Repeat("|---", len(names)))
	page.row(make([]string, len(names))...)
	page.log(d)
	page.entries("Fuel, "+say.Unit(s.Fuel.Unit), d.Fuel)
	page.entries("Tanks, "+say.Unit(s.Fuel.Unit), d.Tanks)
	fmt.Fprintf(page, "\n## Alternates, %s, and daylight\n\n", markdownText(d.FromWhere))
	page.heads(arrivalColumns)
	for _, cells := range d.Arrivals {
		page.row(cells...)
	}
	page.beacons(d.Beacons)
	if len(d.Problems)+len(d.Remarks) > 0 {
		page.WriteString("\n## Remarks\n\n")
	}
	for _, remark := range d.Remarks {
		fmt.Fprintf(page, "- %s\n", markdownText(remark))
	}
	for _, problem := range d.Problems {
		fmt.Fprintf(page, "- **%s**: %s\n", problem.Severity, markdownText(problemWords(problem)))
	}
	fmt.Fprintf(page, "\n*%s*\n", markdownText(d.Caution))
	_, err := io.WriteString(w, page.String())
	return err
}

type markdownPage struct{ strings.Builder }

// markdownEscapes keeps what a plan says from being read as Markdown or as HTML.
var markdownEscapes = strings.NewReplacer(
	`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "&", "&amp;", "#", `\#`, "\n", " ",
)

func markdownText(text string) string { return markdownEscapes.Replace(text) }

func (m *markdownPage) row(cells ...string) {
	for _, cell := range cells {
		m.WriteString("| " + markdownText(cell) + " ")
	}
	m.WriteString("|\n")
}

// heads begins a table, with columns to write in at its end.
func (m *markdownPage) heads(columns []column, pencil ...string) {
	names, rules := []string{}, ""
	for _, column := range columns {
		names = append(names, column.Head)
		if column.Left {
			rules += "|:---"
		} else {
			rules += "|---:"
		}
	}
	m.row(append(names, pencil...)...)
	fmt.Fprintf(m, "%s%s|\n", rules, strings.Repeat("|---", len(pencil)))
}

func (m *markdownPage) log(d document) {
	m.WriteString("\n## Legs\n\n")
	m.heads(d.Columns, pencilColumns...)
	for _, leg := range d.Legs {
		for _, cells := range leg.Rows {
			m.row(append(append([]string{}, cells...), "", "")...)
		}
	}
	m.row(append(append([]string{}, d.Totals...), "", "")...)
	m.WriteString("\n## Along the legs\n\n")
	m.row("LEG", "NM", "TIME", "ACT", "")
	m.WriteString("|:---|---:|---:|---|:---|\n")
	for _, leg := range d.Legs {
		if leg.Courses != "" {
			m.row(leg.Name, "", "", "", leg.Courses)
		}
		for _, mark := range leg.Marks {
			m.row(leg.Name, mark.After, say.Time(mark.At), "", mark.Text)
		}
	}
}

func (m *markdownPage) entries(head string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	fmt.Fprintf(m, "\n## %s\n\n| | | |\n|:---|---:|:---|\n", markdownText(head))
	for _, entry := range entries {
		m.row(entry.Name, entry.Value, entry.More)
	}
}

func (m *markdownPage) beacons(beacons []documentBeacon) {
	if len(beacons) == 0 {
		return
	}
	m.WriteString("\n## Beacons\n\n| IDENT | FREQUENCY | MORSE | RANGE | NAME |\n|:---|---:|:---|---:|:---|\n")
	for _, beacon := range beacons {
		m.row(beacon.Ident, beacon.Frequency, beacon.Morse, beacon.Range, beacon.Name)
	}
}

// writeCSV writes what a person opens in a spreadsheet: short numbers, spans as h:mm:ss and times as hh:mm:ss UTC, in sections that an
// empty line parts, each with heads of its own. Programs take the JSON form, whose figures are unrounded.
func (s *Sheet) writeCSV(w io.Writer) error {
	rows := s.csvLog()
	section := func(heads []string, body [][]string) {
		if len(body) > 0 {
			rows = append(rows, []string{""}, heads)
			rows = append(rows, body...)
		}
	}
	var along, radio, contacts, tanks [][]string
	for i, leg := range s.Legs {
		for c, checkpoint := range leg.Checkpoints {
			kind := "checkpoint"
			if checkpoint.Boundary {
				kind = "boundary"
			}
			along = append(along, []string{leg.From.Ident, leg.To.Ident, checkpoint.Name, kind, say.Tenth(checkpoint.AfterNM), say.UTC(s.Legs[i].CheckpointETAs[c])})
		}
	}
	for i, step := range s.Radio {
		leg := s.Legs[step.Leg]
		radio = append(radio, []string{
			leg.From.Ident, leg.To.Ident, step.Receiver, step.Beacon.Ident, say.Frequency(step.Beacon.Frequency),
			directionOf(step.CourseMagnetic), say.Tenth(step.AfterNM), say.UTC(s.RadioETAs[i]),
		})
	}
	for _, contact := range s.Contacts {
		leg := s.Legs[contact.Leg]
		contacts = append(contacts, []string{
			leg.From.Ident, leg.To.Ident, contact.Name, say.Voice(contact.FrequencyMHz),
			say.Tenth(contact.AfterNM), say.UTC(contact.ETA), contact.For,
		})
	}
	for _, change := range s.Tanks.Changes {
		tanks = append(tanks, []string{change.To, say.UTC(change.At), say.Tenth(change.ImbalanceBefore)})
	}
	section([]string{"from", "to", "along the leg", "what", "after nm", "ETA UTC"}, along)
	section([]string{"from", "to", "receiver", "beacon", "frequency", "course °M", "after nm", "ETA UTC"}, radio)
	section([]string{"from", "to", "contact", "frequency", "after nm", "ETA UTC", "for"}, contacts)
	section([]string{"tank", "change UTC", "imbalance " + s.Fuel.Unit}, tanks)
	var arrivals [][]string
	for i, cells := range s.arrivalWords() {
		if i > 0 {
			cells[3] = csvSpan(60 * s.Alternates[i-1].Minutes)
		}
		arrivals = append(arrivals, cells)
	}
	section([]string{"arrival", "heading °M", "distance nm", "time", "fuel " + s.Fuel.Unit, "ETA UTC", "sunset UTC", "end of civil twilight UTC"}, arrivals)
	out := markup.NewTable(w)
	for _, row := range rows {
		out.Row(row...)
	}
	return out.End()
}

// csvLog is the log with its heads.
func (s *Sheet) csvLog() [][]string {
	rows := [][]string{{
		"from", "to", "phase", "distance nm", "level", "MSA ft", "track °M", "wind from °T", "wind kt", "TAS kt", "WCA °", "heading °M", "compass",
		"GS kt", "time", "ETA UTC", "revised ETA", "actual", "fuel " + s.Fuel.Unit, "left " + s.Fuel.Unit,
	}}
	for _, row := range s.logRows() {
		leg, msa, compass := s.Legs[row.leg], "", ""
		if leg.SafeAltitudeFt != nil {
			msa = say.Whole(*leg.SafeAltitudeFt)
		}
		if by, ok := s.Plan.Aircraft.CompassHeading(row.HeadingMagnetic); ok {
			compass = say.Degrees(by)
		}
		rows = append(rows, []string{
			row.From, row.To, string(row.Phase), say.Tenth(row.DistanceNM), levelWords(leg.Level), msa,
			say.Degrees(row.TrackMagnetic), say.Degrees(row.Wind.FromTrue), say.Whole(row.Wind.SpeedKt), say.Whole(row.TASKt),
			say.Whole(row.correction), say.Degrees(row.HeadingMagnetic), compass, say.Whole(row.GroundspeedKt),
			csvSpan(row.seconds), say.UTC(row.ETA), "", "", say.Tenth(row.fuel), say.Tenth(row.left),
		})
	}
	return rows
}

// csvSpan is a span with its hours, so that no spreadsheet takes minutes for hours.
func csvSpan(spanSeconds float64) string {
	seconds := int(math.Round(spanSeconds))
	return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
}
