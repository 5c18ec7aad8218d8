package plan

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// pointKeys are the keys of a point, which are the columns of a CSV list; there, lat and lon may stand for at.
var pointKeys = []string{
	"ident", "name", "kind", "at", "elevation", "circuit", "frequency", "declination", "range", "from", "radial", "distance",
}

const csvWanted = "a header of key names: ident,name,kind,lat,lon,frequency,elevation,range"

// csvList reads a CSV list of points and turns it into the YAML that says the same, cell by cell at its own line and column, so
// that one reader serves both. Lines that begin with # are comments.
type csvList struct {
	*reader
	name   string
	rows   *csv.Reader
	header []string // the key of each column; empty for one that was refused
}

func (r *reader) csvPoints(name string, content []byte) (items []value) {
	list := csvList{reader: r, name: name, rows: csv.NewReader(bytes.NewReader(content))}
	list.rows.FieldsPerRecord, list.rows.Comment, list.rows.TrimLeadingSpace = -1, '#', true
	for {
		cells, err := list.rows.Read()
		switch {
		case errors.Is(err, io.EOF) && list.header == nil:
			r.add(Problem{Severity: Error, File: name, Text: "the file is empty", Hint: csvWanted})
			return nil
		case errors.Is(err, io.EOF):
			return items
		case err != nil:
			r.add(csvProblem(name, err))
			return items
		case list.header == nil:
			if !list.readHeader(cells) {
				return nil
			}
		default:
			if node := list.row(cells); len(node.Content) > 0 {
				items = append(items, value{r, name, fmt.Sprintf("points[%d]", len(items)), nil, node})
			}
		}
	}
}

func csvProblem(name string, err error) Problem {
	problem := Problem{Severity: Error, File: name, Text: err.Error(), Hint: "cells separated by commas, quotes doubled"}
	if parse := new(csv.ParseError); errors.As(err, &parse) {
		problem.Line, problem.Text = parse.Line, parse.Err.Error()
	}
	return problem
}

// readHeader reads the names of the columns; ok is false where they are no header to read rows by.
func (l *csvList) readHeader(cells []string) (ok bool) {
	if len(cells) == 1 && strings.ContainsAny(cells[0], ";\t") {
		l.fail(0, "the columns are not separated by commas", csvWanted)
		return false
	}
	known := append([]string{"lat", "lon"}, pointKeys...)
	l.header = make([]string, len(cells))
	for i, cell := range cells {
		switch key := strings.TrimSpace(cell); {
		case !slices.Contains(known, key):
			l.fail(i, fmt.Sprintf("the column %q is not known", key), meant(key, known))
		case slices.Contains(l.header, key):
			l.fail(i, fmt.Sprintf("there are two columns %q", key), "one column for each key")
		default:
			l.header[i] = key
		}
	}
	lat, lon := slices.Contains(l.header, "lat"), slices.Contains(l.header, "lon")
	if lat != lon {
		l.fail(0, "lat and lon go together", csvWanted)
	}
	return lat == lon
}

// row is the mapping that a row of cells stands for; an empty cell is a key that is not given.
func (l *csvList) row(cells []string) *yaml.Node {
	row := l.node(yaml.MappingNode, 0, "")
	at := map[string]*yaml.Node{}
	for i, cell := range cells {
		cell = strings.TrimSpace(cell)
		switch {
		case cell == "":
		case i >= len(l.header):
			l.fail(i, fmt.Sprintf("%q stands in a column without a name", cell), csvWanted)
		case l.header[i] == "":
		case l.header[i] == "lat" || l.header[i] == "lon":
			at[l.header[i]] = l.node(yaml.ScalarNode, i, cell)
		default:
			row.Content = append(row.Content, l.node(yaml.ScalarNode, i, l.header[i]), l.node(yaml.ScalarNode, i, cell))
		}
	}
	lat, lon := at["lat"], at["lon"]
	switch {
	case lat != nil && lon != nil:
		pair := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle, Line: lat.Line, Column: lat.Column}
		pair.Content = []*yaml.Node{lat, lon}
		row.Content = append(row.Content, l.node(yaml.ScalarNode, 0, "at"), pair)
	case lat != nil || lon != nil:
		l.fail(0, "lat and lon go together", "both, or neither for a fix that is measured")
	}
	return row
}

func (l *csvList) node(kind yaml.Kind, cell int, text string) *yaml.Node {
	at := l.place(cell)
	return &yaml.Node{Kind: kind, Tag: "!!str", Style: yaml.FlowStyle, Value: text, Line: at.line, Column: at.column}
}

// place is where a cell of the row just read begins; the column counts characters, as YAML's do.
func (l *csvList) place(cell int) place {
	line, bytesColumn := l.rows.FieldPos(cell)
	text := l.sources[l.name].lines[line-1]
	return place{l.name, line, 1 + utf8.RuneCountInString(text[:min(bytesColumn-1, len(text))])}
}

func (l *csvList) fail(cell int, text, mend string) { l.add(l.place(cell).problem(Error, text, mend)) }
