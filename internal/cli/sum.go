package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/pattern"
	"example.com/legclock/internal/say"
	"example.com/legclock/internal/sums"
)

// newSum is the navigator's sums, each a command of its own below it.
func newSum(env Env) *cobra.Command {
	command := &cobra.Command{
		Use:   "sum NAME …",
		Short: "Do one navigator's sum, with its working",
		Long: "sum does one sum and shows what was given, the rule, the working and the answer; --json prints the figures unrounded.\n" +
			"Figures go in their places or after their names, with or without dashes; units may be written. It ends with 1 when\n" +
			"there is no solution, such as a wind in which no heading holds the track.",
		Example: "  legclock sum heading 090 tas 120 wind 045/40\n  legclock sum groundspeed 11.5 nm in 7:20\n  legclock sum offtrack 2 left after 20 to go 20 --json",
		RunE: func(command *cobra.Command, args []string) error {
			return noSum(command, args)
		},
	}
	all := slices.Concat(windSums(), speedSums(env), bearingSums(), criticalSums(), placeSums(env), arrivalSums(env))
	named := func(one sumCommand) bool { return len(env.Args) > 1 && one.name == env.Args[1] }
	if i := slices.IndexFunc(all, named); i >= 0 {
		all = all[i : i+1] // as commandsFor
	}
	for _, one := range all {
		command.AddCommand(one.command(env))
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
	return "Names may be written without their dashes. Without names, and before them, you can write: " + strings.Join(placed, ", ") + "."
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

// parameter is one thing that a sum can be given: behind its name, or in its place before all names.
type parameter struct {
	name     string
	also     []string // other names
	value    string   // what stands behind the name, for help; empty where the name alone says it
	help     string
	placed   bool
	required bool
	list     bool                    // it takes all that stands before the first name
	span     spanKind                // what 1:45 is, where the value is a length of time
	read     func(text string) error // reads nothing into anything if it fails
}

// spanKind says what the two numbers of 1:45 are.
type spanKind int

const (
	noSpan spanKind = iota
	minutesAndSeconds
	hoursAndMinutes
)

var twoNumbers = pattern.Of(`^\s*(\d+):(\d\d)\s*$`)

// readAs says how a span was read that could be hours and minutes as well as minutes and seconds, or a bare number that could be seconds; empty
// where there is no doubt.
func (p parameter) readAs(text string) string {
	parts := twoNumbers().FindStringSubmatch(text)
	switch {
	case p.span == noSpan:
		return ""
	case parts == nil:
		if minutes, err := say.ParseNumber(strings.TrimSpace(text)); err == nil && minutes >= 60 {
			return fmt.Sprintf("%[1]s is read as %[1]s min; for seconds write %[1]s s", strings.TrimSpace(text))
		}
		return ""
	case p.span == hoursAndMinutes:
		return fmt.Sprintf("%s is read as %s h %s min; for minutes and seconds write %s min %s s", strings.TrimSpace(text), parts[1], parts[2], parts[1], parts[2])
	}
	return fmt.Sprintf("%s is read as %s min %s s; for hours and minutes write %s h %s", strings.TrimSpace(text), parts[1], parts[2], parts[1], parts[2])
}

func (p parameter) usage() string {
	if len(p.also) > 0 {
		return p.help + " (or " + strings.Join(p.also, ", ") + ")"
	}
	return p.help
}

// shown is a flag in help and completion: the words themselves are read by readArguments.
type shown string

// Type is what stands behind the flag's name.
func (s shown) Type() string { return string(s) }

func (s shown) String() string { return "" }

// Set is never called.
func (s shown) Set(string) error { return nil }

// into reads a value that is always there.
func into[T any](target *T, parse func(string) (T, error)) func(string) error {
	return func(text string) error {
		value, err := parse(text)
		if err == nil {
			*target = value
		}
		return err
	}
}

// maybe reads a value that may be left out.
func maybe[T any](target **T, parse func(string) (T, error)) func(string) error {
	return func(text string) error {
		value, err := parse(text)
		if err == nil {
			*target = &value
		}
		return err
	}
}

// several reads a list of values, each with its unit or without, parted by blanks, "/" or ",".
func several[T any](target *[]T, parse func(string) (T, error)) func(string) error {
	return func(text string) error {
		var values []T
		words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" /,", r) })
		for i := 0; i < len(words); i++ {
			word := words[i]
			if i+1 < len(words) && say.IsUnit(words[i+1]) {
				i++
				word += " " + words[i]
			}
			value, err := parse(word)
			if err != nil {
				return err
			}
			values = append(values, value)
		}
		if len(values) == 0 {
			return &say.Misread{Text: text, Wrong: "is not a list"}
		}
		*target = values
		return nil
	}
}

// parsePlace reads a position as a sum does: what is wrong and what would be right are parted.
func parsePlace(text string) (earth.Position, error) {
	position, err := earth.ParsePosition(text)
	if err == nil {
		return position, nil
	}
	wrong, right, _ := strings.Cut(strings.TrimPrefix(err.Error(), fmt.Sprintf("position %q: ", text)), "; ")
	return earth.Position{}, &say.Misread{Text: text, Wrong: "is not a position: " + wrong, Right: right}
}

// arguments are what a sum is given, sorted: what stood first without a name, and the rest by name.
type arguments struct {
	placed     []string
	named      map[string]string
	json, help bool
	readAs     []string // how spans were read that could have been read otherwise
}

