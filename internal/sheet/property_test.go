package sheet_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/fuel"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// anyPlan draws a flight of up to five legs at any levels through winds that are always flyable.
func anyPlan(t *rapid.T) *plan.Plan {
	p := lochs()
	p.Conditions.QNH = rapid.Float64Range(980, 1040).Draw(t, "QNH")
	p.Conditions.ISADeviation = rapid.Float64Range(-15, 15).Draw(t, "deviation")
	p.Conditions.Winds = nil
	for _, altitude := range []float64{1000, 3000, 6000} {
		p.Conditions.Winds = append(p.Conditions.Winds, plan.WindLevel{
			AltitudeFt: altitude, FromTrue: rapid.Float64Range(0, 360).Draw(t, "from"), SpeedKt: rapid.Float64Range(0, 35).Draw(t, "speed"),
		})
	}
	p.Aircraft.Cruise.Table = append(p.Aircraft.Cruise.Table, plan.CruiseRow{AltitudeFt: 0, Power: 75, TASKt: 96, FlowPerHour: 23.3},
		plan.CruiseRow{AltitudeFt: 10000, Power: 75, TASKt: 106, FlowPerHour: 24})
	p.Aircraft.Climb.Table[1] = plan.ClimbRow{AltitudeFt: 10000, RateFtMin: 200, FlowPerHour: 24}
	at := earth.Position{Lat: rapid.Float64Range(-60, 60).Draw(t, "latitude"), Lon: rapid.Float64Range(-180, 180).Draw(t, "longitude")}
	p.Points = []plan.Point{{Ident: "P0", Kind: plan.Aerodrome, At: at, ElevationFt: rapid.Float64Range(0, 3000).Draw(t, "elevation"), CircuitFt: 1000}}
	p.Route = plan.Route{From: "P0"}
	p.Fuel.Alternate = ""
	for i := range rapid.IntRange(1, 5).Draw(t, "legs") {
		at, _ = earth.Direct(at, rapid.Float64Range(0, 360).Draw(t, "track"), rapid.Float64Range(2, 150).Draw(t, "distance"))
		ident := string(rune('A' + i))
		p.Points = append(p.Points, plan.Point{
			Ident: ident, Kind: plan.Aerodrome, At: at, ElevationFt: rapid.Float64Range(0, 3000).Draw(t, "elevation"), CircuitFt: 1000,
		})
		level := plan.Level{AltitudeFt: rapid.Float64Range(1500, 8000).Draw(t, "altitude")}
		if rapid.Bool().Draw(t, "flight level") {
			level = plan.Level{FlightLevel: rapid.IntRange(30, 80).Draw(t, "level")}
		}
		p.Route.Legs = append(p.Route.Legs, plan.Leg{To: ident, Level: level})
	}
	return p
}

func anyWay(t *rapid.T) (*plan.Plan, *sheet.Route, sheet.Trajectory) {
	p := anyPlan(t)
	route, problems := sheet.NewRoute(p)
	require.NotNil(t, route, "%v", problems)
	way, err := route.Reckon(startOf(p), sheet.Forecast(p))
	require.NoError(t, err)
	return p, route, way
}

// TestOneLegIsThatOfTheWholeWay: reckoned alone or with all that follows, a leg is the same.
func TestOneLegIsThatOfTheWholeWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, route, _ := anyWay(t)
		leg := rapid.IntRange(0, len(route.Legs)-1).Draw(t, "leg")
		start := sheet.Start{
			Leg: leg, AfterNM: rapid.Float64Range(0, 0.99).Draw(t, "share") * route.Legs[leg].DistanceNM,
			AltitudeFt: rapid.Float64Range(0, 8000).Draw(t, "height"), Descending: rapid.Bool().Draw(t, "descending"),
		}
		whole, err := route.Reckon(start, sheet.Forecast(p))
		if err != nil { // far too low to begin the last descent
			require.True(t, start.Descending)
			return
		}
		alone, err := route.ReckonLeg(start, sheet.Forecast(p))
		require.NoError(t, err)
		require.Equal(t, whole.OnLeg(leg), alone)
	})
}

// TestALegThatIsSureIsThatOfTheWholeWay: where nothing behind a leg can be an error, reckoning it alone and with all that follows agree in any air, also
// on whether it can be flown.
func TestALegThatIsSureIsThatOfTheWholeWay(t *testing.T) {
	p := lochs()
	route, _ := sheet.NewRoute(p)
	require.True(t, route.SureBehindLeg(startOf(p), sheet.Forecast(p)), "there are such legs")
	rapid.Check(t, func(t *rapid.T) {
		p, route, _ := anyWay(t)
		leg := rapid.IntRange(0, len(route.Legs)-1).Draw(t, "leg")
		start := sheet.Start{
			Leg: leg, AfterNM: rapid.Float64Range(0, 1).Draw(t, "share") * route.Legs[leg].DistanceNM,
			AltitudeFt: rapid.Float64Range(0, 12000).Draw(t, "height"), Descending: rapid.IntRange(0, 9).Draw(t, "descending") == 0,
		}
		through := sheet.Forecast(p)
		through.QNH += rapid.Float64Range(-30, 30).Draw(t, "pressure")
		through.TASBiasKt = rapid.Float64Range(-20, 20).Draw(t, "bias")
		through.Layers = slices.Clone(through.Layers)
		for i := range through.Layers {
			through.Layers[i].Wind.SpeedKt *= rapid.Float64Range(0, 40).Draw(t, "stronger")
		}
		whole, err := route.Reckon(start, through)
		if !route.SureBehindLeg(start, through) {
			return
		}
		alone, errAlone := route.ReckonLeg(start, through)
		require.Equal(t, err == nil, errAlone == nil, "%v, %v", err, errAlone)
		if err == nil {
			require.Equal(t, whole.OnLeg(leg), alone)
		}
	})
}

