// Package replay plays a journal: what was known at any flight time, forwards and back, and what it looks like with hindsight.
//
// It knows no clock, no files and no screen. [Play] goes through a journal once, entry by entry; [Tape] answers for any moment in any
// order, and keeps marks on the way so that going back is as quick as going on. Both are made of the same fold and Snapshot as a live flight, so that a replay shows what the pilot saw.
//
// Flight times are UTC. A Tape belongs to one goroutine.
package replay

import (
	"slices"
	"sort"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// View says by what entries a moment is shown.
type View string

// The views: by what had been entered by then, or by what the whole journal says of it.
const (
	Known     View = "as known then"
	Hindsight View = "hindsight"
)

// Tape is a whole journal that can be looked at from any moment.
type Tape struct {
	records  []flight.Record
	from, to time.Time

	known, hindsight *reel       // one and the same where the journal stands as it was made
	knownFrom        []time.Time // by how many entries, less one: the earliest moment from which on at least so many count as made
	standsFrom       []time.Time // the same of those that stand, which count from when they happened
}

// New makes a tape of a journal. The error is of an event that can't be part of it.
func New(s *sheet.Sheet, mode flight.Mode, events []flight.Event) (*Tape, error) {
	records, err := flight.Records(events)
	if err != nil {
		return nil, err
	}
	standing, known := flight.Standing(records), newReel(s, mode, events, records)
	hindsight := known
	if !flight.InOrder(records) {
		again, events := Renumbered(standing)
		hindsight = newReel(s, mode, events, again)
	}
	from := s.Plan.OffBlocks
	if len(records) > 0 {
		from = records[0].RecordedAt
	}
	return &Tape{
		records: records, from: from, to: Latest(records, s.Plan.OffBlocks),
		known:      known,
		hindsight:  hindsight,
		knownFrom:  countedFrom(records, func(r flight.Record) time.Time { return r.RecordedAt }),
		standsFrom: countedFrom(standing, func(r flight.Record) time.Time { return r.T }),
	}, nil
}

// countedFrom is, for each record, the earliest time of it and of all that follow: from then on it counts, for a clock that was set back
// does not unmake what was entered.
func countedFrom(records []flight.Record, when func(flight.Record) time.Time) []time.Time {
	from := make([]time.Time, len(records))
	for i := len(records) - 1; i >= 0; i-- {
		from[i] = when(records[i])
		if i+1 < len(from) && from[i+1].Before(from[i]) {
			from[i] = from[i+1]
		}
	}
	return from
}

// countAt is how many have come to count by a moment.
func countAt(from []time.Time, at time.Time) int {
	return sort.Search(len(from), func(i int) bool { return from[i].After(at) })
}

// Records are the entries in the order in which they were made.
func (t *Tape) Records() []flight.Record { return t.records }

// From and To are the tape's ends: the first and the latest flight time that the journal speaks of. Without entries both are the planned
// off-blocks.
func (t *Tape) From() time.Time { return t.from }

// To is the tape's end.
func (t *Tape) To() time.Time { return t.to }

// At is the flight at a moment.
func (t *Tape) At(at time.Time, view View) flight.Snapshot {
	if view == Hindsight {
		return t.hindsight.wound(countAt(t.standsFrom, at)).At(at)
	}
	return t.known.wound(t.KnownBy(at)).At(at)
}

// Play winds the tape from its start to its end, shows a visitor what was known before and after each entry, or each that stands, and returns the
// flight as all of them have it.
func (t *Tape) Play(view View, visitor Visitor) *flight.State {
	r := t.known
	if view == Hindsight {
		r = t.hindsight
	}
	r.now = mark{0, r.marks[0].state.Clone()}
	for _, record := range r.records {
		visitor.Before(r.now.state, record)
		r.next()
		visitor.After(r.now.state, record)
	}
	return r.now.state.Clone()
}

// KnownBy is how many entries had been made by a moment.
func (t *Tape) KnownBy(at time.Time) int { return countAt(t.knownFrom, at) }

// How densely a reel is marked: winding back applies no more entries than lie between two marks, and there are no more marks than memory
// is lightly spent on.
const (
	leastBetween = 16
	mostMarks    = 128
)

// reel is a list of events that is wound to and fro. It is marked on its way, so that it is soon back at any place, however long the list.
type reel struct {
	sheet   *sheet.Sheet
	mode    flight.Mode
	events  []flight.Event
	records []flight.Record // of the events
	cost    []int           // of applying the first so many, in entries folded
	between int
	marks   []mark // by count; the first is the start
	now     mark
}

// mark is the flight after so many events. The flights in marks are not changed any more.
type mark struct {
	count int
	state *flight.State
}

func newReel(s *sheet.Sheet, mode flight.Mode, events []flight.Event, records []flight.Record) *reel {
	r := &reel{sheet: s, mode: mode, events: events, records: records, between: max(leastBetween, len(events)/mostMarks), cost: make([]int, len(events)+1)}
	for i, event := range events {
		r.cost[i+1] = r.cost[i] + 1
		if event.Act == flight.Void || event.Act == flight.Amend || i > 0 && event.T.Before(events[i-1].T) {
			r.cost[i+1] += i // what came before is folded anew
		}
	}
	start := flight.New(s, mode)
	start.Expect(len(events))
	r.marks, r.now = []mark{{0, start}}, mark{0, start.Clone()}
	return r
}

// wound is the flight after so many events.
func (r *reel) wound(count int) *flight.State {
	near := r.marks[r.marked(count)]
	if count < r.now.count || near.count > r.now.count {
		r.now = mark{near.count, near.state.Clone()}
	}
	if r.cost[count]-r.cost[r.now.count] > count { // less is folded from the start, all at once
		r.foldTo(r.lastAnew(count))
	}
	for r.now.count < count {
		r.next()
	}
	return r.now.state
}

// next goes on by one event.
func (r *reel) next() {
	_ = r.now.state.ApplyKept(&r.events[r.now.count]) // flight.Records has taken them all
	r.now.count++
	if near := r.marks[r.marked(r.now.count)]; r.cost[r.now.count]-r.cost[near.count] >= r.between {
		r.keep()
	}
}

// foldTo folds the first so many events at once.
func (r *reel) foldTo(count int) {
	if state, err := flight.Fold(r.sheet, r.mode, r.events[:count], nil); err == nil {
		r.now = mark{count, state}
		r.keep()
	}
}

// lastAnew is how many events there are up to the last, among so many, at which those before are folded anew.
func (r *reel) lastAnew(count int) int {
	for count > 0 && r.cost[count]-r.cost[count-1] == 1 {
		count--
	}
	return count
}

// marked is the index of the last mark not after so many events.
func (r *reel) marked(count int) int {
	return sort.Search(len(r.marks), func(i int) bool { return r.marks[i].count > count }) - 1
}

// keep marks the place where the reel is.
func (r *reel) keep() {
	at := r.marked(r.now.count)
	if r.marks[at].count == r.now.count || len(r.marks) > 2*mostMarks {
		return
	}
	r.marks = append(r.marks, mark{})
	copy(r.marks[at+2:], r.marks[at+1:])
	r.marks[at+1] = mark{r.now.count, r.now.state.Clone()}
}

// Visitor looks on while a journal is played.
type Visitor interface {
	// Before is called with what was known before an entry was made.
	Before(known *flight.State, r flight.Record)
	// After is called with what was known once it was made.
	After(known *flight.State, r flight.Record)
}

// Play folds records, in the order in which they were made, from a flight of which nothing has been recorded, which stays as it is; it shows a visitor
// what was known before and after each, and returns the flight as all of them have it. The error is of an event that can't be part of the journal.
func Play(start *flight.State, records []flight.Record, visitor Visitor) (*flight.State, error) {
	state := start.Clone()
	state.Expect(len(records))
	for _, r := range records {
		visitor.Before(state, r)
		if err := state.ApplyKept(r.Event); err != nil {
			return nil, err
		}
		visitor.After(state, r)
	}
	return state, nil
}

// Renumbered are records numbered anew from 1, so that they can be played as a journal, and its events.
func Renumbered(records []flight.Record) ([]flight.Record, []flight.Event) {
	renumbered, events := slices.Clone(records), make([]flight.Event, len(records))
	for i := range renumbered {
		events[i] = *records[i].Event
		events[i].N = i + 1
		renumbered[i].Event = &events[i]
	}
	return renumbered, events
}

// Latest is the latest flight time that records speak of; without any, the one given.
func Latest(records []flight.Record, none time.Time) time.Time {
	if len(records) == 0 {
		return none
	}
	last := records[0].T
	for i := range records {
		for _, t := range [...]time.Time{records[i].T, records[i].RecordedAt} {
			if t.After(last) {
				last = t
			}
		}
	}
	return last
}

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
	for _, p := range append(state.Closed(to), state.Look(to).Late()...) {
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
