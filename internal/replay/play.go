package replay

import (
	"cmp"
	"slices"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// Record is an entry with the flight time at which it was made.
type Record struct {
	flight.Event
	RecordedAt time.Time

	era int // how often the flight clock had been set back
}

// After is by how much the entry was made after what it records.
func (r Record) After() time.Duration { return r.RecordedAt.Sub(r.T) }

// Visitor looks on while a journal is played.
type Visitor interface {
	// Before is called with what was known before an entry was made.
	Before(known *flight.State, r Record)
	// After is called with what was known once it was made.
	After(known *flight.State, r Record)
}

// Play folds events in the order in which they were recorded and shows a visitor what was known before and after each; without one it
// only folds. It returns the flight as the whole journal has it. The error is of an event that can't be part of the journal.
func Play(s *sheet.Sheet, mode string, events []flight.Event, visitor Visitor) (*flight.State, []Record, error) {
	state := flight.New(s, mode)
	records := make([]Record, 0, len(events))
	era := 0
	for _, event := range events {
		before := flightTime(state.Setting(), event.Rec)
		r := Record{Event: event, RecordedAt: before, era: era}
		if event.Do == flight.Clock && event.Set != nil {
			r.RecordedAt = *event.Set
			if len(records) > 0 && event.Set.Before(before) {
				era++
				r.era = era
			}
		}
		if visitor != nil {
			visitor.Before(state, r)
		}
		if err := state.Apply(event); err != nil {
			return nil, nil, err
		}
		records = append(records, r)
		if visitor != nil {
			visitor.After(state, r)
		}
	}
	return state, records, nil
}

// flightTime is the flight time at a wall time; before the clock was first set the two are the same.
func flightTime(setting clock.Setting, wall time.Time) time.Time {
	if setting == (clock.Setting{}) {
		return wall
	}
	return setting.At(wall)
}

// Standing are the entries that count, each as its amendments left it, in the order in which they happened. They keep their numbers.
func Standing(final *flight.State, records []Record) []Record {
	if len(records) == 0 {
		return nil
	}
	var standing []Record
	for i, entry := range final.At(latest(records)).Entries {
		if entry.Voided || entry.Event.Do == flight.Void || entry.Event.Do == flight.Amend {
			continue
		}
		r := records[i]
		r.Event = entry.Event
		standing = append(standing, r)
	}
	slices.SortStableFunc(standing, func(a, b Record) int {
		return cmp.Or(cmp.Compare(a.era, b.era), a.T.Compare(b.T), cmp.Compare(a.N, b.N))
	})
	return standing
}

// Renumbered are the events of records, numbered anew from 1, so that they can be played as a journal.
func Renumbered(records []Record) []flight.Event {
	events := make([]flight.Event, len(records))
	for i, r := range records {
		events[i] = r.Event
		events[i].N = i + 1
	}
	return events
}

// Plain reports whether the entries stand in the order in which they happened and none was voided or amended, so that what was known
// and what stands are folded alike.
func Plain(records []Record) bool {
	for i, r := range records {
		if r.Do == flight.Void || r.Do == flight.Amend || i > 0 && r.era == records[i-1].era && r.T.Before(records[i-1].T) {
			return false
		}
	}
	return true
}

// latest is the latest flight time that records speak of.
func latest(records []Record) time.Time {
	last := records[0].T
	for _, r := range records {
		for _, t := range []time.Time{r.T, r.RecordedAt} {
			if t.After(last) {
				last = t
			}
		}
	}
	return last
}
