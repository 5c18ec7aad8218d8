package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// newSum is the navigator's sums, each a command of its own below it.
func newSum(env Env) *cobra.Command {
	command := &cobra.Command{
		Use:   "sum NAME …",
		Short: "Do one navigator's sum, with its working",
		Long: "sum does one sum and shows what was given, the rule, the working and the answer; --json prints the figures unrounded.\n" +
			"Figures stand in their places or behind their names, with or without dashes; units may be written. It ends with 1 when\n" +
			"there is no solution, such as a wind in which no heading holds the track.",
		Example: "  legclock sum heading 090 tas 120 wind 045/40\n  legclock sum groundspeed 11.5 nm in 7:20\n  legclock sum offtrack 2 left after 20 to go 20 --json",
		RunE: func(command *cobra.Command, args []string) error {
			return noSum(command, args)
		},
	}
	for _, sum := range [][]sumCommand{windSums(), speedSums(env), bearingSums(), criticalSums(), placeSums(env), arrivalSums(env)} {
		for _, one := range sum {
			command.AddCommand(one.command(env))
		}
	}
	return command
}

// noSum refuses a name that is no sum.
func noSum(command *cobra.Command, args []string) error {
	var names []string
	for _, one := range command.Commands() {
		if one.IsAvailableCommand() {
			names = append(names, one.Name())
		}
	}
	hint := "the sums are " + strings.Join(names, ", ")
	if len(args) == 0 {
		return usage(hint, "which sum?")
	}
	command.SuggestionsMinimumDistance = 2
	if near := command.SuggestionsFor(args[0]); len(near) > 0 {
		hint = "did you mean legclock sum " + strings.Join(near, " or legclock sum ")
	}
	return usage(hint, "there is no sum %q", args[0])
}

// sumCommand is one sum from the shell. Its parameters read into what sum works with.
type sumCommand struct {
	name, short, long string
	formerly          string   // a name it had, still taken
	examples          []string // what stands behind the name
	takes             []parameter
	sum               func() (sums.Sum, error)
}

func (c sumCommand) command(env Env) *cobra.Command {
	command := &cobra.Command{
		Use:     c.name + c.places() + " [NAME VALUE …]",
		Short:   c.short,
		Long:    c.long + "\n\n" + c.order(),
		Example: "  legclock sum " + c.name + " " + strings.Join(c.examples, "\n  legclock sum "+c.name+" "),
		// A figure may be negative and a name may lack its dashes, so that the words are read here.
		DisableFlagParsing: true,
		Aliases:            aliases(c.formerly),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return namesOf(c.takes), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(command *cobra.Command, args []string) error {
			return c.run(env, command, args)
		},
	}
	flags := command.Flags()
	flags.SortFlags = false
	for _, p := range c.takes {
		if p.value == "" {
			flags.Bool(p.name, false, p.usage())
		} else {
			flags.Var(shown(p.value), p.name, p.usage())
		}
	}
	flags.Bool("json", false, "print JSON, unrounded; what does not exist is null")
	return command
}

func aliases(formerly string) []string {
	if formerly == "" {
		return nil
	}
	return []string{formerly}
}

// places are the parameters that are known by their place, as the usage line shows them.
func (c sumCommand) places() string {
	text := ""
	for _, p := range c.takes {
		switch {
		case p.placed && p.required:
			text += " " + strings.ToUpper(p.name)
		case p.placed:
			text += " [" + strings.ToUpper(p.name) + "]"
		}
	}
	return text
}

// order says which parameters may stand without their names.
func (c sumCommand) order() string {
	var placed []string
	for _, p := range c.takes {
		if p.placed {
			placed = append(placed, p.name)
		}
	}
	if len(placed) == 0 {
		return "Names may be written without their dashes."
	}
	return "Names may be written without their dashes. Without names, before them, may stand: " + strings.Join(placed, ", ") + "."
}

func (c sumCommand) run(env Env, command *cobra.Command, args []string) error {
	given, err := readArguments(c.takes, args)
	if err != nil {
		return c.fault(command, err)
	}
	if given.help {
		return command.Help()
	}
	if err := (&given).fill(c.takes); err != nil {
		return c.fault(command, err)
	}
	sum, err := c.sum()
	if err != nil {
		return c.fault(command, err)
	}
	sum = sum.Noted()
	sum.Notes = append(given.readAs, sum.Notes...)
	if given.json {
		err = printJSON(env, sum)
	} else {
		_, err = fmt.Fprint(env.Stdout, sum.Text())
	}
	if err == nil && sum.Problem != "" {
		return errFound
	}
	return err
}

// fault turns what was wrong with the words into the program's own kind of error.
func (c sumCommand) fault(command *cobra.Command, err error) error {
	var known *fault
	var misread *say.Misread
	switch {
	case errors.As(err, &known):
		return err
	case errors.As(err, &misread):
		text := strings.Replace(err.Error(), misread.Error(), misread.Fault(), 1)
		hint := misread.Right
		if hint == "" {
			hint = "for example:\n" + command.Example
		}
		return usage(hint, "%s", text)
	}
	return usage("", "%v", err)
}
