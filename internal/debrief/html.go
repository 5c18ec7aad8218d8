package debrief

import (
	_ "embed"
	"html/template"
	"io"
)

//go:embed report.html
var reportSource string

var reportTemplate = template.Must(template.New("report").Parse(reportSource))

// page is what a report's template is filled with.
type page struct {
	Title    string
	Heading  string
	Notes    []string
	Lessons  []string
	Pictures []picture
	Tables   []table
	Links    []link
	Caution  string
}

// link leads from the page of several flights to that of one.
type link struct{ Name, File string }

// Leads reports whether the n-th column of a table holds words.
func (t table) Leads(column int) bool { return column < t.Left }

// writeHTML writes one page that needs nothing else.
func (f *Flight) writeHTML(w io.Writer) error {
	p := page{
		Title: f.Title, Heading: f.heading(), Notes: f.Notes, Pictures: f.pictures(), Tables: f.tables(), Caution: f.Caution,
	}
	for _, lesson := range f.Lessons {
		p.Lessons = append(p.Lessons, lesson.Text)
	}
	return reportTemplate.Execute(w, p)
}
