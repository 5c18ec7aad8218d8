package keys

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
)

// Section is the keys of one scope under a title, as the help screen and the key table show them.
type Section struct {
	Title string
	Keys  []key.Binding
}

// Live is the section without the keys that can't be used now.
func (s Section) Live() Section {
	live := Section{Title: s.Title}
	for _, binding := range s.Keys {
		if binding.Enabled() {
			live.Keys = append(live.Keys, binding)
		}
	}
	return live
}

// Sections are the root's own keys; a screen's come after them.
func Sections(g Global) []Section {
	return []Section{
		{"What you did, recorded at the moment of the key", g.Acts()},
		{"The flight clock", g.Clock()},
		{"The screen", g.Screen()},
		{"While the entry line is open", NewLine().All()},
		{"When something asks for a yes", NewQuestion().All()},
	}
}

// Markdown writes sections as the tables of the guide.
func Markdown(sections []Section) string {
	var b strings.Builder
	for _, section := range sections {
		fmt.Fprintf(&b, "\n## %s\n\n| key | does |\n|---|---|\n", section.Title)
		for _, binding := range section.Keys {
			help := binding.Help()
			fmt.Fprintf(&b, "| %s | %s |\n", code(help.Key), strings.ReplaceAll(help.Desc, "|", `\|`))
		}
	}
	return b.String()
}

// code sets each key of "space / enter" as code.
func code(engraved string) string {
	names := strings.Split(engraved, " / ")
	for i, name := range names {
		names[i] = "`" + strings.ReplaceAll(name, "|", `\|`) + "`"
	}
	return strings.Join(names, " ")
}
