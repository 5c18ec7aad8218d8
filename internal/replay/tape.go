package replay

import (
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
	sheet   *sheet.Sheet
	records []flight.Record

	known, hindsight *reel
	knownFrom        []time.Time // by how many entries, less one: the earliest moment from which on at least so many count as made
	standsFrom       []time.Time // the same of those that stand, which count from when they happened
}

// New makes a tape of a journal. The error is of an event that can't be part of it.
func New(s *sheet.Sheet, mode flight.Mode, events []flight.Event) (*Tape, error) {
	records, err := flight.Records(events)
	if err != nil {
		return nil, err
	}
	standing := flight.Standing(records)
	return &Tape{
		sheet: s, records: records,
		known:      newReel(s, mode, events),
		hindsight:  newReel(s, mode, Events(Renumbered(standing))),
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
func (t *Tape) From() time.Time {
	if len(t.records) == 0 {
		return t.sheet.Plan.OffBlocks
	}
	return t.records[0].RecordedAt
}

// To is the tape's end.
func (t *Tape) To() time.Time { return Latest(t.records, t.sheet.Plan.OffBlocks) }

// At is the flight at a moment.
func (t *Tape) At(at time.Time, view View) flight.Snapshot {
	if view == Hindsight {
		return t.hindsight.wound(countAt(t.standsFrom, at)).At(at)
	}
	return t.known.wound(t.KnownBy(at)).At(at)
}

// KnownBy is how many entries had been made by a moment.
func (t *Tape) KnownBy(at time.Time) int { return countAt(t.knownFrom, at) }