// TestADayEndsAsForAnotherArrival: where it says that it does.
func TestADayEndsAsForAnotherArrival(t *testing.T) {
	noon := time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
	day := sheet.DaylightAt(plan.Point{At: earth.Position{Lat: 50}}, noon)
	require.True(t, day.EndsAsFor(noon.Add(time.Hour)), "there are such arrivals")
	rapid.Check(t, func(t *rapid.T) {
		point := plan.Point{At: earth.Position{Lat: rapid.Float64Range(-89, 89).Draw(t, "latitude"), Lon: rapid.Float64Range(-180, 180).Draw(t, "longitude")}}
		arrival := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 365*86400).Draw(t, "arrival")) * time.Second)
		another := arrival.Add(time.Duration(rapid.IntRange(-30*3600, 30*3600).Draw(t, "later")) * time.Second)
		day := sheet.DaylightAt(point, arrival)
		require.True(t, day.EndsAsFor(arrival))
		if !day.EndsAsFor(another) {
			return
		}
		other := sheet.DaylightAt(point, another)
		require.Equal(t, day.Sunset, other.Sunset)
		require.Equal(t, day.CivilTwilightEnd, other.CivilTwilightEnd)
	})
}

// TestPiecesCoverTheRoute: from the start to overhead the destination there is no gap in distance, height or time.
func TestPiecesCoverTheRoute(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, route, way := anyWay(t)
		leg, afterNM, altitudeFt, minutes, burned := 0, 0.0, startOf(p).AltitudeFt, 0.0, 0.0
		for _, piece := range way {
			if piece.Leg != leg {
				require.InDelta(t, route.Legs[leg].DistanceNM, afterNM, 1e-6)
				require.Equal(t, leg+1, piece.Leg)
				leg, afterNM = piece.Leg, 0
			}
			require.InDelta(t, afterNM, piece.FromNM, 1e-6)
			require.InDelta(t, altitudeFt, piece.FromFt, 0.05)
			require.InDelta(t, minutes, piece.StartMinutes, 1e-9)
			require.Positive(t, piece.Minutes)
			require.Greater(t, piece.ToNM, piece.FromNM)
			require.InDelta(t, piece.Heading.GroundspeedKt*piece.Minutes/60, piece.ToNM-piece.FromNM, 1e-5)
			afterNM, altitudeFt, minutes, burned = piece.ToNM, piece.ToFt, minutes+piece.Minutes, burned+piece.Fuel()
		}
		require.Equal(t, len(route.Legs)-1, leg)
		require.InDelta(t, route.Legs[leg].DistanceNM, afterNM, 1e-6)
		require.InDelta(t, minutes, way.TotalMinutes(), 1e-9)
		require.InDelta(t, burned, way.Fuel(), 1e-9)
		require.InDelta(t, burned, way.FuelTo(minutes), 1e-9)
		require.InDelta(t, route.DistanceNM(), way.DistanceNM(), 1e-5)
	})
}

// TestArrivesAtCircuitHeight: the flight ends at circuit height, unless it never gets so high or that high is not planned.
func TestArrivesAtCircuitHeight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, route, way := anyWay(t)
		arrivalFt, ok := route.ArrivalFt()
		require.True(t, ok)
		end := way[len(way)-1]
		if end.Phase == sheet.Descent && end.ToFt >= arrivalFt {
			require.InDelta(t, arrivalFt, end.ToFt, 0.05)
			return
		}
		require.LessOrEqual(t, end.ToFt, arrivalFt+0.05)
	})
}

// TestStartAnywhere: a reckoning from any moment of a trajectory finds the same time and fuel for the rest.
func TestStartAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, route, way := anyWay(t)
		minutes := rapid.Float64Range(0, 1).Draw(t, "share") * way.TotalMinutes()
		at := way.At(minutes)
		arrivalFt, _ := route.ArrivalFt()
		arrives := math.Abs(way[len(way)-1].ToFt-arrivalFt) < 0.1 // else what it ends in is but a change of level
		start := sheet.Start{
			Leg: at.Leg, AfterNM: at.AfterNM, AltitudeFt: at.AltitudeFt,
			Descending: arrives && at.Piece >= len(way)-len(way.LastDescent()),
		}
		rest, err := route.Reckon(start, sheet.Forecast(p))
		require.NoError(t, err)
		require.InDelta(t, way.TotalMinutes()-minutes, rest.TotalMinutes(), 0.5/60)
		require.InDelta(t, way.Fuel()-way.FuelTo(minutes), rest.Fuel(), 0.01)
	})
}

