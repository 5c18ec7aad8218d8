package deadreckon_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

func TestOffTrackBy(t *testing.T) {
	for _, c := range []struct {
		id, source                                     string
		off, flown, toGo                               float64
		errorRule, closingRule, errorExact, closeExact float64
	}{
		{"3.01", "FAA question bank", 9, 95, 125, 5.68, 4.32, 5.41, 4.12},
		{"3.02", "private pilot textbook page", 1, 20, 40, 3.00, 1.50, 2.86, 1.43},
		{"3.04", "FAA question bank (from memory)", 11, 141, 71, 4.68, 9.30, 4.46, 8.81},
		{"3.05", "FAA question bank (from memory)", 25, 240, 100, 6.25, 15.00, 5.95, 14.04},
		{"3.06", "FAA question bank (from memory)", 8, 150, 160, 3.20, 3.00, 3.05, 2.86},
		{"3.07", "geometry", 2, 30, 30, 4.00, 4.00, 3.81, 3.81},
		{"3.08", "geometry", 3, 45, 60, 4.00, 3.00, 3.81, 2.86},
		{"3.09", "geometry", 4, 40, 80, 6.00, 3.00, 5.71, 2.86},
		{"3.10", "geometry", 5, 30, 60, 10.00, 5.00, 9.46, 4.76},
		{"3.11", "geometry, rule out of its range", 6, 40, 20, 9.00, 18.00, 8.53, 16.70},
		{"3.12", "geometry", 1.5, 25, 55, 3.60, 1.64, 3.43, 1.56},
		{"16A.09", "composite exercise, left of track", -2, 20, 20.30, -6.00, -5.91, -5.71, -5.63},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			got := deadreckon.OffTrackBy(c.off, c.flown, c.toGo)
			assert.InDelta(t, c.errorRule, got.TrackErrorRule, 0.006)
			assert.InDelta(t, c.closingRule, got.ClosingRule, 0.006)
			assert.InDelta(t, c.errorExact, got.TrackErrorExact, 0.006)
			assert.InDelta(t, c.closeExact, got.ClosingExact, 0.006)
			assert.InDelta(t, -(c.errorRule + c.closingRule), got.TurnRule(), 0.011)
			assert.InDelta(t, -(c.errorExact + c.closeExact), got.TurnExact(), 0.011)
		})
	}
}

// The published total of a collegiate flying contest, 2021 (case 3.03): 135.79 of 300 statute miles, 3.6 off.
func TestOffTrackInStatuteMiles(t *testing.T) {
	got := deadreckon.OffTrackBy(3.6, 135.79, 300-135.79)
	assert.InDelta(t, 1.59, got.TrackErrorRule, 0.005)
	assert.InDelta(t, 1.31, got.ClosingRule, 0.006)
	assert.InDelta(t, -2.9, got.TurnRule(), 0.1)
}

// Public flash cards for the airline pilot's licence, case 3.13.
func TestOneInSixty(t *testing.T) {
	for _, c := range []struct{ off, along, rule, exact float64 }{
		{5, 60, 5, 4.76},
		{15, 60, 15, 14.04},
		{5, 30, 10, 9.46},
		{2, 10, 12, 11.31},
	} {
		rule, exact := deadreckon.OneInSixty(c.off, c.along)
		assert.InDelta(t, c.rule, rule, 1e-9)
		assert.InDelta(t, c.exact, exact, 0.005)
	}
}

// The design's limit: the exact figure is shown where the two differ by a degree or more.
func TestOffTrackDiffers(t *testing.T) {
	assert.False(t, deadreckon.OffTrackBy(1, 20, 40).Differs(), "3.02: 4.50 and 4.29")
	assert.True(t, deadreckon.OffTrackBy(6, 40, 20).Differs(), "3.11: 27.00 and 25.23")
	assert.True(t, deadreckon.OffTrackBy(-6, 40, 20).Differs())
}

func TestOneInSixtyWithoutDistance(t *testing.T) {
	for _, c := range []struct{ off, along, rule, exact float64 }{
		{0, 0, 0, 0},
		{1, 0, 90, 90},
		{-1, 0, -90, -90},
		{1, -1, 90, 135},
		{10, 1, 90, angle.Degrees(math.Atan(10))},
	} {
		rule, exact := deadreckon.OneInSixty(c.off, c.along)
		assert.InDelta(t, c.rule, rule, 1e-9, "%+v", c)
		assert.InDelta(t, c.exact, exact, 1e-9, "%+v", c)
	}
}

func TestOffsetAt(t *testing.T) {
	rule, exact := deadreckon.OffsetAt(1, 60)
	assert.InDelta(t, 6364, exact*air.FeetPerNM, 5, "3.14: a public training page, 1° at 60 nm")
	assert.InDelta(t, 1, rule, 1e-9, "3.14: taken as 6,000 ft")
	rule, exact = deadreckon.OffsetAt(2, 30)
	assert.InDelta(t, 1, rule, 1e-9, "3.15: 2° at 30 nm")
	assert.InDelta(t, 1.048, exact, 0.0005, "3.15")
}

func TestOffsetAtInvertsOneInSixty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(-20, 20).Draw(t, "off")
		along := rapid.Float64Range(20, 200).Draw(t, "along")
		rule, exact := deadreckon.OneInSixty(off, along)
		ruleNM, _ := deadreckon.OffsetAt(rule, along)
		_, exactNM := deadreckon.OffsetAt(exact, along)
		assert.InDelta(t, off, ruleNM, 1e-9)
		assert.InDelta(t, off, exactNM, 1e-9)
		assert.GreaterOrEqual(t, math.Abs(rule), math.Abs(exact)-1e-9, "the rule never says too little")
	})
}

// Flies the turns on a flat earth: the first meets the track where chosen, the second leads along it.
func TestRegainTrackMeetsTheTrack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(-10, 10).Draw(t, "off")
		flown := rapid.Float64Range(5, 60).Draw(t, "flown")
		within := rapid.Float64Range(5, 60).Draw(t, "within")
		turns := deadreckon.RegainTrack(off, flown, within)
		madeGood := angle.Degrees(math.Atan2(off, flown)) // from the planned track, right positive
		first := madeGood + turns.FirstTurnExact
		assert.InDelta(t, 0, off+within*math.Tan(angle.Radians(first)), 1e-9)
		assert.InDelta(t, 0, first+turns.ThenTurnExact, 1e-9)
	})
}

// As taught, without a published example: after the distance flown again, double the track error, then half of it back.
func TestRegainTrackInTheSameDistance(t *testing.T) {
	turns := deadreckon.RegainTrack(2, 30, 30) // 4° right of track, as in case 3.07
	assert.InDelta(t, -8, turns.FirstTurnRule, 1e-9)
	assert.InDelta(t, 4, turns.ThenTurnRule, 1e-9)
}

// A private pilot textbook page (case 3.02): 1 nm right of track after 20 nm with 40 to go: 3 + 1.5 = 4.5°, to the left.
func ExampleOffTrackBy() {
	off := deadreckon.OffTrackBy(1, 20, 40)
	fmt.Printf("track error %.1f°, closing angle %.1f°, turn %.1f°\n", off.TrackErrorRule, off.ClosingRule, off.TurnRule())
	// Output: track error 3.0°, closing angle 1.5°, turn -4.5°
}
