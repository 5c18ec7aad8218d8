package earth

import "math"

// Abeam returns where a point lies abeam the geodesic through two positions: how far along it from the first position is
// the foot of the perpendicular, and how far to the right of it is the point, in nautical miles. alongNM is negative
// for a foot before the first position and may exceed the distance to the second; rightNM is negative to the left.
//
// If the two positions are the same place, the geodesic is taken to run north.
func Abeam(from, to, point Position) (alongNM, rightNM float64) {
	return NewLine(from, to).Abeam(point)
}

// Abeam is the function of the same name for a prepared line.
//
// The foot is found by solving the right-angled spherical triangle at the last estimate; as the ellipsoid is nearly a
// sphere, each round shrinks the error some hundredfold. Points close to a quarter of the way round the
// earth from the line have no well-defined foot.
func (l Line) Abeam(point Position) (alongNM, rightNM float64) {
	const (
		radiusNM = 3440.07 // mean radius of the earth: only the speed of convergence depends on it
		accuracy = 1e-8    // nm: 20 micrometres
		rounds   = 30
	)
	for range rounds {
		foot, azimuth := l.At(alongNM)
		offset := Inverse(foot, point)
		relative := unitDegrees(offset.AzimuthStart - azimuth)
		distance := unitRadians(offset.DistanceNM / radiusNM)
		step := radiusNM * math.Atan2(distance.sin*relative.cos, distance.cos)
		alongNM += step
		rightNM = offset.DistanceNM * relative.sin
		if math.Abs(step) < accuracy {
			break
		}
	}
	return alongNM, rightNM
}
