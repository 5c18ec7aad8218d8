// Package cli is the commands, flags, exit codes and output formats of legclock, and the one place that knows both files and
// screens.
//
// Output follows two rules. What was asked for goes to standard output and nothing else does. Everything said to the person goes
// to standard error as "legclock: error: …" or "legclock: hint: …": no capital, no full stop, no Go type names; an error says
// what is wrong and where, a hint says what would be right.
//
// Exit codes are the same in all commands: ExitCodes lists them.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/terminal"
)

// Exit codes, beside those of terminal.ExitCode.
const (
	exitGood  = 0
	exitFault = 1
	exitUsage = 2
)

// ExitCodes are what a command may end with and what that means, the same in all commands; for the manual page and the documents.
func ExitCodes() [][2]string {
	return [][2]string{
		{"0", "it did what was asked"},
		{"1", "it found a fault: a plan that does not hold or is not one, a journal that is damaged, of which the rest was used, one of several journals that can't be read, " +
			"a track without a flight, a sum without an answer, a wrong answer; or it could not write what was asked for"},
		{"2", "it was used wrongly or refused, or what it was given can't be read: missing, a folder, too large, not a journal; or there is no terminal for the full screen"},
		{"70", "it crashed, and named the file that tells of it"},
		{"128 and more", "a signal ended it: 129 a lost terminal, 130 ^C, 141 output that nobody reads any more, 143 a request to end"},
	}
}

// Env is everything that a command may touch of the outside.
type Env struct {
	Args   []string // without the program's name
	Stdin  io.Reader
	Stdout io.Writer
	Stderr io.Writer
	Getenv func(string) string
	Now    func() time.Time    // wall clock
	Passed func() clock.Passed // time passed
}

// Process is the environment of the running process.
func Process() Env {
	start := time.Now()
	return Env{
		Args:   os.Args[1:],
		Stdin:  os.Stdin,
		Stdout: os.Stdout,
		Stderr: os.Stderr,
		Getenv: os.Getenv,
		Now:    func() time.Time { return time.Now().UTC().Round(0) },
		Passed: func() clock.Passed {
			if passed, ok := sleepCounted(); ok {
				return passed
			}
			return clock.Passed{Time: time.Since(start)}
		},
	}
}

// fault is an error that a command ends with: an exit code, what is wrong, and what would be right.
type fault struct {
	code int
	text string
	hint string
}

func (f *fault) Error() string { return f.text }

// usage is a fault of the person's words or files.
func usage(hint, format string, args ...any) error {
	return &fault{code: exitUsage, text: fmt.Sprintf(format, args...), hint: hint}
}

// unwritten is a fault of what could not be written.
func unwritten(hint, format string, args ...any) error {
	return &fault{code: exitFault, text: fmt.Sprintf(format, args...), hint: hint}
}

// errFound ends a command that has already said what it found.
var errFound = errors.New("faults found")

// errNothingRead ends a command that has already said why it could read nothing of what it was given.
var errNothingRead = errors.New("nothing could be read")

// Main runs one command and returns its exit code.
func Main(env Env) int {
	out := &output{to: env.Stdout, clean: terminalOf(env) != nil}
	env.Stdout, env.Stderr = out, &output{to: env.Stderr, clean: true}
	root := newRoot(env)
	root.SetArgs(env.Args)
	root.SetIn(env.Stdin)
	root.SetOut(env.Stdout)
	root.SetErr(env.Stderr)
	err := root.ExecuteContext(context.Background())
	if out.err != nil {
		tell(env, "error", "writing the output: "+out.err.Error())
		return exitFault
	}
	return report(env, err)
}

