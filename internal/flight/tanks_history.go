package flight

import (
	"slices"
	"time"
)

const (
	// mostHistory bounds what is kept of the quantities: when there are as many, every second is dropped.
	mostHistory = 512
	// historyStep is how far apart in time they are kept at first.
	historyStep = time.Minute
)

// history is what was in the tanks since the engine was started, as it was reckoned at the time. Its points are never changed, so that Snapshots may share them.
type history struct {
	points list[TankMoment]
	step   time.Duration
	pairs  [][2]int
}

// keepHistory keeps the quantities between the last event that counts for the tanks and the next, at t.
func (p *progress) keepHistory(t time.Time) {
	h := &p.tanks.history
	if !p.tanks.running {
		return
	}
	for t.Sub(h.points.items[len(h.points.items)-1].At) > mostHistory*h.step { // a hole in the log: what came between is worth no more than the rest
		h.step *= 2
	}
	for at := h.points.items[len(h.points.items)-1].At.Add(h.step); !at.After(t); at = at.Add(h.step) {
		if at.After(p.tanks.at) {
			h.mark(at, p.quantitiesAt(at))
		}
	}
}

// mark keeps the quantities at a time. Two marks at one time show what a reading changed.
func (h *history) mark(at time.Time, quantities []float64) {
	if len(h.points.items) >= mostHistory {
		h.thin()
	}
	h.points = h.points.with(momentOf(at, quantities, h.pairs))
}

func (h *history) thin() {
	thinned := make([]TankMoment, 0, mostHistory)
	for i := 0; i < len(h.points.items); i += 2 {
		thinned = append(thinned, h.points.items[i])
	}
	h.points, h.step = listOf(thinned), 2*h.step
}

// momentOf is what is in the tanks at a time.
func momentOf(at time.Time, quantities []float64, pairs [][2]int) TankMoment {
	m := TankMoment{At: at, Quantities: slices.Clone(quantities), Differences: make([]float64, len(pairs))}
	for i, pair := range pairs {
		m.Differences[i] = quantities[pair[0]] - quantities[pair[1]]
	}
	return m
}
