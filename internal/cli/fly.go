package cli

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
)

type flyFlags struct {
	screenFlags
	log    string
	rate   float64
	start  string
	resume bool
}

func newFly(env Env) *cobra.Command {
	flags := flyFlags{}
	command := &cobra.Command{
		Use:   "fly PLAN",
		Short: "Fly a plan in real time, full screen",
		Long: "fly walks through a plan in real time. Every entry goes to a journal before it is echoed; after a crash the flight is\n" +
			"resumed from it. Beside a simulator, --start sets the flight clock and --rate its speed; both can be changed in flight.",
		Example: "  legclock fly round.yaml\n  legclock fly round.yaml --start 09:05 --log round.jsonl",
		Args:    onePlan,
		RunE: func(command *cobra.Command, args []string) error {
			l, err := loadPlan(env, args[0])
			if err != nil {
				return err
			}
			if err := l.flyable(env, args[0]); err != nil {
				return err
			}
			r := request{loaded: l, mode: modeLive, log: flags.log, resume: flags.resume, rate: flags.rate}
			if flags.start != "" {
				if r.start, err = parseMoment(flags.start, l.plan.OffBlocks); err != nil {
					return err
				}
				r.setTo = r.start
			}
			return fly(command.Context(), env, r, flags.screenFlags)
		},
	}
	flags.screenFlags.register(command)
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().StringVar(&flags.start, "start", "", "what the flight clock reads at the start: 09:05, 09:05:30 or RFC 3339 (default: the time now, UTC)")
	command.Flags().BoolVar(&flags.resume, "resume", false, "go on with the unfinished flight of this plan, without asking")
	registerRate(command, &flags.rate, 1)
	return command
}

func registerRate(command *cobra.Command, rate *float64, byDefault float64) {
	command.Flags().Float64Var(rate, "rate", byDefault, fmt.Sprintf("how fast the flight clock runs, %g to %g", clock.MinRate, clock.MaxRate))
}

// fly opens the journal, shows the screens until they end and frees the journal.
func fly(ctx context.Context, env Env, r request, flags screenFlags) (err error) {
	if change := (clock.Change{Rate: &r.rate}); change.Check() != nil {
		return usage(fmt.Sprintf("give --rate %g to %g", clock.MinRate, clock.MaxRate), "--rate %g is out of range", r.rate)
	}
	if err := flags.check(); err != nil {
		return err
	}
	if !hasTerminal(env) {
		return usage("run it in a terminal; `legclock status LOG` prints without one", "the full screen needs a terminal")
	}
	s, err := openSession(env, r)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if days := s.clock.Now().Sub(r.plan.OffBlocks).Abs(); days > 12*time.Hour && r.mode == modeLive {
		say(env, "note", fmt.Sprintf("the plan is for %s; give --start %s to set the flight clock to it",
			r.plan.OffBlocks.Format("2006-01-02 15:04Z"), r.plan.OffBlocks.Add(-5*time.Minute).Format("15:04")))
	}
	return show(ctx, env, s, flags)
}
