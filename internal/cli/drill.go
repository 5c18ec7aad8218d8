package cli

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/muesli/termenv"
	"github.com/spf13/cobra"

	"example.com/legclock/internal/drill"
	drillscreen "example.com/legclock/tui/drill"
)

// defaultCount is how many exercises there are without a terminal and without --count.
const defaultCount = 10

type drillFlags struct {
	screenFlags
	seed     uint64
	count    int
	level    int
	progress bool
	asJSON   bool
	paperFlags
}

func newDrill(env Env) *cobra.Command {
	flags := drillFlags{}
	command := &cobra.Command{
		Use:   "drill [TOPIC...]",
		Short: "Exercises with worked answers, and how you stand in them",
		Long: "drill asks what a pilot reckons in the head or with a circular slide rule, marks the answer as the trade does, says what\n" +
			"went wrong where it can tell, and works the answer out. It keeps your progress on this machine and comes back to what is\n" +
			"weak; nothing is sent anywhere. Without a terminal it asks on standard output, reads one answer a line and ends with 1\n" +
			"when an answer was wrong.\n\nTopics:\n" + topicList(),
		Example: "  legclock drill\n  legclock drill eta --level 2 --count 5\n  legclock drill --progress\n" +
			"  legclock drill eta drift --count 20 --seed 41 --paper --key --format html > class.html",
		Args: func(command *cobra.Command, args []string) error {
			if len(args) > 1 && !flags.wanted() {
				return usage("for example:\n"+command.Example, "drill takes one topic, not %d", len(args))
			}
			return nil
		},
		ValidArgsFunction: completeTopic,
		RunE: func(command *cobra.Command, args []string) error {
			if flags.seed == 0 {
				flags.seed = uint64(env.Now().UnixMilli()) % 100000
			}
			if flags.wanted() {
				topics, err := flags.topics(args)
				if err != nil {
					return err
				}
				return printPaper(env, topics, flags)
			}
			wish, err := flags.wish(args)
			if err != nil {
				return err
			}
			return runDrill(command.Context(), env, wish, flags)
		},
	}
	flags.screenFlags.register(command)
	command.Flags().Uint64Var(&flags.seed, "seed", 0, "what the first exercise is made from, the next ones from the numbers after it (default: a new one each time)")
	command.Flags().IntVar(&flags.count, "count", 0, fmt.Sprintf("how many exercises (default: no end on the screen, %d without a terminal)", defaultCount))
	command.Flags().IntVar(&flags.level, "level", 0, "1 round figures, 2 figures as they come, 3 several sums (default: what is open to you)")
	command.Flags().BoolVar(&flags.progress, "progress", false, "print how you stand and end")
	command.Flags().BoolVar(&flags.asJSON, "json", false, "print JSON")
	command.Flags().BoolVar(&flags.paper, "paper", false, "print questions for a class, of several topics if you name them; no progress is read or kept")
	command.Flags().BoolVar(&flags.key, "key", false, "print the answers and workings to the paper of the same topics, level, count and seed")
	command.Flags().StringVar(&flags.format, "format", "text", "of --paper and --key: text or html, one page")
	return command
}

// topicList names the topics, one a line.
func topicList() string {
	var b strings.Builder
	for _, topic := range drill.Topics() {
		fmt.Fprintf(&b, "  %-20s %s\n", topic, topic.Title())
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func completeTopic(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	var names []string
	for _, topic := range drill.Topics() {
		if len(args) == 0 {
			names = append(names, string(topic)+"\t"+topic.Title())
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// wish is what is to be asked.
func (f drillFlags) wish(args []string) (drill.Wish, error) {
	wish := drill.Wish{Level: drill.Level(f.level)}
	topics, err := f.topics(args)
	if len(topics) == 1 {
		wish.Topic = topics[0]
	}
	if err != nil {
		return wish, err
	}
	return wish, f.check()
}

// topics are those that are named.
func (f drillFlags) topics(args []string) ([]drill.Topic, error) {
	var topics []drill.Topic
	for _, name := range args {
		topic, err := drill.TopicNamed(name)
		if err != nil {
			return nil, usage("`legclock drill --help` says what each topic is about", "%v", err)
		}
		topics = append(topics, topic)
	}
	if f.level < 0 || f.level > len(drill.Levels()) {
		return nil, usage(fmt.Sprintf("levels are 1 to %d", len(drill.Levels())), "--level %d is not known", f.level)
	}
	if f.count < 0 {
		return nil, usage("leave out --count for no end", "--count %d is below nought", f.count)
	}
	return topics, nil
}

// runDrill shows how the student stands, or asks: full screen where there is a terminal for both sides, else line by line.
func runDrill(ctx context.Context, env Env, wish drill.Wish, flags drillFlags) error {
	store, err := newAttempts(env)
	if err != nil {
		return err
	}
	progress, err := store.Load()
	if err != nil {
		return err
	}
	if flags.progress {
		return printProgress(env, progress, wish, flags.asJSON)
	}
	if !hasTerminal(env) || !readsTerminal(env) || flags.asJSON {
		return newDialogue(env, store, progress, wish, flags).run()
	}
	return showDrill(ctx, env, store, progress, wish, flags)
}

// readsTerminal reports whether answers come from a keyboard.
func readsTerminal(env Env) bool { return terminalOn(env.Stdin) != nil }

// showDrill runs the full screen.
func showDrill(ctx context.Context, env Env, store attempts, progress drill.Progress, wish drill.Wish, flags drillFlags) error {
	screen, err := drillscreen.New(drillscreen.Options{
		Progress: progress, Record: store.Record, Now: env.Now, Elapsed: func() time.Duration { return env.Passed().Time },
		Wish: wish, Seed: flags.seed, Count: flags.count, Begin: wish.Topic != "" || flags.count > 0,
		Theme: flags.theme, Profile: termenv.NewOutput(terminalOf(env)).EnvColorProfile(), ASCII: flags.ascii || asciiOnly(env), Silent: flags.silent,
	})
	if err != nil {
		return err
	}
	err = runTerminal(ctx, env, screen, flags.screenFlags, "", nil)
	if tally := screen.Tally(); tally.Asked > 0 {
		sayTally(env.Stderr, tally, store)
	}
	return err
}

// sayTally says how many answers were right and where progress is kept.
func sayTally(w io.Writer, tally drill.Tally, store attempts) {
	fmt.Fprintf(w, "%s; your progress is in %s\n", tally, store.path)
}
