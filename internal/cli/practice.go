package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"
)

// demoRate shows a whole leg of the demo within a minute.
const demoRate = 16

type practiceFlags struct {
	screenFlags
	log    string
	seed   uint64
	rate   float64
	resume bool
}

func newPractice(env Env) *cobra.Command {
	flags := practiceFlags{}
	command := &cobra.Command{
		Use:   "practice [PLAN]",
		Short: "Fly a plan that moves by itself, through a wind that is not told",
		Long: "practice flies a plan, or the invented demo, through a wind drawn around the forecast. A line says what window and panel\n" +
			"show. Hands off, passings and changes are logged for you; one key takes them over. The same seed gives the same wind.",
		Example: "  legclock practice\n  legclock practice round.yaml --seed 7 --rate 4",
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
	registerRate(command, &flags.rate, demoRate)
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
		start: l.plan.OffBlocks,
	}
	if r.rate == 0 {
		r.rate = demoRate
	}
	if r.seed == 0 {
		r.seed = uint64(env.Now().UnixMilli()) % 100000
	}
	r.notice = fmt.Sprintf("practice flight, seed %d: it moves by itself and logs for you; h takes over", r.seed)
	return fly(ctx, env, r, flags.screenFlags)
}
