package cli

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/legclock/internal/drill"
)

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
