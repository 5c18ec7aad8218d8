package sheet

import (
	_ "embed"
	"html/template"
	"io"
)

//go:embed sheet.html
var htmlSource string

var htmlTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{"list": newHTMLList}).Parse(htmlSource))

// htmlList is a headed list.
type htmlList struct {
	Head    string
	Entries []entry
}

func newHTMLList(head string, entries []entry) htmlList { return htmlList{head, entries} }

// writeHTML writes one page that needs nothing else: black on white, to be printed on a sheet of A4 and written on.
func (s *Sheet) writeHTML(w io.Writer) error {
	return htmlTemplate.Execute(w, struct {
		document
		Unit string
	}{s.document(), s.Fuel.Unit})
}