// report says how a command ended and turns that into an exit code.
func report(env Env, err error) int {
	var known *fault
	switch {
	case err == nil:
		return exitGood
	case errors.Is(err, errFound):
		return exitFault
	case errors.Is(err, errNothingRead):
		return exitUsage
	case errors.As(err, &known):
		tell(env, "error", known.text)
		tell(env, "hint", known.hint)
		return known.code
	case isEnding(err):
		return terminal.ExitCode(err)
	default: // cobra's own words about flags and arguments
		tell(env, "error", strings.TrimSuffix(plainFlagFault(err.Error()), "."))
		tell(env, "hint", "legclock --help lists the commands, legclock COMMAND --help their flags")
		return exitUsage
	}
}

// plainFlagFault puts the standard library's way of saying that a flag's value is no number in plain words.
func plainFlagFault(text string) string {
	text, _, unreadable := strings.Cut(text, ": strconv.")
	if unreadable {
		text += ": write a number"
	}
	return text
}

func tell(env Env, kind, text string) {
	if text != "" {
		fmt.Fprintf(env.Stderr, "legclock: %s: %s\n", kind, strings.ReplaceAll(text, "\n", "\n  "))
	}
}

// newRoot is the command tree.
func newRoot(env Env) *cobra.Command {
	root := &cobra.Command{
		Use:   "legclock",
		Short: "Steer, leg clock, ETAs, beacons and tanks for a flight flown by hand",
		Long: "legclock walks a pilot who flies by hand through a prepared plan: what to steer, the leg clock, revised ETAs,\n" +
			"beacon changes, tank changes, fuel and daylight. Without a command it opens an invented practice flight.\n\n" + say.Caution,
		Example:       "  legclock\n  legclock new round.yaml && legclock check round.yaml && legclock fly round.yaml",
		Args:          noCommand,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       Version,
	}
	root.SuggestionsMinimumDistance = 2
	screen := screenFlags{}
	screen.register(root)
	root.RunE = func(cmd *cobra.Command, _ []string) error {
		return practiceFlight(cmd.Context(), env, "", practiceFlags{screenFlags: screen, watch: true})
	}
	commands := commandsFor(env)
	root.CompletionOptions.DisableDefaultCmd = len(commands) == 1 // the one that is called
	root.AddCommand(commands...)
	return root
}

// commandsFor are the commands that a command line can need: the one that its first word names, none for the version, else all. A command and its
// flags take their time to make, the twenty sums above all.
func commandsFor(env Env) (commands []*cobra.Command) {
	if slices.Equal(env.Args, []string{"--version"}) {
		return nil
	}
	makers := []struct {
		name string
		of   func(Env) *cobra.Command
	}{
		{"fly", newFly},
		{"practice", newPractice},
		{"drill", newDrill},
		{"new", newNew},
		{"check", newCheck},
		{"sheet", newSheet},
		{"logbook", newLogbook},
		{"status", newStatus},
		{"watch", newWatch},
		{"replay", newReplay},
		{"debrief", newDebrief},
		{"import", newImport},
		{"export", newExport},
		{"sum", newSum},
	}
	for _, maker := range makers {
		if len(env.Args) > 0 && env.Args[0] == maker.name {
			return []*cobra.Command{maker.of(env)}
		}
	}
	for _, maker := range makers {
		commands = append(commands, maker.of(env))
	}
	return append(commands, newMan(env))
}

// noCommand refuses a word that is no command, with the nearest ones.
func noCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := "legclock --help lists the commands; a plan is opened by legclock fly PLAN"
	if near := root.SuggestionsFor(args[0]); len(near) > 0 {
		hint = "did you mean legclock " + strings.Join(near, " or legclock ")
	}
	return usage(hint, "there is no command %q", args[0])
}

// Commands lists every command but the root, for documentation and its tests.
func Commands() []*cobra.Command {
	var commands []*cobra.Command
	every := Process()
	every.Args = nil
	for _, command := range newRoot(every).Commands() {
		if command.IsAvailableCommand() && command.Name() != "completion" && command.Name() != "help" {
			commands = append(commands, command)
		}
	}
	return commands
}

// Version is set when a release is built.
var Version = "development"
