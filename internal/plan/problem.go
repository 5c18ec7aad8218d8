package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"gopkg.in/yaml.v3"
)

// Severity says how bad a problem is.
type Severity string

// The severities, worst first. A plan with an error can't be flown; a caution is the pilot's to judge; a note tells what was
// assumed.
const (
	Error   Severity = "error"
	Caution Severity = "caution"
	Note    Severity = "note"
)

// Problem is something wrong or worth knowing in a plan or aircraft file, at its place.
type Problem struct {
	Severity Severity `json:"severity"`
	File     string   `json:"file,omitempty"`
	Line     int      `json:"line,omitempty"`    // from 1; 0: no single line
	Column   int      `json:"column,omitempty"`  // from 1
	Path     string   `json:"path,omitempty"`    // route.legs[1].radio[0].beacon
	Text     string   `json:"text"`              // what is wrong
	Hint     string   `json:"correct,omitempty"` // what would be right
	// Excerpt shows the line, with a caret below the place; several rows. Not part of String.
	Excerpt string `json:"excerpt,omitempty"`
	// Urgent is said before all else of its severity.
	Urgent bool `json:"urgent,omitempty"`
}

// String is one line as a compiler prints it: file:line:column: severity: path: text (hint).
func (p Problem) String() string {
	var b strings.Builder
	if p.File != "" {
		b.WriteString(p.File)
		if p.Line > 0 {
			fmt.Fprintf(&b, ":%d", p.Line)
			if p.Column > 0 {
				fmt.Fprintf(&b, ":%d", p.Column)
			}
		}
		b.WriteString(": ")
	}
	fmt.Fprintf(&b, "%s: ", p.Severity)
	if p.Path != "" {
		fmt.Fprintf(&b, "%s: ", p.Path)
	}
	b.WriteString(p.Text)
	if p.Hint != "" {
		fmt.Fprintf(&b, " (%s)", p.Hint)
	}
	return b.String()
}

// InOrder sorts problems as they are told: errors, cautions, notes, of each the urgent ones first, else in the order they have.
func InOrder(problems []Problem) []Problem {
	slices.SortStableFunc(problems, func(a, b Problem) int {
		return cmp.Compare(a.rank(), b.rank())
	})
	return problems
}

func (p Problem) rank() int {
	rank := 2 * slices.Index([]Severity{Error, Caution, Note}, p.Severity)
	if p.Urgent {
		rank--
	}
	return rank
}

// HasErrors reports whether any of the problems keeps the plan from being flown.
func HasErrors(problems []Problem) bool {
	for _, problem := range problems {
		if problem.Severity == Error {
			return true
		}
	}
	return false
}

const (
	widestExcerpt = 100 // characters of a source line that are shown
	linesBefore   = 2   // shown before a line that can only be said to be near
	linesAfter    = 4   // a parser complains where the block with the fault begins: more is to be seen below
)

// source is one file as it was read, kept to show the lines that problems are on.
type source struct {
	name  string
	lines func() []string // parted when the first is asked for: of most files nothing is said
}

func newSource(name string, content []byte) *source {
	return &source{name, sync.OnceValue(func() []string {
		return strings.Split(strings.ReplaceAll(string(content), "\r\n", "\n"), "\n")
	})}
}

// excerpt shows the line of a problem with a caret below its column; where no column is known, the lines around it.
func (s *source) excerpt(line, column int) string {
	switch {
	case s == nil || line < 1 || line > len(s.lines()):
		return ""
	case column < 1:
		return s.around(line)
	}
	text := printable(s.lines()[line-1])
	cut := max(0, min(column-widestExcerpt/2, len(text)-widestExcerpt))
	text = text[cut:min(len(text), cut+widestExcerpt)]
	return fmt.Sprintf("%6d | %s\n       | %s^", line, strings.TrimRight(string(text), " "), strings.Repeat(" ", max(0, column-1-cut)))
}

func (s *source) around(line int) string {
	var rows []string
	for n := max(1, line-linesBefore); n <= min(len(s.lines()), line+linesAfter); n++ {
		mark := ' '
		if n == line {
			mark = '>'
		}
		text := printable(s.lines()[n-1])
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

// origin is what a plan was read from, kept to tell where in the files something was given.
type origin struct {
	sources  map[string]*source
	plan     value
	aircraft *value           // nil where the aircraft's keys stand in the plan
	points   map[string]value // by ident, in whatever file they stand
}

// Locate tells where in the files a path such as "route.legs[1].altitude" was given; where it was not given itself, where the
// part that should hold it begins. Points are named by their index in Points or by their ident, points[KVN].frequency; the
// aircraft's keys begin with "aircraft", whatever file they are in. The file is empty when the plan was not read by Load.
// line and column count from 1, and are 0 where there is no file.
func (p *Plan) Locate(path string) (file string, line, column int) {
	if p.origin == nil {
		return "", 0, 0
	}
	at := p.locate(path).place()
	return at.file, at.line, at.column
}

// Detach forgets the files that the plan was read from, which take more memory than the plan: Locate knows no place any more. It is for a plan in which
// nobody looks for faults again.
func (p *Plan) Detach() { p.origin = nil }

// Placed is a problem with the file, line, column and excerpt that belong to its Path.
func (p *Plan) Placed(problem Problem) Problem {
	if p.origin == nil {
		return problem
	}
	problem.File, problem.Line, problem.Column = p.Locate(problem.Path)
	problem.Excerpt = p.origin.sources[problem.File].excerpt(problem.Line, problem.Column)
	return problem
}

func (p *Plan) locate(path string) value {
	at, first := p.origin.plan, ""
	for i := 0; path != ""; i++ {
		var item, key string
		item, key, path = cutStep(path)
		switch {
		case i == 0:
			first = key
		case i == 1 && first == "points" && item != "":
			if point, ok := p.pointOrigin(item); ok {
				at = point
				continue
			}
		case i == 1 && first == "aircraft" && p.origin.aircraft != nil:
			at = *p.origin.aircraft
		}
		next, ok := at.step(item, key)
		switch {
		case ok:
			at = next
		case i == 0 && key == "points": // the points may all stand in shared lists
		default:
			return at
		}
	}
	return at
}

// cutStep parts the first step from a path: a key, or an index or ident in brackets.
func cutStep(path string) (item, key, rest string) {
	if inner, ok := strings.CutPrefix(path, "["); ok {
		item, rest, _ = strings.Cut(inner, "]")
		return item, "", rest
	}
	path = strings.TrimPrefix(path, ".")
	if end := strings.IndexAny(path, ".["); end >= 0 {
		return "", path[:end], path[end:]
	}
	return "", path, ""
}

func (p *Plan) pointOrigin(item string) (point value, ok bool) {
	if index, err := strconv.Atoi(item); err == nil && index >= 0 && index < len(p.Points) {
		item = p.Points[index].Ident
	}
	point, ok = p.origin.points[item]
	return point, ok
}

// step goes to an item of a list or to a key of a group.
func (v value) step(item, key string) (next value, ok bool) {
	if item != "" {
		index, err := strconv.Atoi(item)
		if err != nil || index < 0 || v.node.Kind != yaml.SequenceNode || index >= len(v.node.Content) {
			return value{}, false
		}
		return v.item(index, v.node.Content[index]), true
	}
	return v.find(key)
}
