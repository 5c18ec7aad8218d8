// Package markup writes HTML and SVG in which every text and every attribute's value is escaped.
//
// It knows nothing of what a page shows. A text can stand only between tags or in a quoted attribute, the two places for which
// escaping the five signs < > & " ' is enough (HTML Living Standard, 13.3); scripts and style sheets are markup of the program's own and go
// in by Raw. It stands in for the standard library's templates, whose reflection would keep every method of the program in the binary:
// beside a flight simulator a fifth of the memory.
package markup

import (
	"encoding/csv"
	"html"
	"io"
	"strconv"
	"strings"
	"unicode"
)

// A Page is markup in the making. The zero value is empty and ready.
type Page struct{ text strings.Builder }

// An Attribute is a name and its value as plain text.
type Attribute struct{ Name, Value string }

// Class is the attribute of that name; without a value it is left out.
func Class(value string) Attribute { return Attribute{"class", value} }

// Raw appends markup of the program's own.
func (p *Page) Raw(markup string) { p.text.WriteString(markup) }

// Text appends text.
func (p *Page) Text(text string) { p.text.WriteString(escape(text)) }

// escape makes text of any characters text of a page, in which control characters have no place (HTML Living Standard, 13.1.4).
func escape(text string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return -1
		}
		return r
	}, text))
}

// Line ends a line of the source, for whoever reads it.
func (p *Page) Line() { p.text.WriteByte('\n') }

// Open begins an element. Attributes without a value are left out.
func (p *Page) Open(name string, attributes ...Attribute) {
	p.text.WriteByte('<')
	p.text.WriteString(name)
	for _, a := range attributes {
		if a.Value == "" {
			continue
		}
		p.text.WriteByte(' ')
		p.text.WriteString(a.Name)
		p.text.WriteString(`="`)
		p.text.WriteString(escape(a.Value))
		p.text.WriteByte('"')
	}
	p.text.WriteByte('>')
}

// Close ends an element.
func (p *Page) Close(name string) {
	p.text.WriteString("</")
	p.text.WriteString(name)
	p.text.WriteByte('>')
}

// Element appends an element around a text.
func (p *Page) Element(name, text string, attributes ...Attribute) {
	p.Open(name, attributes...)
	p.Text(text)
	p.Close(name)
}

// Head begins a page, up to the beginning of its body: UTF-8, as wide as the window, a title and a style sheet. More is what else stands in the
// head, as markup.
func (p *Page) Head(title, style, more string) {
	p.Raw(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
`)
	p.Raw(more)
	p.Element("title", title)
	p.Raw("\n<style>\n")
	p.Raw(style)
	p.Raw("</style>\n</head>\n<body>\n")
}

// Foot ends a page with a last word in its footer.
func (p *Page) Foot(last string) {
	p.Element("footer", last)
	p.Raw("\n</body>\n</html>\n")
}

// String is the markup so far.
func (p *Page) String() string { return p.text.String() }

// Table writes a CSV table that a spreadsheet may open: a text that it would take for a formula is quoted as text.
type Table struct{ out *csv.Writer }

// NewTable begins a table.
func NewTable(w io.Writer) Table { return Table{csv.NewWriter(w)} }

// Row writes a row; End says what failed.
func (t Table) Row(cells ...string) {
	row := make([]string, len(cells))
	for i, cell := range cells {
		row[i] = asText(cell)
	}
	_ = t.out.Write(row)
}

// End ends the table; the error is of the first row that could not be written.
func (t Table) End() error {
	t.out.Flush()
	return t.out.Error()
}

// asText puts an apostrophe before a cell that begins as a formula does (CWE-1236: = + - @, tab, carriage return) and is no number.
func asText(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}
