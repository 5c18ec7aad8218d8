package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/legclock/internal/say"
)

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
		fmt.Fprintf(page, "- **%s**: %s\n", problem.Severity, markdownText(problem.Text))
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
