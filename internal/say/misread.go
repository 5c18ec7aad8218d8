package say

import (
	"fmt"
	"strings"
)

// Misread says why a text is not what was asked for.
type Misread struct {
	Text  string // as it was written
	Wrong string // what is wrong with it, to stand behind the text
	Right string // what would be right, to stand by itself
}

// Error writes the three parts in one line.
func (m *Misread) Error() string {
	if m.Right == "" {
		return m.Fault()
	}
	return m.Fault() + "; " + m.Right
}

// Fault is the error without what would be right.
func (m *Misread) Fault() string {
	if m.Text == "" {
		return m.Wrong
	}
	return fmt.Sprintf("%q %s", m.Text, m.Wrong)
}

func misread(text, right, wrong string, values ...any) *Misread {
	return &Misread{Text: strings.TrimSpace(text), Wrong: fmt.Sprintf(wrong, values...), Right: right}
}

// plain makes a text lower case with single blanks and the minus sign of keyboards.
func plain(text string) string {
	text = strings.NewReplacer("−", "-", "º", "°", "˚", "°").Replace(strings.ToLower(text))
	return strings.Join(strings.Fields(text), " ")
}
