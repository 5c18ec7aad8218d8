package tui

import (
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// question is what is asked before something is done; without a text nothing is.
type question struct {
	text   string
	of     string // the same without the figures that go on counting: with another one it is another question
	doubts bool   // the flight's doubt about an act
}

// unasked is no question.
func unasked() question { return question{} }

// asked is a question and what a yes does. It is asked until it is answered, whatever keys come between: what it is about counts from when it was
// first asked. Only when it would not be asked any more, or another would, it is withdrawn: an entry was made, or its moment has passed. A pilot who
// goes on has not quit, and what is still on the entry line needs no question to be kept.
type asked struct {
	question
	yes    func(question)
	about  string                   // the act that a yes records; empty: none
	at     time.Time                // and its time
	asks   func() (question, error) // what would be asked now, or why nothing can be recorded; nil: the same
	clock  bool                     // about the flight's clock, which the pilot may set meanwhile
	made   bool                     // what it is about was entered meanwhile
	quits  bool                     // a yes ends the program, and does nothing else
	ofLine bool                     // what is on the entry line waits for it
}

// put asks about an act.
func (r *Root) put(q question, e flight.Event, asks func() (question, error), yes func(question)) {
	r.asked = &asked{question: q, ofLine: r.line != nil, about: flight.Describe(e), at: e.T, asks: asks, yes: yes}
}

// ask puts a question that no key gave rise to, once what is open is done with: a finger on its way to that is not to answer this.
func (r *Root) ask(q *asked) {
	if r.asked != nil || r.line != nil {
		r.waiting = slices.Insert(r.waiting, 0, q)
		return
	}
	r.asked = q
}

// askAgain puts the last question that another key came before, once that key has done its own.
func (r *Root) askAgain() {
	if r.line != nil || len(r.waiting) == 0 {
		return
	}
	at := len(r.waiting) - 1
	if r.asked != nil {
		at = slices.IndexFunc(r.waiting, func(q *asked) bool { return q.text == r.asked.text })
	}
	if at >= 0 { // with the same key pressed again its first time counts
		r.asked = r.waiting[at]
		r.waiting = slices.Delete(r.waiting, at, at+1)
	}
}

// now is what would be asked as things stand.
func (q *asked) now() (question, error) {
	switch {
	case q.made:
		return question{}, nil
	case q.asks == nil:
		return q.question, nil
	default:
		return q.asks()
	}
}

// confirm does what a yes to a question does, if it is still the one to be asked: another is asked in its place.
func (r *Root) confirm(q *asked) {
	switch now, err := q.now(); {
	case err != nil:
		r.refuse(err.Error())
	case now.text == "":
		r.withdraw([]string{q.what()})
	case now.of != q.of:
		q.question = now
		r.asked = q
	default:
		q.yes(now)
	}
}

// overtake marks the questions about what was just entered: a yes would enter it once more.
func (r *Root) overtake(e flight.Event) {
	for _, q := range r.waiting {
		q.made = q.made || q.about == flight.Describe(e) || q.clock && e.Act == flight.Clock && e.Set != nil
	}
}

// reconsider withdraws the questions that would not be asked any more as things stand, and brings the others up to them. It reports whether one
// is another than before.
func (r *Root) reconsider() (changed bool) {
	var gone []string
	stands := func(q *asked) bool {
		now, err := q.now()
		if err != nil || now.of != q.of || now.text == "" {
			gone = append(gone, q.what())
			return false
		}
		changed = changed || now != q.question
		q.question = now
		return true
	}
	r.waiting = slices.DeleteFunc(r.waiting, func(q *asked) bool { return !stands(q) })
	shown := r.line == nil // what an open line hides was not on the way to be answered
	if r.asked != nil && !stands(r.asked) {
		r.asked, shown = nil, true
		r.askAgain()
	}
	if len(gone) > 0 {
		r.withdraw(gone)
		r.gone.shown = shown
	}
	return changed || len(gone) > 0
}

// what is what a question was about.
func (q *asked) what() string {
	if q.clock {
		return "the other time of the clock"
	}
	return q.about + " " + say.Time(q.at)
}

// withdrawn is the line that said so of questions, at a moment of the machine's clock.
type withdrawn struct {
	line  string
	at    time.Time
	shown bool // one was to be seen
}

// withdraw says what is not asked about any more, and so was not recorded.
func (r *Root) withdraw(what []string) {
	r.gone = withdrawn{line: "not recorded: " + strings.Join(what, ", ") + ", no longer asked", at: r.clock.Wall()}
	r.mention(r.gone.line)
}

// meantForWithdrawn reports whether a key was on its way to answer a question that was just withdrawn: it is to answer nothing else.
func (r *Root) meantForWithdrawn(msg tea.KeyMsg) bool {
	gone := r.gone
	if !gone.shown || r.clock.Wall().Sub(gone.at) >= haste || !key.Matches(msg, r.question.Yes, r.question.No) {
		r.gone = withdrawn{}
		return false
	}
	r.said = gone.line
	return true
}
