package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
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

// String is one line as a compiler prints it: file:line:column: severity: path: text (mend).
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
