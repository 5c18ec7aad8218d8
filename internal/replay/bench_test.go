package replay_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/replay"
	"example.com/legclock/internal/sheet"
)

// fed is the demo with corrections and a feed's positions every second between the entries: some 5,000 entries.
func fed(t require.TestingT, s *sheet.Sheet) []flight.Event {
	var events []flight.Event
	add := func(e flight.Event) { e.N = len(events) + 1; events = append(events, e) }
	at := s.Route.PositionAt(0, 1)
	numbers := map[int]int{}
	for _, e := range flown(t, s) {
		if n := len(events); n > 0 {
			for now := events[n-1].Rec.Add(time.Second); now.Before(e.Rec); now = now.Add(time.Second) {
				add(flight.Event{Act: flight.Position, By: "feed", T: now, Rec: now, At: &at})
			}
		}
		n := e.N
		e.Event = numbers[e.Event]
		add(e)
		numbers[n] = len(events)
	}
	return events
}

// Going back through a long log, minute by minute.
func BenchmarkBack(b *testing.B) {
	s := demo(b)
	tape, err := replay.New(s, "practice", fed(b, s))
	require.NoError(b, err)
	tape.At(tape.To(), replay.Known)
	at := tape.To()
	b.ReportAllocs()
	for b.Loop() {
		if at = at.Add(-time.Minute); at.Before(tape.From()) {
			at = tape.To()
		}
		tape.At(at, replay.Known)
	}
}

// Opening a long log at its end.
func BenchmarkOpen(b *testing.B) {
	s := demo(b)
	events := fed(b, s)
	b.ReportAllocs()
	for b.Loop() {
		tape, err := replay.New(s, "practice", events)
		require.NoError(b, err)
		tape.At(tape.To(), replay.Known)
	}
}
