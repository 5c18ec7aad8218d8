package deadreckon_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/deadreckon"
)

// FAA question bank, whole problems: a climb or descent through a wind, to a compass heading, with its fuel. 12.01 is
// read, 12.02 to 12.04 are from memory; "exact" figures are computed and agree. Variation is positive east; the card's
// correction is signed, to be added.
func TestClimbAndDescentProblems(t *testing.T) {
	for _, c := range []struct {
		id                                     string
		height, rate, track, tas               float64
		wind                                   air.Wind
		variation, card, flow                  float64
		minutes, compass, distance, fuel       float64
		exactCompass, exactDistance, exactFuel float64
	}{
		{"12.01", 1500 - 6500, 500, 335, 110, wind(60, 15), -3, 2, 8.5, 10, 348, 18, 1.4, 347.81, 17.94, 1.417},
		{"12.02", 9500 - 1000, 500, 215, 135, wind(290, 20), -3, -2, 13, 17, 224, 36, 3.7, 224.23, 36.39, 3.683},
		{"12.03", 2100 - 7500, 300, 165, 120, wind(240, 20), 4, -2, 9.6, 18, 168, 34, 2.9, 168.26, 33.98, 2.88},
		{"12.04", 2700 - 10500, 600, 263, 135, wind(330, 30), 7, 3, 11.5, 13, 271, 26, 2.5, 270.80, 26.09, 2.49},
	} {
		t.Run(c.id, func(t *testing.T) {
			heading, err := deadreckon.HeadingFor(c.track, c.tas, c.wind)
			require.NoError(t, err)
			minutes, distance := deadreckon.LevelChange(c.height, c.rate, heading.GroundspeedKt)
			compass := deadreckon.CompassFromMagnetic(deadreckon.MagneticFromTrue(heading.HeadingTrue, c.variation), -c.card)
			fuel := c.flow * minutes / 60
			assert.InDelta(t, c.minutes, minutes, 1e-9)
			assert.InDelta(t, c.exactCompass, compass, 0.011)
			assert.InDelta(t, c.exactDistance, distance, 0.011)
			assert.InDelta(t, c.exactFuel, fuel, 0.006)
			assert.InDelta(t, c.compass, compass, 1)
			assert.InDelta(t, c.distance, distance, 1)
			assert.InDelta(t, c.fuel, fuel, 0.1)
		})
	}
}

func TestLevelChange(t *testing.T) {
	for _, c := range []struct {
		id, source                                       string
		height, rate, groundspeed, minutes, distance, by float64
	}{
		{"12.15", "definition", 4500 - 450, 600, 72, 6.75, 8.10, 1e-9},
		{"12.16", "definition", 1450 - 5500, 500, 112, 8.10, 15.12, 1e-9},
		{"12.05", "European question bank: 13.67 with 5 nm level", 2500 - 4500, 500, 130, 4, 13.67 - 5, 0.005},
		{"12.07", "question read, answer computed: 27.12 with 6 nm level", 1000 - 7500, 800, 156, 8.125, 27.12 - 6, 0.006},
		{"16A.12", "composite exercise", 1500 - 4500, 500, 103.95, 6, 10.40, 0.006},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			minutes, distance := deadreckon.LevelChange(c.height, c.rate, c.groundspeed)
			assert.InDelta(t, c.minutes, minutes, c.by)
			assert.InDelta(t, c.distance, distance, c.by)
		})
	}
	minutes, distance := deadreckon.LevelChange(0, 0, 100)
	assert.Zero(t, minutes)
	assert.Zero(t, distance)
	minutes, distance = deadreckon.LevelChange(1000, 0, 100)
	assert.True(t, math.IsInf(minutes, 1) && math.IsInf(distance, 1))
}

// Case 12.13, question read, answers computed: a field at 2,000 ft on 1003 hPa, TAS 100 against 20 kt, 1,000 ft a minute to flight
// level 100 and to 50.
func TestClimbToFlightLevel(t *testing.T) {
	field := air.PressureAltitudeFt(2000, 1003)
	_, distance := deadreckon.LevelChange(10000-field, 1000, 100-20)
	assert.InDelta(t, 10.3, distance, 0.05)
	_, distance = deadreckon.LevelChange(5000-field, 1000, 100-20)
	assert.InDelta(t, 3.6, distance, 0.05)
}

