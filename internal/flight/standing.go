package flight

import (
	"cmp"
	"slices"
	"time"

	"example.com/legclock/internal/values"
)

// Record is an entry with the flight time at which it was made.
type Record struct {
	Event
	RecordedAt time.Time

	rewinds int // how often the flight clock had been set back
}

// After is by how much the entry was made after what it records.
func (r Record) After() time.Duration { return r.RecordedAt.Sub(r.T) }

// Records are a journal's entries with the times at which they were made. The error is of an event that can't be part of it.
func Records(events []Event) ([]Record, error) {
	var s State
	for _, event := range events {
		if err := s.record(event); err != nil {
			return nil, err
		}
	}
	return s.records.All(), nil
}

// Standing are the records that count, each as its amendments left it, in the order in which they are folded: of their times, those made
// after the clock was set back after those before.
func Standing(records []Record) []Record {
	voided := voidedOf(records)
	standing := slices.Clone(records)
	for i, r := range records {
		if r.Act == Amend && !voided[i] {
			target := &standing[r.Event.Event-1]
			target.Event, _ = target.Event.amended(r.With)
		}
	}
	for i := len(standing) - 1; i >= 0; i-- {
		if voided[i] || standing[i].Act == Void || standing[i].Act == Amend {
			standing = slices.Delete(standing, i, i+1)
		}
	}
	slices.SortStableFunc(standing, byTime)
	return standing
}

// InOrder reports whether records stand as they were made: none was voided or amended, or entered after one of a later time. Then what
// was known and what stands are folded alike.
func InOrder(records []Record) bool {
	for i, r := range records {
		if r.Act == Void || r.Act == Amend || i > 0 && byTime(r, records[i-1]) < 0 {
			return false
		}
	}
	return true
}

// byTime orders records by their flight time, entries made after the clock was set back after those before.
func byTime(a, b Record) int {
	return cmp.Or(cmp.Compare(a.rewinds, b.rewinds), a.T.Compare(b.T), cmp.Compare(a.N, b.N))
}

// voidedOf says of every record whether it has been voided. A void that was voided itself does nothing.
func voidedOf(records []Record) []bool {
	voided := make([]bool, len(records))
	for i := len(records) - 1; i >= 0; i-- {
		if r := records[i]; r.Act == Void && !voided[i] {
			voided[r.Event.Event-1] = true
		}
	}
	return voided
}

// refold folds the standing events from the start; with a time, only those not after it.
func (s *State) refold(until time.Time) {
	s.fold = newFold(s.sheet, s.places)
	s.latest = Record{}
	for _, r := range Standing(s.records.All()) {
		if !until.IsZero() && r.T.After(until) {
			continue
		}
		s.fold.take(r.Event)
		s.latest = r
	}
}

// markEntries shows in the list of entries what voids and amendments did. The list may be in somebody's Snapshot, so a new one is
// made.
func (s *State) markEntries() {
	voided := voidedOf(s.records.All())
	entries := make([]Entry, s.records.Len())
	for i, r := range s.records.All() {
		entries[i] = Entry{Event: r.Event, Text: Describe(r.Event), Late: s.entries.All()[i].Late, Voided: voided[i]}
	}
	for i, r := range s.records.All() {
		if r.Act == Amend && !voided[i] {
			target := &entries[r.Event.Event-1]
			target.Event, _ = target.Event.amended(r.With)
			target.Text, target.Amended = Describe(target.Event), true
		}
	}
	s.entries = values.ListOf(entries)
}

// Until is the state as it was known at a flight time: made of what had been recorded by then, whatever was voided, amended or
// entered later.
func (s *State) Until(t time.Time) *State {
	known := 0
	for i, r := range s.records.All() {
		if !r.RecordedAt.After(t) {
			known = i + 1
		}
	}
	until := New(s.sheet, s.mode)
	events := make([]Event, known)
	for i, r := range s.records.All()[:known] {
		events[i] = r.Event
	}
	_ = until.take(events) // they were taken before
	return until
}

// Hindsight is the state at a flight time by the whole journal: what happened until then as it is known now.
func (s *State) Hindsight(t time.Time) *State {
	then := *s
	then.refold(t)
	return &then
}

// Undoable is the last entry by the pilot that is not void, the one that "undo" voids; nil when there is none. Clock changes are not
// undone but changed again, and what the program or a feed logged is not the pilot's.
func (s *State) Undoable() *Event {
	voided := voidedOf(s.records.All())
	for i := s.records.Len() - 1; i >= 0; i-- {
		e := s.records.All()[i].Event
		if !voided[i] && e.By == "" && e.Act.Undone() {
			return &e
		}
	}
	return nil
}
