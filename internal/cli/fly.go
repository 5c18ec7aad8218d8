package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/intake"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/terminal"
)

type flyFlags struct {
	screenFlags
	log    string
	rate   float64
	start  string
	resume bool
	feed   string
	people
}

func newFly(env Env) *cobra.Command {
	flags := flyFlags{}
	command := &cobra.Command{
		Use:   "fly PLAN",
		Short: "Fly a plan in real time, full screen",
		Long: "fly walks through a plan in real time. Every entry goes to a journal before it is echoed; after a crash the flight is\n" +
			"resumed from it. Beside a simulator, --start sets the flight clock and --rate its speed; both can be changed in flight. --feed takes\n" +
			"positions as NMEA 0183: they improve the calculated position, and passings that they show are offered, never taken unasked.",
		Example: "  legclock fly round.yaml\n  legclock fly round.yaml --start 09:05 --log round.jsonl\n  legclock fly round.yaml --feed tcp://127.0.0.1:10110\n  legclock fly --resume round.jsonl",
		Args: func(command *cobra.Command, args []string) error {
			if flags.resume && len(args) == 2 {
				return nil
			}
			return onePlan(command, args)
		},
		RunE: func(command *cobra.Command, args []string) error {
			go journal.Warm() // while the plan is read
			r := request{mode: flight.Live, log: flags.log, resume: flags.resume, rate: flags.rate, people: flags.people}
			if err := r.setPlan(env, args); err != nil {
				return err
			}
			if err := r.setFeed(args[0], flags.feed); err != nil {
				return err
			}
			if err := r.setStart(env, flags.start); err != nil {
				return err
			}
			return fly(command.Context(), env, r, flags.screenFlags)
		},
	}
	flags.screenFlags.register(command)
	flags.people.register(command)
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().StringVar(&flags.start, "start", "", "what the flight clock reads at the start: 09:05, 09:05:30, RFC 3339 or now (default: now for a plan of today)")
	command.Flags().BoolVar(&flags.resume, "resume", false, "go on with an unfinished flight without asking: of this plan, or of the journal that is named after it or in its place")
	command.Flags().Var(&once{value: &flags.feed}, "feed", "positions as NMEA 0183: tcp://HOST:PORT, udp://:PORT, serial:///dev/ttyUSB0?baud=4800, a file or device, - for standard input")
	registerRate(command, &flags.rate, 1)
	return command
}

// setPlan takes the plan that a person named, or the journal that is to be gone on with, which has its own, or both.
func (r *request) setPlan(env Env, args []string) error {
	name, last := args[0], args[len(args)-1]
	if journals, _ := isJournal(last); journals { // what cannot be read is said where it is read as a plan
		if !r.resume {
			return usage("--resume goes on with it", "%s is a journal, not a plan", intake.Quote(last))
		}
		if r.log != "" {
			return usage("leave out one of them", "both --log and %s name a journal", intake.Quote(last))
		}
		r.log = last
		if len(args) == 1 {
			contents, err := journal.Load(last)
			if err != nil {
				return usage("give its plan before it: legclock fly PLAN --resume LOG", "%v", err)
			}
			r.loaded = computed(contents.Header.Plan, nil)
			return r.flyable(env, last)
		}
	} else if len(args) > 1 {
		return usage("legclock fly PLAN --resume LOG", "%s is not a journal", intake.Quote(last))
	}
	l, err := loadPlan(env, name)
	if err != nil {
		return err
	}
	r.loaded = l
	return l.flyable(env, name)
}

// once is the value of a flag that may be given once.
type once struct {
	value *string
	given bool
}

func (o *once) String() string { return "" }

// Type is what stands for the value in the help.
func (o *once) Type() string { return "string" }

// Set refuses a second value.
func (o *once) Set(text string) error {
	if o.given {
		return errors.New("there can be one only")
	}
	*o.value, o.given = text, true
	return nil
}

// setFeed takes the feed that a person named.
func (r *request) setFeed(plan, text string) error {
	if text == "" {
		return nil
	}
	source, err := feed.ParseSource(text)
	switch {
	case err != nil:
		return usage("", "--feed: %v", err)
	case text == "-" && plan == "-":
		return usage("name the file of the plan", "plan and feed can't both be standard input")
	}
	r.feed, r.stdinTaken = &source, text == "-"
	return nil
}

// How a flight clock is set when the plan is for another day.
const (
	anotherDay  = 12 * time.Hour  // farther off than this, off-blocks is not today's
	beforeStart = 5 * time.Minute // before off-blocks
)

// setStart decides what the flight clock reads at the start: what the person said; the time now for a plan of today; for one of another
// day, flown beside a simulator, a few minutes before its off-blocks.
func (r *request) setStart(env Env, text string) (err error) {
	offBlocks := r.plan.OffBlocks
	switch {
	case text == "now" || text == "" && env.Now().Sub(offBlocks).Abs() < anotherDay:
		r.start = env.Now()
	case text == "":
		r.start = offBlocks.Add(-beforeStart)
		r.notice = fmt.Sprintf("plan of %s: clock set to %s (--start now: the time of day)",
			offBlocks.Format("2 January 2006"), say.Minute(r.start))
		return nil
	default:
		r.start, err = parseMoment(text, offBlocks)
	}
	if text != "" {
		r.setTo = r.start
	}
	return err
}

func registerRate(command *cobra.Command, rate *float64, byDefault float64) {
	command.Flags().Float64Var(rate, "rate", byDefault, fmt.Sprintf("how fast the flight clock runs, %g to %g", clock.MinRate, clock.MaxRate))
}

// fly opens the journal, shows the screens until they end and frees the journal.
func fly(ctx context.Context, env Env, r request, flags screenFlags) error {
	if change := (clock.Change{Rate: &r.rate}); change.Check() != nil {
		return usage(fmt.Sprintf("give --rate %g to %g", clock.MinRate, clock.MaxRate), "--rate %g is out of range", r.rate)
	}
	if err := flags.showable(env); err != nil {
		return err
	}
	if r.plan != nil {
		r.plan.Detach() // all has been said of it
	}
	s, err := openSession(env, r)
	if err != nil {
		return err
	}
	shown := show(ctx, env, s, flags)
	closed := s.Close()
	var crash *terminal.Crash
	if !errors.As(shown, &crash) { // which names the file itself
		fmt.Fprintf(env.Stderr, "the flight is in %s\nlegclock debrief and legclock replay show it again\n", intake.Quote(s.writer.Path()))
	}
	return cmp.Or(errors.Join(shown, closed), s.damaged)
}
