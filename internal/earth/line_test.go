package earth_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
)

func TestLineRunsThroughBothEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawPosition(t, "from"), drawPosition(t, "to")
		line, geodesic := earth.NewLine(from, to), earth.Inverse(from, to)
		assert.Equal(t, geodesic.DistanceNM, line.DistanceNM())

		start, azimuth := line.At(0)
		assert.InDelta(t, 0, metresApart(from, start), 1e-6)
		if math.Abs(from.Lat) < 89.9 {
			assert.InDelta(t, 0, angle.Turn(geodesic.AzimuthStart, azimuth), 1e-8)
		}
		end, _ := line.At(line.DistanceNM())
		assert.InDelta(t, 0, metresApart(to, end), 1e-6)
	})
}

// Anywhere on a line, and beyond its ends, the rest of the way is a geodesic of the length and azimuth that the line says.
func TestLineGoesOnStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawPosition(t, "from"), drawPosition(t, "to")
		line := earth.NewLine(from, to)
		here := rapid.Float64Range(-2000, 12000).Draw(t, "here")
		further := rapid.Float64Range(1, 5000).Draw(t, "further")
		position, azimuth := line.At(here)
		if math.Abs(position.Lat) > 89.9 { // at a pole the azimuth hangs on the longitude
			return
		}
		got := earth.Inverse(position, first(line.At(here+further)))
		assert.InDelta(t, further, got.DistanceNM, 1e-8)
		assert.InDelta(t, 0, angle.Turn(azimuth, got.AzimuthStart), 1e-7)
	})
}

func first(p earth.Position, _ float64) earth.Position { return p }

// The rows of abeam.txt were found by searching for the least distance with another implementation.
func TestAbeamAgainstSearchForLeastDistance(t *testing.T) {
	const millimetre = 1e-3
	rows := table(t, "abeam.txt", 8)
	require.Len(t, rows, 45)
	for _, row := range rows {
		alongNM, rightNM := earth.Abeam(
			earth.Position{Lat: row[0], Lon: row[1]}, earth.Position{Lat: row[2], Lon: row[3]},
			earth.Position{Lat: row[4], Lon: row[5]})
		assert.InDelta(t, row[6], alongNM*metresPerNM, millimetre, "along, row %v", row)
		assert.InDelta(t, row[7], rightNM*metresPerNM, millimetre, "right, row %v", row)
	}
}

func drawLeg(t *rapid.T) (from, to earth.Position) {
	from = earth.Position{
		Lat: rapid.Float64Range(-85, 85).Draw(t, "latitude"),
		Lon: rapid.Float64Range(-180, 180).Draw(t, "longitude"),
	}
	to, _ = earth.Direct(from, rapid.Float64Range(0, 360).Draw(t, "azimuth"), rapid.Float64Range(1, 500).Draw(t, "length"))
	return from, to
}

// A point set off at a right angle from a place on the line lies abeam that place, on that side, at that distance.
func TestAbeamUndoesAnOffsetAtARightAngle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawLeg(t)
		alongNM := rapid.Float64Range(-1500, 1500).Draw(t, "along")
		rightNM := rapid.Float64Range(-1500, 1500).Draw(t, "right")
		foot, azimuth := earth.NewLine(from, to).At(alongNM)
		point, _ := earth.Direct(foot, azimuth+90, rightNM)

		gotAlong, gotRight := earth.Abeam(from, to, point)
		assert.InDelta(t, alongNM, gotAlong, 1e-6)
		assert.InDelta(t, rightNM, gotRight, 1e-6)
	})
}

func TestAbeamOfAPointOnTheLineIsZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawLeg(t)
		alongNM := rapid.Float64Range(-2000, 2000).Draw(t, "along")
		point, _ := earth.NewLine(from, to).At(alongNM)
		gotAlong, gotRight := earth.Abeam(from, to, point)
		assert.InDelta(t, alongNM, gotAlong, 1e-7)
		assert.InDelta(t, 0, gotRight, 1e-7)
	})
}

func TestAbeamTheOtherWayIsOnTheOtherSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawLeg(t)
		point, _ := earth.Direct(from, rapid.Float64Range(0, 360).Draw(t, "bearing"), rapid.Float64Range(0, 1000).Draw(t, "away"))
		along, right := earth.Abeam(from, to, point)
		alongBack, rightBack := earth.Abeam(to, from, point)
		assert.InDelta(t, right, -rightBack, 1e-6)
		assert.InDelta(t, along, earth.NewLine(from, to).DistanceNM()-alongBack, 1e-6)
	})
}

func TestAbeamOfALineWithoutLengthRunsNorth(t *testing.T) {
	here := earth.Position{Lat: 56, Lon: -4}
	point, _ := earth.Direct(here, 90, 5)
	along, right := earth.Abeam(here, here, point)
	assert.InDelta(t, 0, along, 0.01)
	assert.InDelta(t, 5, right, 0.01)
}

// What is known at a glance of where a point lies abeam is never out by more than it says, and of a point that is near says something.
func TestAboutAbeamIsWithinWhatItSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := drawPosition(t, "from")
		to, _ := earth.Direct(from, rapid.Float64Range(0, 360).Draw(t, "track"), rapid.Float64Range(0, 700).Draw(t, "length"))
		line := earth.NewLine(from, to)
		at, azimuth := line.At(rapid.Float64Range(-300, 1000).Draw(t, "along"))
		point, _ := earth.Direct(at, azimuth+90, rapid.Float64Range(-300, 300).Draw(t, "right"))
		got, within := line.AboutAbeam(point)
		if apart := metresApart(from, point) / metresPerNM; apart < 600 {
			require.Less(t, within, 0.02*apart+0.01)
		}
		exact, _ := line.Abeam(point)
		require.InDelta(t, exact, got, min(within, 1e9))
	})
}

// Two positions are never farther apart than is said of them at a glance, and if they are close together hardly less.
func TestAtMostIsNeverLessThanTheDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := drawPosition(t, "from")
		to := drawPosition(t, "to")
		near := rapid.Bool().Draw(t, "near")
		if near {
			to, _ = earth.Direct(from, rapid.Float64Range(0, 360).Draw(t, "track"), rapid.Float64Range(0, 10).Draw(t, "length"))
		}
		exact, atMost := earth.Inverse(from, to).DistanceNM, earth.AtMostNM(from, to)
		require.LessOrEqual(t, exact, atMost)
		if near && math.Abs(from.Lat) < 80 {
			require.LessOrEqual(t, atMost, 1.03*exact+1e-8)
		}
	})
}
