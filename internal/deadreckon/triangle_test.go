package deadreckon_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/deadreckon"
)

// assertDirection allows for 359.9 being next to 0.1.
func assertDirection(t assert.TestingT, want, got, delta float64, message ...any) {
	assert.InDelta(t, 0, angle.Turn(want, got), delta, append(message, want, got)...)
}

func wind(from, kt float64) air.Wind { return air.Wind{FromTrue: from, SpeedKt: kt} }

// Exact figures are computed from the two relations of the triangle, ±0.05 in the table and half its last digit here;
// published ones were read off a slide rule or a drawing and are good to a degree and a knot.
func TestHeadingFor(t *testing.T) {
	const notPublished = -1
	for _, c := range []struct {
		id, source                             string
		track, tas                             float64
		wind                                   air.Wind
		correction, heading, groundspeed       float64
		publishedHeading, publishedGroundspeed float64
	}{
		{"1.01", "PHAK, navigation chapter, wind triangle", 90, 120, wind(45, 40), -13.63, 76.37, 88.33, notPublished, 88},
		{"1.06", "European question bank, general navigation", 110, 200, wind(15, 40), -11.49, 98.51, 199.48, 99, 199},
		{"1.08", "European question bank, private pilot", 255, 100, wind(200, 10), -4.70, 250.30, 93.93, 250, notPublished},
		{"1.10", "European question bank, general navigation", 60, 130, wind(190, 30), 10.18, 70.18, 147.24, 70, 147},
		{"1.11", "flight computer lesson", 80, 90, wind(140, 20), 11.10, 91.10, 78.32, 91, notPublished},
		{"1.13", "PHAK, flight log (from memory)", 31, 115, wind(360, 10), -2.57, 28.43, 106.31, 28, 106},
		{"1.17", "FAA question bank", 75, 80, wind(175, 20), 14.25, 89.25, 81.01, notPublished, notPublished},
		{"1.36", "pure headwind", 360, 98, wind(360, 15), 0, 0, 83, notPublished, notPublished},
		{"1.37", "pure tailwind", 270, 98, wind(90, 15), 0, 270, 113, notPublished, notPublished},
		{"1.38", "crosswind from the right", 45, 98, wind(135, 18), 10.58, 55.58, 96.33, notPublished, notPublished},
		{"1.40", "heading past north", 358, 98, wind(40, 20), 7.85, 5.85, 82.22, notPublished, notPublished},
		{"16A.02", "composite exercise", 294.69, 101.87, wind(240, 18), -8.29, 286.40, 90.40, notPublished, notPublished},
		{"16A.03", "composite exercise", 328.90, 101.87, wind(240, 18), -10.18, 318.72, 99.92, notPublished, notPublished},
		{"16A.04", "composite exercise", 58.16, 101.87, wind(240, 18), -0.32, 57.84, 119.86, notPublished, notPublished},
		{"16A.05", "composite exercise", 138.40, 101.87, wind(240, 18), 9.97, 148.36, 103.95, notPublished, notPublished},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			got, err := deadreckon.HeadingFor(c.track, c.tas, c.wind)
			require.NoError(t, err)
			assert.InDelta(t, c.correction, got.CorrectionDeg, 0.006)
			assertDirection(t, c.heading, got.HeadingTrue, 0.011)
			assert.InDelta(t, c.groundspeed, got.GroundspeedKt, 0.011)
			if c.publishedHeading != notPublished {
				assertDirection(t, c.publishedHeading, got.HeadingTrue, 1)
			}
			if c.publishedGroundspeed != notPublished {
				assert.InDelta(t, c.publishedGroundspeed, got.GroundspeedKt, 1)
			}
		})
	}
}

func TestTrackFor(t *testing.T) {
	for _, c := range []struct {
		id, source                                                   string
		heading, tas                                                 float64
		wind                                                         air.Wind
		track, groundspeed, publishedTrack, publishedGroundspeed, by float64
	}{
		{"1.02", "US War Department, Mathematics for Air Crew Trainees, p. 73", 315, 150, wind(45, 30), 303.69, 152.97, 304, 153, 1},
		{"1.04", "worked answer on a public maths site", 90, 160, wind(240, 24), 86.20, 181.18, 86, 181.18, 0.5},
		{"1.18", "European question bank, dead reckoning", 29, 250, wind(35, 45), 27.69, 205.30, 28, 205, 1},
		{"1.20", "European question bank, dead reckoning", 355, 90, wind(120, 20), 345.83, 102.79, 346, 102, 1},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			track, groundspeed := deadreckon.TrackFor(c.heading, c.tas, c.wind)
			assertDirection(t, c.track, track, 0.006)
			assert.InDelta(t, c.groundspeed, groundspeed, 0.006)
			assertDirection(t, c.publishedTrack, track, c.by)
			assert.InDelta(t, c.publishedGroundspeed, groundspeed, c.by)
		})
	}
	track, groundspeed := deadreckon.TrackFor(90, 60, wind(90, 60))
	assert.InDelta(t, 0, groundspeed, 1e-9, "the wind stops it")
	assert.False(t, math.IsNaN(track))
}

