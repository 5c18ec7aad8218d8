package flight_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// level is a plan that is flown level at one true airspeed from its first moment, along legs given by true track and length, through
// still air: what is true of it can be worked out by hand. It lies on the equator, where tracks are straight.
func level(t testing.TB, tasKt, windErrorKt float64, legs ...deadreckon.Heading) *sheet.Sheet {
	t.Helper()
	row := func(altitudeFt float64) plan.CruiseRow {
		return plan.CruiseRow{AltitudeFt: altitudeFt, Power: 65, TASKt: tasKt, FlowPerHour: 8}
	}
	at := earth.Position{Lat: 0, Lon: 10}
	p := &plan.Plan{
		Version: 1, Title: "level", OffBlocks: time.Date(2026, 5, 15, 10, 0, 0, 0, time.UTC),
		Aircraft: plan.Aircraft{
			Fuel: plan.FuelSystem{Unit: "usgal", Tanks: []plan.Tank{{Name: "left", Capacity: 50}, {Name: "right", Capacity: 50}}},
			Climb: plan.Climb{
				IASKt: 80, Table: []plan.ClimbRow{{AltitudeFt: 0, RateFtMin: 600, FlowPerHour: 8}, {AltitudeFt: 8000, RateFtMin: 600, FlowPerHour: 8}},
			},
			Cruise:  plan.Cruise{Power: 65, Table: []plan.CruiseRow{row(0), row(8000)}},
			Descent: plan.Descent{IASKt: 80, RateFtMin: 500, FlowPerHour: 8},
		},
		Fuel:       plan.Fuel{OnBoard: map[string]float64{"left": 50, "right": 50}, StartOn: "left", ReserveMinutes: 30, ReserveSource: plan.ReserveFromPlan},
		Conditions: plan.Conditions{QNH: 1013.25, Winds: []plan.WindLevel{{AltitudeFt: 4000}}, WindErrorKt: windErrorKt},
		Points:     []plan.Point{{Ident: "P0", Kind: plan.Fix, At: at, ElevationFt: 4000}},
		Route:      plan.Route{From: "P0"},
	}
	for i, leg := range legs {
		at, _ = earth.Direct(at, leg.HeadingTrue, leg.GroundspeedKt)
		ident := fmt.Sprintf("P%d", i+1)
		p.Points = append(p.Points, plan.Point{Ident: ident, Kind: plan.Fix, At: at})
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: ident, Level: plan.Level{AltitudeFt: 4000}})
	}
	s, problems := sheet.Compute(p)
	require.NotNil(t, s, "%v", problems)
	return s
}

// along is a leg for level: its true track and its length.
func along(trackTrue, distanceNM float64) deadreckon.Heading {
	return deadreckon.Heading{HeadingTrue: trackTrue, GroundspeedKt: distanceNM}
}

// fly logs take-off on time and the events after it.
func fly(t require.TestingT, s *sheet.Sheet, events ...flight.Event) *flight.State {
	state := flight.New(s, "live")
	for i, e := range append([]flight.Event{{T: s.Airborne, Act: flight.Airborne}}, events...) {
		e.N, e.Rec = i+1, e.T
		require.NoError(t, state.Apply(e))
	}
	return state
}

func after(s *sheet.Sheet, minutes float64) time.Time {
	return s.Airborne.Add(time.Duration(minutes * float64(time.Minute)))
}

// With a forecast that says next to nothing, a heading steered all the way and the time over a distance, the wind found is the one
// that the wind triangle gives: published "find the wind" problems.
func TestWindFoundIsThatOfTheTriangle(t *testing.T) {
	const distanceNM = 60
	for _, c := range []struct {
		source                             string
		headingTrue, tasKt, track, speedKt float64
		windFrom, windKt                   float64
		angleTolerance, speedTolerance     float64
	}{
		{"pilots' forum, worked answer of 2006, case 1.05", 296, 225, 310, 250, 190, 63, 1, 1},
		{"FAA question bank, answer from memory, case 1.14", 135, 135, 130, 140, 246, 13, 2, 1},
		{"FAA question bank, case 1.15", 85, 95, 105, 87, 20, 32, 2, 1},
		{"EQB level reports, case 1.22", 307, 230, 313, 210, 260, 30, 1.5, 1.5},
		{"EQB level reports, case 1.23", 133, 225, 144, 206, 75, 45, 2, 2},
	} {
		t.Run(c.source, func(t *testing.T) {
			s := level(t, c.tasKt, 200, along(c.track, distanceNM), along(c.track, distanceNM))
			steered := deadreckon.MagneticFromTrue(c.headingTrue, s.Legs[0].Variation)
			state := fly(t, s,
				flight.Event{T: after(s, 0.1), Act: flight.Steering, Heading: &steered},
				flight.Event{T: after(s, 60*distanceNM/c.speedKt), Act: flight.Passing, Point: "P1"})
			found := state.At(after(s, 60*distanceNM/c.speedKt)).Wind
			require.Equal(t, flight.WindFound, found.Source)
			require.InDelta(t, 0, angle.Turn(c.windFrom, found.FromTrue), c.angleTolerance, "%.1f/%.1f", found.FromTrue, found.SpeedKt)
			require.InDelta(t, c.windKt, found.SpeedKt, c.speedTolerance, "%.1f/%.1f", found.FromTrue, found.SpeedKt)
		})
	}
}

