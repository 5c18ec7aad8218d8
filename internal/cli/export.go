package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/export"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
)

func newExport(env Env) *cobra.Command {
	format := ""
	command := &cobra.Command{
		Use:   "export PLAN|LOG",
		Short: "Write a plan or a journal for other programs",
		Long: "export writes the points, the route with its times and, of a journal, the track: the positions of a feed, else the places\n" +
			"where the aircraft was calculated to be at its passings. Whether it is a plan or a journal is told by its content.",
		Example: "  legclock export round.yaml --format gpx > round.gpx\n  legclock export flown.jsonl --format kml > flown.kml",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "export needs one plan or journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(export.Formats(), format) {
				why := fmt.Sprintf("--format %q is not known", format)
				if format == "" {
					why = "--format is missing"
				}
				return usage("formats are "+strings.Join(export.Formats(), ", "), "%s", why)
			}
			document, found, err := loadDocument(env, args[0])
			if err != nil {
				return err
			}
			return errors.Join(document.Write(env.Stdout, format), found)
		},
	}
	command.Flags().StringVar(&format, "format", "", strings.Join(export.Formats(), ", "))
	return command
}

// isJournal reports whether a file begins as a journal does.
func isJournal(name string) (bool, error) {
	file, err := intake.Open(name)
	if err != nil {
		return false, err
	}
	defer file.Close()
	return beginsJournal(bufio.NewReader(file)), nil
}

// beginsJournal reports whether a text begins as a journal does, and no plan.
func beginsJournal(input *bufio.Reader) bool {
	const enough = 256
	head, _ := input.Peek(enough)
	head = bytes.TrimPrefix(head, []byte("\ufeff"))
	for _, token := range []string{"{", `"legclock"`, ":"} {
		var begins bool
		if head, begins = bytes.CutPrefix(bytes.TrimLeft(head, " \t\n\f\r"), []byte(token)); !begins {
			return false
		}
	}
	return true
}

// loadDocument reads a plan or a journal, whichever it is; "-" is standard input. Found is a fault that was said and does not keep the rest
// from being used.
func loadDocument(env Env, name string) (document export.Document, found, err error) {
	var journals bool
	if name == "-" {
		input := bufio.NewReader(env.Stdin)
		env.Stdin = input
		journals = beginsJournal(input)
	} else if journals, err = isJournal(name); err != nil {
		return document, nil, unreadable(name, err)
	}
	if journals {
		return journalDocument(env, name)
	}
	l, err := loadPlan(env, name)
	if err == nil {
		err = l.flyable(env, name)
	}
	if err != nil {
		return document, nil, err
	}
	return export.New(l.sheet, flight.New(l.sheet, ""), l.plan.OffBlocks), nil, nil
}

// journalDocument is a flight by the whole of its journal.
func journalDocument(env Env, name string) (document export.Document, found, err error) {
	contents, err := loadJournal(env, name)
	if err != nil {
		return document, nil, err
	}
	s, err := sheetOf(contents.Header)
	if err != nil {
		return document, nil, usage("", "%v", err)
	}
	state, err := flight.Fold(s, contents.Header.Mode, contents.Events, nil)
	if err != nil {
		return document, nil, usage("", "%s: %v", intake.Quote(name), err)
	}
	return export.New(s, state, latest(contents)), damaged(contents), nil
}
