package cli

import (
	"fmt"

	"example.com/legclock/internal/drill"
)

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
