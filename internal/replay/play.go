package replay

import (
	"slices"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// Visitor looks on while a journal is played.
type Visitor interface {
	// Before is called with what was known before an entry was made.
	Before(known *flight.State, r flight.Record)
	// After is called with what was known once it was made.
	After(known *flight.State, r flight.Record)
}

// Play folds records in the order in which they were made, shows a visitor what was known before and after each, and returns the flight
// as all of them have it. The error is of an event that can't be part of the journal.
func Play(s *sheet.Sheet, mode flight.Mode, records []flight.Record, visitor Visitor) (*flight.State, error) {
	state := flight.New(s, mode)
	for _, r := range records {
		visitor.Before(state, r)
		if err := state.Apply(*r.Event); err != nil {
			return nil, err
		}
		visitor.After(state, r)
	}
	return state, nil
}

// Renumbered are records numbered anew from 1, so that they can be played as a journal.
func Renumbered(records []flight.Record) []flight.Record {
	renumbered := slices.Clone(records)
	for i := range renumbered {
		event := *renumbered[i].Event
		event.N = i + 1
		renumbered[i].Event = &event
	}
	return renumbered
}

// Events are those that were recorded.
func Events(records []flight.Record) []flight.Event {
	events := make([]flight.Event, len(records))
	for i, r := range records {
		events[i] = *r.Event
	}
	return events
}

// Latest is the latest flight time that records speak of; without any, the one given.
func Latest(records []flight.Record, none time.Time) time.Time {
	if len(records) == 0 {
		return none
	}
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
