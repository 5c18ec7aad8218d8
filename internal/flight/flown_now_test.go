package flight

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The leg that mattered most is the one whose time differed most from the plan's: the last of three, 60 s late at its beginning and 45 s early
// at its end. What was not timed or left out does not count.
func TestTheLegThatMatteredMost(t *testing.T) {
	at := time.Date(2026, 6, 14, 9, 0, 0, 0, time.UTC)
	var route []RoutePoint
	flight := &flown{legs: []leg{{plannedMinutes: 10}, {plannedMinutes: 10}, {plannedMinutes: 10}}}
	passed := at
	for i, took := range []float64{0, 11, 9.5, 8.25} {
		passed = passed.Add(time.Duration(took * float64(time.Minute)))
		route = append(route, RoutePoint{Point: []string{"STR", "KVN", "GRN", "DUN"}[i], Leg: i - 1, Actual: ref(passed), GroundspeedKt: 88})
	}
	require.Equal(t, &LegFlown{"GRN", "DUN", -105, 88}, flight.mattered(route))
	require.Equal(t, &LegFlown{"STR", "KVN", 60, 88}, flight.mattered(route[:3]))
	require.Nil(t, flight.mattered(route[:1]))
	route[2].Diverted, route[3].Actual = true, nil
	require.Equal(t, &LegFlown{"STR", "KVN", 60, 88}, flight.mattered(route))

	// 27 minutes from the turn onto a diversion that was reckoned to take 25, ten minutes early by the plan: 2 minutes longer, by its own
	// reckoning, whatever the times of the plan were.
	turned, arrived := at.Add(15*time.Minute), at.Add(42*time.Minute)
	route = append(route[:2], RoutePoint{Point: "OSC", Leg: 2, Turned: &turned, Actual: &arrived, GroundspeedKt: 91})
	require.Equal(t, &LegFlown{"", "OSC", 120, 91}, (&flown{legs: []leg{{plannedMinutes: 10}, {}, {plannedMinutes: 25}}}).mattered(route))

	// Five minutes of a hold are no part of it.
	held := []HoldFlown{{From: turned, To: turned.Add(5 * time.Minute), left: true}}
	require.Equal(t, &LegFlown{"", "OSC", -180, 91}, (&flown{legs: []leg{{plannedMinutes: 10}, {}, {plannedMinutes: 25}}, holds: held}).mattered(route))
}