func TestRateForAngle(t *testing.T) {
	for _, c := range []struct {
		id, source                            string
		degrees, groundspeed, rule, by, exact float64
	}{
		{"12.06", "European question bank, published 730", 3.5, 125, 729, 1, 774},
		{"12.10", "rule of 5 × groundspeed", 3, 90, 450, 1e-9, 478},
		{"12.10", "rule of 5 × groundspeed", 3, 100, 500, 1e-9, 531},
		{"12.10", "rule of 5 × groundspeed", 3, 120, 600, 1e-9, 637},
	} {
		rule, exact := deadreckon.RateForAngle(c.degrees, c.groundspeed)
		assert.InDelta(t, c.rule, rule, c.by, c.id+" "+c.source)
		assert.InDelta(t, c.exact, exact, 0.6, c.id+" "+c.source)
		assert.InDelta(t, c.degrees, deadreckon.AngleForRate(exact, c.groundspeed), 1e-9)
	}
}

// Section 12: 3° is 318 ft a mile and 5.307 × groundspeed; 300 ft a mile is 2.83°; 3 nm for 1,000 ft is 3.14°.
// Case 12.14, definition: 700 ft a minute at 80 kt is 525 ft a mile, 4.94°.
func TestGradients(t *testing.T) {
	_, exact := deadreckon.RateForAngle(3, 100)
	assert.InDelta(t, 530.7, exact, 0.05)
	assert.InDelta(t, 318, deadreckon.GradientFtPerNM(exact, 100), 0.5)
	assert.InDelta(t, 2.83, deadreckon.AngleForRate(300, 60), 0.005)
	assert.InDelta(t, 3.14, deadreckon.AngleForRate(1000/deadreckon.DescentDistanceRuleNM(1000), 60), 0.005)
	assert.InDelta(t, 525, deadreckon.GradientFtPerNM(700, 80), 1e-9)
	assert.InDelta(t, 4.94, deadreckon.AngleForRate(700, 80), 0.005)
}

// A flying contest of 2009 (case 12.11): 300 ft a mile from 2,165 to 4,800 ft in 6 min 12 s: 85 kt.
func TestGroundspeedFromGradient(t *testing.T) {
	groundspeed := deadreckon.Groundspeed((4800-2165)/300.0, 6.2)
	assert.InDelta(t, 85, groundspeed, 0.2)
	minutes, _ := deadreckon.LevelChange(4800-2165, 300*groundspeed/60, groundspeed)
	assert.InDelta(t, 6.2, minutes, 1e-9)
}

func TestDescentDistanceRule(t *testing.T) {
	assert.InDelta(t, 75, deadreckon.DescentDistanceRuleNM(31000-6000), 1e-9, "12.08: FAA Instrument Procedures Handbook")
	assert.InDelta(t, 30, deadreckon.DescentDistanceRuleNM(11000-1000), 1e-9, "12.09: rule")
	assert.InDelta(t, 12.15, deadreckon.DescentDistanceRuleNM(5500-1450), 1e-9, "12.16: rule")
}

func TestRateForDistanceInvertsLevelChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.Float64Range(100, 12000).Draw(t, "height")
		rate := rapid.Float64Range(100, 1500).Draw(t, "rate")
		groundspeed := rapid.Float64Range(30, 200).Draw(t, "groundspeed")
		_, distance := deadreckon.LevelChange(height, rate, groundspeed)
		assert.InEpsilon(t, rate, deadreckon.RateForDistance(height, distance, groundspeed), 1e-9)
		assert.InEpsilon(t, height/distance, deadreckon.GradientFtPerNM(rate, groundspeed), 1e-9)
	})
}

// FAA question bank (case 12.01): from 6,500 ft to 800 ft above a field at 700 ft, 500 ft a minute, at 107.67 kt: published
// 10 minutes and 18 nm.
func ExampleLevelChange() {
	minutes, distance := deadreckon.LevelChange(6500-1500, 500, 107.67)
	fmt.Printf("%.0f min, %.0f nm\n", minutes, distance)
	// Output: 10 min, 18 nm
}
