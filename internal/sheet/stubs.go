package sheet

import "io"

// Write prints the sheet: text, markdown, html, csv or json.
func (s *Sheet) Write(w io.Writer, format string) error { return nil }
