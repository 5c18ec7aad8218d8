package replay

import (
	"slices"
	"time"

	"example.com/legclock/internal/flight"
)

// Question is a moment at which something was to be done: a class is asked what, before it is told.
type Question struct {
	At      time.Time
	Prompts []flight.Prompt // due then, the soonest first, with what became of them; one that was never answered is late
}

// together is how far apart acts of one question may be due.
const together = 15 * time.Second

// Questions are all that a flight offers, by time: what was answered, skipped or left, as it was due in the end.
func (t *Tape) Questions() []Question {
	state, to := t.known.wound(len(t.records)), t.To()
	var due []flight.Prompt
	for _, p := range append(state.Closed(to), state.LateAt(to)...) {
		if !p.Due.Before(t.From()) && !p.Due.After(to) {
			due = append(due, p)
		}
	}
	slices.SortStableFunc(due, func(a, b flight.Prompt) int { return a.Due.Compare(b.Due) })
	var questions []Question
	for _, p := range due {
		if n := len(questions); n > 0 && p.Due.Sub(questions[n-1].At) <= together {
			questions[n-1].Prompts = append(questions[n-1].Prompts, p)
			continue
		}
		questions = append(questions, Question{At: p.Due, Prompts: []flight.Prompt{p}})
	}
	return questions
}

// Covered is a Snapshot without what would give the answer away: what is due and to come, and what is late or over a limit. What clock,
// instruments and entries tell stays.
func Covered(s flight.Snapshot) flight.Snapshot {
	s.Covered = true
	s.Prompts, s.Pressing, s.Notices, s.Descent, s.Offer = nil, nil, nil, nil, nil
	s.Tanks.NextChange, s.Tanks.Planned = nil, nil
	s.Ahead = slices.DeleteFunc(slices.Clone(s.Ahead), func(item flight.AheadItem) bool { return item.Place == nil })
	s.Leg.Marks = slices.DeleteFunc(slices.Clone(s.Leg.Marks), func(m flight.LegMark) bool {
		return m.Kind == flight.MarkRadio || m.Kind == flight.MarkTopOfClimb || m.Kind == flight.MarkTopOfDescent
	})
	s.Radio = slices.Clone(s.Radio)
	for i := range s.Radio {
		s.Radio[i].Next = nil
	}
	return s
}
