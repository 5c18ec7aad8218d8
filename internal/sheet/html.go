package sheet

import (
	_ "embed"
	"io"
	"strconv"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

//go:embed sheet.css
var htmlStyle string

// leftClass is the class of a cell that holds words.
const leftClass = "left"

// writeHTML writes one page that needs nothing else: black on white, to be printed on a sheet of A4 and written on.
func (s *Sheet) writeHTML(w io.Writer) error {
	d := s.document()
	p := &htmlPage{}
	p.Head(d.Title, htmlStyle, "")
	p.heading(d)
	for _, problem := range d.Urgent {
		p.Element("p", "CAUTION: "+problem.Text+". "+problem.Hint+".", markup.Class("urgent"))
		p.Line()
	}
	p.room("long", roomLong)
	p.room("short", roomShort)
	p.log(d)
	p.Raw("<div class=\"lists\">\n")
	p.list("Fuel, "+say.Unit(s.Fuel.Unit), d.Fuel)
	p.list("Tanks, "+say.Unit(s.Fuel.Unit), d.Tanks)
	p.arrivals(d)
	p.beacons(d.Beacons)
	p.Raw("</div>\n")
	p.problems(d)
	p.room("notes", []string{"NOTES"})
	p.Foot(d.Caution)
	_, err := io.WriteString(w, p.String())
	return err
}

// htmlPage is the sheet's page in the making.
type htmlPage struct{ markup.Page }

func (p *htmlPage) heading(d document) {
	p.Raw("<header>\n")
	p.Element("h1", d.Title)
	p.Line()
	for _, line := range d.Heading {
		p.Element("p", line)
		p.Line()
	}
	p.Raw("</header>\n")
}

// room is a row of boxes to write in; those below the log take what is left of the sheet of paper.
func (p *htmlPage) room(class string, names []string) {
	p.Raw("<div class=\"room " + class + "\">")
	for _, name := range names {
		p.Element("div", name)
	}
	p.Raw("</div>\n")
}

// log is the table to fly by, a body to a leg so that none is torn apart between two sheets of paper.
func (p *htmlPage) log(d document) {
	p.Raw("<table class=\"log\">\n<thead>\n<tr>")
	for _, column := range d.Columns {
		p.Element("th", column.Head, markup.Class(leftIf(column.Left)), markup.Attribute{Name: "title", Value: column.Meaning})
	}
	for _, head := range pencilColumns {
		p.Element("th", head, markup.Class("write"))
	}
	p.Raw("</tr>\n</thead>\n")
	for _, leg := range d.Legs {
		p.leg(d.Columns, leg)
	}
	p.Raw("<tfoot>\n<tr>")
	p.cells(d.Columns, d.Totals)
	p.Raw("<td></td><td></td></tr>\n</tfoot>\n</table>\n")
}

func (p *htmlPage) leg(columns []column, leg documentLeg) {
	p.Raw("<tbody>\n")
	for _, cells := range leg.Rows {
		p.Raw("<tr class=\"leg\">")
		p.cells(columns, cells)
		p.Raw("<td class=\"write\"></td><td class=\"write\"></td></tr>\n")
	}
	if leg.Courses != "" {
		p.Raw(`<tr class="mark"><td></td><td></td>`)
		p.wide(leg.Courses, len(columns)-1)
		p.Raw("</tr>\n")
	}
	const figures = 4 // cells beside the text of a mark: leg, after, time and the fuel's
	for _, mark := range leg.Marks {
		p.Raw(`<tr class="mark"><td></td>`)
		p.Element("td", mark.After)
		p.wide(mark.Text, len(columns)-figures)
		p.Element("td", say.UTC(mark.At))
		p.Raw("<td></td><td class=\"write\"></td><td class=\"write\"></td></tr>\n")
	}
	p.Raw("</tbody>\n")
}

func (p *htmlPage) cells(columns []column, cells []string) {
	for i, cell := range cells {
		p.Element("td", cell, markup.Class(leftIf(columns[i].Left)))
	}
}

// wide is a cell of words across several columns.
func (p *htmlPage) wide(text string, columns int) {
	p.Element("td", text, markup.Class("wrap"), markup.Attribute{Name: "colspan", Value: strconv.Itoa(columns)})
}

func leftIf(left bool) string {
	if left {
		return leftClass
	}
	return ""
}

// list is a headed list; without entries it is left out.
func (p *htmlPage) list(head string, entries []entry) {
	if len(entries) == 0 {
		return
	}
	p.openList(head)
	for _, e := range entries {
		p.Raw("<tr>")
		p.Element("td", e.Name, markup.Class(leftClass))
		p.Element("td", e.Value)
		p.Element("td", e.More)
		p.Raw("</tr>\n")
	}
	p.closeList()
}

// arrivals is the table of the destination and the alternates.
func (p *htmlPage) arrivals(d document) {
	p.openList("Alternates, " + d.FromWhere + ", and daylight")
	p.Raw("<tr class=\"arrival\">")
	for _, column := range arrivalColumns {
		p.Element("th", column.Head, markup.Class(leftIf(column.Left)), markup.Attribute{Name: "title", Value: column.Meaning})
	}
	p.Raw("</tr>\n")
	for _, cells := range d.Arrivals {
		p.Raw("<tr class=\"arrival\">")
		p.cells(arrivalColumns, cells)
		p.Raw("</tr>\n")
	}
	p.closeList()
}

func (p *htmlPage) beacons(beacons []documentBeacon) {
	if len(beacons) == 0 {
		return
	}
	p.openList("Beacons")
	for _, b := range beacons {
		p.Raw(`<tr class="beacon">`)
		p.Element("td", b.Ident, markup.Class(leftClass))
		p.Element("td", b.Frequency)
		p.Element("td", b.Morse, markup.Class("morse"))
		p.Element("td", b.Range)
		p.Element("td", b.Name, markup.Class("wrap"))
		p.Raw("</tr>\n")
	}
	p.closeList()
}

func (p *htmlPage) openList(head string) {
	p.Raw("<section>\n")
	p.Element("h2", head)
	p.Raw("\n<table>\n")
}

func (p *htmlPage) closeList() { p.Raw("</table>\n</section>\n") }

func (p *htmlPage) problems(d document) {
	if len(d.Problems)+len(d.Remarks) == 0 {
		return
	}
	p.Raw("<section class=\"known\">\n<h2>Remarks</h2>\n<ul>\n")
	for _, remark := range d.Remarks {
		p.Element("li", remark)
		p.Line()
	}
	for _, problem := range d.Problems {
		p.Raw("<li>")
		p.Element("b", string(problem.Severity))
		p.Text(": " + problemWords(problem))
		p.Raw("</li>\n")
	}
	p.Raw("</ul>\n</section>\n")
}
