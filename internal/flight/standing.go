package flight

import (
	"cmp"
	"slices"
	"time"

	"example.com/legclock/internal/values"
)

// Record is an entry with the flight time at which it was made. The event is never changed: whoever wants another makes one.
type Record struct {
	*Event
	RecordedAt time.Time

	rewinds   int        // how often the flight clock had been set back
	amendment *amendment // nil: it stands as it was made
}

// amendment is what an amendment made of an entry.
type amendment struct {
	version uint64 // which amendments it stands with
	at      time.Time
	stood   Record // until then
}

// version is which amendments an entry stands with: 0, none.
func (r Record) version() uint64 {
	if r.amendment == nil {
		return 0
	}
	return r.amendment.version
}

// learnt is when it came to be known that an entry stands as it does; the zero time where it was known at its own.
func (r Record) learnt() (at time.Time) {
	switch {
	case r.amendment != nil && !r.amendment.at.IsZero():
		return r.amendment.at
	case r.By == "" && r.After() >= time.Second:
		return r.RecordedAt
	}
	return at
}

// After is by how much the entry was made after what it records.
func (r Record) After() time.Duration { return r.RecordedAt.Sub(r.T) }

// Records are a journal's entries with the times at which they were made. They refer to the events, which must not be changed any more. The
// error is of an event that can't be part of it.
func Records(events []Event) ([]Record, error) {
	var s State
	s.records = s.records.WithRoom(len(events))
	for i := range events {
		if err := s.record(&events[i]); err != nil {
			return nil, err
		}
	}
	return s.records.All(), nil
}

// versions is a large odd number, by which lists of amendments become different versions.
const versions = 1_000_003

