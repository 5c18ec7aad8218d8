package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newMan(env Env) *cobra.Command {
	return &cobra.Command{
		Use:     "man",
		Short:   "Print the manual page",
		Long:    "man prints the manual page, all commands on one, in roff.",
		Example: "  legclock man | man -l -",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usage("for example:\n"+command.Example, "man takes nothing, not %q", strings.Join(args, " "))
			}
			return nil
		},
		RunE: func(command *cobra.Command, _ []string) error {
			page := manual{}
			page.root(command.Root(), env.Now().UTC().Format("2006-01-02"))
			_, err := io.WriteString(env.Stdout, page.text.String())
			return err
		},
	}
}

// manual is a page in the macros of man(7) in the making.
type manual struct{ text strings.Builder }

func (m *manual) root(root *cobra.Command, date string) {
	m.macro("TH", "LEGCLOCK", "1", date, "legclock "+Version)
	m.macro("SH", "NAME")
	m.words(root.Name() + " - " + root.Short)
	m.macro("SH", "SYNOPSIS")
	for _, command := range append([]*cobra.Command{root}, listed(root)...) {
		m.macro("B", command.UseLine())
		m.macro("br")
	}
	m.macro("SH", "DESCRIPTION")
	m.words(root.Long)
	m.flags(root)
	m.macro("SH", "COMMANDS")
	for _, command := range listed(root) {
		m.macro("SS", command.Name())
		m.words(command.Long)
		m.flags(command)
		m.example(command)
	}
	m.macro("SH", "EXIT STATUS")
	for _, code := range ExitCodes() {
		m.macro("TP")
		m.macro("B", code[0])
		m.words(code[1])
	}
	m.macro("SH", "EXAMPLES")
	m.literal(root.Example)
}

// listed are the commands below one that its help lists.
func listed(command *cobra.Command) []*cobra.Command {
	var commands []*cobra.Command
	for _, c := range command.Commands() {
		if c.IsAvailableCommand() {
			commands = append(commands, c)
		}
	}
	return commands
}

func (m *manual) flags(command *cobra.Command) {
	command.NonInheritedFlags().VisitAll(func(flag *pflag.Flag) {
		if flag.Hidden {
			return
		}
		name := "--" + flag.Name
		if flag.Shorthand != "" {
			name = "-" + flag.Shorthand + ", " + name
		}
		value, usage := pflag.UnquoteUsage(flag)
		m.macro("TP")
		m.macro("B", strings.TrimSpace(name+" "+value))
		m.words(usage)
	})
}

func (m *manual) example(command *cobra.Command) {
	if command.Example == "" {
		return
	}
	m.macro("PP")
	m.literal(command.Example)
}

// literal sets lines as they stand.
func (m *manual) literal(lines string) {
	m.macro("EX")
	m.words(lines)
	m.macro("EE")
}

// macro is a line of its own: a request and its arguments.
func (m *manual) macro(name string, arguments ...string) {
	fmt.Fprintf(&m.text, ".%s", name)
	for _, argument := range arguments {
		fmt.Fprintf(&m.text, ` "%s"`, strings.ReplaceAll(manEscape.Replace(argument), `"`, `\(dq`))
	}
	m.text.WriteByte('\n')
}

// words are paragraphs, parted by blank lines.
func (m *manual) words(text string) {
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		switch {
		case line == "":
			m.macro("PP")
			continue
		case line[0] == '.' || line[0] == '\'': // would be a request
			m.text.WriteString(`\&`)
		}
		m.text.WriteString(manEscape.Replace(line))
		m.text.WriteByte('\n')
	}
}

// manEscape keeps backslashes from being read and hyphens from becoming dashes.
var manEscape = strings.NewReplacer(`\`, `\e`, `-`, `\-`)
