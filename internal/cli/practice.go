package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
)

// demoRate shows a whole leg of the demo within a minute; handRate leaves a pilot who flies the time to think.
const (
	demoRate = 16
	handRate = 4
)

type practiceFlags struct {
	screenFlags
	log    string
	seed   uint64
	rate   float64 // 0: by who flies
	resume bool
	watch  bool // the program flies and logs at first
}

func newPractice(env Env) *cobra.Command {
	flags := practiceFlags{}
	command := &cobra.Command{
		Use:   "practice [PLAN]",
		Short: "Fly a plan by hand through a wind that is not told, and be marked",
		Long: "practice flies a plan, or the invented demo, through a wind drawn around the forecast, with gusts, a compass, gauges and\n" +
			"needles that are a little out. You steer, log what goes by, change tanks and beacons, and are asked for figures before the\n" +
			"program shows its own. With --watch the program flies and logs until h takes over. The same seed gives the same flight;\n" +
			"`legclock debrief` tells the truth afterwards.",
		Example: "  legclock practice\n  legclock practice round.yaml --seed 7 --rate 8\n  legclock practice --watch",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(command *cobra.Command, args []string) error {
			name := ""
			if len(args) == 1 {
				name = args[0]
			}
			return practiceFlight(command.Context(), env, name, flags)
		},
	}
	flags.screenFlags.register(command)
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().Uint64Var(&flags.seed, "seed", 0, "what the hidden wind is drawn from (default: a new one each time)")
	command.Flags().BoolVar(&flags.resume, "resume", false, "go on with the unfinished flight of this plan, without asking")
	command.Flags().BoolVar(&flags.watch, "watch", false, "let the program fly and log at first; h takes over")
	command.Flags().Float64Var(&flags.rate, "rate", 0, fmt.Sprintf("how fast the flight clock runs, %g to %g (default: %d by hand, %d to watch)",
		clock.MinRate, clock.MaxRate, handRate, demoRate))
	return command
}

// practiceFlight flies a plan, or the demo when no name is given, through a hidden wind.
func practiceFlight(ctx context.Context, env Env, name string, flags practiceFlags) error {
	l := loadDemo()
	if name != "" {
		var err error
		if l, err = loadPlan(env, name); err != nil {
			return err
		}
	}
	if err := l.flyable(env, name); err != nil {
		return err
	}
	r := request{
		loaded: l, mode: modePractice, seed: flags.seed, log: flags.log, resume: flags.resume, rate: flags.rate,
		start: l.plan.OffBlocks, handsOn: !flags.watch,
	}
	if r.seed == 0 {
		r.seed = uint64(env.Now().UnixMilli()) % 100000
	}
	by, rate := "it moves by itself and logs for you; h takes over", float64(demoRate)
	if r.handsOn {
		by, rate = "you fly: steer, log, answer; h hands over", handRate
	}
	if r.rate == 0 {
		r.rate = rate
	}
	r.notice = fmt.Sprintf("practice flight, seed %d: %s", r.seed, by)
	return fly(ctx, env, r, flags.screenFlags)
}
