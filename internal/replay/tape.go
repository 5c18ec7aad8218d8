package replay

import (
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// View says by what entries a moment is shown.
type View string

// The views: by what had been entered by then, or by what the whole journal says of it.
const (
	Known     View = "known then"
	Hindsight View = "hindsight"
)

// Tape is a whole journal that can be looked at from any moment.
type Tape struct {
	sheet   *sheet.Sheet
	mode    string
	events  []flight.Event
	records []Record
	final   *flight.State

	known, hindsight part
	standing         []flight.Event
}

// part is a state of the first so many events of a list.
type part struct {
	state *flight.State
	count int
}

// New makes a tape of a journal. The error is of an event that can't be part of it.
func New(s *sheet.Sheet, mode string, events []flight.Event) (*Tape, error) {
	final, records, err := Play(s, mode, events, nil)
	if err != nil {
		return nil, err
	}
	return &Tape{sheet: s, mode: mode, events: events, records: records, final: final, standing: Renumbered(Standing(final, records))}, nil
}

// Records are the entries in the order in which they were made.
func (t *Tape) Records() []Record { return t.records }

// Final is the flight as the whole journal has it.
func (t *Tape) Final() *flight.State { return t.final }

// From and To are the tape's ends: the first and the latest flight time that the journal speaks of. Without entries both are the planned
// off-blocks.
func (t *Tape) From() time.Time {
	if len(t.records) == 0 {
		return t.sheet.Plan.OffBlocks
	}
	return t.records[0].RecordedAt
}

// To is the tape's end.
func (t *Tape) To() time.Time {
	if len(t.records) == 0 {
		return t.sheet.Plan.OffBlocks
	}
	return latest(t.records)
}

// At is the flight at a moment.
func (t *Tape) At(at time.Time, view View) flight.Snapshot {
	if view == Hindsight {
		count := 0
		for i, event := range t.standing {
			if !event.T.After(at) {
				count = i + 1
			}
		}
		return t.hindsight.wound(t, t.standing, count).At(at)
	}
	return t.known.wound(t, t.events, t.KnownBy(at)).At(at)
}

// KnownBy is how many entries had been made by a moment.
func (t *Tape) KnownBy(at time.Time) int {
	known := 0
	for i, r := range t.records {
		if !r.RecordedAt.After(at) {
			known = i + 1
		}
	}
	return known
}

// wound is the state after so many events: forwards by the events in between, back from the start.
func (p *part) wound(t *Tape, events []flight.Event, count int) *flight.State {
	if p.state == nil || count < p.count {
		*p = part{state: flight.New(t.sheet, t.mode)}
	}
	for _, event := range events[p.count:count] {
		_ = p.state.Apply(event) // New has applied them all
	}
	p.count = count
	return p.state
}
