package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/tui"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// lookEvery is how often a watched journal is looked at.
const lookEvery = 500 * time.Millisecond

func newWatch(env Env) *cobra.Command {
	flags := screenFlags{}
	command := &cobra.Command{
		Use:   "watch LOG",
		Short: "Watch another's flight as it is written",
		Long: "watch shows a flight on the flying screens while another process flies it: in a second terminal, over a shared folder, or over\n" +
			"ssh. It only reads. When the other one ends or crashes it waits, and goes on when the flight is resumed.",
		Example: "  legclock watch flight.jsonl\n  ssh -t cockpit legclock watch flight.jsonl",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "watch needs one journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(command *cobra.Command, args []string) error {
			if _, err := os.Stat(args[0]); err != nil {
				return usage("watch a journal that is being written; legclock fly PLAN --log FILE writes one", "%v", err)
			}
			follower, err := journal.Follow(args[0])
			if err != nil {
				return usage("", "%v", err)
			}
			state, err := foldAll(follower.Contents())
			if err != nil {
				return err
			}
			if err := flags.showable(env); err != nil {
				return err
			}
			writers := &writersClock{now: env.Now}
			w := &watching{name: filepath.Base(args[0])}
			options := tui.Options{
				Flight: state, Clock: clock.New(state.Setting(), writers.wall), Below: w, Silent: flags.silent,
				Notice: "this flight is another's: it is only shown",
			}
			return showOnly(command.Context(), env, options, flags, args[0], func(program *terminal.Program) {
				program.Go(func() { follow(program, args[0], follower, writers) })
			})
		},
	}
	flags.register(command)
	return command
}

// errReplaced is of a journal that became shorter than what was read of it: a resume cuts off only what was never whole.
var errReplaced = errors.New("the journal is not the one that was being followed any more")

// follow hands on what is written, until the journal can't be followed any more.
func follow(program *terminal.Program, path string, follower *journal.Follower, writers *writersClock) {
	away := false
	for {
		events, err := follower.Next()
		if info, failed := os.Stat(path); failed == nil && info.Size() < follower.Contents().Size {
			err = errReplaced
		}
		if len(events) > 0 {
			writers.learn(events)
			program.Send(tui.Recorded{Events: events})
		}
		var damage *journal.Damage
		switch {
		case errors.As(err, &damage) || errors.Is(err, errReplaced):
			program.Send(tui.Said{Text: fmt.Sprintf("%v: end this watch and begin it anew", err)})
			return
		case err != nil && !away:
			program.Send(tui.Said{Text: fmt.Sprintf("%v; waiting for it", err)})
		case err == nil && away:
			program.Send(tui.Said{Text: "the journal is there again"})
		}
		away = err != nil
		time.Sleep(lookEvery)
	}
}

// watching is the row that stands below the screens of a watched flight.
type watching struct{ name string }

func (*watching) Keys(flight.Snapshot) []key.Binding { return nil }

func (*watching) Press(tea.KeyMsg, flight.Snapshot) ([]screen.Intent, bool) { return nil, false }

func (*watching) Tick(flight.Snapshot) []screen.Intent { return nil }

// Rows says whose flight it is and how long ago it was heard of.
func (w *watching) Rows(s flight.Snapshot, width, _ int, t theme.Theme) []string {
	last := "nothing logged yet"
	if n := len(s.Entries); n > 0 {
		entry := s.Entries[n-1]
		last = fmt.Sprintf("last entry %s ago: %s", words.Span(s.At.Sub(entry.Event.T).Seconds()), entry.Text)
	}
	return []string{frame.Line(width, frame.Cell{Text: " WATCHING ", Style: t.Label},
		frame.Cell{Text: strings.TrimSpace(frame.Clean(w.name)) + " · " + frame.Clean(last), Style: t.Value})}
}