// Two tracks well apart give the wind without any heading: the groundspeeds on both have one wind in common.
func TestWindFoundFromTwoTracks(t *testing.T) {
	wind := deadreckon.WindFor(0, 100, 350, 100) // some wind, by way of what it does
	first, err := deadreckon.HeadingFor(40, 100, wind)
	require.NoError(t, err)
	second, err := deadreckon.HeadingFor(130, 100, wind)
	require.NoError(t, err)
	s := level(t, 100, 60, along(40, 60), along(130, 60), along(220, 60))
	one := 60 * 60 / first.GroundspeedKt
	two := one + 60*60/second.GroundspeedKt
	state := fly(t, s,
		flight.Event{T: after(s, one), Act: flight.Passing, Point: "P1"},
		flight.Event{T: after(s, two), Act: flight.Passing, Point: "P2"})
	found := state.At(after(s, two)).Wind
	north, east := wind.Components()
	gotNorth, gotEast := windOf(found).Components()
	require.InDelta(t, north, gotNorth, 3)
	require.InDelta(t, east, gotEast, 3)
}

// The sums by hand: the plan's times carried over, and the plan's minutes stretched by the ratio of the groundspeeds (definition,
// case 1.35: a leg of 30 nm planned 18.0 minutes at 100 kt, passed 2.0 minutes late; 24.0, 15.0 and 31.0 minutes planned after it).
func TestPlainSums(t *testing.T) {
	s := level(t, 100, 8, along(20, 30), along(80, 40), along(140, 25), along(200, 31./0.6))
	state := fly(t, s, flight.Event{T: after(s, 20), Act: flight.Passing, Point: "P1"})
	snapshot := state.At(after(s, 20))
	rows := snapshot.Route[2:]
	carried, ratio := []float64{44, 59, 90}, []float64{20 + 26.7, 20 + 43.3, 20 + 77.8}
	for i, row := range rows {
		require.InDelta(t, carried[i], row.CarriedOver.Sub(s.Airborne).Minutes(), 0.1, row.Point)
		require.InDelta(t, ratio[i], row.ByRatio.Sub(s.Airborne).Minutes(), 0.1, row.Point)
	}
	require.Equal(t, "30.0 nm in 20:00 = 90 kt", snapshot.Groundspeed.Sum)
}

// A first point passed 2.5 minutes late in a wind (case 16A.07, computed with python3-geographiclib 2.0 and own wind formulas).
func TestPlainSumsOfTheExercise(t *testing.T) {
	s, err := flighttest.SheetsIn(flights + "/plans")("exercise.yaml")
	require.NoError(t, err)
	at := after(s, 26.69)
	state := fly(t, s, flight.Event{T: at, Act: flight.Passing, Point: "LIM"})
	rows := state.At(at).Route
	require.InDelta(t, 81.94, rows[1].GroundspeedKt, 0.1)
	last := at
	for i, minutes := range []float64{25.63, 22.26, 28.01} {
		row := rows[2+i]
		require.InDelta(t, minutes, row.ByRatio.Sub(last).Minutes(), 0.1, row.Point)
		require.InDelta(t, 2.5, row.CarriedOver.Sub(row.Planned).Minutes(), 0.05, row.Point)
		last = *row.ByRatio
	}
}

// A groundspeed found on one track is not carried unchanged to another: what was a headwind is a tailwind on the way back, and the
// revised time there is earlier than planned although the flight is late.
func TestHeadwindFoundHelpsOnTheWayBack(t *testing.T) {
	s := level(t, 100, 20, along(90, 50), along(270, 50))
	state := fly(t, s, flight.Event{T: after(s, 37.5), Act: flight.Passing, Point: "P1"}) // 80 kt: 20 kt on the nose
	row := state.At(after(s, 37.5)).Route[2]
	minutes := row.Revised.Sub(after(s, 37.5)).Minutes()
	require.InDelta(t, 25, minutes, 1, "50 nm at 120 kt (definition, case 1.44)")
	require.Less(t, minutes, 30.0)
}

func windOf(w flight.WindNow) air.Wind { return air.Wind{FromTrue: w.FromTrue, SpeedKt: w.SpeedKt} }
