package cli

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
)

func newStatus(env Env) *cobra.Command {
	var at string
	var asJSON, hindsight bool
	command := &cobra.Command{
		Use:   "status LOG",
		Short: "Say what was known of a flight at a time",
		Long: "status reads a journal, also one that is being written, and prints what was known at a time: the last entry's, or the one\n" +
			"given with --at. With --hindsight it uses the whole journal, later corrections included.",
		Example: "  legclock status flight.jsonl\n  legclock status flight.jsonl --at 10:42:30 --json",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "status needs one journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			contents, err := loadJournal(env, args[0])
			if err != nil {
				return err
			}
			moment, err := statusMoment(env, contents, at)
			if err != nil {
				return err
			}
			snapshot, err := knownAt(contents, moment, hindsight)
			if err != nil {
				return err
			}
			if asJSON {
				err = printJSON(env, snapshot)
			} else {
				err = writeStatus(env.Stdout, snapshot)
			}
			return errors.Join(err, damaged(contents))
		},
	}
	command.Flags().StringVar(&at, "at", "", "flight time: 14:05, 14:05:30, RFC 3339, or now")
	command.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	command.Flags().BoolVar(&hindsight, "hindsight", false, "use entries and corrections made later, too")
	return command
}

// loadJournal reads a journal; "-" is standard input. Damage is said, and the rest is used.
func loadJournal(env Env, name string) (contents journal.Contents, err error) {
	if name == "-" {
		contents, err = journal.Read(env.Stdin, "standard input")
	} else {
		contents, err = journal.Load(name)
	}
	if err != nil {
		return contents, usage("", "%v", err)
	}
	for _, note := range damageNotes(contents) {
		tell(env, "error", intake.Quote(name)+": "+note)
	}
	return contents, nil
}

// damageNotes says what could not be read of a journal: the first places, and how many more there are.
func damageNotes(contents journal.Contents) (notes []string) {
	const most = 5
	for i, damage := range contents.Damages {
		if i == most {
			notes = append(notes, fmt.Sprintf("%d more places are damaged.", len(contents.Damages)-most))
			break
		}
		notes = append(notes, fmt.Sprintf("Line %d is damaged and left out (%s); the rest is used.", damage.Line, damage.Text))
	}
	return notes
}

// damaged is how a command ends that has used a journal with damage in it: said, and a fault.
func damaged(contents journal.Contents) error {
	if len(contents.Damages) > 0 {
		return errFound
	}
	return nil
}

// statusMoment is the flight time that is asked for: without one, that at which the last entry was made.
func statusMoment(env Env, contents journal.Contents, at string) (time.Time, error) {
	state, err := foldAll(contents)
	if err != nil {
		return time.Time{}, err
	}
	first := contents.Header.Plan.OffBlocks
	last := first
	if n := len(contents.Events); n > 0 {
		first = contents.Events[0].T
		last = state.Setting().At(contents.Events[n-1].Rec)
	}
	switch at {
	case "":
		return last, nil
	case "now":
		return state.Setting().At(env.Now().Add(-machineAhead(contents.Events))), nil
	}
	return momentOfFlight(at, first, last)
}

// knownAt is the Snapshot of a journal at a flight time.
func knownAt(contents journal.Contents, moment time.Time, hindsight bool) (flight.Snapshot, error) {
	state, err := foldAll(contents)
	if err != nil {
		return flight.Snapshot{}, err
	}
	if hindsight {
		return state.Hindsight(moment).At(moment), nil
	}
	return state.Until(moment).At(moment), nil
}

func foldAll(contents journal.Contents) (*flight.State, error) {
	s, err := sheetOf(contents.Header)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	state, err := flight.Fold(s, contents.Header.Mode, contents.Events, nil)
	if err != nil {
		return nil, usage("", "%v", err)
	}
	return state, nil
}
