package flight_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/sheet"
)

// long is a flight with many entries: a feed's positions every four seconds, and the pilot's own every minute.
func long(n int) []flight.Event {
	s := lochs()
	start := s.Airborne.Add(-time.Minute)
	rate := 1.0
	events := []flight.Event{
		{T: start, Act: flight.Clock, Set: &start, Rate: &rate},
		{T: s.Airborne, Act: flight.Airborne},
	}
	for i := range n - len(events) {
		at := s.Airborne.Add(time.Duration(i) * 4 * time.Second)
		e := flight.Event{T: at, Act: flight.Position, By: "feed"}
		place := s.Route.PositionAt(0, min(28, float64(i)/20))
		switch {
		case i%15 == 7:
			heading := float64(50 + i%20)
			e = flight.Event{T: at, Act: flight.Steering, Heading: &heading}
		case i%75 == 3:
			e = flight.Event{T: at, Act: flight.TankChange, Tank: []string{"left", "right"}[i/75%2]}
		default:
			e.At = &place
		}
		events = append(events, e)
	}
	for i := range events {
		events[i].N, events[i].Rec = i+1, events[i].T
	}
	return events
}

func BenchmarkFold10000(b *testing.B) {
	events := long(10_000)
	b.ReportAllocs()
	for b.Loop() {
		_, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(b, err)
	}
}

func BenchmarkApplyPassing(b *testing.B) {
	state, err := flight.Fold(lochs(), "live", long(100), nil)
	require.NoError(b, err)
	at := lochs().Airborne.Add(7 * time.Minute)
	n := 101
	b.ReportAllocs()
	for b.Loop() {
		qnh := 1000 + float64(n%10)
		require.NoError(b, state.Apply(flight.Event{N: n, T: at, Rec: at, Act: flight.Altimeter, QNH: &qnh}))
		n++
	}
}

func BenchmarkVoidIn10000(b *testing.B) {
	state, err := flight.Fold(lochs(), "live", long(10_000), nil)
	require.NoError(b, err)
	n := 10_001
	for b.Loop() {
		at := lochs().Airborne.Add(12 * time.Hour)
		require.NoError(b, state.Apply(flight.Event{N: n, T: at, Rec: at, Act: flight.Void, Event: 500}))
		n++
	}
}

func BenchmarkAt(b *testing.B) {
	for name, n := range map[string]int{"short": 5, "10000": 10_000} {
		b.Run(name, func(b *testing.B) {
			events := long(n)
			state, err := flight.Fold(lochs(), "live", events, nil)
			require.NoError(b, err)
			at := last(events).Add(time.Minute)
			b.ReportAllocs()
			for b.Loop() {
				state.At(at)
			}
		})
	}
}

// A look a second after the last, in cruise, while nothing happens.
func BenchmarkCruise(b *testing.B) {
	look := inCruise(b)
	b.ReportAllocs()
	for b.Loop() {
		look()
	}
}

func TestALookInCruiseIsMadeOfLittle(t *testing.T) {
	const most = 20 // allocations
	require.LessOrEqual(t, testing.AllocsPerRun(240, inCruise(t)), float64(most))
}

// inCruise looks at a flight a second after the last look, for two minutes in which nothing is to be done and nothing is overdue.
func inCruise(t testing.TB) func() {
	const passed, seconds = 7 * time.Minute, 120
	s := lochs()
	state, n := flight.New(s, flight.Live), 0
	apply := func(after time.Duration, e flight.Event) {
		n++
		e.N, e.T = n, s.Airborne.Add(after)
		e.Rec = e.T
		require.NoError(t, state.Apply(e))
	}
	apply(0, flight.Event{Act: flight.Airborne})
	apply(6*time.Minute, flight.Event{Act: flight.LevelOff})
	apply(passed, flight.Event{Act: flight.Passing, Point: "DAM"})
	from := s.Airborne.Add(passed)
	for _, p := range state.At(from).Prompts {
		if p.Open() && p.Due.Before(from.Add(seconds*time.Second)) {
			apply(passed, flight.Event{Act: flight.Skipped, Prompt: p.ID})
		}
	}
	second := 0
	return func() {
		state.At(from.Add(time.Duration(second%seconds) * time.Second))
		second++
	}
}

