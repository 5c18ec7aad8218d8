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

const metresPerNM = 1852.0

// TestInverseReferenceCases holds the cases of the geodesics chapter: 5.01 to 5.22 computed with python3-geographiclib 2.0 and
// cross-checked with GeodSolve 2.1.2.
func TestInverseReferenceCases(t *testing.T) {
	const millimetre, microdegree = 1e-3, 1e-6
	for _, c := range []struct {
		id                                string
		lat1, lon1, lat2, lon2            float64
		lengthM, azimuthStart, azimuthEnd float64
	}{
		{"5.01", 51.5, -0.5, 51.6, -0.4, 13111.0429, 31.902408, 31.980723},
		{"5.02", 50, 5, 50, 5.2, 14339.1465, 89.923396, 90.076604},
		{"5.03", 35.0974, -97.9673, 35.8498, -97.4156, 97343.2149, 30.796388, 31.116564},
		{"5.04", 45, -100, 46, -98.5, 161539.9201, 45.995906, 47.065852},
		{"5.05", 47.25, -68.75, 44.5, -70.25, 327075.5523, 201.398251, 200.321176},
		{"5.07", 60, 10, 61.5, 14, 274720.9605, 50.806175, 54.296797},
		{"5.08", 69.65, 18.96, 78.22, 15.65, 961535.86, 355.483961, 352.29424},
		{"5.10", -17.75, 177.45, -14.33, -170.71, 1321958.4277, 75.069955, 71.786135},
		{"5.11", 51.88, 176.65, 52.83, -174.2, 631867.3518, 76.770846, 84.021917},
		{"5.13", 0, 100, 1, 100, 110574.3886, 0, 0},
		{"5.14", -33.95, 151.18, -37.67, 144.84, 705897.7624, 232.409036, 236.123028},
		{"5.15", -54.84, -68.3, -51.82, -58.45, 736413.4035, 66.895443, 58.985172},
		{"5.16", 40.6413, -73.7781, 51.47, -0.4543, 5554908.7905, 51.381648, 107.982829},
		{"5.19", 48, 11, 48.0833333333, 11, 9265.9277, 0, 0},
		{"5.20", 64.13, -21.94, 70.48, -21.95, 708185.7855, 359.969755, 359.960515},
		{"5.22", 0, 179.9, 0.5, -179.9, 59601.4919, 21.933893, 21.934765},
	} {
		t.Run(c.id, func(t *testing.T) {
			got := earth.Inverse(earth.Position{Lat: c.lat1, Lon: c.lon1}, earth.Position{Lat: c.lat2, Lon: c.lon2})
			assert.InDelta(t, c.lengthM, got.DistanceNM*metresPerNM, millimetre)
			assert.InDelta(t, 0, angle.Turn(c.azimuthStart, got.AzimuthStart), microdegree)
			assert.InDelta(t, 0, angle.Turn(c.azimuthEnd, got.AzimuthEnd), microdegree)
		})
	}
}

func TestDirectReferenceCases(t *testing.T) {
	for _, c := range []struct {
		id                              string
		lat, lon, azimuth, distanceNM   float64
		latTo, lonTo, azimuthEnd        float64
		degreesTolerance, azimuthWithin float64
	}{
		{"5.23", 51, 0, 90, 60, 50.989278445, 1.582715185, 91.229939, 1e-8, 1e-6},
		{"5.24", 35, -98, 31, 53, 35.75705859, -97.441030427, 31.323639, 1e-8, 1e-6},
		{"5.25", -40, 175, 225, 120, -41.400065975, 173.120837753, 226.225555, 1e-8, 1e-6},
		{"5.27", 70, 25, 10, 200, 73.25959423, 26.999085979, 11.898, 1e-8, 1e-6},
		{"5.30", 65, -150, 270, 150, 64.884223294, -155.871709768, 264.680095, 1e-8, 1e-6},
		{"5.36", 40, 0, 30, 1e7 / metresPerNM, 41.79331020506, 137.84490004377, 149.09016931807, 1e-9, 1e-9},
	} {
		t.Run(c.id, func(t *testing.T) {
			to, azimuthEnd := earth.Direct(earth.Position{Lat: c.lat, Lon: c.lon}, c.azimuth, c.distanceNM)
			assert.InDelta(t, c.latTo, to.Lat, c.degreesTolerance)
			assert.InDelta(t, c.lonTo, to.Lon, c.degreesTolerance)
			assert.InDelta(t, c.azimuthEnd, azimuthEnd, c.azimuthWithin)
		})
	}
}

