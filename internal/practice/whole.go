package practice

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// How a flight is flown at once: how often the hands look, and when they give up.
const (
	lookEvery = 10 * time.Second
	longest   = 12 * time.Hour
)

// Whole lets the hands fly the plan from off-blocks to on-blocks at once and returns what they recorded, the clock's setting
// first. Each event's time of recording is the flight time at which the hands logged it.
func Whole(s *sheet.Sheet, seed uint64) ([]flight.Event, error) {
	f := NewFlight(s, Hidden{Seed: seed})
	start := s.Plan.OffBlocks
	var events []flight.Event
	record := func(event flight.Event, now time.Time) error {
		event.N, event.Rec = len(events)+1, now
		if err := f.Check(event); err != nil {
			return fmt.Errorf("%s: %w", flight.Describe(event), err)
		}
		events = append(events, event)
		return f.Apply(event)
	}
	rate := 1.0
	err := record(flight.Event{Act: flight.Clock, T: start, Set: &start, Rate: &rate}, start)
	for now := start; err == nil; now = now.Add(lookEvery) {
		event, ok := f.NextEvent(f.State.At(now), now)
		for ; ok && err == nil; event, ok = f.NextEvent(f.State.At(now), now) {
			if err = record(event, now); event.Act == flight.OnBlocks {
				return events, err
			}
		}
		if now.Sub(start) > longest {
			err = fmt.Errorf("the flight has not ended after %s", longest)
		}
	}
	return events, err
}
