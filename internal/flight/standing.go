package flight

import (
	"slices"
	"time"
)

// voided says of every record whether it has been voided. A void that was voided itself does nothing.
func (s *State) voided() []bool {
	voided := make([]bool, len(s.records))
	for i := len(s.records) - 1; i >= 0; i-- {
		if r := s.records[i]; r.Do == Void && !voided[i] {
			voided[r.Event.Event-1] = true
		}
	}
	return voided
}

// standing are the events that count, each as its amendments left it, in the order in which they are folded.
func (s *State) standing() []record {
	voided := s.voided()
	standing := slices.Clone(s.records)
	for i, r := range s.records {
		if r.Do == Amend && !voided[i] {
			target := &standing[r.Event.Event-1]
			target.Event, _ = target.Event.amended(r.With)
		}
	}
	for i := len(standing) - 1; i >= 0; i-- {
		if voided[i] || standing[i].Do == Void || standing[i].Do == Amend {
			standing = slices.Delete(standing, i, i+1)
		}
	}
	slices.SortStableFunc(standing, byTime)
	return standing
}

// refold folds the standing events from the start; with a time, only those not after it.
func (s *State) refold(until time.Time) {
	s.progress = newProgress(s.sheet, s.places)
	s.latest = record{}
	for _, r := range s.standing() {
		if !until.IsZero() && r.T.After(until) {
			continue
		}
		s.progress.fold(r.Event)
		s.latest = r
	}
}

// markEntries shows in the list of entries what voids and amendments did. The list may be in somebody's Snapshot, so a new one is
// made.
func (s *State) markEntries() {
	voided := s.voided()
	entries := make([]Entry, len(s.records))
	for i, r := range s.records {
		entries[i] = Entry{Event: r.Event, Text: Describe(r.Event), Late: s.entries[i].Late, Voided: voided[i]}
	}
	for i, r := range s.records {
		if r.Do == Amend && !voided[i] {
			target := &entries[r.Event.Event-1]
			target.Event, _ = target.Event.amended(r.With)
			target.Text, target.Amended = Describe(target.Event), true
		}
	}
	s.entries = entries
}

// Until is the state as it was known at a flight time: made of what had been recorded by then, whatever was voided, amended or
// entered later.
func (s *State) Until(t time.Time) *State {
	known := 0
	for i, r := range s.records {
		if !r.recordedAt.After(t) {
			known = i + 1
		}
	}
	until := New(s.sheet, s.mode)
	events := make([]Event, known)
	for i, r := range s.records[:known] {
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
	voided := s.voided()
	for i := len(s.records) - 1; i >= 0; i-- {
		e := s.records[i].Event
		switch {
		case voided[i] || e.By != "":
		case e.Do == Void || e.Do == Clock || e.Do == Position || e.Do == Hands:
		default:
			return &e
		}
	}
	return nil
}
