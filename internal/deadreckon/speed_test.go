package deadreckon_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
)

func TestTimeSpeedDistance(t *testing.T) {
	assert.InDelta(t, 90, deadreckon.Minutes(210, 140), 1e-9, "1.27: PHAK, basic calculations")
	assert.InDelta(t, 90, deadreckon.Groundspeed(270, 180), 1e-9, "1.29: PHAK, basic calculations")
	assert.InDelta(t, 90, deadreckon.Minutes(354, 236), 1e-9, "1.32: European question bank, dead reckoning")
	assert.InDelta(t, 125, deadreckon.Minutes(500, 240), 1e-9, "1.33: European question bank, dead reckoning")
	assert.InDelta(t, 220, deadreckon.Groundspeed(55, 15), 1e-9, "1.26: US Navy P-203, Figure 4.6-2")
	assert.InDelta(t, 75, deadreckon.Minutes(100, 80), 1e-9, "1.44: against 20 kt")
	assert.InDelta(t, 50, deadreckon.Minutes(100, 120), 1e-9, "1.44: with 20 kt")
	assert.Zero(t, deadreckon.Minutes(0, 0))
	assert.True(t, math.IsInf(deadreckon.Minutes(1, 0), 1))
	assert.True(t, math.IsNaN(deadreckon.Groundspeed(1, 0)))
}

// Case 1.13, PHAK flight log, Chickasha to Guthrie (inputs read, case 1.12; results from memory): 53 nm, 8 gallons an hour.
func TestFlightLogLeg(t *testing.T) {
	heading, err := deadreckon.HeadingFor(31, 115, air.Wind{FromTrue: 360, SpeedKt: 10})
	require.NoError(t, err)
	magnetic := deadreckon.MagneticFromTrue(heading.HeadingTrue, 7)
	minutes := deadreckon.Minutes(53, heading.GroundspeedKt)
	assert.InDelta(t, 21, magnetic, 1)
	assert.InDelta(t, 23, deadreckon.CompassFromMagnetic(magnetic, -2), 1, "the card says to add 2°")
	assert.InDelta(t, 29.9, minutes, 0.05)
	assert.InDelta(t, 3.99, 8*minutes/60, 0.005)
}

// Case 1.10, European question bank, general navigation: magnetic course 045, variation 15° east, CAS 120 kt at flight level
// 55 in standard air, wind 190/30: published TAS 130, heading 055 magnetic, 147 kt.
func TestFromCalibratedAirspeedToMagneticHeading(t *testing.T) {
	tas := air.TASFromCAS(120, 5500, air.ISATemperatureC(5500))
	assert.InDelta(t, 130.1, tas, 0.05)
	track := deadreckon.TrueFromMagnetic(45, 15)
	assert.InDelta(t, 60, track, 1e-9)
	heading, err := deadreckon.HeadingFor(track, 130, air.Wind{FromTrue: 190, SpeedKt: 30})
	require.NoError(t, err)
	assert.InDelta(t, 55.18, deadreckon.MagneticFromTrue(heading.HeadingTrue, 15), 0.01)
}

// Case 1.17, FAA question bank: wind 175/20, course 075, TAS 80, 135 nm, 105 lb an hour: published 1 h 40 min, 175 lb.
func TestTimeAndFuelInWind(t *testing.T) {
	heading, err := deadreckon.HeadingFor(75, 80, air.Wind{FromTrue: 175, SpeedKt: 20})
	require.NoError(t, err)
	minutes := deadreckon.Minutes(135, heading.GroundspeedKt)
	assert.InDelta(t, 100, minutes, 1)
	assert.InDelta(t, 175, 105*minutes/60, 1)
}

// Cases 1.35 and 16A.07: legs planned at one groundspeed and flown at the one found on the first.
func TestLaterLegsAtTheGroundspeedFound(t *testing.T) {
	found := deadreckon.Groundspeed(30, 18+2)
	assert.InDelta(t, 90, found, 1e-9)
	total := 0.0
	for _, leg := range []struct{ planned, revised, total float64 }{{24, 26.7, 26.7}, {15, 16.7, 43.3}, {31, 34.4, 77.8}} {
		revised := deadreckon.Minutes(deadreckon.Distance(100, leg.planned), found)
		total += revised
		assert.InDelta(t, leg.revised, revised, 0.05)
		assert.InDelta(t, leg.total, total, 0.05)
	}
	assert.InDelta(t, 81.94, deadreckon.Groundspeed(36.45, 26.69), 0.01, "16A.07")
}

// Case 1.45: true heading 272, variation 3° west, deviation 2° east. A deviation east is taken off; a card's "+2" is added.
func TestCompass(t *testing.T) {
	magnetic := deadreckon.MagneticFromTrue(272, -3)
	assert.InDelta(t, 275, magnetic, 1e-9)
	assert.InDelta(t, 273, deadreckon.CompassFromMagnetic(magnetic, 2), 1e-9)
	assert.InDelta(t, 277, deadreckon.CompassFromMagnetic(magnetic, -2), 1e-9)
	assert.InDelta(t, 358, deadreckon.MagneticFromTrue(3, 5), 1e-9)

	rapid.Check(t, func(t *rapid.T) {
		direction := rapid.Float64Range(0, 359.99).Draw(t, "direction")
		variation := rapid.Float64Range(-180, 180).Draw(t, "variation")
		back := deadreckon.TrueFromMagnetic(deadreckon.MagneticFromTrue(direction, variation), variation)
		assertDirection(t, direction, back, 1e-9)
	})
}

func TestTimeSpeedDistanceRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		distance := rapid.Float64Range(0, 1000).Draw(t, "distance")
		groundspeed := rapid.Float64Range(1, 300).Draw(t, "groundspeed")
		minutes := deadreckon.Minutes(distance, groundspeed)
		assert.InDelta(t, distance, deadreckon.Distance(groundspeed, minutes), 1e-9)
		if minutes > 0.01 {
			assert.InDelta(t, groundspeed, deadreckon.Groundspeed(distance, minutes), 1e-9)
		}
	})
}
