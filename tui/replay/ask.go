package replay

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// Ask begins to ask "what now?", tells the answer to a question that is open, and else ends it.
func (l *Line) Ask(s flight.Snapshot) []screen.Intent {
	switch {
	case !l.asking:
		l.asking = true
		l.asked = l.questionsBy(s.At.Add(-time.Second))
		l.cover(true)
		return append(set(s.At), screen.Say{Text: "what now? It stops where something was to be done; the arrows go from one to the next"})
	case l.open && !l.told:
		l.cover(false)
		return append(set(s.At), screen.Say{Text: "told: what was to be done; space goes on"})
	}
	l.asking, l.open = false, false
	l.cover(false)
	return append(set(s.At), screen.Say{Text: "nothing is asked any more"})
}

// cover hides what is to be done, or shows it.
func (l *Line) cover(covered bool) {
	l.told = !covered
	l.flight.Cover(covered)
}

// questionsBy is how many questions there are until a moment.
func (l *Line) questionsBy(at time.Time) int {
	questions := l.flight.Questions()
	return sort.Search(len(questions), func(i int) bool { return questions[i].At.After(at) })
}

// put puts a question: the clock stands at its moment.
func (l *Line) put(n int) []screen.Intent {
	l.asked, l.open = n+1, true
	l.cover(true)
	at := l.flight.Questions()[n].At
	return append(halt(at), screen.Say{Text: say.Time(at) + " what now?"})
}

// stepQuestion goes to the next question, or back to the one before.
func (l *Line) stepQuestion(now time.Time, by int) []screen.Intent {
	n := l.questionsBy(now)
	if by < 0 {
		n--
		if l.open {
			n = l.asked - 2
		}
	} else if l.open {
		n = l.asked
	}
	if n < 0 || n >= len(l.flight.Questions()) {
		return []screen.Intent{screen.Say{Text: map[bool]string{true: "no question after this", false: "no question before this"}[by > 0]}}
	}
	return l.put(n)
}

// askRows stand in the place of what turned out: the question, and when it is told its answer, on as many rows.
func (l *Line) askRows(width, rows int, t theme.Theme) []string {
	questions := l.flight.Questions()
	label, role, texts := "WHAT NOW?", t.NextAct, []string{fmt.Sprintf("it stops where something was to be done: %d of %s put", l.asked, say.Counted(len(questions), "question", "questions"))}
	switch {
	case l.open && l.told:
		label, role, texts = "TO BE DONE", t.Label, questions[l.asked-1].Answer
	case l.open:
		texts = []string{fmt.Sprintf("question %d of %d: a tells, e keeps what was said, space goes on", l.asked, len(questions))}
	}
	drawn := make([]string, rows)
	const x = 13
	for i := range drawn {
		s := strip.New(width)
		if i == 0 {
			s.Put(1, label, role)
		}
		if i == rows-1 && i < len(texts) {
			texts[i] = strings.Join(texts[i:], "; ")
		}
		if i < len(texts) {
			s.Put(x, words.Cut(frame.Clean(texts[i]), max(width-x-1, 0)), t.Value)
		}
		drawn[i] = s.Row()
	}
	return drawn
}
