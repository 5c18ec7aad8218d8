package drill

import (
	"fmt"
	"io"
	"strings"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

// Paper is a sheet of exercises for a class and the key to it. It depends on what it is made from and on nothing else: no progress.
type Paper struct {
	Topics    []Topic    `json:"topics"`
	Level     Level      `json:"level"`
	Seed      uint64     `json:"seed"`
	Exercises []Exercise `json:"-"`
}

// NewPaper makes a paper of so many exercises. The topics take turns, and within a topic its tasks do; no topics are all.
func NewPaper(topics []Topic, level Level, seed uint64, count int) Paper {
	if len(topics) == 0 {
		topics = Topics()
	}
	p := Paper{Topics: topics, Level: level, Seed: seed}
	for n := range count {
		card := Card{topics[n%len(topics)], level}
		tasks := TasksOf(card)
		p.Exercises = append(p.Exercises, MakeTask(Item{card, tasks[n/len(topics)%len(tasks)]}, seed))
		seed = p.Exercises[n].Seed + 1
	}
	return p
}

// Title names the paper, with the seed from which it can be made again.
func (p Paper) Title() string {
	return fmt.Sprintf("Exercises, level %d, seed %d", p.Level, p.Seed)
}

// GivenRows are what is given, a row each behind an indent, the names flush right.
func (e Exercise) GivenRows(indent string) string {
	widest := 0
	for _, g := range e.Given {
		widest = max(widest, len([]rune(g.Name)))
	}
	b := &strings.Builder{}
	for _, g := range e.Given {
		fmt.Fprintf(b, "%s%*s  %s\n", indent, widest, g.Name, g.Text)
	}
	return b.String()
}

// Questions writes the exercises without anything that gives an answer away.
func (p Paper) Questions(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "%s\n\nname ______________________   date ____________   right ____ of %d\n", p.Title(), len(p.Exercises))
	for n, e := range p.Exercises {
		fmt.Fprintf(b, "\n%d. %s, %s\n", n+1, e.Topic.Title(), e.Tool)
		b.WriteString(e.GivenRows("     "))
		fmt.Fprintf(b, "   %s ____________ (such as %s)\n", e.Question, e.Form.Example())
	}
	fmt.Fprintf(b, "\n%s\n", say.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

// Key writes the answers, what is allowed and the workings.
func (p Paper) Key(w io.Writer) error {
	b := &strings.Builder{}
	fmt.Fprintf(b, "Key to: %s\n", p.Title())
	for n, e := range p.Exercises {
		fmt.Fprintf(b, "\n%d. %s\n", n+1, e.answers())
		if allowed := e.Allowed(); allowed != "" {
			fmt.Fprintf(b, "   %s\n", allowed)
		}
		for _, step := range e.Steps {
			fmt.Fprintf(b, "     %s\n", step)
		}
	}
	fmt.Fprintf(b, "\n%s\n", say.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

// answers are all that are right: "9° left by the rule, 8° left exactly".
func (e Exercise) answers() string {
	var all []string
	for _, a := range e.Answers {
		all = append(all, strings.TrimSpace(e.Say(a.Reply)+" "+a.By))
	}
	return strings.Join(all, ", ")
}

const paperStyle = `body { font: 11pt/1.4 serif; max-width: 46em; margin: 2em auto; padding: 0 1em; }
li { margin: 0 0 1.1em; break-inside: avoid; }
table { margin: .2em 0; border-collapse: collapse; }
td { padding: 0 .8em 0 0; vertical-align: top; }
.about, .allowed, footer { font-size: smaller; }
.answer { display: inline-block; min-width: 9em; border-bottom: 1px solid; }
.key { break-before: page; }
pre { margin: .3em 0; white-space: pre-wrap; }
`

// HTML writes one page that needs nothing else: the questions, the key, or first all questions and then the key on a new sheet.
func (p Paper) HTML(w io.Writer, questions, key bool) error {
	h := &markup.Page{}
	h.Head(p.Title(), paperStyle, "")
	if questions {
		h.Element("h1", p.Title())
		h.Element("p", fmt.Sprintf("name ______________________   date ____________   right ____ of %d", len(p.Exercises)))
		h.Open("ol")
		for _, e := range p.Exercises {
			h.Line()
			h.Open("li")
			h.Element("span", e.Topic.Title()+", "+string(e.Tool), markup.Class("about"))
			h.Open("table")
			for _, g := range e.Given {
				h.Open("tr")
				h.Element("td", g.Name)
				h.Element("td", g.Text)
				h.Close("tr")
			}
			h.Close("table")
			h.Text(e.Question + " ")
			h.Element("span", "\u00a0", markup.Class("answer"))
			h.Element("span", " such as "+e.Form.Example(), markup.Class("about"))
			h.Close("li")
		}
		h.Close("ol")
		h.Line()
	}
	if key {
		h.Element("h1", "Key to: "+p.Title(), markup.Class("key"))
		h.Open("ol")
		for _, e := range p.Exercises {
			h.Line()
			h.Open("li")
			h.Element("strong", e.answers())
			if allowed := e.Allowed(); allowed != "" {
				h.Element("div", allowed, markup.Class("allowed"))
			}
			h.Element("pre", strings.Join(e.Steps, "\n"))
			h.Close("li")
		}
		h.Close("ol")
		h.Line()
	}
	h.Foot(say.Caution)
	_, err := io.WriteString(w, h.String())
	return err
}