// Standing are the records that count, each as its amendments left it, in the order in which they are folded: of their times, those made
// after the clock was set back after those before. The list is not to be changed.
func Standing(records []Record) []Record {
	if InOrder(records) {
		return slices.Clip(records)
	}
	voided := voidedOf(records)
	standing := slices.Clone(records)
	for i, r := range records {
		if r.Act == Amend && !voided[i] {
			target := &standing[r.Event.Event-1]
			stood := *target
			target.Event = stood.Event.asAmended(r.With)
			target.amendment = &amendment{stood.version()*versions + uint64(r.N), r.RecordedAt, stood}
		}
	}
	left := standing[:0]
	for i, r := range standing {
		if !voided[i] && r.Act != Void && r.Act != Amend {
			left = append(left, r)
		}
	}
	if !slices.IsSortedFunc(left, byTime) {
		slices.SortStableFunc(left, byTime)
	}
	return left
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
	if a.rewinds != b.rewinds {
		return cmp.Compare(a.rewinds, b.rewinds)
	}
	return cmp.Or(a.T.Compare(b.T), cmp.Compare(a.N, b.N))
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

// folded is what was folded so far, in order, and what it came to every so often: from there it is folded again when something before is
// voided, amended or entered late.
type folded struct {
	order   values.List[standsAs]
	kept    values.List[keptFold]
	between int // entries from one kept to the next; 0 is the least
}

// standsAs is an entry in the version that its amendments make of it.
type standsAs struct {
	n       int
	version uint64
}

// keptFold is the fold after so many of the order.
type keptFold struct {
	count int
	fold  fold
}

const (
	leastBetween = 64
	mostKept     = 128 // when there are as many, every second goes
)

// refold folds the standing events again, from before the first that is not as it was; with a time, only those not after it.
func (s *State) refold(until time.Time) {
	order := Standing(s.records.All())
	if !until.IsZero() {
		order = slices.DeleteFunc(slices.Clone(order), func(r Record) bool { return r.T.After(until) })
	}
	s.refoldAs(order)
}

// refoldAs folds these events, in order, from before the first that is not as it was.
func (s *State) refoldAs(order []Record) {
	s.kept = &kept{}
	before, same := s.folded.order.All(), 0
	for same < min(len(order), len(before)) && before[same] == (standsAs{order[same].N, order[same].version()}) {
		same++
	}
	kept := s.folded.kept.All()
	for len(kept) > 0 && kept[len(kept)-1].count > same {
		kept = kept[:len(kept)-1]
	}
	count := 0
	if len(kept) > 0 {
		count, s.fold = kept[len(kept)-1].count, kept[len(kept)-1].fold
		s.latest = order[count-1]
	} else {
		s.fold, s.latest = *s.start, Record{}
	}
	s.folded.order, s.folded.kept = values.ListOf(before[:count]), values.ListOf(kept)
	for _, r := range order[count:] {
		s.takeNext(r)
	}
}

// takeNext folds the next event in order.
func (s *State) takeNext(r Record) {
	s.fold.learn(r)
	s.latest = r
	f := &s.folded
	f.order = f.order.With(standsAs{r.N, r.version()})
	f.between = max(leastBetween, f.between)
	if f.order.Len()%f.between != 0 {
		return
	}
	f.kept = f.kept.With(keptFold{f.order.Len(), s.fold})
	if f.kept.Len() >= mostKept {
		sparse := make([]keptFold, 0, mostKept)
		for i, one := range f.kept.All() {
			if i%2 == 1 {
				sparse = append(sparse, one)
			}
		}
		f.kept, f.between = values.ListOf(sparse), 2*f.between
	}
}

// Entries are the entries as they were recorded, described when somebody first looks at them.
func (s *State) Entries() []Entry {
	return s.entries.Get(func() values.List[Entry] {
		list := values.List[Entry]{}.WithRoom(s.records.Len())
		for _, r := range s.records.All() {
			list = list.With(s.entryOf(r))
		}
		return s.marked(list)
	}).All()
}

func (s *State) entryOf(r Record) Entry {
	return Entry{Event: r.Event, Text: Describe(*r.Event), Late: s.isLate(r)}
}

// entriesAfter are the entries when one more has been recorded: made anew if somebody has looked at those before, else when somebody does.
func (s *State) entriesAfter(before *values.Found[values.List[Entry]], r Record) *values.Found[values.List[Entry]] {
	after := &values.Found[values.List[Entry]]{}
	if list, known := before.Known(); known {
		list = list.With(s.entryOf(r))
		if r.Act == Void || r.Act == Amend {
			list = s.marked(list)
		}
		after.Get(func() values.List[Entry] { return list })
	}
	return after
}

// marked shows in a list of entries what voids and amendments did. The list may be in somebody's Snapshot, so a new one is made where
// that is anything; what is as it was is not described again.
func (s *State) marked(list values.List[Entry]) values.List[Entry] {
	records := s.records.All()
	if !slices.ContainsFunc(records, func(r Record) bool { return r.Act == Void || r.Act == Amend }) {
		return list
	}
	voided := voidedOf(records)
	entries := slices.Clone(list.All())
	for i, r := range records {
		entries[i].Voided = voided[i]
		if entries[i].Amended {
			entries[i].Event, entries[i].Text, entries[i].Amended = r.Event, Describe(*r.Event), false
		}
	}
	for i, r := range records {
		if r.Act == Amend && !voided[i] {
			target := &entries[r.Event.Event-1]
			target.Event = target.Event.asAmended(r.With)
			target.Text, target.Amended = Describe(*target.Event), true
		}
	}
	return values.ListOf(entries)
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
	until := begun(s.start, s.mode)
	until.records = until.records.WithRoom(known)
	for _, r := range s.records.All()[:known] {
		_ = until.record(r.Event) // they were recorded before
	}
	until.refold(time.Time{})
	return until
}

// Hindsight is the state at a flight time by the whole journal: what happened until then as it is known now.
func (s *State) Hindsight(t time.Time) *State {
	then := *s
	then.refold(t)
	return &then
}

// placed is an event that is about to be recorded as it will stand, and amended what it would make of an entry.
func (s *State) placed(e Event) Record {
	e.N = s.records.Len() + 1
	return Record{Event: &e, rewinds: s.rewinds}
}

func (s *State) amended(e Event) (Record, error) {
	r := s.records.All()[e.Event-1]
	as, err := s.Entries()[e.Event-1].Event.amended(e.With)
	as.Rec = e.Rec
	return Record{Event: &as, rewinds: r.rewinds}, err
}

// around is the flight as it stands until an entry is taken in at its place in time, without what that was if it is one that is amended; and the
// entries that stand after it.
func (s *State) around(at Record) (then *State, after []Record) {
	order := slices.DeleteFunc(slices.Clone(Standing(s.records.All())), func(r Record) bool { return r.N == at.N })
	place, _ := slices.BinarySearchFunc(order, at, byTime)
	until := *s
	until.refoldAs(order[:place])
	return &until, order[place:]
}

// Undoable is the last entry by the pilot that is not void, the one that "undo" voids; nil when there is none. Clock changes are not
// undone but changed again, and what the program or a feed logged is not the pilot's.
func (s *State) Undoable() *Event {
	voided := voidedOf(s.records.All())
	for i := s.records.Len() - 1; i >= 0; i-- {
		if e := s.records.All()[i].Event; !voided[i] && e.By == "" && e.Act.Undone() {
			return e
		}
	}
	return nil
}
