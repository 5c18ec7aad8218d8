package sheet

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
)

// formats is every form that a sheet can be written in.
var formats = []struct {
	name  string
	write func(*Sheet, io.Writer) error
}{
	{"text", (*Sheet).writeText},
	{"markdown", (*Sheet).writeMarkdown},
	{"html", (*Sheet).writeHTML},
	{"csv", (*Sheet).writeCSV},
	{"json", (*Sheet).writeJSON},
}

// Formats names the forms that Write knows, the default first.
func Formats() []string {
	names := make([]string, len(formats))
	for i, format := range formats {
		names[i] = format.name
	}
	return names
}

// Write prints the sheet in one of Formats. Nothing is written when it fails before the end.
func (s *Sheet) Write(w io.Writer, format string) error {
	i := slices.Index(Formats(), format)
	if i < 0 {
		return fmt.Errorf("there is no format %q for a sheet: use %s", format, strings.Join(Formats(), ", "))
	}
	var out bytes.Buffer
	if err := formats[i].write(s, &out); err != nil {
		return fmt.Errorf("writing the sheet as %s: %w", format, err)
	}
	_, err := w.Write(out.Bytes())
	return err
}
