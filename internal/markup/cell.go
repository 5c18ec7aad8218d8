package markup

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
)

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
