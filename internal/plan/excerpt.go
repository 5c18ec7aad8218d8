package plan

import (
	"fmt"
	"strings"
	"unicode"
)

const (
	widestExcerpt = 100 // characters of a source line that are shown
	linesBefore   = 2   // shown before a line that can only be said to be near
	linesAfter    = 4   // a parser complains where the block with the fault begins: more is to be seen below
)

// source is one file as it was read, kept to show the lines that problems are on.
type source struct {
	name  string
	lines []string
}

func newSource(name string, content []byte) *source {
	return &source{name: name, lines: strings.Split(strings.ReplaceAll(string(content), "\r\n", "\n"), "\n")}
}

// excerpt shows the line of a problem with a caret below its column; where no column is known, the lines around it.
func (s *source) excerpt(line, column int) string {
	switch {
	case s == nil || line < 1 || line > len(s.lines):
		return ""
	case column < 1:
		return s.around(line)
	}
	text := printable(s.lines[line-1])
	cut := max(0, min(column-widestExcerpt/2, len(text)-widestExcerpt))
	text = text[cut:min(len(text), cut+widestExcerpt)]
	return fmt.Sprintf("%6d | %s\n       | %s^", line, strings.TrimRight(string(text), " "), strings.Repeat(" ", max(0, column-1-cut)))
}

func (s *source) around(line int) string {
	var rows []string
	for n := max(1, line-linesBefore); n <= min(len(s.lines), line+linesAfter); n++ {
		mark := ' '
		if n == line {
			mark = '>'
		}
		text := printable(s.lines[n-1])
		rows = append(rows, strings.TrimRight(fmt.Sprintf("%c%5d | %s", mark, n, string(text[:min(len(text), widestExcerpt)])), " "))
	}
	return strings.Join(rows, "\n")
}

// printable is a line with every character that would move the cursor replaced, one for one so that columns stay.
func printable(line string) []rune {
	characters := []rune(line)
	for i, character := range characters {
		if !unicode.IsPrint(character) {
			characters[i] = ' '
		}
	}
	return characters
}
