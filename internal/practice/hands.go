package practice

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// How the hands that log for a watching newcomer behave, in flight time. Common practice, no source.
const (
	reaction  = 12 * time.Second // from a prompt's due time to its answer
	circuit   = 5 * time.Minute  // from overhead the destination to touch-down
	taxiIn    = 4 * time.Minute  // from touch-down to on-blocks
	byProgram = "program"
)

// nextByHands is the next thing that the hands would log at or before t, given what is known; ok is false when there is nothing yet.
func (w *World) nextByHands(s flight.Snapshot, t time.Time) (event flight.Event, ok bool) {
	if event, ok = w.handOver(s, t); ok {
		return event, true
	}
	for _, candidate := range []func(flight.Snapshot, time.Time) (flight.Event, bool){w.ground, w.logPassing, w.levels, w.restart, w.answer} {
		if found, yes := candidate(s, t); yes && (!ok || found.T.Before(event.T)) {
			event, ok = found, true
		}
	}
	event.By = byProgram
	return event, ok
}

// ground logs off-blocks, take-off, landing and on-blocks, none of them as done before the program took over.
func (w *World) ground(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	due := func(do flight.Act, at time.Time) (flight.Event, bool) {
		at = later(at, w.tookOver)
		return flight.Event{Act: do, T: at}, !at.After(t)
	}
	last := lastOf(s, time.Time{})
	for _, step := range []struct {
		do, after flight.Act
		wait      time.Duration
	}{
		{do: flight.Airborne, after: flight.OffBlocks, wait: time.Duration(w.sheet.Plan.TaxiMinutes * float64(time.Minute))},
		{do: flight.OnBlocks, after: flight.Landed, wait: taxiIn},
	} {
		from, began := last[step.after]
		if _, done := last[step.do]; began && !done {
			return due(step.do, from.Add(step.wait))
		}
	}
	if len(w.stretches) == 0 {
		return due(flight.OffBlocks, w.sheet.Plan.OffBlocks)
	}
	if w.landed.IsZero() {
		return due(flight.Landed, w.stretches[len(w.stretches)-1].arrival().Add(circuit))
	}
	return flight.Event{}, false
}

// restart selects a tank with fuel when the engine stands: hands that take over too late.
func (w *World) restart(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	c := w.to(t)
	tanks := w.sheet.Plan.Aircraft.Fuel.Tanks
	if !c.flies || c.standing == 0 || c.tanks[c.tank] > tanks[c.tank].Unusable {
		return flight.Event{}, false
	}
	for i, tank := range tanks {
		if c.tanks[i] > tank.Unusable {
			return flight.Event{Act: flight.TankChange, Tank: tank.Name, T: t}, true
		}
	}
	return flight.Event{}, false
}

// logPassing logs the next point of the route or checkpoint when it is really passed.
func (w *World) logPassing(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	now := w.stretch(t)
	if now == nil || now.steered || !w.landed.IsZero() {
		return flight.Event{}, false
	}
	for _, sight := range w.Sights(t) {
		if sight.At.After(t) || passed(s, sight, now.from) {
			continue
		}
		return flight.Event{Act: flight.Passing, Point: sight.Point, T: later(sight.At, now.from)}, true // sights are rounded
	}
	return flight.Event{}, false
}

// passed reports whether a sight has been logged since the stretch began.
func passed(s flight.Snapshot, sight Sight, since time.Time) bool {
	const near = 5 * time.Minute // a pilot's own entry of the same point, made by hand a little off
	for _, entry := range s.Entries {
		event := entry.Event
		if entry.Voided || event.Act != flight.Passing || event.T.Before(since) {
			continue
		}
		if event.Point == sight.Point && event.T.Sub(sight.At).Abs() < near {
			return true
		}
	}
	return false
}

// levels logs the top of the climb and of the descent.
func (w *World) levels(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	now := w.stretch(t)
	if now == nil || now.steered || !w.landed.IsZero() {
		return flight.Event{}, false
	}
	if tops, logged := topsOfClimbs(now.way), count(s, flight.LevelOff, now.from); logged < len(tops) {
		if at, ok := now.when(tops[logged].Leg, tops[logged].ToNM); ok && !at.After(t) {
			return flight.Event{Act: flight.LevelOff, T: later(at, now.from)}, true
		}
	}
	if leg, afterNM, ok := now.way.TopOfDescent(); ok && count(s, flight.Descend, now.from) == 0 {
		if at, ok := now.when(leg, afterNM); ok && !at.After(t) {
			return flight.Event{Act: flight.Descend, T: later(at, now.from)}, true
		}
	}
	return flight.Event{}, false
}

// topsOfClimbs are the pieces of a way with which its climbs end. A climb may go on across a turn.
func topsOfClimbs(way sheet.Trajectory) []sheet.Piece {
	var tops []sheet.Piece
	for i, piece := range way {
		if piece.Phase == sheet.Climb && (i+1 == len(way) || way[i+1].Phase != sheet.Climb) {
			tops = append(tops, piece)
		}
	}
	return tops
}

// count is how often an act stands in the log since a time.
func count(s flight.Snapshot, do flight.Act, since time.Time) int {
	n := 0
	for _, entry := range s.Entries {
		if !entry.Voided && entry.Event.Act == do && !entry.Event.T.Before(since) {
			n++
		}
	}
	return n
}

// answer answers the oldest prompt that has been due for long enough. What was due before the program took over it finds when it does.
func (w *World) answer(s flight.Snapshot, t time.Time) (flight.Event, bool) {
	for _, prompt := range s.Prompts {
		if prompt.State != flight.Due && prompt.State != flight.Late {
			continue
		}
		at := later(prompt.Due, w.tookOver).Add(reaction)
		if !answerable(prompt.Kind) || at.After(t) {
			continue
		}
		event := prompt.Answer.Event()
		event.T = at
		return event, event.Act != ""
	}
	return flight.Event{}, false
}

// answerable reports whether a prompt is answered by a hand on the panel; the others come true by flying.
func answerable(kind flight.PromptKind) bool {
	switch kind {
	case flight.PromptAct, flight.PromptTurn, flight.PromptLevel, flight.PromptDescent:
		return false
	default:
		return true
	}
}

// lastOf is the time of the last standing entry of each kind since a moment.
func lastOf(s flight.Snapshot, since time.Time) map[flight.Act]time.Time {
	last := map[flight.Act]time.Time{}
	for _, entry := range s.Entries {
		if !entry.Voided && !entry.Event.T.Before(since) {
			last[entry.Event.Act] = entry.Event.T
		}
	}
	return last
}

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
