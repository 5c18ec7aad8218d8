package flight_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// withNDB is the level plan in still air with an NDB, so far along the first leg and so far right of it.
func withNDB(t *testing.T, tasKt, alongNM, rightNM float64) *sheet.Sheet {
	t.Helper()
	s := level(t, tasKt, 8, along(90, 200), along(90, 50))
	at, _ := earth.Direct(earth.Position{Lat: 0, Lon: 10}, 90, alongNM)
	at, _ = earth.Direct(at, 180, rightNM)
	s.Plan.Points = append(s.Plan.Points, plan.Point{Ident: "NB", Kind: plan.NDB, At: at, Frequency: 372})
	return s
}

// checked makes a bearing check and gives what is known of it at its end.
func checked(t *testing.T, s *sheet.Sheet, first, then, took float64, between ...flight.Event) *flight.BearingCheckNow {
	t.Helper()
	events := append([]flight.Event{{T: after(s, 10), Act: flight.Bearing, Beacon: "NB", Relative: &first}}, between...)
	events = append(events, flight.Event{T: after(s, 10+took), Act: flight.Bearing, Beacon: "NB", Relative: &then})
	return fly(t, s, events...).At(after(s, 10+took)).Bearing
}

func TestBearingCheckAgainstPublishedFigures(t *testing.T) {
	for _, c := range []struct {
		source                     string
		tasKt, first, then, took   float64
		minutesRule, distanceRule  float64
		minutesExact, distanceBest float64 // NaN: not published
	}{
		{"PHAK nav chapter, case 2.01", 120, 90, 100, 1.25, 7.5, 15, 7.20, 14.40},
		{"the same on the left", 120, 270, 260, 1.25, 7.5, 15, 7.20, 14.40},
		{"AFMAN 11-217, case 2.02", 100, 90, 100, 2, 12, 20, math.NaN(), math.NaN()},
		{"FAA-QB, case 2.03", 115, 90, 95, 1.5, 18, 34.5, math.NaN(), math.NaN()},
		{"FAA-QB, case 2.04", 115, 95, 100, 1.5, 18, 34.5, math.NaN(), math.NaN()},
		{"FAA-QB, case 2.06", 85, 90, 105, 7.5, 30, 42.5, math.NaN(), math.NaN()},
		{"FAA-QB, case 2.10", 115, 90, 95, 5, 60, 115, math.NaN(), math.NaN()},
		{"FAA-QB, case 2.12", 160, 90, 100, 2, 12, 32, math.NaN(), math.NaN()},
		{"geometry, case 2.22", 100, 90, 105, 3, 12, 20, 11.59, 19.32},
		{"FAA-QB, isosceles, case 2.14", 100, 15, 30, 6, math.NaN(), math.NaN(), 6, math.NaN()},
		{"FAA-QB, isosceles, case 2.15", 100, 45, 90, 5, math.NaN(), math.NaN(), 5, math.NaN()},
		{"FAA-QB, isosceles, case 2.17", 105, 10, 20, 5, math.NaN(), math.NaN(), 5, 8.75},
		{"geometry, case 2.26", 110, 45, 60, 6, math.NaN(), math.NaN(), math.NaN(), 30.053},
		{"geometry, case 2.27", 100, 40, 80, 7, math.NaN(), math.NaN(), 7, 11.667},
	} {
		t.Run(c.source, func(t *testing.T) {
			right := 10.0
			if c.first > 180 {
				right = -10
			}
			check := checked(t, withNDB(t, c.tasKt, 100, right), c.first, c.then, c.took)
			require.True(t, check.Done)
			require.NotNil(t, check.Result, check.Problem)
			if math.IsNaN(c.minutesRule) {
				require.Nil(t, check.Result.MinutesRule)
			} else {
				require.InDelta(t, c.minutesRule, *check.Result.MinutesRule, 1e-9)
				require.InDelta(t, c.distanceRule, *check.Result.DistanceRuleNM, 1e-9)
			}
			if !math.IsNaN(c.minutesExact) {
				require.InDelta(t, c.minutesExact, check.Result.MinutesExact, 0.005)
			}
			if !math.IsNaN(c.distanceBest) {
				require.InDelta(t, c.distanceBest, check.Result.DistanceExactNM, 0.005)
			}
			require.InDelta(t, check.Result.DistanceExactNM, *check.Result.DistanceInWindNM, 0.01, "still air is not a wind")
			require.Empty(t, check.Notes)
		})
	}
}