// A feed that follows the flight, a position every four seconds for eight hours: one a minute is taken in, and the way ahead is reckoned
// anew only when that shows.
func BenchmarkFoldFed(b *testing.B) {
	s := level(b, 100, 8, along(80, 900), along(120, 50))
	events := []flight.Event{{T: s.Airborne, Act: flight.Airborne}}
	for seconds := 4.; seconds < 8*3600; seconds += 4 {
		events = append(events, flight.Event{T: after(s, seconds/60), Act: flight.Position, At: placeOn(s, seconds/3600*104, 0.1), By: "feed"})
	}
	benchmarkFold(b, s, events)
	b.ReportMetric(float64(len(events)), "events")
}

// Four tanks take long to plan, so that reading a journal must not plan them after every entry.
func BenchmarkFoldFourTanks(b *testing.B) {
	s, err := flighttest.SheetsIn(flights + "/plans")("lochs-four.yaml")
	require.NoError(b, err)
	events := []flight.Event{{T: s.Airborne, Act: flight.Airborne}}
	for seconds := range 1000 {
		qnh := 1018 + float64(seconds%2)
		events = append(events, flight.Event{T: after(s, float64(seconds)/60), Act: flight.Altimeter, QNH: &qnh})
	}
	benchmarkFold(b, s, events)
}

func benchmarkFold(b *testing.B, s *sheet.Sheet, events []flight.Event) {
	for i := range events {
		events[i].N, events[i].Rec = i+1, events[i].T
	}
	b.ReportAllocs()
	for b.Loop() {
		_, err := flight.Fold(s, "live", events, nil)
		require.NoError(b, err)
	}
}

// Undoing the last entry of a long log folds no more than the tail again.
func BenchmarkUndo(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 50_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			state, err := flight.Fold(lochs(), "live", long(n), nil)
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				undone := state.Clone()
				at := state.Undoable().T.Add(time.Minute)
				require.NoError(b, undone.Apply(flight.Event{N: n + 1, T: at, Rec: at, Act: flight.Void, Event: state.Undoable().N}))
			}
		})
	}
}

// Half of the entries are voided, one after the other.
func BenchmarkFoldHalfVoid(b *testing.B) {
	for _, n := range []int{1_000, 2_000, 4_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			events := long(n / 2)
			at := last(events)
			for i := 1; i < n/2; i++ {
				events = append(events, flight.Event{T: at, Act: flight.Void, Event: i + 1})
			}
			benchmarkFold(b, lochs(), events)
		})
	}
}

// Nobody answers the checks of many hours, and somebody asks what was missed, at one moment after another.
func BenchmarkPrompts(b *testing.B) {
	for _, rounds := range []int{50, 100, 200} {
		b.Run(fmt.Sprint(rounds), func(b *testing.B) {
			s, hours := unanswered(b, rounds)
			state, err := flight.Fold(s, "live", []flight.Event{{N: 1, T: s.Airborne, Rec: s.Airborne, Act: flight.Airborne}}, nil)
			require.NoError(b, err)
			second := 0
			b.ReportAllocs()
			for b.Loop() {
				second++
				state.Closed(after(s, hours*60+float64(second%60)/60))
			}
		})
	}
}

// unanswered is a flight so long that the usual two checks come about so many times in its first hours.
func unanswered(t testing.TB, rounds int) (s *sheet.Sheet, hours float64) {
	const anHour, groundspeedKt, windErrorKt = 8, 100, 8
	hours = float64(rounds) / anHour
	return level(t, groundspeedKt, windErrorKt, along(80, groundspeedKt*(hours+1))), hours
}
