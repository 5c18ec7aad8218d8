package flight_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/flight"
)

// What the list of ways out says of a point is what a diversion to it gives: the same heading and, to a point without a descent, the
// same time. Rejoining the plan there gives that heading too.
func TestAWayOutIsWhatADiversionGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := lochs().Airborne.Add(time.Duration(rapid.IntRange(15*60, 45*60).Draw(t, "seconds")) * time.Second)
		from, speed := rapid.Float64Range(0, 360).Draw(t, "from"), rapid.Float64Range(0, 35).Draw(t, "speed")
		events := []flight.Event{
			{T: lochs().Airborne, Act: flight.Airborne},
			{T: lochs().Airborne.Add(time.Minute), Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed},
			{T: lochs().Airborne.Add(14 * time.Minute), Act: flight.Passing, Point: "KVN", Confirmed: true},
		}
		for i := range events {
			events[i].N, events[i].Rec = i+1, events[i].T
		}
		fold := func(more ...flight.Event) *flight.State {
			state, err := flight.Fold(lochs(), "live", append(events[:len(events):len(events)], more...), nil)
			if err != nil {
				t.Fatal(err)
			}
			return state
		}
		before := fold()
		ways := before.At(at).WaysOut.All()
		way := ways[rapid.IntRange(0, len(ways)-1).Draw(t, "way")]
		turn := flight.Event{N: len(events) + 1, T: at, Rec: at, Act: flight.Divert, To: way.Point}
		if way.DistanceNM < 1 || before.Check(turn) != nil {
			return
		}
		after := fold(turn).At(at)
		if after.Steer.HeadingMagnetic == nil || math.Abs(angle.Turn(*after.Steer.HeadingMagnetic, way.HeadingMagnetic)) > 1.5 {
			t.Fatalf("%s: the list says %.1f, then steer %v", way.Point, way.HeadingMagnetic, *after.Steer.HeadingMagnetic)
		}
		if d := after.Destination.ETA.Sub(way.ETA).Abs(); way.Kind != "aerodrome" && d > 40*time.Second {
			t.Fatalf("%s: the list says %v, then %v", way.Point, way.ETA, after.Destination.ETA)
		}
		if way.Rejoin == nil {
			return
		}
		turn.Rejoin = way.Rejoin
		rejoined := fold(turn).At(at)
		require.Equal(t, "DUN", rejoined.Destination.Point, "on to the planned destination")
		require.InDelta(t, *after.Steer.HeadingMagnetic, *rejoined.Steer.HeadingMagnetic, 0.5)
	})
}

// What a Snapshot says of the ways out, without anybody having read them all, is what they come to.
func TestWhatIsSaidOfWaysOutIsOfThemAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := journal(t, lochs())
		state, err := flight.Fold(lochs(), "live", events, nil)
		require.NoError(t, err)
		at := last(events).Add(time.Duration(rapid.IntRange(0, 7200).Draw(t, "later")) * time.Second)
		s := state.At(at)
		require.Equal(t, state.FuelStateOfLandings(at), s.FuelState)
		require.Equal(t, flight.SuggestedDiversion(s.WaysOut.All(), s.Diversion), s.SuggestedDiversion)
		listed := 0
		for _, way := range s.WaysOut.All() {
			if s.Destination != nil && way.Point == s.Destination.Point {
				continue // it is no alternate of its own
			}
			if way.Alternate {
				listed++
				require.Contains(t, s.Alternates, way)
			}
		}
		require.Len(t, s.Alternates, listed)
	})
}

// Where an alternate is diverted to, it is the destination and no alternate any more, and its heading is the one to steer, wherever it stands.
func TestADestinationStandsOnceWithTheHeadingToSteer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := lochs().Airborne.Add(time.Duration(rapid.IntRange(10*60, 45*60).Draw(t, "seconds")) * time.Second)
		to := rapid.SampledFrom([]string{"STR", "DUN"}).Draw(t, "to")
		state := fly(t, lochs(), flight.Event{T: lochs().Airborne.Add(14 * time.Minute), Act: flight.Passing, Point: "KVN", Confirmed: true}, flight.Event{T: at, Act: flight.Divert, To: to})
		s := state.At(at.Add(time.Duration(rapid.IntRange(0, 300).Draw(t, "later")) * time.Second))
		for _, way := range s.Alternates {
			require.NotEqual(t, s.Destination.Point, way.Point)
		}
		ways := s.WaysOut.All()
		i := slices.IndexFunc(ways, func(way flight.AlternateNow) bool { return way.Point == to })
		require.Equal(t, *s.Steer.HeadingMagnetic, ways[i].HeadingMagnetic)
		if row := s.Route[len(s.Route)-1]; s.Phase == flight.Diverting {
			require.Equal(t, to, row.Point)
			if s.Steer.WasMagnetic == nil && s.Position.AltitudeFt == row.AltitudeFt {
				require.InDelta(t, *s.Steer.HeadingMagnetic, *row.HeadingMagnetic, 1e-9)
			}
		}
	})
}

// A leg of the plan that is taken up again is planned to take as long as one flies it, however late the flight is then. In still air, without
// a change of level on it, that is what the plan has.
func TestALegTakenUpAgainIsNotPlannedToTakeLonger(t *testing.T) {
	s := level(t, 100, 8, along(70, 20), along(160, 20), along(250, 20))
	rejoin := 1
	state := fly(t, s,
		flight.Event{T: after(s, 30), Act: flight.Passing, Point: s.Legs[0].To.Ident, Confirmed: true},
		flight.Event{T: after(s, 35), Act: flight.Divert, To: s.Legs[1].To.Ident, Rejoin: &rejoin},
		flight.Event{T: after(s, 50), Act: flight.Passing, Point: s.Legs[1].To.Ident, Confirmed: true})
	require.InDelta(t, 12, state.At(after(s, 51)).Leg.PlannedMinutes, 0.1, "20 nm at 100 kt")
}

// A diversion is suggested to aerodromes alone: the quickest alternate above the final reserve, else such an aerodrome, else the one with
// most fuel on arrival, however near a landmark is.
func TestOnlyAnAerodromeIsSuggested(t *testing.T) {
	low := "below final reserve: 31 of 45 minutes"
	dam := flight.AlternateNow{Point: "DAM", Kind: "visual", DistanceNM: 3, Minutes: 2, Fuel: 20}
	near := flight.AlternateNow{Point: "NEA", Kind: "aerodrome", DistanceNM: 9, Minutes: 6, Fuel: 18}
	alternate := flight.AlternateNow{Point: "ALT", Kind: "aerodrome", Alternate: true, DistanceNM: 20, Minutes: 13, Fuel: 15}
	below := func(way flight.AlternateNow) flight.AlternateNow { way.Problem = low; return way }
	here := func(way flight.AlternateNow) flight.AlternateNow { way.DistanceNM = 0.01; return way }
	for want, ways := range map[string][]flight.AlternateNow{
		"":    {dam},
		"ALT": {dam, near, alternate},
		"NEA": {dam, near, below(alternate)},
	} {
		require.Equal(t, want, flight.SuggestedDiversion(ways, nil))
	}
	require.Equal(t, "NEA", flight.SuggestedDiversion([]flight.AlternateNow{dam, below(alternate), below(near)}, nil), "most fuel on arrival")
	require.Equal(t, "ALT", flight.SuggestedDiversion([]flight.AlternateNow{here(near), below(alternate)}, nil), "where one is, is no way out")
	require.Equal(t, "NEA", flight.SuggestedDiversion([]flight.AlternateNow{near, alternate}, &flight.DiversionNow{To: "ALT"}))
}
