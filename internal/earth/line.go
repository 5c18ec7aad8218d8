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

	// On a sphere, for a rough look: the first position, and the direction from there to the second. Only a line of two positions has them.
	start, ahead vector
}

// NewLine prepares the geodesic from one position to another. If the two are the same place it runs north.
func NewLine(from, to Position) Line {
	geodesic := Inverse(from, to)
	line := newLine(from, geodesic.AzimuthStart)
	line.distanceNM = geodesic.DistanceNM
	line.start = vectorOf(from)
	azimuth, lat, lon := unitDegrees(geodesic.AzimuthStart), unitDegrees(from.Lat), unitDegrees(from.Lon)
	line.ahead = vector{
		-azimuth.cos*lat.sin*lon.cos - azimuth.sin*lon.sin,
		-azimuth.cos*lat.sin*lon.sin + azimuth.sin*lon.cos,
		azimuth.cos * lat.cos,
	}
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
		accuracy = 1e-8 // nm: 20 micrometres
		rounds   = 30
	)
	for range rounds {
		foot, azimuth := l.At(alongNM)
		offset := Inverse(foot, point)
		relative := unitDegrees(offset.AzimuthStart - azimuth)
		distance := unitRadians(offset.DistanceNM / meanRadiusNM)
		step := meanRadiusNM * math.Atan2(distance.sin*relative.cos, distance.cos)
		alongNM += step
		rightNM = offset.DistanceNM * relative.sin
		if math.Abs(step) < accuracy {
			break
		}
	}
	return alongNM, rightNM
}

// meanRadiusNM is that of the earth. Of what Abeam gives only the speed of convergence depends on it.
const meanRadiusNM = 3440.07

// AboutAbeam is how far along a line a point lies abeam, on a sphere, in a small part of the time that Abeam takes, and by how much Abeam may have
// it otherwise at most; that is infinite for a point far away. The line is one of two positions.
//
// A degree of latitude or longitude is as long on the ellipsoid as on the sphere to within 0.7 %, and so is what it makes of a distance and, by
// the angle, of one to the side.
func (l *Line) AboutAbeam(point Position) (alongNM, withinNM float64) {
	const (
		share      = 0.01 // of how far away the point is
		roundingNM = 1e-3
		farNM      = 1000
	)
	at := vectorOf(point)
	east, up := at.dot(l.ahead), at.dot(l.start)
	alongNM = meanRadiusNM * math.Atan2(east, up)
	rightNM := meanRadiusNM * math.Acos(min(1, math.Hypot(east, up)))
	awayNM := math.Abs(alongNM) + rightNM
	if awayNM > farNM {
		return alongNM, math.Inf(1)
	}
	return alongNM, share*awayNM + roundingNM
}

// AtMostNM is a distance in nautical miles that two positions surely are not farther apart, in a small part of the time that Inverse takes, and hardly
// more than they are where they are close together, away from the poles.
//
// It is the length, on a sphere whose degree is the ellipsoid's longest, that of a meridian at the pole, of the way on which latitude and longitude
// change evenly, all of it where the parallels are longest. No way is shorter than the geodesic.
func AtMostNM(from, to Position) float64 {
	const (
		degreeNM   = 60.311 // the polar radius of curvature, 6399593.6 m, times π/180
		roundingNM = 1e-9   // two micrometres, where Inverse may be out by one
	)
	parallel := math.Min(math.Abs(from.Lat), math.Abs(to.Lat))
	if from.Lat*to.Lat < 0 {
		parallel = 0
	}
	return degreeNM*math.Hypot(to.Lat-from.Lat, angle.Cos(parallel)*angle.Wrap180(to.Lon-from.Lon)) + roundingNM
}

// vector is a place or a direction in space, by the earth's axes.
type vector [3]float64

// vectorOf is a position on a sphere of radius 1.
func vectorOf(p Position) vector {
	lat, lon := unitRadians(angle.Radians(p.Lat)), unitRadians(angle.Radians(p.Lon))
	return vector{lat.cos * lon.cos, lat.cos * lon.sin, lat.sin}
}

func (v vector) dot(w vector) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }
