package cli

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
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
		return nil, usage("leave out --count for no end", "--count %d is below zero", f.count)
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

// paperFlags say that a class is to have exercises on paper.
type paperFlags struct {
	paper, key bool
	format     string
}

func (f paperFlags) wanted() bool { return f.paper || f.key }

// printPaper prints questions, or the key, or first all questions and then the key. It reads and keeps no progress.
func printPaper(env Env, topics []drill.Topic, flags drillFlags) error {
	level, count := drill.Level(flags.level), flags.count
	if level == 0 {
		level = drill.Plain
	}
	if count == 0 {
		count = defaultCount
	}
	p := drill.NewPaper(topics, level, flags.seed, count)
	switch {
	case flags.asJSON:
		return printPaperJSON(env, p, flags.paperFlags)
	case flags.format == "html":
		return p.HTML(env.Stdout, flags.paper, flags.key)
	case flags.format != "text":
		return usage("formats are text and html; --json is a flag of its own", "--format %s is not known", flags.format)
	}
	if flags.paper {
		if err := p.Questions(env.Stdout); err != nil {
			return err
		}
	}
	if flags.paper && flags.key {
		fmt.Fprint(env.Stdout, "\f\n")
	}
	if flags.key {
		return p.Key(env.Stdout)
	}
	return nil
}

func printPaperJSON(env Env, p drill.Paper, flags paperFlags) error {
	type answer struct {
		Number    int             `json:"number"`
		Said      string          `json:"said"`
		Answers   []drill.Answer  `json:"answers"`
		Tolerance drill.Tolerance `json:"tolerance"`
		Steps     []string        `json:"steps"`
	}
	out := map[string]any{"topics": p.Topics, "level": p.Level, "seed": p.Seed}
	var asked []askedExercise
	var key []answer
	for n, e := range p.Exercises {
		asked = append(asked, shownExercise(e))
		key = append(key, answer{n + 1, e.Say(e.Answers[0].Reply), e.Answers, e.Tolerance, e.Steps})
	}
	if flags.paper {
		out["exercises"] = asked
	}
	if flags.key {
		out["key"] = key
	}
	return printJSON(env, out)
}

// dialogue asks on standard output and reads answers from standard input, one a line. As JSON it writes one value a line: the
// exercise, the verdict with the worked answer, and at the end the summary.
type dialogue struct {
	env      Env
	store    attempts
	progress drill.Progress
	wish     drill.Wish
	drillFlags
	answers *bufio.Scanner
	tally   drill.Tally
	unkept  error
}

func newDialogue(env Env, store attempts, progress drill.Progress, wish drill.Wish, flags drillFlags) *dialogue {
	if flags.count == 0 {
		flags.count = defaultCount
	}
	return &dialogue{env: env, store: store, progress: progress, wish: wish, drillFlags: flags, answers: bufio.NewScanner(env.Stdin)}
}

// errNoMoreAnswers ends a dialogue whose standard input has ended.
var errNoMoreAnswers = errors.New("no more answers")

func (d *dialogue) run() error {
	if d.wish.Topic == "" && !d.asJSON {
		sums := d.progress.Sums()
		tell(d.env, "note", fmt.Sprintf("%d tasks firm, %d shaky, %d new; `legclock drill --progress` has the map", sums[drill.Firm], sums[drill.Shaky], sums[drill.New]))
	}
	for n := range d.count {
		choice := d.progress.Next(d.wish, d.env.Now())
		if choice.Ahead && n == 0 && !d.asJSON {
			tell(d.env, "note", "nothing is due until "+choice.Due.UTC().Format("2 January 15:04Z")+": this is practice ahead, what is not firm yet first")
		}
		e := drill.MakeTask(choice.Item, d.seed)
		d.seed = e.Seed + 1
		if err := d.ask(n+1, e); err != nil {
			return err
		}
		err := d.take(e)
		if errors.Is(err, errNoMoreAnswers) {
			break
		}
		if err != nil {
			return err
		}
	}
	return d.end()
}

func (d *dialogue) ask(n int, e drill.Exercise) error {
	if d.asJSON {
		return d.line("exercise", shownExercise(e))
	}
	w := &strings.Builder{}
	fmt.Fprintf(w, "%d of %d: %s, level %d, %s (seed %d)\n", n, d.count, e.Topic.Title(), e.Level, e.Tool, e.Seed)
	w.WriteString(e.GivenRows("  "))
	fmt.Fprintf(w, "%s [%s] ", e.Question, e.Form.Example())
	_, err := io.WriteString(d.env.Stdout, w.String())
	return err
}

// take reads answers until one can be read, marks it and keeps the attempt.
func (d *dialogue) take(e drill.Exercise) error {
	asked := d.env.Passed().Time
	for d.answers.Scan() {
		took := d.env.Passed().Time - asked
		v := e.Mark(d.answers.Text(), took)
		if err := d.tell(e, v); err != nil {
			return err
		}
		if !v.Outcome.Counts() {
			continue
		}
		d.tally.Add(v)
		attempt := drill.AttemptOf(e, v, d.env.Now())
		d.progress.Add(attempt)
		if v.Outcome == drill.NotKnown { // an empty line asks to be shown: nobody tried
			return nil
		}
		if err := d.store.Record(attempt); err != nil && d.unkept == nil {
			d.unkept = err
			tell(d.env, "note", fmt.Sprintf("progress is not kept: %v", err))
		}
		return nil
	}
	if err := d.answers.Err(); err != nil {
		return usage("", "reading answers: %v", err)
	}
	return errNoMoreAnswers
}

func (d *dialogue) tell(e drill.Exercise, v drill.Verdict) error {
	if d.asJSON {
		told := toldVerdict{Verdict: v, Seconds: v.Took.Seconds(), Comment: e.Comment(v)}
		if v.Outcome.Counts() {
			told.Answers, told.Tolerance, told.Steps = e.Answers, &e.Tolerance, e.Steps
		}
		return d.line("mark", told)
	}
	w := &strings.Builder{}
	fmt.Fprintln(w)
	for _, line := range e.Comment(v) {
		fmt.Fprintln(w, line)
	}
	if v.Outcome.Counts() && v.Outcome != drill.Right {
		for _, step := range e.Steps {
			fmt.Fprintf(w, "    %s\n", step)
		}
	}
	if v.Outcome.Counts() {
		fmt.Fprintln(w)
	}
	_, err := io.WriteString(d.env.Stdout, w.String())
	return err
}

// end sums up. An answer that was wrong ends with 1, none at all with 2.
func (d *dialogue) end() error {
	if d.tally.Asked == 0 {
		if !d.asJSON {
			fmt.Fprintln(d.env.Stdout)
		}
		return usage("give one answer a line; an empty line asks for the worked answer", "standard input ended before the first answer")
	}
	var err error
	if d.asJSON {
		err = d.line("summary", d.tally)
	} else {
		sayTally(d.env.Stdout, d.tally, d.store)
	}
	if err == nil && d.tally.Right < d.tally.Asked {
		return errFound
	}
	return err
}

// line writes one line of JSON.
func (d *dialogue) line(name string, value any) error {
	encoder := json.NewEncoder(d.env.Stdout)
	encoder.SetEscapeHTML(false)
	return encoder.Encode(map[string]any{name: value})
}

// askedExercise is an exercise without what would give it away.
type askedExercise struct {
	Topic    drill.Topic   `json:"topic"`
	Level    drill.Level   `json:"level"`
	Seed     uint64        `json:"seed"`
	Task     string        `json:"task"`
	Tool     drill.Tool    `json:"tool"`
	Given    []drill.Given `json:"given"`
	Question string        `json:"question"`
	Form     drill.Form    `json:"form"`
	Example  string        `json:"example"`
}

func shownExercise(e drill.Exercise) askedExercise {
	return askedExercise{e.Topic, e.Level, e.Seed, e.Task, e.Tool, e.Given, e.Question, e.Form, e.Form.Example()}
}

// toldVerdict is a verdict with the worked answer.
type toldVerdict struct {
	drill.Verdict
	Seconds   float64          `json:"seconds"`
	Comment   []string         `json:"comment"`
	Answers   []drill.Answer   `json:"answers,omitempty"`
	Tolerance *drill.Tolerance `json:"tolerance,omitempty"`
	Steps     []string         `json:"steps,omitempty"`
}

// printProgress prints how the student stands, in what is wished for.
func printProgress(env Env, progress drill.Progress, wish drill.Wish, asJSON bool) error {
	standings := progress.StandingsOf(wish)
	tally := drill.Tally{}
	for _, s := range standings {
		tally.Asked, tally.Right = tally.Asked+s.Tries, tally.Right+s.Right
	}
	if asJSON {
		next := progress.Next(wish, env.Now())
		said := map[string]any{"topic": next.Topic, "level": next.Level, "task": next.Task, "ahead": next.Ahead, "due": nil}
		if next.Ahead {
			said["due"] = next.Due
		}
		return printJSON(env, map[string]any{"asked": tally.Asked, "right": tally.Right, "cards": standings, "next": said})
	}
	w := &strings.Builder{}
	printMap(w, progress, wish)
	fmt.Fprintf(w, "%-20s %5s  %5s %6s %6s  %6s  %-9s %s\n", "topic", "level", "firm", "right", "", "time", "due", "most often wrong by")
	untried := 0
	for _, s := range standings {
		if s.Tries == 0 {
			untried++
			continue
		}
		fmt.Fprintf(w, "%-20s %5d  %d of %d %6s %5.0f%%  %5.0fs  %-9s %s\n", s.Topic, s.Level, s.Firm, s.Tasks,
			fmt.Sprintf("%d/%d", s.Right, s.Tries), 100**s.Accuracy, *s.MeanSeconds, s.Away(env.Now()), s.MostOften())
	}
	fmt.Fprintf(w, "%s; %d of %d topics and levels not tried yet\n", tally, untried, len(standings))
	fmt.Fprintf(w, "next: %s\n", progress.Said(progress.Next(wish, env.Now())))
	_, err := io.WriteString(env.Stdout, w.String())
	return err
}

// printMap prints the course with a sign for each task.
func printMap(w io.Writer, progress drill.Progress, wish drill.Wish) {
	fmt.Fprintf(w, "%-22s %-5s %-5s %s\n", "level", "1", "2", "3")
	part := drill.Part("")
	for _, topic := range drill.Topics() {
		if wish.Topic != "" && topic != wish.Topic {
			continue
		}
		if topic.Part() != part {
			part = topic.Part()
			fmt.Fprintln(w, part)
		}
		row := fmt.Sprintf("  %-20s", topic)
		for _, level := range drill.Levels() {
			row += fmt.Sprintf(" %-5s", progress.Map(drill.Card{Topic: topic, Level: level}))
		}
		fmt.Fprintln(w, strings.TrimRight(row, " "))
	}
	fmt.Fprintf(w, "%s\n\n", drill.MapKey)
}
