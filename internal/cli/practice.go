package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
)

// demoRate shows a whole leg of the demo within a minute.
const demoRate = 16

// anyLesson has the seed choose the lesson, which is told when the flight is over.
const anyLesson = "any"

type practiceFlags struct {
	screenFlags
	log    string
	seed   uint64
	rate   float64 // 0: by who flies
	resume bool
	watch  bool // the program flies and logs at first
	lesson string
	people
}

func newPractice(env Env) *cobra.Command {
	flags := practiceFlags{}
	command := &cobra.Command{
		Use:   "practice [PLAN]",
		Short: "Fly a plan by hand through a hidden wind, and be marked",
		Long: "practice flies a plan, or the invented demo, through a wind drawn around the forecast, with gusts, a compass, gauges and\n" +
			"needles that are a little out. You steer, log what goes by, change tanks and beacons, and are asked for figures before the\n" +
			"program shows its own. With --watch the program flies and logs until h takes over. The same seed gives the same flight;\n" +
			"`legclock debrief` tells the truth afterwards. A lesson is a flight with one difficulty.\n\nLessons:\n" + lessonList(),
		Example: "  legclock practice\n  legclock practice round.yaml --seed 7 --rate 8\n  legclock practice --watch\n  legclock practice --lesson any",
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
	flags.people.register(command)
	command.Flags().StringVar(&flags.log, "log", "", "the journal to write (default: a new one in the state folder)")
	command.Flags().Uint64Var(&flags.seed, "seed", 0, "what the hidden wind is drawn from (default: a new one each time)")
	command.Flags().StringVar(&flags.lesson, "lesson", "", "a flight with one difficulty, named when it is over; see the list above")
	_ = command.RegisterFlagCompletionFunc("lesson", completeLesson) // the flag is there
	command.Flags().BoolVar(&flags.resume, "resume", false, "go on with an unfinished flight without asking: of this plan, or of the journal in its place")
	command.Flags().BoolVar(&flags.watch, "watch", false, "let the program fly and log at first; h takes over")
	command.Flags().Float64Var(&flags.rate, "rate", 0, fmt.Sprintf("how fast the flight clock runs, %g to %g (default: %d by hand, %d to watch)",
		clock.MinRate, clock.MaxRate, practice.HandRate, demoRate))
	return command
}

// practiceFlight flies a plan, or the demo when no name is given, through a hidden wind.
func practiceFlight(ctx context.Context, env Env, name string, flags practiceFlags) error {
	go journal.Warm() // while the plan is read
	r := request{
		loaded: loadDemo(), mode: flight.Practice, hidden: practice.Hidden{Seed: flags.seed}, log: flags.log, resume: flags.resume, rate: flags.rate,
		people: flags.people,
	}
	if name != "" {
		if err := r.setPlan(env, []string{name}); err != nil {
			return err
		}
	}
	r.start = r.plan.OffBlocks
	if r.hidden.Seed == 0 {
		r.hidden.Seed = uint64(env.Now().UnixMilli()) % 100000
	}
	var err error
	if r.hidden.Lesson, err = lessonOf(flags.lesson, r.hidden.Seed, r.sheet); err != nil {
		return err
	}
	r.handsOn = !flags.watch && !r.hidden.Lesson.TakenOver()
	by, rate := "it moves by itself and logs for you; h takes over", float64(demoRate)
	if r.handsOn {
		by, rate = "you fly: steer, log, answer; h hands over", practice.HandRate
	}
	if r.rate == 0 {
		r.rate = rate
	}
	if r.hidden.Lesson.TakenOver() {
		by = "the program flies at first, and hands over"
	}
	r.notice = fmt.Sprintf("practice flight, seed %d: %s", r.hidden.Seed, by)
	if flags.lesson != "" && flags.lesson != anyLesson {
		r.notice += "; " + r.hidden.Lesson.Title()
	}
	return fly(ctx, env, r, flags.screenFlags)
}

// lessonOf is the lesson of that name, or one that the seed chooses among those that the plan can be flown as.
func lessonOf(name string, seed uint64, s *sheet.Sheet) (practice.Lesson, error) {
	if name == "" {
		return "", nil
	}
	if name == anyLesson {
		possible := slices.DeleteFunc(practice.Lessons(), func(l practice.Lesson) bool { return l.Possible(s) != nil })
		return possible[seed%uint64(len(possible))], nil
	}
	lesson, err := practice.LessonNamed(name)
	if err != nil {
		return "", usage("`legclock practice --help` says what each lesson practises", "%v", err)
	}
	if err := lesson.Possible(s); err != nil {
		return "", usage("fly another plan, or the demo, or another lesson", "%v", err)
	}
	return lesson, nil
}

// lessonList names the lessons, one a line.
func lessonList() string {
	var b strings.Builder
	for _, lesson := range practice.Lessons() {
		fmt.Fprintf(&b, "  %-16s %s\n", lesson, lesson.Title())
	}
	fmt.Fprintf(&b, "  %-16s one of these, by the seed", anyLesson)
	return b.String()
}

func completeLesson(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	names := []string{anyLesson + "\tone of these, by the seed"}
	for _, lesson := range practice.Lessons() {
		names = append(names, string(lesson)+"\t"+lesson.Title())
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}