// Where the aircraft really is, in a wind: a straight run at a groundspeed past a beacon 8 nm right of track, its bearings from the nose
// by plane geometry. The rule is out, the sum by the wind is not.
func TestBearingCheckInAWind(t *testing.T) {
	s := withNDB(t, 100, 30, 8)
	from, speed := 0.0, 30.0 // from the left, so that the nose points left of track
	wind := flight.Event{T: s.Airborne, Act: flight.WindReported, WindFrom: &from, WindSpeed: &speed}
	state := fly(t, s, wind)
	groundKt := math.Sqrt(100*100 - 30*30)
	drift := math.Asin(0.3) * 180 / math.Pi
	offNose := func(minutes float64) float64 { // the track is 90° true; the nose is drift to the left of it
		ahead := 30 - groundKt*minutes/60
		return math.Atan2(8, ahead)*180/math.Pi + drift
	}
	start := 60 * 30 / groundKt * 0.95
	stop := start + 2
	first, then := offNose(start), offNose(stop)
	require.Equal(t, "NB", s.Plan.Points[len(s.Plan.Points)-1].Ident)
	for i, e := range []flight.Event{
		{T: after(s, start), Act: flight.Bearing, Beacon: "NB", Relative: &first},
		{T: after(s, stop), Act: flight.Bearing, Beacon: "NB", Relative: &then},
	} {
		e.N, e.Rec = 3+i, e.T
		require.NoError(t, state.Apply(e))
	}
	check := state.At(after(s, stop)).Bearing
	truth := math.Hypot(8, 30-groundKt*stop/60)
	require.InDelta(t, truth, *check.Result.DistanceInWindNM, 0.05)
	require.InDelta(t, math.Hypot(8, 30-groundKt*start/60), check.ReckonedNM, 0.05)
	require.Greater(t, math.Abs(check.Result.DistanceExactNM-truth), 0.3, "still air it is not")
}

func TestABearingCheckIsTimedAndTellsWhenToStop(t *testing.T) {
	s := withNDB(t, 120, 100, 10)
	abeam := 90.0
	state := fly(t, s, flight.Event{T: after(s, 50), Act: flight.Bearing, Beacon: "NB", Relative: &abeam})
	check := state.At(after(s, 50.5)).Bearing
	require.False(t, check.Done)
	require.InDelta(t, 30, check.Seconds, 1e-9)
	require.InDelta(t, 100, check.StopRelative, 1e-9, "ten degrees farther aft")
	require.InDelta(t, 10, check.ReckonedNM, 0.05)
	require.InDelta(t, 10*math.Tan(10*math.Pi/180)/120*3600, *check.ExpectedSeconds, 1, "10 nm abeam: 1.76 nm to fly")

	early := 30.0
	state = fly(t, s, flight.Event{T: after(s, 50), Act: flight.Bearing, Beacon: "NB", Relative: &early})
	require.InDelta(t, 60, state.At(after(s, 51)).Bearing.StopRelative, 1e-9, "doubled")
}

func TestWhatSpoilsABearingCheckIsSaid(t *testing.T) {
	heading, same := 120.0, 90.0
	s := withNDB(t, 120, 100, 10)
	steady := flight.Event{T: after(s, 10), Act: flight.Steering, Heading: &same}
	turned := flight.Event{T: after(s, 10).Add(30 * time.Second), Act: flight.Steering, Heading: &heading}
	require.Contains(t, checked(t, s, 90, 100, 1.25, steady, turned).Problem, "the heading was changed")
	require.Contains(t, checked(t, s, 90, 100, 1.25, flight.Event{T: after(s, 10).Add(30 * time.Second), Act: flight.Passing, Point: "P1"}).Problem,
		"another leg was begun")

	poor := checked(t, s, 90, 135, 8)
	require.Equal(t, []string{"the needle has moved by 45°: past 30° the rule no longer holds"}, poor.Notes)
	require.InDelta(t, 60*8/45.0, *poor.Result.MinutesRule, 1e-9)
	few := checked(t, s, 90, 93, 0.5)
	require.Equal(t, []string{"the needle has moved by 3° only: let it move by 5 at least"}, few.Notes)
	begun := checked(t, s, 100, 90, 1)
	require.False(t, begun.Done, "a bearing that draws ahead begins another check")
}
