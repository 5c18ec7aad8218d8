package cli

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/logbook"
)

func newLogbook(env Env) *cobra.Command {
	format := logbook.Formats()[0]
	command := &cobra.Command{
		Use:   "logbook LOG…",
		Short: "Block, airborne and night time, landings and fuel used, a line a flight",
		Long: "logbook lists finished flights as a pilot's logbook does: block and airborne time, night time by civil twilight along the way,\n" +
			"landings and fuel used, a line a flight, and the totals.",
		Example: "  legclock logbook flight.jsonl\n  legclock logbook logs --format csv > logbook.csv",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("for example:\n"+command.Example, "logbook needs a journal or a folder of them")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(logbook.Formats(), format) {
				return usage("formats are "+strings.Join(logbook.Formats(), ", "), "--format %q is not known", format)
			}
			names, _, err := logsOf(args)
			if err != nil {
				return err
			}
			return writeLogbook(env, eachOnce(env, names), format)
		},
	}
	command.Flags().StringVar(&format, "format", format, strings.Join(logbook.Formats(), ", "))
	return command
}

// writeLogbook makes a line of every journal, in the order of their dates. One that can't be read is said, and the others serve.
func writeLogbook(env Env, names []string, format string) error {
	logs, failed := logs{env: env, bare: true}, error(nil)
	var lines []logbook.Line
	for _, name := range names {
		log, err := logs.read(name)
		if err == nil {
			var line logbook.Line
			if line, err = logbook.Of(log.Sheet, log.Mode, log.Events); err == nil {
				lines = append(lines, line)
			}
		}
		notes := log.Notes
		if err != nil {
			notes = append(notes, err.Error())
		}
		for _, note := range notes {
			tell(env, "error", ofFile(name, note))
			failed = errFound
		}
	}
	if len(lines) == 0 {
		return errNothingRead
	}
	slices.SortStableFunc(lines, func(a, b logbook.Line) int { return a.Date.Compare(b.Date) })
	return errors.Join(logbook.Write(env.Stdout, lines, format), failed)
}
