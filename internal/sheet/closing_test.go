package sheet_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/sheet"
)

// twoLegs is level flight along two legs in a wind, from some miles after the first one's start.
func twoLegs(t require.TestingT, tasKt float64, wind air.Wind) sheet.Trajectory {
	way := sheet.Trajectory{
		{Leg: 0, Phase: sheet.Cruise, FromNM: 4, ToNM: 16, TrackTrue: 90, TASKt: tasKt, Wind: wind, FlowPerHour: 20},
		{Leg: 1, Phase: sheet.Cruise, FromNM: 0, ToNM: 10, TrackTrue: 200, TASKt: tasKt, Wind: wind, FlowPerHour: 20},
	}
	minutes := 0.0
	for i := range way {
		piece := &way[i]
		heading, err := deadreckon.HeadingFor(piece.TrackTrue, tasKt, wind)
		require.NoError(t, err)
		piece.Heading, piece.StartMinutes = heading, minutes
		piece.Minutes = deadreckon.Minutes(piece.ToNM-piece.FromNM, heading.GroundspeedKt)
		minutes += piece.Minutes
	}
	return way
}

// Without wind the way back is the long side of a right triangle: 5 nm beside the track with 12 nm to go are 13 nm (5, 12, 13), at 100 kt 7.8 minutes.
func TestClosingStraightToTheEnd(t *testing.T) {
	way := twoLegs(t, 100, air.Wind{}).Closing(5, 12)
	require.Len(t, way, 2)
	assert.InDelta(t, 7.8, way[0].Minutes, 1e-9)
	assert.InDelta(t, 7.8, way[1].StartMinutes, 1e-9)
	assert.InDelta(t, 6, way[1].Minutes, 1e-9)
	abeam, ok := way.MinutesTo(0, 10)
	assert.True(t, ok)
	assert.InDelta(t, 3.9, abeam, 1e-9, "half-way along the track half of it is flown")
	assert.InDelta(t, 100*12/13.0, way[0].AlongKt(), 1e-9)
}

// Back on the track before the leg's end it goes on along it: 3 nm beside it and 4 nm on are 5 nm (3, 4, 5), and then 8 nm.
func TestClosingBeforeTheEnd(t *testing.T) {
	way := twoLegs(t, 100, air.Wind{}).Closing(-3, 4)
	require.Len(t, way, 3)
	assert.InDelta(t, 3, way[0].Minutes, 1e-9)
	assert.InDelta(t, 8, way[0].ToNM, 1e-9)
	assert.InDelta(t, 4.8, way[1].Minutes, 1e-9)
	assert.InDelta(t, 7.8, way[2].StartMinutes, 1e-9)
	assert.InDelta(t, 100, way[1].AlongKt(), 1e-9)
}

// In any wind the air flown through in that time, and the wind's drift in it, add up to the way over the ground; what was reckoned for the other legs stays.
func TestClosingGoesWhereAirAndWindLead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tasKt := rapid.Float64Range(70, 180).Draw(t, "tas")
		wind := air.Wind{FromTrue: rapid.Float64Range(0, 359).Draw(t, "from"), SpeedKt: rapid.Float64Range(0, 40).Draw(t, "wind")}
		asideNM := rapid.Float64Range(-8, 8).Draw(t, "aside")
		before := twoLegs(t, tasKt, wind)
		way := twoLegs(t, tasKt, wind).Closing(asideNM, 12)
		hours := way[0].Minutes / 60
		toNorth, toEast := wind.Components()
		east, north := 12-hours*toEast, asideNM-hours*toNorth // on a track to the east what is right of it lies south, and the way leads north
		require.InDelta(t, tasKt*hours, math.Hypot(east, north), 1e-6)
		require.InDelta(t, before[1].Minutes, way[1].Minutes, 0)
		require.InDelta(t, way[0].Minutes, way[1].StartMinutes, 1e-9)
		require.InDelta(t, 12, way[0].AlongKt()*hours, 1e-6)
	})
}