// readArguments parts the arguments by the names of parameters. Blanks part words whether the shell did or a quotation kept them.
func readArguments(takes []parameter, args []string) (arguments, error) {
	read := arguments{named: map[string]string{}}
	name := ""
	var value []string
	tokens := strings.Fields(strings.Join(args, " "))
	for len(tokens) > 0 {
		p, inline, taken, err := nameAt(takes, tokens)
		switch {
		case err != nil:
			return read, err
		case taken == 0:
			value, taken = append(value, tokens[0]), 1
		case p.name == "json":
			read.json = true
		case p.name == "help":
			read.help = true
		default:
			if err := read.keep(name, value); err != nil {
				return read, err
			}
			name, value = p.name, strings.Fields(inline)
		}
		tokens = tokens[taken:]
	}
	return read, read.keep(name, value)
}

// keep takes the words behind a name, or those before all names.
func (a *arguments) keep(name string, value []string) error {
	if name == "" {
		a.placed = value
		return nil
	}
	if _, twice := a.named[name]; twice {
		return usage("give it once", "%s is given twice", name)
	}
	a.named[name] = strings.Join(value, " ")
	return nil
}

// nameAt is the parameter whose name the words begin with, how many words it takes, and what stood behind "=" in it.
func nameAt(takes []parameter, tokens []string) (p parameter, inline string, taken int, err error) {
	first := strings.ToLower(tokens[0])
	name, dashed := strings.CutPrefix(first, "--")
	if dashed {
		name, inline, _ = strings.Cut(tokens[0][len("--"):], "=")
		name = strings.ToLower(name)
	}
	switch {
	case first == "-h" || name == "help" && dashed:
		return parameter{name: "help"}, "", 1, nil
	case name == "json" && dashed:
		return parameter{name: "json"}, "", 1, nil
	}
	if len(tokens) > 1 && !dashed {
		if p, ok := parameterOf(takes, first+"-"+strings.ToLower(tokens[1])); ok {
			return p, "", 2, nil
		}
	}
	if p, ok := parameterOf(takes, name); ok {
		return p, inline, 1, nil
	}
	if dashed || first != "-" && strings.HasPrefix(first, "-") && strings.Trim(first[1:2], ".0123456789") != "" {
		return parameter{}, "", 0, usage("it takes "+strings.Join(namesOf(takes), ", "), "there is no %q in this sum", tokens[0])
	}
	return parameter{}, "", 0, nil
}

func parameterOf(takes []parameter, name string) (parameter, bool) {
	for _, p := range takes {
		if p.name == name || slices.Contains(p.also, name) {
			return p, true
		}
	}
	return parameter{}, false
}

func namesOf(takes []parameter) []string {
	var names []string
	for _, p := range takes {
		names = append(names, p.name)
	}
	return names
}

// longestValue is how many words the longest form has: a position in degrees, minutes and seconds.
const longestValue = 8

// fill reads all words into the parameters.
func (w *arguments) fill(takes []parameter) error {
	for _, p := range takes {
		text, given := w.named[p.name]
		switch {
		case given && p.value == "" && text != "":
			return usage(fmt.Sprintf("leave %q away, or put the name of what it is before it", text), "%s goes alone, without %q", p.name, text)
		case given && p.value != "" && text == "":
			return usage(fmt.Sprintf("write the figure after it (%s)", p.value), "%s has no value", p.name)
		case given:
			if err := p.read(text); err != nil {
				return of(p, err)
			}
			w.noteReading(p, text)
		case p.placed && len(w.placed) > 0:
			taken, err := p.readFirst(w.placed)
			if err == nil && p.list {
				err = p.read(strings.Join(w.placed, " "))
			}
			if err != nil {
				return of(p, err)
			}
			w.noteReading(p, strings.Join(w.placed[:taken], " "))
			w.placed = w.placed[taken:]
		case p.required:
			return &say.Misread{Wrong: fmt.Sprintf("%s is missing: %s", p.name, p.help)}
		}
	}
	if len(w.placed) > 0 {
		for _, p := range takes {
			if text, given := w.named[p.name]; given && p.placed && p.value != "" {
				return usage("give it once", "%s is given twice, %q and %q", p.name, strings.Join(w.placed, " "), text)
			}
		}
		return usage("it takes "+strings.Join(namesOf(takes), ", "), "%q is one word too many", strings.Join(w.placed, " "))
	}
	return nil
}

func (w *arguments) noteReading(p parameter, text string) {
	if said := p.readAs(text); said != "" {
		w.readAs = append(w.readAs, said)
	}
}

// of says which parameter an error is about.
func of(p parameter, err error) error { return fmt.Errorf("%s: %w", p.name, err) }

// readFirst reads the longest beginning of some words that is a value, and says how many words that were. A figure with a unit that it can't have is
// not read without it.
func (p parameter) readFirst(words []string) (taken int, err error) {
	var unfitUnit error
	if len(words) > 1 && say.IsUnit(words[1]) {
		unfitUnit = p.read(words[0] + " " + words[1])
		if unfitUnit != nil && p.read(words[0]) == nil {
			return 0, unfitUnit
		}
	}
	for taken := min(longestValue, len(words)); taken > 0; taken-- {
		err = p.read(strings.Join(words[:taken], " "))
		var misread *say.Misread
		if err == nil || !errors.As(err, &misread) {
			return taken, err
		}
	}
	if unfitUnit != nil {
		return 0, unfitUnit
	}
	return 0, err
}
