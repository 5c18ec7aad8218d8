package flight

import (
	"fmt"
	"time"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/internal/values"
)

// State is a flight as its journal tells it: a sheet and the events so far. It is changed by Apply alone, and belongs to one
// goroutine; what At returns may be kept and read anywhere.
type State struct {
	sheet *sheet.Sheet
	mode  Mode

	records values.List[Record]
	entries *values.Found[values.List[Entry]]
	setting clock.Setting
	rewinds int   // how often the flight clock was set back
	start   *fold // of which nothing has been recorded yet
	fold    fold
	folded  folded
	kept    *kept  // parts of the last Snapshot
	latest  Record // of what was folded, in order of time
}

// New is a flight of which nothing has been recorded yet.
func New(s *sheet.Sheet, mode Mode) *State {
	start := newFold(s)
	return begun(&start, mode)
}

func begun(start *fold, mode Mode) *State {
	return &State{sheet: start.sheet, mode: mode, entries: &values.Found[values.List[Entry]]{}, start: start, fold: *start, kept: &kept{}}
}

// Fold is the state after a journal's events; with knownAt, after those that had been recorded by that flight time.
func Fold(s *sheet.Sheet, mode Mode, events []Event, knownAt *time.Time) (*State, error) {
	state := New(s, mode)
	if err := state.take(events); err != nil {
		return nil, err
	}
	if knownAt != nil {
		return state.Until(*knownAt), nil
	}
	return state, nil
}

// Clone is the same flight a second time: what is applied to one does not show in the other.
func (s *State) Clone() *State {
	clone := *s
	return &clone
}

// Expect makes room for so many more events, so that the list of them need not be copied as it grows.
func (s *State) Expect(more int) { s.records = s.records.WithRoom(more) }

// take records many events, which must not be changed any more, and folds once.
func (s *State) take(events []Event) error {
	s.Expect(len(events))
	for i := range events {
		if err := s.record(&events[i]); err != nil {
			return err
		}
	}
	s.refold(time.Time{})
	return nil
}

// Apply folds the next event of the journal. The error is of an event that can't be part of this journal: a number out of order, a
// void or an amendment of an entry that is not there.
func (s *State) Apply(e Event) error { return s.ApplyKept(&e) }

// ApplyKept is Apply for an event that somebody keeps and nobody changes any more: it is not copied.
func (s *State) ApplyKept(e *Event) error {
	if err := s.record(e); err != nil {
		return err
	}
	last := s.records.All()[s.records.Len()-1]
	s.entries, s.kept = s.entriesAfter(s.entries, last), &kept{}
	if e.Act == Void || e.Act == Amend || s.latest.Event != nil && byTime(last, s.latest) < 0 {
		s.refold(time.Time{})
		return nil
	}
	s.takeNext(last)
	return nil
}

// record takes an event into the records and follows the clock.
func (s *State) record(e *Event) error {
	if e.N != s.records.Len()+1 {
		return fmt.Errorf("entry %d where %d must follow", e.N, s.records.Len()+1)
	}
	if e.Act == Void || e.Act == Amend {
		if err := s.checkTarget(*e); err != nil {
			return err
		}
	}
	if e.Act == Clock && CheckRanges(e) == nil {
		s.setClock(*e)
	}
	s.records = s.records.With(Record{Event: e, RecordedAt: s.flightTime(e.Rec), rewinds: s.rewinds})
	return nil
}

func (s *State) checkTarget(e Event) error {
	if e.Event < 1 || e.Event >= e.N {
		return fmt.Errorf("entry %d: no entry %d to %s", e.N, e.Event, e.Act)
	}
	if e.Act == Amend {
		if _, err := s.records.All()[e.Event-1].amended(e.With); err != nil {
			return fmt.Errorf("entry %d: %w", e.N, err)
		}
	}
	return nil
}

func (s *State) setClock(e Event) {
	before := s.flightTime(e.Rec)
	if s.setting == (clock.Setting{}) {
		s.setting = clock.Real(e.Rec)
	}
	s.setting = s.setting.After(e.Rec, clockChange(e))
	if e.Set != nil && s.records.Len() > 0 && e.Set.Before(before) {
		s.rewinds++
	}
}

// flightTime is the flight time at a wall time by the clock's setting. Before any clock entry the two are the same.
func (s *State) flightTime(wall time.Time) time.Time {
	if s.setting == (clock.Setting{}) {
		return wall
	}
	return s.setting.At(wall)
}

// Setting is the clock's setting after the events so far: what a Clock adopts to read as a replay does.
func (s *State) Setting() clock.Setting { return s.setting }

// lateEntry is by how much an entry's time may lie before its recording without being called late.
const lateEntry = 5 * time.Second

func (s *State) isLate(r Record) bool {
	return r.By == "" && r.Act.MayBeEarlier() && r.After() > lateEntry
}