// TestLayersAreFineEnough: layers twenty times as fine move no ETA by half a second.
func TestLayersAreFineEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, route, way := anyWay(t)
		fine, err := route.ReckonInLayers(startOf(p), sheet.Forecast(p), 25)
		require.NoError(t, err)
		for i, leg := range route.Legs {
			coarse, ok := way.MinutesTo(i, leg.DistanceNM)
			require.True(t, ok)
			exact, ok := fine.MinutesTo(i, leg.DistanceNM)
			require.True(t, ok)
			require.InDelta(t, exact, coarse, 0.5/60, "leg %d", i)
		}
	})
}

// TestAtAndMinutesTo are each other's inverse.
func TestAtAndMinutesTo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, _, way := anyWay(t)
		minutes := rapid.Float64Range(0, 1).Draw(t, "share") * way.TotalMinutes()
		at := way.At(minutes)
		back, ok := way.MinutesTo(at.Leg, at.AfterNM)
		require.True(t, ok)
		require.InDelta(t, minutes, back, 1e-6)
		altitudeFt, ok := way.AltitudeAt(at.Leg, at.AfterNM)
		require.True(t, ok)
		require.InDelta(t, at.AltitudeFt, altitudeFt, 0.05)
	})
}

// TestWindAlongTheTrack: the more headwind, the longer; and a tailwind never makes good what as much headwind takes (case 1.44). The
// second holds where there is a part in cruise: climb and descent then take the same minutes in any steady wind.
func TestWindAlongTheTrack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := straight{
			trackTrue: 360, distanceNM: rapid.Float64Range(40, 110).Draw(t, "distance"), fromFt: 100, levelFt: 5000, arrivalFt: 1100, tasKt: 100, flow: 8,
		}
		minutes := func(headwindKt float64) float64 {
			s.wind = air.WindFromComponents(-headwindKt, 0)
			p := s.plan()
			route, _ := sheet.NewRoute(p)
			way, err := route.Reckon(startOf(p), sheet.Forecast(p))
			require.NoError(t, err)
			return way.TotalMinutes()
		}
		less := rapid.Float64Range(-30, 29).Draw(t, "headwind")
		more := rapid.Float64Range(less+0.5, 30).Draw(t, "more headwind")
		require.Less(t, minutes(less), minutes(more))
		if math.Abs(less) > 1 {
			require.Less(t, 2*minutes(0), minutes(less)+minutes(-less))
		}
	})
}

// TestRoundTrip is case 1.44, by definition: 100 nm each way at 100 kt with 20 kt along the track.
func TestRoundTrip(t *testing.T) {
	out := computed(t, level(360, 100, 100, 8, air.Wind{FromTrue: 360, SpeedKt: 20})).Legs[0].Minutes
	home := computed(t, level(180, 100, 100, 8, air.Wind{FromTrue: 360, SpeedKt: 20})).Legs[0].Minutes
	assert.InDelta(t, 75, out, 0.1)
	assert.InDelta(t, 50, home, 0.1)
}

// TestSheetAddsUp: the log's columns add up to its totals, and the sums of the fuel are those that are promised.
func TestSheetAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t)
		s, problems := sheet.Compute(p)
		require.NotNil(t, s, "%v", problems)
		minutes, burned := 0.0, 0.0
		for _, leg := range s.Legs {
			minutes, burned = minutes+leg.Minutes, burned+leg.Fuel
			require.InDelta(t, minutes, leg.ETA.Sub(s.Airborne).Minutes(), 0.5/60+1e-6, "an ETA is brought to the whole second")
			require.Zero(t, leg.ETA.Nanosecond())
			require.Positive(t, leg.GroundspeedKt)
		}
		f := s.Fuel
		require.InDelta(t, burned, f.Trip, 1e-9)
		require.InDelta(t, f.Trip*0.05, f.Contingency, 1e-9)
		require.InDelta(t, f.Taxi+f.Trip+f.Contingency+f.Alternate+f.Reserve, f.MinimumBlock, 1e-9)
		require.InDelta(t, f.Block-f.Unusable-f.MinimumBlock, f.Extra, 1e-9)
		left := 0.0
		for _, quantity := range s.Tanks.Schedule.Remaining {
			left += quantity
		}
		ranDry := slices.ContainsFunc(s.Tanks.Schedule.Broken, func(b fuel.Broken) bool { return b.Rule == fuel.RuleUsableFuel })
		if !ranDry {
			require.InDelta(t, f.Block-f.Taxi-f.Trip, left, 1e-6, "what the tanks lose is what is burned")
		}
		require.False(t, math.IsNaN(minutes))
	})
}
