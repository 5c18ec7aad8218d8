package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/terminal"
	"example.com/legclock/tui/theme"
)

// lookEvery is how often a watched journal is looked at.
const lookEvery = 500 * time.Millisecond

func newWatch(env Env) *cobra.Command {
	flags := screenFlags{}
	command := &cobra.Command{
		Use:   "watch LOG",
		Short: "Watch someone else's flight as it is written",
		Long: "watch shows a flight on the flying screens while another process flies it: in a second terminal, over a shared folder, or over\n" +
			"ssh, where LOG is - for what comes through a pipe. It only reads. When the other one ends or crashes it waits, and goes on when\n" +
			"the flight is resumed.",
		Example: "  legclock watch flight.jsonl\n  ssh cockpit tail -n +1 -F flight.jsonl | legclock watch -",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("for example:\n"+command.Example, "watch needs one journal, not %d", len(args))
			}
			return nil
		},
		RunE: func(command *cobra.Command, args []string) error {
			if err := flags.showable(env); err != nil {
				return err
			}
			source, name, err := watched(env, args[0])
			if err != nil {
				return err
			}
			for _, note := range damageNotes(source.Contents()) {
				tell(env, "error", name+": "+note)
			}
			beginning := damaged(source.Contents()) // later damage is another program's, and is said on the screen
			state, err := foldAll(source.Contents())
			if err != nil {
				return err
			}
			writers := &writersClock{now: env.Now}
			w := &watching{name: name}
			options := tui.Options{
				Flight: state, Mode: tui.Watch(w), Clock: clock.New(state.Setting(), writers.wall), Silent: flags.silent,
				Notice: "this flight is someone else's: it is only shown",
			}
			if err := runScreens(command.Context(), env, options, flags, name, func(program *terminal.Program) {
				program.Go(func() { follow(program, source, writers, w) })
			}); err != nil {
				return err
			}
			return beginning
		},
	}
	flags.register(command)
	return command
}

// source is where a watched journal comes from.
type source interface {
	// Contents is what has been read so far.
	Contents() journal.Contents
	// Next waits for entries and returns those that have come, if any. Nothing more comes after an error, unless it is errAway.
	Next() ([]flight.Event, error)
}

// watched opens what is to be watched: a file, or standard input for "-". The name is for the screen.
func watched(env Env, arg string) (from source, name string, err error) {
	if arg != "-" {
		if _, err := os.Stat(arg); err != nil {
			return nil, "", usage("watch a journal that is being written; legclock fly PLAN --log FILE writes one", "%v", err)
		}
		from, name = &watchedFile{path: arg}, filepath.Base(arg)
		err = from.(*watchedFile).open()
	} else {
		if readsTerminal(env) {
			return nil, "", usage("ssh cockpit tail -n +1 -F flight.jsonl | legclock watch -", "standard input is the keyboard: a journal is to come through a pipe")
		}
		name = "standard input"
		from, err = journal.ReadStream(env.Stdin, name)
	}
	if err != nil {
		return nil, "", usage("", "%v", err)
	}
	return from, name, nil
}

var (
	// errReplaced is of a journal that became shorter than what was read of it: a resume cuts off only what was never whole.
	errReplaced = errors.New("the journal is not the one that was being followed any more")
	// errAway is of a journal that can't be read at the moment: its folder is on another machine, say.
	errAway = errors.New("waiting for the journal")
	// errGone is of a journal that nobody writes: its writer has ended or crashed, and may come back.
	errGone error = gone("NOBODY WRITES THIS JOURNAL: its program has ended; this goes on when the flight is resumed")
)

// gone is an error that is errAway too, in its own words.
type gone string

func (g gone) Error() string { return string(g) }

func (g gone) Is(target error) bool { return target == errAway }

// watchedFile is a journal that another process writes on this machine or a shared folder, looked at every now and then.
type watchedFile struct {
	*journal.Follower
	path   string
	looked time.Time // when it was last seen whether somebody writes it
	gone   bool      // nobody did
}

func (w *watchedFile) open() (err error) {
	w.Follower, err = journal.Follow(w.path)
	return err
}

