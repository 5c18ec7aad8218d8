package sheet

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

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
		page.wrap("  ", fmt.Sprintf("%s: %s", problem.Severity, problem.Text))
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
		if utf8.RuneCountInString(line)+utf8.RuneCountInString(word) > textWidth && strings.TrimSpace(line) != "" {
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
	blank := (textWidth - utf8.RuneCountInString(names) - len(roomShort)) / len(roomShort)
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
			switch gap := textWidth - utf8.RuneCountInString(text) - utf8.RuneCountInString(pencil); {
			case !mark.Passed:
				t.wrap("", text)
			case gap > 0:
				t.line(text + strings.Repeat(" ", gap) + pencil)
			default:
				t.wrap("", text)
				t.line(strings.Repeat(" ", textWidth-utf8.RuneCountInString(pencil)) + pencil)
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
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
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
		if runes := []rune(cell); len(runes) > widths[i] {
			cell = string(runes[:widths[i]])
		}
		space := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
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
