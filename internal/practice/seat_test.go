package practice

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
)

// What window and panel show agrees with where the aircraft is, by sums of other packages; the errors are small.
func TestPanelShowsWhereTheAircraftIs(t *testing.T) {
	for seed := range uint64(6) {
		r := seated(t, seed)
		r.does(5.2, flight.Event{Act: flight.Tuned, Receiver: "NAV1", Beacon: "LKM"})
		r.does(5.3, flight.Event{Act: flight.Tuned, Receiver: "DME", Beacon: "LKM"})
		r.does(5.4, flight.Event{Act: flight.Tuned, Receiver: "ADF", Beacon: "FNW"})
		r.does(6, flight.Event{Act: flight.Controls, Receiver: "NAV1", Course: new(90.0)})
		for minute := 12.0; minute < 16; minute += 0.5 {
			c, panel := r.craft(minute), r.View(r.at(minute)).Seat.Panel
			lkm, _ := r.world.sheet.Plan.Point("LKM")
			fnw, _ := r.world.sheet.Plan.Point("FNW")
			nav, dme, adf := panel.Receivers[0], panel.Receivers[2], panel.Receivers[3]

			line := earth.Inverse(lkm.At, c.at)
			require.NotNil(t, dme.DME)
			assert.InDelta(t, math.Hypot(line.DistanceNM, (c.altitudeFt-lkm.ElevationFt)/air.FeetPerNM), *dme.DME, 0.5)

			require.NotNil(t, nav.NeedleDeg)
			radial := line.AzimuthStart - *lkm.Declination
			sense, needle := radio.CourseReading(90, angle.Wrap360(radial))
			assert.Equal(t, sense, *nav.Sense)
			assert.InDelta(t, max(-10, min(needle, 10)), *nav.NeedleDeg, 4)

			require.NotNil(t, adf.Relative)
			bearing := earth.Inverse(c.at, fnw.At).AzimuthStart
			assert.InDelta(t, 0, angle.Turn(bearing, *adf.Relative+c.magnetic+c.field), 14)

			assert.InDelta(t, 0, angle.Turn(c.magnetic, panel.Compass), 9)
			assert.InDelta(t, c.altitudeFt, panel.AltitudeFt, 80)
			for i, gauge := range panel.Gauges {
				assert.InDelta(t, c.tanks[i], gauge.Reading, 8)
			}
		}
	}
}

// Out of its range a beacon gives nothing, and above it a VOR's flag is off.
func TestNoReadingsOutOfRangeOrInTheCone(t *testing.T) {
	r := seated(t, 1)
	w := r.world
	lkm, _ := w.sheet.Plan.Point("LKM")
	c := r.craft(20)
	set := tuning{beacon: lkm, course: 90, declination: *lkm.Declination}
	c.at, _ = earth.Direct(lkm.At, 180, 62)
	far := w.shows("NAV1", set, c, 0)
	assert.Empty(t, far.Morse)
	assert.Nil(t, far.NeedleDeg)
	assert.Equal(t, radio.Off, *far.Sense)
	c.at, _ = earth.Direct(lkm.At, 180, 58)
	assert.NotEmpty(t, w.shows("NAV1", set, c, 0).Morse)
	c.at, _ = earth.Direct(lkm.At, 180, 0.3)
	above := w.shows("NAV1", set, c, 0)
	assert.Equal(t, radio.Off, *above.Sense)
	assert.NotEmpty(t, above.Morse)
}

// A landmark is told when it goes abeam, on its side, and at no other time: checked against the nearest of all seconds.
func TestSightsAreTheNearestMoments(t *testing.T) {
	sights := 0
	for seed := range uint64(6) {
		r := seated(t, seed)
		r.does(6, steer(58))
		r.world.to(r.at(40))
		for _, sight := range r.world.seen {
			point, ok := r.world.sheet.Plan.Point(sight.Point)
			if !ok || point.Kind == plan.Aerodrome { // the departure is left in a turn
				continue
			}
			at, distance := r.world.nearest(point.At, r.at(5), r.at(40))
			assert.InDelta(t, 0, at.Sub(sight.At).Seconds(), 3, "%s, %.2f nm", sight.Text, distance)
			c := r.world.to(at)
			line := earth.Inverse(c.at, point.At)
			if line.DistanceNM > belowNM+0.1 {
				assert.Contains(t, sight.Text, say.OnSide(angle.Turn(c.trackTrue, line.AzimuthStart) > 0))
			}
			sights++
		}
	}
	assert.Greater(t, sights, 6)
}

// While the clock stands, what was set is shown at once and the next key goes on from there, though the entry's time was rounded up.
func TestHandsMoveWhileTheClockStands(t *testing.T) {
	r := seated(t, 1)
	now := r.at(20).Add(-4 * time.Millisecond)
	for _, altitude := range []float64{4000, 4500, 5000} {
		r.does(20, flight.Event{Act: flight.Controls, Altitude: &altitude})
		panel := r.View(now).Seat.Panel
		require.NotNil(t, panel.ToAltitudeFt)
		assert.Equal(t, altitude, *panel.ToAltitudeFt)
	}
	r.does(20, steer(120))
	assert.Equal(t, 120.0, *r.View(now).Seat.Panel.Steering)
}

// After the landing the aircraft stands on the aerodrome, whoever landed it; in a field it stands where it came down.
func TestAfterTheLandingTheAircraftStandsOnTheAerodrome(t *testing.T) {
	stands := func(r *rig, at time.Time, field string) {
		t.Helper()
		point, ok := r.world.sheet.Plan.Point(field)
		require.True(t, ok)
		seat := r.View(at.Add(time.Minute)).Seat
		assert.Zero(t, seat.Panel.AirspeedKt)
		assert.Equal(t, point.ElevationFt, seat.Panel.AltitudeFt)
		assert.True(t, seat.Panel.OnGround)
		require.NotEmpty(t, seat.InView)
		assert.Equal(t, point.Title()+", here", seat.InView[0])
	}
	n := flown(t, 3, nil)
	stands(n.rig, n.ended(), "PLM")
	for _, passing := range n.Report(n.ended().Add(10 * time.Minute)).Passings {
		assert.False(t, passing.True.After(n.ended()), "%s was passed in flight", passing.Point)
	}
	r, minute := watched(t, Hidden{Seed: 3}, 110)
	require.False(t, r.world.landed.IsZero())
	stands(r, r.at(minute), "PLM")

	r = seated(t, 3)
	r.does(40, flight.Event{Act: flight.Hands, Hands: "off"})
	r.does(41, flight.Event{Act: flight.Landed}) // logged while the program flew
	_, distance := nearestAerodrome(r.world.sheet, r.craft(42).at)
	require.Greater(t, distance, float64(landWithinNM))
	panel := r.View(r.at(42)).Seat.Panel
	assert.Equal(t, r.world.sheet.Route.Legs[0].From.ElevationFt, panel.AltitudeFt)
}