func TestWindFor(t *testing.T) {
	for _, c := range []struct {
		id, source                                             string
		heading, tas, track, groundspeed                       float64
		from, kt, publishedFrom, publishedKt, byDegrees, byKts float64
	}{
		{"1.05", "worked answer, pilots' forum", 296, 225, 310, 250, 189.8, 63.0, 190, 63, 1, 1},
		{"1.14", "FAA question bank (from memory)", 135, 135, 130, 140, 245.1, 13.0, 246, 13, 2, 1},
		{"1.15", "FAA question bank", 85, 95, 105, 87, 19.0, 32.6, 20, 32, 2, 1},
		{"1.22", "European question bank, level reports", 307, 230, 313, 210, 260.9, 30.5, 260, 30, 1.5, 1.5},
		{"1.23", "European question bank, level reports", 133, 225, 144, 206, 73.1, 45.4, 75, 45, 2, 2},
		{"1.26", "US Navy P-203, Figure 4.6-2; wind computed", 52, 250, 45, 220, 92, 41.5, 92, 41.5, 1, 1},
	} {
		t.Run(c.id+" "+c.source, func(t *testing.T) {
			got := deadreckon.WindFor(c.heading, c.tas, c.track, c.groundspeed)
			if c.id == "1.26" {
				assertDirection(t, c.from, got.FromTrue, 0.5) // given to the degree
			} else {
				assertDirection(t, c.from, got.FromTrue, 0.051)
			}
			assert.InDelta(t, c.kt, got.SpeedKt, 0.051)
			assertDirection(t, c.publishedFrom, got.FromTrue, c.byDegrees)
			assert.InDelta(t, c.publishedKt, got.SpeedKt, c.byKts)
		})
	}
}

// Case 1.42, by definition: 70 kt across and 60 kt of airspeed.
func TestHeadingForUnflyable(t *testing.T) {
	_, err := deadreckon.HeadingFor(90, 60, wind(0, 70))
	require.ErrorIs(t, err, deadreckon.ErrUnflyable)
	assert.EqualError(t, err, "no heading holds this track: 70 kt of crosswind against a true airspeed of 60 kt")
	_, err = deadreckon.HeadingFor(90, 0, air.Wind{})
	require.ErrorIs(t, err, deadreckon.ErrUnflyable, "no airspeed at all")
	_, err = deadreckon.HeadingFor(90, math.NaN(), air.Wind{})
	require.ErrorIs(t, err, deadreckon.ErrUnflyable, "an airspeed that is not a number")
}

// Case 1.43, by definition: held, but blown backwards.
func TestHeadingForNoHeadway(t *testing.T) {
	got, err := deadreckon.HeadingFor(90, 60, wind(95, 65))
	require.ErrorIs(t, err, deadreckon.ErrNoHeadway)
	assert.InDelta(t, 5.42, got.CorrectionDeg, 0.005)
	assert.InDelta(t, -5.02, got.GroundspeedKt, 0.005)
	assert.True(t, math.IsInf(deadreckon.Minutes(10, got.GroundspeedKt), 1))
}

// What is left of a headwind as strong as the airspeed by rounding is no headway, nor is anything below a tenth of a knot.
func TestHeadingForNextToNoHeadway(t *testing.T) {
	for _, against := range []float64{60, 60 - 1e-13, 59.95} {
		_, err := deadreckon.HeadingFor(90, 60, wind(90, against))
		require.ErrorIs(t, err, deadreckon.ErrNoHeadway)
	}
	got, err := deadreckon.HeadingFor(90, 60, wind(90, 59.5))
	require.NoError(t, err)
	assert.InDelta(t, 0.5, got.GroundspeedKt, 1e-9)
}

func drawTriangle(t *rapid.T) (direction, tas float64, w air.Wind) {
	return rapid.Float64Range(0, 359.99).Draw(t, "direction"),
		rapid.Float64Range(30, 300).Draw(t, "tas"),
		wind(rapid.Float64Range(0, 359.99).Draw(t, "from"), rapid.Float64Range(0, 120).Draw(t, "kt"))
}

func TestHeadingForAndTrackForAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas, w := drawTriangle(t)
		heading, err := deadreckon.HeadingFor(track, tas, w)
		if err != nil {
			t.Skip("no such triangle")
		}
		gotTrack, gotGroundspeed := deadreckon.TrackFor(heading.HeadingTrue, tas, w)
		assert.InDelta(t, heading.GroundspeedKt, gotGroundspeed, 1e-6)
		if gotGroundspeed > 0.01 { // a track made good at no speed has no direction
			assertDirection(t, track, gotTrack, 1e-4)
		}
		assertDirection(t, track+heading.CorrectionDeg, heading.HeadingTrue, 1e-9)
	})
}

// Tries every heading: the sign of the movement across the track must change somewhere exactly if the track can be held.
func TestHeadingForRefusesOnlyWhatCannotBeFlown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		track, tas, w := drawTriangle(t)
		heading, err := deadreckon.HeadingFor(track, tas, w)
		leftmost, rightmost, best := math.Inf(1), math.Inf(-1), math.Inf(-1)
		previousAcross := math.NaN()
		for tenths := 0; tenths <= 3601; tenths++ {
			made, groundspeed := deadreckon.TrackFor(float64(tenths)/10, tas, w)
			across := groundspeed * angle.Sin(made-track)
			along := groundspeed * angle.Cos(made-track)
			leftmost, rightmost = min(leftmost, across), max(rightmost, across)
			if previousAcross*across <= 0 {
				best = max(best, along)
			}
			previousAcross = across
		}
		switch _, crosswind := w.Along(track); {
		case math.Abs(math.Abs(crosswind)-tas) < 0.01*tas:
			t.Skip("too near the limit for headings a tenth of a degree apart")
		case leftmost > 0 || rightmost < 0:
			assert.ErrorIs(t, err, deadreckon.ErrUnflyable)
		case best < -1:
			assert.ErrorIs(t, err, deadreckon.ErrNoHeadway)
		case best > 1:
			assert.NoError(t, err)
			assert.InDelta(t, best, heading.GroundspeedKt, 1)
		}
	})
}

func TestWindForInvertsTrackFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		heading, tas, w := drawTriangle(t)
		track, groundspeed := deadreckon.TrackFor(heading, tas, w)
		got := deadreckon.WindFor(heading, tas, track, groundspeed)
		wantNorth, wantEast := w.Components()
		north, east := got.Components()
		assert.InDelta(t, wantNorth, north, 1e-9)
		assert.InDelta(t, wantEast, east, 1e-9)
	})
}

// Same manual as case 1.02, p. 73 (case 1.03): on heading 056 with 14° of left drift the track is 042.
func TestDrift(t *testing.T) {
	assert.InDelta(t, -14, deadreckon.Drift(56, 42), 1e-9)
	assert.InDelta(t, 8, deadreckon.Drift(356, 4), 1e-9)
}

// PHAK, navigation chapter, the wind triangle (case 1.01): track 090, 120 kt, wind 045/40 gives a groundspeed of 88 kt.
func ExampleHeadingFor() {
	heading, err := deadreckon.HeadingFor(90, 120, air.Wind{FromTrue: 45, SpeedKt: 40})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("correction %.0f°, heading %03.0f, %.0f kt\n", heading.CorrectionDeg, heading.HeadingTrue, heading.GroundspeedKt)
	// Output: correction -14°, heading 076, 88 kt
}

// US War Department, Mathematics for Air Crew Trainees, exercise b(2), p. 73 (case 1.02), in miles an hour: heading 315, 150,
// wind 045/30 makes good 304 at 153.
func ExampleTrackFor() {
	track, groundspeed := deadreckon.TrackFor(315, 150, air.Wind{FromTrue: 45, SpeedKt: 30})
	fmt.Printf("%03.0f at %.0f\n", track, groundspeed)
	// Output: 304 at 153
}

// A worked answer from a pilots' forum (case 1.05): heading 296 at 225 kt, made good 310 at 250 kt.
func ExampleWindFor() {
	fmt.Println(deadreckon.WindFor(296, 225, 310, 250))
	// Output: 190/63
}

func BenchmarkHeadingFor(b *testing.B) {
	w := wind(240, 22)
	for b.Loop() {
		_, _ = deadreckon.HeadingFor(133, 98, w)
	}
}
