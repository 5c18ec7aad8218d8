package replay

import (
	"sort"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

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
	cost    []int // of applying the first so many, in entries folded
	between int
	marks   []mark // by count; the first is the start
	now     mark
}

// mark is the flight after so many events. The flights in marks are not changed any more.
type mark struct {
	count int
	state *flight.State
}

func newReel(s *sheet.Sheet, mode flight.Mode, events []flight.Event) *reel {
	r := &reel{sheet: s, mode: mode, events: events, between: max(leastBetween, len(events)/mostMarks), cost: make([]int, len(events)+1)}
	for i, event := range events {
		r.cost[i+1] = r.cost[i] + 1
		if event.Act == flight.Void || event.Act == flight.Amend || i > 0 && event.T.Before(events[i-1].T) {
			r.cost[i+1] += i // what came before is folded anew
		}
	}
	start := flight.New(s, mode)
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
		_ = r.now.state.Apply(r.events[r.now.count]) // flight.Records has taken them all
		r.now.count++
		if near := r.marks[r.marked(r.now.count)]; r.cost[r.now.count]-r.cost[near.count] >= r.between {
			r.keep()
		}
	}
	return r.now.state
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
