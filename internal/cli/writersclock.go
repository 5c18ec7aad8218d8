package cli

import (
	"sync"
	"time"

	"example.com/legclock/internal/flight"
)

// skewWorthMending is from which difference on two machines' clocks are not taken for equal: a look at the file may take that long.
const skewWorthMending = 2 * time.Second

// writersClock is the wall clock of the machine that writes a watched journal, as far as the times of its entries tell: one that was
// recorded in the future, or always seconds ago, comes from a machine whose clock is set otherwise.
type writersClock struct {
	now    func() time.Time
	mutex  sync.Mutex
	behind *time.Duration // the least that an entry was seen after its recording
}

func (w *writersClock) wall() time.Time {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.behind == nil || w.behind.Abs() < skewWorthMending {
		return w.now()
	}
	return w.now().Add(-*w.behind)
}

// learn takes in entries that were written since the last look.
func (w *writersClock) learn(events []flight.Event) {
	seen := w.now().Sub(events[len(events)-1].Rec)
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if w.behind == nil || seen < *w.behind {
		w.behind = &seen
	}
}