// Karney's test vectors, in the test suite of his library: cases 5.31, 5.32, 5.33.
func TestInversePublishedVectors(t *testing.T) {
	const micrometre, nanodegree = 1e-6, 1e-9
	for _, c := range []struct {
		id                                string
		lat1, lon1, lat2, lon2            float64
		lengthM, azimuthStart, azimuthEnd float64
	}{
		{"5.31", 35.60777, -139.44815, -11.17491, -69.95921, 8935244.560482, 111.098748429560, 129.289270889709},
		{"5.32", 55.52454, 106.05087, 77.03196, 197.18234, 4105086.171392, 22.020059880983, 109.112041110672},
		{"5.33", -19.79938, -174.47484, -11.99349, -154.35109, 2319004.860117, 71.167275780172, 65.589099775199},
	} {
		t.Run(c.id, func(t *testing.T) {
			got := earth.Inverse(earth.Position{Lat: c.lat1, Lon: c.lon1}, earth.Position{Lat: c.lat2, Lon: c.lon2})
			assert.InDelta(t, c.lengthM, got.DistanceNM*metresPerNM, micrometre)
			assert.InDelta(t, c.azimuthStart, got.AzimuthStart, nanodegree)
			assert.InDelta(t, c.azimuthEnd, got.AzimuthEnd, nanodegree)
		})
	}
}

func TestInverseOfOnePlaceHasNoAzimuth(t *testing.T) { // case 5.18
	assert.Equal(t, earth.Geodesic{}, earth.Inverse(earth.Position{Lat: 10, Lon: 20}, earth.Position{Lat: 10, Lon: 20}))
	assert.Equal(t, earth.Geodesic{}, earth.Inverse(earth.Position{Lat: 10, Lon: 180}, earth.Position{Lat: 10, Lon: -180}))
	assert.Equal(t, earth.Geodesic{}, earth.Inverse(earth.Position{Lat: 90, Lon: 20}, earth.Position{Lat: 90, Lon: -75}))
}

// Case 5.35, the points of an example in GeographicLib's documentation, and 5.37, which shows that the ellipsoid is not a sphere: on a
// sphere of mean radius the same leg is 0.1 % longer.
func TestInverseIsOnTheEllipsoid(t *testing.T) {
	long := earth.Inverse(earth.Position{Lat: 40.6, Lon: -73.8}, earth.Position{Lat: 51.6, Lon: -0.5})
	assert.InDelta(t, 5551759.4003, long.DistanceNM*metresPerNM, 1e-3)

	from, to := earth.Position{Lat: 35.0974, Lon: -97.9673}, earth.Position{Lat: 35.8498, Lon: -97.4156}
	const sphereNM = 6371.0088 / 1.852
	onSphere := sphereNM * math.Acos(angle.Sin(from.Lat)*angle.Sin(to.Lat)+
		angle.Cos(from.Lat)*angle.Cos(to.Lat)*angle.Cos(to.Lon-from.Lon))
	assert.InDelta(t, 52.6157, onSphere, 0.001)
	assert.InDelta(t, 52.56113, earth.Inverse(from, to).DistanceNM, 1e-5)
}

// The rows of geodesics.txt come from another implementation by another method (elliptic integrals), near-antipodal points included.
// An azimuth is held to what moves the far end by a micrometre: the reduced length is how far the end moves for a radian.
func TestInverseAgainstEllipticIntegrals(t *testing.T) {
	const micrometre = 1e-6
	rows := table(t, "geodesics.txt", 8)
	require.Len(t, rows, 226)
	for _, row := range rows {
		from, to := earth.Position{Lat: row[0], Lon: row[1]}, earth.Position{Lat: row[2], Lon: row[3]}
		azimuthStart, azimuthEnd, lengthM, reducedM := row[4], row[5], row[6], math.Abs(row[7])

		got := earth.Inverse(from, to)
		assert.InDelta(t, lengthM, got.DistanceNM*metresPerNM, micrometre, "length, row %v", row)
		sideways := func(want, got float64) float64 { return angle.Radians(angle.Turn(want, got)) * reducedM }
		assert.InDelta(t, 0, sideways(azimuthStart, got.AzimuthStart), micrometre, "azimuth at start, row %v: %v", row, got)
		assert.InDelta(t, 0, sideways(azimuthEnd, got.AzimuthEnd), micrometre, "azimuth at end, row %v: %v", row, got)
	}
}

func TestDirectAgainstEllipticIntegrals(t *testing.T) {
	const micrometre = 1e-6
	for _, row := range table(t, "geodesics.txt", 8) {
		to := earth.Position{Lat: row[2], Lon: row[3]}
		got, _ := earth.Direct(earth.Position{Lat: row[0], Lon: row[1]}, row[4], row[6]/metresPerNM)
		assert.InDelta(t, 0, metresApart(to, got), micrometre, "row %v: %v, %v", row, got.Lat, got.Lon)
	}
}

// metresApart is the distance through the earth: it owes nothing to the sums under test.
func metresApart(a, b earth.Position) float64 {
	const radius, flattening = 6378137.0, 1 / 298.257223563
	const eccentricity2 = flattening * (2 - flattening)
	cartesian := func(p earth.Position) (x, y, z float64) {
		sin, cos := math.Sincos(angle.Radians(p.Lat))
		normal := radius / math.Sqrt(1-eccentricity2*sin*sin)
		return normal * cos * angle.Cos(p.Lon), normal * cos * angle.Sin(p.Lon), normal * (1 - eccentricity2) * sin
	}
	ax, ay, az := cartesian(a)
	bx, by, bz := cartesian(b)
	return math.Sqrt((ax-bx)*(ax-bx) + (ay-by)*(ay-by) + (az-bz)*(az-bz))
}

func TestDirectReachesWhereInversePoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := drawPosition(t, "from"), drawPosition(t, "to")
		geodesic := earth.Inverse(from, to)
		reached, azimuthEnd := earth.Direct(from, geodesic.AzimuthStart, geodesic.DistanceNM)
		assert.InDelta(t, 0, metresApart(to, reached), 1e-6)
		if geodesic.DistanceNM > 1 && math.Abs(to.Lat) < 89.9 { // at a pole the azimuth hangs on the longitude
			assert.InDelta(t, 0, angle.Turn(geodesic.AzimuthEnd, azimuthEnd), 1e-8)
		}
	})
}

func TestInverseConvergesForNearAntipodes(t *testing.T) {
	const halfMeridianNM = 20003931.4586255 / metresPerNM // computed with GeodSolve, GeographicLib 2.1.2: pole to pole
	rapid.Check(t, func(t *rapid.T) {
		from := drawPosition(t, "from")
		miss := math.Pow(10, rapid.Float64Range(-12, 0.5).Draw(t, "log miss"))
		to := earth.Position{
			Lat: max(-90, min(90, -from.Lat+miss*rapid.Float64Range(-1, 1).Draw(t, "north"))),
			Lon: angle.Wrap180(from.Lon + 180 + miss*rapid.Float64Range(-1, 1).Draw(t, "east")),
		}
		geodesic := earth.Inverse(from, to)
		reached, _ := earth.Direct(from, geodesic.AzimuthStart, geodesic.DistanceNM)
		assert.InDelta(t, 0, metresApart(to, reached), 1e-6)
		assert.LessOrEqual(t, geodesic.DistanceNM, halfMeridianNM+1e-9)
		assert.GreaterOrEqual(t, geodesic.DistanceNM, halfMeridianNM-61*math.Sqrt2*miss-1e-9, "antipodes are half a meridian apart")
	})
}

func TestInverseOfDirectGivesBackAzimuthAndDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := earth.Position{
			Lat: rapid.Float64Range(-89, 89).Draw(t, "latitude"),
			Lon: rapid.Float64Range(-180, 180).Draw(t, "longitude"),
		}
		azimuth := rapid.Float64Range(0, 360).Draw(t, "azimuth")
		distanceNM := rapid.Float64Range(1, 10000).Draw(t, "distance")
		to, azimuthEnd := earth.Direct(from, azimuth, distanceNM)
		require.True(t, to.Valid())
		require.True(t, azimuthEnd >= 0 && azimuthEnd < 360)
		got := earth.Inverse(from, to)
		assert.InDelta(t, distanceNM, got.DistanceNM, 1e-9)
		assert.InDelta(t, 0, angle.Turn(azimuth, got.AzimuthStart), 1e-8)
	})
}

func TestDirectBackwardsIsDirectTheOtherWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := drawPosition(t, "from")
		azimuth := rapid.Float64Range(0, 360).Draw(t, "azimuth")
		distanceNM := rapid.Float64Range(0, 10000).Draw(t, "distance")
		backwards, _ := earth.Direct(from, azimuth, -distanceNM)
		turned, _ := earth.Direct(from, azimuth+180, distanceNM)
		assert.InDelta(t, 0, metresApart(backwards, turned), 1e-6)
	})
}

func TestInverseIsSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPosition(t, "a"), drawPosition(t, "b")
		there, back := earth.Inverse(a, b), earth.Inverse(b, a)
		assert.InDelta(t, there.DistanceNM, back.DistanceNM, 1e-9)
		if there.DistanceNM > 1 && there.DistanceNM < 10000 { // elsewhere the azimuth is ill-defined
			assert.InDelta(t, 0, angle.Turn(angle.Reciprocal(there.AzimuthEnd), back.AzimuthStart), 1e-7)
			assert.InDelta(t, 0, angle.Turn(angle.Reciprocal(there.AzimuthStart), back.AzimuthEnd), 1e-7)
		}
	})
}

func TestDistancesObeyTheTriangle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawPosition(t, "a"), drawPosition(t, "b"), drawPosition(t, "c")
		ab, bc, ac := earth.Inverse(a, b).DistanceNM, earth.Inverse(b, c).DistanceNM, earth.Inverse(a, c).DistanceNM
		assert.LessOrEqual(t, ac, ab+bc+1e-9)
		assert.GreaterOrEqual(t, ac, math.Abs(ab-bc)-1e-9)
		assert.GreaterOrEqual(t, ac*metresPerNM, metresApart(a, c)-1e-6, "no shorter than through the earth")
	})
}
