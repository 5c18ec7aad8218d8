package earth

import (
	"math"

	"example.com/legclock/internal/angle"
)

// Line is the geodesic through two positions, prepared so that points along it are cheap to find. The zero Line is of no use.
type Line struct {
	from       Position
	distanceNM float64

	radianNM  float64 // distance along the geodesic for a radian of τ
	equator   unit    // azimuth at the northward crossing of the equator
	sigma     unit    // arc from that crossing to the start, on the auxiliary sphere
	tau       unit    // the same in terms of distance
	omega     unit    // longitude from the crossing to the start, on the auxiliary sphere
	tauLead   float64 // τ - σ at the start
	lambda    float64 // what turns an arc into the ellipsoid's share of longitude
	lambdaArc float64 // C3 at the start
	arcs      sineSeries
	longitude sineSeries
}

// NewLine prepares the geodesic from one position to another. If the two are the same place it runs north.
func NewLine(from, to Position) Line {
	geodesic := Inverse(from, to)
	line := newLine(from, geodesic.AzimuthStart)
	line.distanceNM = geodesic.DistanceNM
	return line
}

func newLine(from Position, azimuthTrue float64) Line {
	alpha, beta := unitDegrees(azimuthTrue), reducedLatitude(from.Lat)
	equator := unit{alpha.sin * beta.cos, math.Hypot(alpha.cos, alpha.sin*beta.sin)}

	start := unit{beta.sin, beta.cos * alpha.cos}
	if start.sin == 0 && start.cos == 0 {
		start.cos = 1
	}
	sigma := start.normalised()

	eps := expansionParameter(equator.cos)
	distances := distanceSeries(eps)
	line := Line{
		from:      from,
		radianNM:  polarRadiusM * distanceScale(eps) / metresPerNM,
		equator:   equator,
		sigma:     sigma,
		omega:     unit{equator.sin * sigma.sin, sigma.cos},
		tauLead:   distances.at(sigma),
		lambda:    -flattening * equator.sin * longitudeScale(eps),
		arcs:      arcSeries(eps),
		longitude: longitudeSeries(eps),
	}
	line.tau = sigma.plus(unitRadians(line.tauLead))
	line.lambdaArc = line.longitude.at(sigma)
	return line
}

// DistanceNM is the length of the geodesic from the first position to the second.
func (l Line) DistanceNM() float64 { return l.distanceNM }

// At returns the position a distance along the line from its first position, and the line's true azimuth there in
// [0, 360). The distance may be negative or reach beyond the second position.
func (l Line) At(alongNM float64) (at Position, azimuthTrue float64) {
	tau := alongNM / l.radianNM
	arc := tau + l.arcs.at(l.tau.plus(unitRadians(tau))) + l.tauLead
	sigma := l.sigma.plus(unitRadians(arc))

	beta := unit{l.equator.cos * sigma.sin, math.Hypot(l.equator.sin, l.equator.cos*sigma.cos)}
	if beta.cos == 0 { // over a pole on a meridian
		beta.cos, sigma.cos = tiny, tiny
	}
	omega := unit{l.equator.sin * sigma.sin, sigma.cos}
	lambda := omega.minus(l.omega).radians() + l.lambda*(arc+l.longitude.at(sigma)-l.lambdaArc)

	at = Position{
		Lat: unit{beta.sin, axisRatio * beta.cos}.degrees(),
		Lon: wrapLongitude(l.from.Lon + angle.Degrees(lambda)),
	}
	return at, angle.Wrap360(unit{l.equator.sin, l.equator.cos * sigma.cos}.degrees())
}

// wrapLongitude leaves a longitude within (-180, 180] exactly as it is.
func wrapLongitude(longitude float64) float64 {
	if longitude > -180 && longitude <= 180 {
		return longitude
	}
	return angle.Wrap180(longitude)
}

// Direct returns the position reached after a distance along the geodesic that starts with a true azimuth, and the
// true azimuth there in [0, 360), continuing forward. A negative distance goes backwards along the same geodesic.
//
// Karney 2013 (see the package's sources); the error is below a micrometre.
func Direct(from Position, azimuthTrue, distanceNM float64) (to Position, azimuthEnd float64) {
	return newLine(from, azimuthTrue).At(distanceNM)
}

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
