package flight_test

import (
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/sheet"
)

var evening = sync.OnceValue(func() *sheet.Sheet {
	s, err := flighttest.SheetsIn(flights + "/plans")("lochs-evening.yaml")
	if err != nil {
		panic(err)
	}
	return s
})

// TestTheReserveIsThatOfTheArrival: whatever is logged of a flight that is to arrive about nightfall, the final reserve is that of an arrival by night
// where it is expected by night, that of one by day where it is surely not, and the same one for every figure. A note changes nothing of it.
func TestTheReserveIsThatOfTheArrival(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := evening()
		events := journal(t, s)
		now := events[len(events)-1].T
		for _, e := range events {
			if e.T.After(now) {
				now = e.T
			}
		}
		state, err := flight.Fold(s, "live", events, nil)
		require.NoError(t, err)
		after := func(name string) time.Duration {
			return time.Duration(rapid.IntRange(0, 2400).Draw(t, name)) * time.Second
		}
		noted, noteAt := state.Clone(), now.Add(after("note after"))
		require.NoError(t, noted.Apply(flight.Event{N: len(events) + 1, T: noteAt, Rec: noteAt, Act: flight.NoteText, Text: "nothing"}))

		snapshot := state.At(noteAt.Add(after("look after")))
		kept := snapshot.FinalReserve
		if got := noted.At(snapshot.At).FinalReserve; got != kept {
			t.Fatalf("%v by a note, else %v", got, kept)
		}
		d := snapshot.Destination
		if d == nil {
			return
		}
		switch dark := *d.BeforeDarkMinutes; {
		case dark <= 0:
			assert.Equal(t, 45.0, kept.Minutes, "%v min before nightfall", dark)
		case dark > 5:
			assert.Equal(t, 30.0, kept.Minutes, "%v min before nightfall", dark)
		}
		assert.Equal(t, kept.Minutes, d.ReserveMinutes)
		assert.InDelta(t, d.Fuel-kept.Fuel, d.ExtraFuel, 1e-9)
		for _, way := range snapshot.Alternates {
			if way.Minutes > 0 {
				assert.InDelta(t, way.Fuel-kept.Fuel, way.ExtraFuel, 1e-9)
			}
		}
	})
}

// TestOnLandingOneFigureIsKept: what of the fuel counts, and what of it is over the reserve, is one for the arrival and for who looks back, less than is
// reckoned to be in the tanks where gauges fell faster.
func TestOnLandingOneFigureIsKept(t *testing.T) {
	s := filled(t, 2, 40)
	events := legsFlown(s, len(s.Legs))
	for i := range 8 {
		events = append(events, flight.Event{T: s.Airborne.Add(time.Duration(25+4*i) * time.Minute), Act: flight.Gauges, Tanks: map[string]float64{"right": 28.5 - 2.1*float64(i)}})
	}
	slices.SortStableFunc(events, func(a, b flight.Event) int { return a.T.Compare(b.T) })
	landed := events[len(events)-1].T.Add(4 * time.Minute)
	state := fly(t, s, append(events, flight.Event{T: landed, Act: flight.Landed})...)
	to, look := state.At(landed).Destination, state.Look(landed)
	require.NotNil(t, to)
	usable, extraMinutes := look.OverReserve()
	assert.Equal(t, to.Fuel, usable)
	assert.Equal(t, to.ExtraMinutes, extraMinutes)
	assert.Less(t, usable, look.Tanks().TotalUsable-1)
}
