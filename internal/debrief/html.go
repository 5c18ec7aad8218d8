package debrief

import (
	_ "embed"
	"io"

	"example.com/legclock/internal/markup"
)

//go:embed report.css
var reportStyle string

// page is what a report shows, from the top.
type page struct {
	Title    string
	Heading  string
	Notes    []string
	Lessons  []Lesson
	Log      string // as replay is to call it
	Remarks  table
	Pictures []picture
	Tables   []table
	Links    []link
	Caution  string
}

// link leads from a page to another beside it.
type link struct{ Name, File string }

// Leads reports whether the n-th column of a table holds words.
func (t table) Leads(column int) bool { return column < t.Left }

// writeHTML writes one page that needs nothing else. On paper what stands before the tables is a sheet of its own, for the classroom.
func (f *Flight) writeHTML(w io.Writer) error {
	p := page{
		Title: f.Title, Heading: f.heading(), Notes: f.Notes, Remarks: f.remarksTable(), Pictures: f.pictures(), Tables: f.tables(), Caution: f.Caution,
	}
	p.Lessons, p.Log = f.Lessons, f.Name
	return p.write(w)
}

func (p page) write(w io.Writer) error {
	h := &htmlPage{}
	h.Head(p.Title+": debrief", reportStyle, "<meta name=\"color-scheme\" content=\"light dark\"/>\n")
	h.links(p.Links)
	h.heading(p)
	h.lessons(p)
	if len(p.Remarks.Rows) > 0 {
		h.table(p.Remarks)
	}
	h.pictures(p.Pictures)
	if p.Log == "" { // of several flights: the tables are as wide as the page and go on over several
		h.Raw("<div class=\"tables wide\">\n")
	} else {
		h.Raw("<div class=\"tables\">\n")
	}
	for _, t := range p.Tables {
		h.table(t)
	}
	h.Raw("</div>\n")
	h.Foot(p.Caution)
	_, err := io.WriteString(w, h.String())
	return err
}

// htmlPage is a report's page in the making.
type htmlPage struct{ markup.Page }

// line is an element on a line of its own.
func (h *htmlPage) line(name, text string, attributes ...markup.Attribute) {
	h.Element(name, text, attributes...)
	h.Line()
}

func (h *htmlPage) heading(p page) {
	h.Raw("<header>\n")
	h.line("h1", p.Title)
	h.line("p", p.Heading, markup.Class("soft"))
	for _, note := range p.Notes {
		h.line("p", note, markup.Class("warn"))
	}
	h.Raw("</header>\n")
}

func (h *htmlPage) lessons(p page) {
	if len(p.Lessons) == 0 {
		return
	}
	h.Raw("<section class=\"lessons\">\n<h2>What mattered most</h2>\n<ol>\n")
	for _, lesson := range p.Lessons {
		h.Raw("<li>")
		h.Element("span", lesson.Text)
		if lesson.Advice != "" {
			h.Element("p", lesson.Advice, markup.Class("advice"))
		}
		if lesson.At != nil {
			h.Element("code", lesson.replay(p.Log))
		}
		h.Raw("</li>\n")
	}
	h.Raw("</ol>\n</section>\n")
}

func (h *htmlPage) pictures(pictures []picture) {
	if len(pictures) == 0 {
		return
	}
	h.Raw("<div class=\"pictures\">\n")
	for _, p := range pictures {
		class := ""
		if p.Shape != "" {
			class = ` class="` + p.Shape + `"`
		}
		h.Raw("<figure" + class + ">\n<figcaption>")
		h.Element("h2", p.Title)
		h.Element("p", p.Says)
		h.Raw("</figcaption>\n")
		h.Raw(p.SVG)
		h.Raw("\n</figure>\n")
	}
	h.Raw("</div>\n")
}

func (h *htmlPage) table(t table) {
	h.Raw("<section class=\"table\">\n")
	h.line("h2", t.Title)
	if t.Note != "" {
		h.line("p", t.Note, markup.Class("note"))
	}
	h.Raw("<table>\n<thead><tr>")
	h.cells(t, "th", -1, t.Heads)
	h.Raw("</tr></thead>\n<tbody>\n")
	for i, row := range t.Rows {
		h.Raw("<tr>")
		h.cells(t, "td", i, row)
		h.Raw("</tr>\n")
	}
	h.Raw("</tbody>\n</table>\n</section>\n")
}

// inOnePiece is how many characters of words are never broken, in however narrow a window: a date and its time, a registration.
const inOnePiece = 20

func (h *htmlPage) cells(t table, name string, row int, cells []string) {
	for i, cell := range cells {
		class := ""
		if t.Leads(i) {
			class = "word"
			if len([]rune(cell)) > inOnePiece {
				class = "word long"
			}
		}
		if address, leads := t.links[[2]int{row, i}]; leads {
			h.Open(name, markup.Class(class))
			h.Element("a", cell, markup.Attribute{Name: "href", Value: address})
			h.Close(name)
			continue
		}
		h.Element(name, cell, markup.Class(class))
	}
}

func (h *htmlPage) links(links []link) {
	if len(links) == 0 {
		return
	}
	h.Raw("<nav>\n")
	for _, l := range links {
		h.Element("a", l.Name, markup.Attribute{Name: "href", Value: l.File})
		h.Line()
	}
	h.Raw("</nav>\n")
}