// Next waits a while before it looks.
func (w *watchedFile) Next() ([]flight.Event, error) {
	time.Sleep(lookEvery)
	events, err := w.Follower.Next()
	const every = 3 * time.Second
	if len(events) > 0 || time.Since(w.looked) >= every {
		w.looked, w.gone = time.Now(), !journal.Held(w.path)
	}
	if w.gone && err == nil {
		err = errGone
	}
	if info, failed := os.Stat(w.path); failed == nil && info.Size() < w.Contents().Size {
		err = errReplaced
	} else if err != nil && !errors.Is(err, errGone) && !errors.Is(err, errAway) {
		err = fmt.Errorf("%w: %w", errAway, err)
	}
	return events, err
}

// follow hands on what is written, until the journal can't be followed any more.
func follow(program *terminal.Program, from source, writers *writersClock, w *watching) {
	damages := len(from.Contents().Damages)
	for {
		events, err := from.Next()
		if len(events) > 0 {
			writers.learn(events)
			program.Send(tui.Recorded{Events: events})
		}
		for ; damages < len(from.Contents().Damages); damages++ {
			program.Send(tui.Said{Text: from.Contents().Damages[damages].Error() + "; left out"})
		}
		text := ""
		switch {
		case err == nil || errors.Is(err, errAway) && w.trouble() != "":
		case errors.Is(err, errAway):
			text = err.Error()
		case errors.Is(err, io.EOF):
			text = "NOTHING MORE COMES: the program that sent the journal has ended"
		default:
			text = fmt.Sprintf("%v: end this watch and start it again", err)
		}
		switch {
		case text != "":
			w.say(text)
			program.Send(tui.Said{Text: text})
		case err == nil && w.trouble() != "":
			w.say("")
			program.Send(tui.Said{Text: "the journal goes on"})
		}
		if err != nil && !errors.Is(err, errAway) {
			return
		}
	}
}

// watching is the row that stands below the screens of a watched flight.
type watching struct {
	name string

	mutex sync.Mutex
	said  string // of what keeps the journal from being followed
}

func (w *watching) say(trouble string) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.said = trouble
}

func (w *watching) trouble() string {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	return w.said
}

// Keys are none.
func (*watching) Keys(flight.Snapshot) []key.Binding { return nil }

// Press answers none.
func (*watching) Press(tea.KeyMsg, flight.Snapshot) ([]screen.Intent, bool) { return nil, false }

// Tick brings nothing about.
func (*watching) Tick(flight.Snapshot) []screen.Intent { return nil }

// Rows says whose flight it is and how long ago it was heard of.
func (w *watching) Rows(s flight.Snapshot, width, _ int, t theme.Theme) []string {
	text, role := "nothing logged yet", t.Value
	if n := len(s.Entries); n > 0 {
		entry := s.Entries[n-1]
		text = fmt.Sprintf("last entry %s ago: %s", say.Between(entry.Event.T, s.At), entry.Text)
	}
	if trouble := w.trouble(); trouble != "" {
		text, role = trouble, t.Warning
	}
	return []string{frame.Line(width, frame.Cell{Text: " WATCHING ", Style: t.Label},
		frame.Cell{Text: strings.TrimSpace(frame.Clean(w.name)) + " · " + frame.Clean(text), Style: role})}
}

// skewWorthMending is from which difference on two machines' clocks are not taken for equal: a look at the file may take that long.
const skewWorthMending = 2 * time.Second

// writersClock is the wall clock of the machine that writes a watched journal, as far as the times of its entries tell: one that was
// recorded in the future, or always seconds ago, comes from a machine whose clock is set otherwise.
type writersClock struct {
	now    func() time.Time
	mutex  sync.Mutex
	behind *time.Duration // the least that an entry was seen after its recording
}

func (w *writersClock) wall() time.Time {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.behind == nil || w.behind.Abs() < skewWorthMending {
		return w.now()
	}
	return w.now().Add(-*w.behind)
}

// learn takes in entries that were written since the last look.
func (w *writersClock) learn(events []flight.Event) {
	seen := w.now().Sub(events[len(events)-1].Rec)
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.behind == nil || seen < *w.behind {
		w.behind = &seen
	}
}
