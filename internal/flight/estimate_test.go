package flight_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

// The errors that a simulated flight is drawn with: what the estimator says that it counts with.
const (
	windErrorKt  = 8.0 // the demo plan's
	wanderKt     = 4.0 // in an hour
	tasErrorKt   = 2.0
	timingError  = 5.0 // seconds
	takeOffError = 30.0
	climbError   = 0.05 // of the minutes of a climb or descent
)

// spot is a place to be passed.
type spot struct {
	leg     int
	afterNM float64
	name    string
}

func spots(s *sheet.Sheet) []spot {
	var all []spot
	for i, leg := range s.Legs {
		for _, checkpoint := range leg.Checkpoints {
			all = append(all, spot{i, checkpoint.AfterNM, checkpoint.Name})
		}
		all = append(all, spot{i, leg.DistanceNM, leg.To.Ident})
	}
	return all
}

// truth is when the places of a route are truly passed: through a wind that differs from the forecast by one draw and wanders
// from place to place, with climbs that take longer or less and hands that don't hold the airspeed.
func truth(t *testing.T, s *sheet.Sheet, random *rand.Rand) []time.Time {
	t.Helper()
	north, east := random.NormFloat64()*windErrorKt, random.NormFloat64()*windErrorKt
	bias := random.NormFloat64() * tasErrorKt
	at := s.Airborne.Add(time.Duration(random.NormFloat64() * takeOffError * float64(time.Second)))
	from := sheet.Start{AltitudeFt: s.Route.Legs[0].From.ElevationFt}
	climbs := random.NormFloat64() * climbError
	var passed []time.Time
	for _, to := range spots(s) {
		layers := make(air.Layers, len(s.Air.Layers))
		for i, level := range s.Air.Layers {
			n, e := level.Wind.Components()
			level.Wind = air.WindFromComponents(n+north, e+east)
			layers[i] = level
		}
		way, err := s.Route.Reckon(from, sheet.Air{Layers: layers, QNH: s.Air.QNH, TASBiasKt: bias})
		require.NoError(t, err)
		minutes, ok := way.MinutesTo(to.leg, to.afterNM)
		require.True(t, ok)
		flown := minutes
		for _, piece := range way {
			if piece.Phase != sheet.Cruise {
				flown += climbs * math.Max(0, math.Min(minutes-piece.StartMinutes, piece.Minutes))
			}
		}
		flown += random.NormFloat64() * 0.01 * math.Sqrt(10*minutes)
		at = at.Add(time.Duration(flown * float64(time.Minute)))
		passed = append(passed, at)
		from = sheet.Start{Leg: to.leg, AfterNM: to.afterNM, AltitudeFt: way.At(minutes).AltitudeFt}
		if to.afterNM == s.Legs[to.leg].DistanceNM {
			from.Leg, from.AfterNM = to.leg+1, 0
		}
		step := wanderKt * math.Sqrt(minutes/60)
		north, east = north+random.NormFloat64()*step, east+random.NormFloat64()*step
	}
	return passed
}

// outcome sums up how far estimates of one kind were out.
type outcome struct{ n, squares, normalised float64 }

func (o *outcome) add(seconds, sigma float64) {
	o.n++
	o.squares += seconds * seconds
	o.normalised += seconds * seconds / (sigma * sigma)
}

func (o outcome) rms() float64 { return math.Sqrt(o.squares / o.n) }

// The ± of an ETA is a standard error: over many flights through winds as uncertain as the plan says, the squares of the errors are
// what the ± says, from the first passing to the last. And the estimate beats both of the sums that are done by hand.
func TestETAsAreAsUncertainAsTheySay(t *testing.T) {
	s, err := flighttest.Sheet(plans.DemoFile, plans.FS.ReadFile)
	require.NoError(t, err)
	places := spots(s)
	var next, destination outcome
	var revised, carried, ratio outcome
	byPassing := make([]outcome, len(places))
	random := rand.New(rand.NewPCG(1, 2))
	for range 150 {
		passed := truth(t, s, random)
		state := flight.New(s, "live")
		n := 0
		record := func(e flight.Event) {
			n++
			e.N, e.Rec = n, e.T
			require.NoError(t, state.Apply(e))
		}
		record(flight.Event{T: s.Airborne, Do: flight.Airborne})
		for i, place := range places[:len(places)-1] {
			logged := passed[i].Add(time.Duration(random.NormFloat64() * timingError * float64(time.Second))).Round(time.Second)
			record(flight.Event{T: logged, Do: flight.Passing, Point: place.name})
			snapshot := state.At(logged)
			errorNext := passed[i+1].Sub(snapshot.Next.ETA).Seconds()
			next.add(errorNext, snapshot.Next.ETASigmaSeconds)
			errorThere := passed[len(places)-1].Sub(snapshot.Destination.ETA).Seconds()
			destination.add(errorThere, snapshot.Destination.ETASigmaSeconds)
			byPassing[i].add(errorThere, snapshot.Destination.ETASigmaSeconds)
			last := snapshot.Route[len(snapshot.Route)-1]
			revised.add(errorThere, 1)
			carried.add(passed[len(places)-1].Sub(*last.CarriedOver).Seconds(), 1)
			ratio.add(passed[len(places)-1].Sub(*last.ByRatio).Seconds(), 1)
		}
	}
	t.Logf("next point: mean square %.2f of what ± says", next.normalised/next.n)
	t.Logf("destination: mean square %.2f of what ± says; error %.0f s, carried over %.0f s, by ratio %.0f s",
		destination.normalised/destination.n, revised.rms(), carried.rms(), ratio.rms())
	for i, o := range byPassing[:len(places)-1] {
		t.Logf("after %-8s %.2f, %.0f s", places[i].name, o.normalised/o.n, o.rms())
	}
	// 150 independent flights: the mean square of a right ± lies within 1 ± 3·√(2/150) = 0.65 to 1.35 at each passing.
	for i, o := range byPassing[:len(places)-1] {
		require.InDelta(t, 1, o.normalised/o.n, 0.35, "destination's ETA after %s", places[i].name)
	}
	require.InDelta(t, 1, next.normalised/next.n, 0.2, "next point's ETA")
	require.Less(t, revised.rms(), carried.rms())
	require.Less(t, revised.rms(), ratio.rms())
}
