package flight_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

// A heading told that leads far off the track is where the aircraft goes: the way along it, the place beside it and the ETA, which is that of the
// straight way to the leg's end, second by second, by the law of cosines in the plane and in still air.
func TestAHeadingThatLeadsOffTheTrackIsFlown(t *testing.T) {
	const tasKt, lengthNM = 100.0, 40.0
	s := level(t, tasKt, 2, along(30, lengthNM), along(130, 30))
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(30, 80).Draw(t, "degrees off") * rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side")
		told, flown := rapid.IntRange(60, 300).Draw(t, "told after seconds"), rapid.IntRange(150, 3600).Draw(t, "seconds flown")
		heading := deadreckon.MagneticFromTrue(30+off, s.Route.VariationAt(0, lengthNM/2))
		at := s.Airborne.Add(time.Duration(told) * time.Second)
		state := fly(t, s, flight.Event{T: at, Act: flight.Steering, Heading: &heading})
		at = at.Add(time.Duration(flown) * time.Second)
		alongNM := tasKt / 3600 * (float64(told) + float64(flown)*angle.Cos(off))
		asideNM := tasKt / 3600 * float64(flown) * angle.Sin(off)
		look := state.At(at)
		if beyondNM := alongNM - lengthNM; beyondNM > 0.1 {
			require.Zero(t, look.Next.ToGoNM)
			require.InDelta(t, 3600*beyondNM/tasKt/angle.Cos(off), *look.Next.OverdueSeconds, 5, "since it was abeam")
			return
		} else if beyondNM > -0.5 {
			return
		}
		require.InDelta(t, alongNM, look.Position.AfterNM, 0.05)
		require.NotNil(t, look.Position.OffTrackNM)
		require.InDelta(t, asideNM, *look.Position.OffTrackNM, 0.05)
		toGo := math.Hypot(lengthNM-alongNM, asideNM)
		if steepest := 60.0; math.Abs(asideNM) < (lengthNM-alongNM)*math.Tan(steepest*math.Pi/180) {
			require.InDelta(t, toGo/tasKt*3600, look.Next.ETA.Sub(at).Seconds(), 3)
		}
	})
}

// A flight level is held by 1013 hPa: a new altimeter setting changes the altitude that is shown, and neither the phase nor a time.
func TestAnAltimeterSettingDoesNotClimbAFlightLevel(t *testing.T) {
	s := level(t, 100, 2, along(30, 40), along(130, 30))
	for i := range s.Plan.Route.Legs {
		s.Plan.Route.Legs[i].Level = plan.Level{FlightLevel: 65}
	}
	s, problems := sheet.Compute(s.Plan)
	require.NotNil(t, s, "%v", problems)
	rapid.Check(t, func(t *rapid.T) {
		at, qnh := after(s, 15), float64(rapid.IntRange(980, 1045).Draw(t, "QNH"))
		before := fly(t, s).At(at)
		require.Equal(t, flight.Cruising, before.Phase)
		now := fly(t, s, flight.Event{T: at, Act: flight.Altimeter, QNH: &qnh}).At(at)
		require.Equal(t, flight.Cruising, now.Phase)
		require.InDelta(t, 0, now.Next.ETA.Sub(before.Next.ETA).Seconds(), 1)
		require.InDelta(t, air.AltitudeFt(6500, qnh), now.Position.AltitudeFt, 0.01)
	})
}
