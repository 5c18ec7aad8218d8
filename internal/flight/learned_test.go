package flight_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/sheet"
)

// blown is where an aircraft comes to that leaves the start of a leg on a heading through a wind, by plane geometry: miles along the leg and
// right of it after some minutes.
func blown(headingTrue, tasKt, trackTrue, windNorth, windEast, minutes float64) (along, right float64) {
	north := minutes / 60 * (tasKt*angle.Cos(headingTrue) + windNorth)
	east := minutes / 60 * (tasKt*angle.Sin(headingTrue) + windEast)
	return north*angle.Cos(trackTrue) + east*angle.Sin(trackTrue), east*angle.Cos(trackTrue) - north*angle.Sin(trackTrue)
}

// placeOn is a place along and right of the first leg.
func placeOn(s *sheet.Sheet, along, right float64) *earth.Position {
	at, azimuth := s.Route.Legs[0].Line.At(along)
	at, _ = earth.Direct(at, azimuth+90, right)
	return &at
}

// A heading that is told and positions from a feed find the wind, along the track and across it: by plane geometry.
func TestFedPositionsFindTheWind(t *testing.T) {
	const track, heading, tas, north, east = 70, 75, 100, 12, -9
	s := level(t, tas, 8, along(track, 80), along(160, 40))
	magnetic := deadreckon.MagneticFromTrue(heading, s.Legs[0].Variation)
	events := []flight.Event{{T: after(s, 0.1), Act: flight.Steering, Heading: &magnetic}}
	for minutes := 2.0; minutes <= 30; minutes += 0.25 {
		x, y := blown(heading, tas, track, north, east, minutes)
		events = append(events, flight.Event{T: after(s, minutes), Act: flight.Position, At: placeOn(s, x, y), By: "feed"})
	}
	now := fly(t, s, events...).At(after(s, 30))
	gotNorth, gotEast := windOf(now.Wind).Components()
	require.InDelta(t, 0, math.Hypot(gotNorth-north, gotEast-east), 2*math.Sqrt2*now.Wind.SigmaKt)
	// Across the track a heading known to 3.5° leaves 100 kt × sin 3.5° = 6.1 kt, which with the forecast's 8 kt makes 4.9.
	require.Less(t, now.Wind.SigmaKt, 4.9, "more is known than the forecast's 8 kt")
	x, y := blown(heading, tas, track, north, east, 30)
	require.InDelta(t, x, now.Position.AfterNM, 0.2)
	require.InDelta(t, y, *now.Position.OffTrackNM, 0.2)
}

// Without a heading they tell of the wind along the track alone.
func TestFedPositionsWithoutAHeading(t *testing.T) {
	s := level(t, 100, 8, along(90, 80), along(160, 40))
	var events []flight.Event
	for minutes := 2.0; minutes <= 30; minutes++ {
		events = append(events, flight.Event{T: after(s, minutes), Act: flight.Position, At: placeOn(s, minutes/60*110, 0), By: "feed"})
	}
	now := fly(t, s, events...).At(after(s, 30))
	north, east := windOf(now.Wind).Components()
	require.InDelta(t, 10, east, 2.5, "110 kt made good at 100 kt")
	require.InDelta(t, 0, north, 1)
	require.InDelta(t, 110, now.Groundspeed.UsedKt, 1.5)
}

// Single figures teach it too: DME distances from a beacon on the track, read every five minutes.
func TestDMEDistancesFindTheGroundspeed(t *testing.T) {
	s := lochs()
	events := []flight.Event{{T: after(s, 16), Act: flight.Passing, Point: "KVN"}}
	planned := s.Legs[1].GroundspeedKt
	const slowerKt = 12
	heightNM := (4000 - 1250) / 6076.115
	for minutes := 3.0; minutes <= 12; minutes += 3 {
		reading := math.Hypot(minutes/60*(planned-slowerKt), heightNM)
		events = append(events, flight.Event{T: after(s, 16+minutes), Act: flight.Fix, Beacon: "KVN", DME: &reading})
	}
	now := fly(t, s, events...).At(after(s, 28))
	require.InDelta(t, planned-slowerKt, now.Groundspeed.UsedKt, 4)
	require.InDelta(t, 12./60*(planned-slowerKt), now.Position.AfterNM, 0.3)
}

// A passing that was kept though no wind explains it moves the place until the next one; the wind and the times behind that are as
// if it had not been logged.
func TestAWrongPassingDoesNotPoisonTheRest(t *testing.T) {
	s := lochs()
	right := []flight.Event{{T: after(s, 7.5), Act: flight.Passing, Point: "DAM"}}
	later := []flight.Event{
		{T: after(s, 16), Act: flight.Passing, Point: "KVN"},
		{T: after(s, 24), Act: flight.Passing, Point: "two lakes"},
	}
	wrong := flight.Event{T: after(s, 14.5), Act: flight.Passing, Point: "railway", Confirmed: true} // 3:40 late
	clean := fly(t, s, append(right, later...)...).At(after(s, 24))
	with := fly(t, s, append(append(right, wrong), later...)...).At(after(s, 24))
	cleanNorth, cleanEast := windOf(clean.Wind).Components()
	north, east := windOf(with.Wind).Components()
	require.Less(t, math.Hypot(north-cleanNorth, east-cleanEast), clean.Wind.SigmaKt)
	require.InDelta(t, 0, with.Destination.ETA.Sub(clean.Destination.ETA).Seconds(), clean.Destination.ETASigmaSeconds)
	require.InDelta(t, clean.Position.AfterNM, with.Position.AfterNM, 0.05)
}

// What is farther out than any wind makes likely is asked about before it is believed.
func TestWhatCanHardlyBeTrueIsAskedAbout(t *testing.T) {
	s := lochs()
	state := fly(t, s, flight.Event{T: after(s, 7.5), Act: flight.Passing, Point: "DAM"}, flight.Event{T: after(s, 16), Act: flight.Passing, Point: "KVN"})
	dme := 19.0
	for name, e := range map[string]flight.Event{
		"300 kt":          {T: after(s, 18.3), Act: flight.Passing, Point: "two lakes"},
		"a wrong point":   {T: after(s, 24), Act: flight.Passing, Point: "GRN"},
		"minutes late":    {T: after(s, 31), Act: flight.Passing, Point: "two lakes"},
		"a DME of 19":     {T: after(s, 22), Act: flight.Fix, Beacon: "KVN", DME: &dme},
		"a place far off": {T: after(s, 22), Act: flight.Fix, At: &earth.Position{Lat: 56.2, Lon: -4.0}},
	} {
		var doubt *flight.Doubt
		require.ErrorAs(t, state.Check(e), &doubt, name)
		e.Confirmed = true
		require.NoError(t, state.Check(e), name)
	}
	dme = 9.5
	require.NoError(t, state.Check(flight.Event{T: after(s, 22), Act: flight.Fix, Beacon: "KVN", DME: &dme}))
	require.NoError(t, state.Check(flight.Event{T: after(s, 24), Act: flight.Passing, Point: "two lakes"}))
}
