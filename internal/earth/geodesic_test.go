package earth_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/angle"
	"example.com/legclock/internal/earth"
)

const metresPerNM = 1852.0

// The rows of geodesics.txt come from another implementation with another method (elliptic integrals). An azimuth is held to what
// moves the far end by a micrometre, so that the tolerance follows the conditioning: the reduced length says how far the end moves.
func TestGeodesicsAgainstEllipticIntegrals(t *testing.T) {
	const micrometre = 1e-6
	rows := table(t, "geodesics.txt", 8)
	require.Len(t, rows, 226)
	for _, row := range rows {
		from, to := earth.Position{Lat: row[0], Lon: row[1]}, earth.Position{Lat: row[2], Lon: row[3]}
		azimuthStart, azimuthEnd, lengthM, reducedM := row[4], row[5], row[6], math.Abs(row[7])

		got := earth.Inverse(from, to)
		assert.InDelta(t, lengthM, got.DistanceNM*metresPerNM, micrometre, "length %v %v", from, to)
		assert.Less(t, math.Abs(angle.Radians(angle.Turn(azimuthStart, got.AzimuthStart)))*reducedM, micrometre, "azimuth at start %v %v %v", row, to, got)
		assert.Less(t, math.Abs(angle.Radians(angle.Turn(azimuthEnd, got.AzimuthEnd)))*reducedM, micrometre, "azimuth at end %v %v %v", row, to, got)
	}
}
