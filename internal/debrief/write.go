package debrief

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

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
	indent := strings.Repeat(" ", utf8.RuneCountInString(mark))
	line := mark
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth {
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
			widths[i] = max(widths[i], utf8.RuneCountInString(clean(cell)))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			cell = clean(cell)
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
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
