package earth

import (
	"math"

	"example.com/legclock/internal/angle"
)

// Geodesic is a shortest path on the WGS-84 ellipsoid. Both azimuths are true, in [0, 360) degrees, and point forward
// along the path: AzimuthEnd is the direction in which it would go on.
type Geodesic struct{ DistanceNM, AzimuthStart, AzimuthEnd float64 }

// Inverse returns the geodesic from one position to another. Where several are equally short (from pole to pole, between
// antipodes) it is one of them; where the two positions are the same place there is no azimuth, and both are 0.
//
// Karney 2013 (see the package's sources); the error is below a micrometre, near-antipodal points included.
func Inverse(from, to Position) Geodesic {
	longitude := angle.Wrap180(to.Lon - from.Lon)
	east, along, north := math.Copysign(1, longitude), 1.0, 1.0
	lat1, lat2 := from.Lat, to.Lat
	if math.Abs(lat1) < math.Abs(lat2) {
		lat1, lat2, along = lat2, lat1, -1
	}
	if lat1 >= 0 { // on the equator too: of two mirrored geodesics take the northern
		lat1, lat2, north = -lat1, -lat2, -1
	}

	solution := inverseProblem{
		beta1:  reducedLatitude(lat1),
		beta2:  reducedLatitude(lat2),
		lambda: unitDegrees(math.Abs(longitude)),
	}.solve()
	if solution.distanceM < 1e-9 {
		return Geodesic{}
	}
	alpha1, alpha2 := solution.alpha1, solution.alpha2
	if along < 0 {
		alpha1, alpha2 = alpha2, alpha1
	}
	azimuth := func(alpha unit) float64 {
		return angle.Wrap360(unit{east * alpha.sin, along * north * alpha.cos}.degrees())
	}
	return Geodesic{solution.distanceM / metresPerNM, azimuth(alpha1), azimuth(alpha2)}
}

// inverseProblem is the inverse problem in the paper's canonical form: reduced latitudes beta1 ≤ 0 and
// beta1 ≤ beta2 ≤ -beta1, difference of longitude 0 ≤ lambda ≤ 180°.
type inverseProblem struct{ beta1, beta2, lambda unit }

// inverseSolution is a length and the azimuths at both ends, those not necessarily normalised.
type inverseSolution struct {
	distanceM      float64
	alpha1, alpha2 unit
}

func (p inverseProblem) solve() inverseSolution {
	switch {
	case p.lambda.sin == 0 || p.beta1.cos == tiny:
		return p.arc(p.lambda, unit{0, 1}).solution()
	case p.beta1.sin == 0 && p.lambda.radians() <= math.Pi*axisRatio:
		return inverseSolution{equatorialRadiusM * p.lambda.radians(), unit{1, 0}, unit{1, 0}}
	}
	start := p.spherical()
	const shortest = 3e-8 // radians: below 0.2 m the sphere is as good, and the iteration would lose digits
	if start.arc < shortest {
		return start.solution()
	}
	return p.iterate(start.alpha1).solution()
}

// iterate finds the azimuth at the first point with which the geodesic reaches the second point's latitude at its
// longitude (section 4 of the paper). The longitude grows with the azimuth, so the root is unique, and Newton's method is
// kept within a bracket that halves whenever Newton's step is of no use: near-antipodal points need no special start.
func (p inverseProblem) iterate(alpha1 unit) geodesicArc {
	const (
		accuracy   = 1e-15 // radians of longitude
		newtons    = 20
		iterations = newtons + 60
	)
	low, high := unit{tiny, 1}, unit{tiny, -1}
	arc := p.arcFrom(alpha1)
	for i := range iterations {
		excess := arc.longitudeExcess(p.lambda)
		switch {
		case math.Abs(excess) <= accuracy:
			return arc
		case excess > 0 && high.minus(alpha1).sin > 0:
			high = alpha1
		case excess < 0 && alpha1.minus(low).sin > 0:
			low = alpha1
		}
		next := unit{low.sin + high.sin, low.cos + high.cos}.normalised()
		if step := -excess / arc.longitudeSlope(); i < newtons && math.Abs(step) < math.Pi {
			if newton := alpha1.plus(unitRadians(step)).normalised(); newton.sin > 0 && newton != alpha1 {
				next = newton
			}
		}
		if next == alpha1 {
			return arc
		}
		alpha1 = next
		arc = p.arcFrom(alpha1)
	}
	return arc
}

// arcFrom returns the arc that starts with a given azimuth.
func (p inverseProblem) arcFrom(alpha1 unit) geodesicArc {
	if p.beta1.sin == 0 && alpha1.cos == 0 {
		alpha1.cos = -tiny // along the equator: take it as leaving southwards, to come back half-way round the earth
	}
	return p.arc(alpha1, p.azimuthAtEnd(alpha1))
}

// azimuthAtEnd follows from Clairaut's relation: sin α cos β is the same all along a geodesic (equation 5). In the canonical
// form the geodesic is northbound at the second point.
func (p inverseProblem) azimuthAtEnd(alpha1 unit) unit {
	if p.beta1.cos == p.beta2.cos && p.beta1.sin == -math.Abs(p.beta2.sin) {
		return unit{alpha1.sin, math.Abs(alpha1.cos)}
	}
	widening := (p.beta2.cos - p.beta1.cos) * (p.beta2.cos + p.beta1.cos)
	if p.beta1.cos >= -p.beta1.sin { // the same from the sines, which are the better known here
		widening = (p.beta1.sin - p.beta2.sin) * (p.beta1.sin + p.beta2.sin)
	}
	north := alpha1.cos * p.beta1.cos
	return unit{alpha1.sin * p.beta1.cos, math.Sqrt(math.Max(0, north*north+widening))}.normalised()
}

// spherical solves the problem on a sphere.
func (p inverseProblem) spherical() sphericalArc {
	difference := p.beta2.minus(p.beta1)
	omega, scale := p.lambda, 1.0
	if near := difference.cos >= 0 && difference.sin < 0.5 && p.beta2.cos*p.lambda.radians() < 0.5; near {
		// the sphere that touches the ellipsoid half-way
		sin, cos := p.beta1.sin+p.beta2.sin, p.beta1.cos+p.beta2.cos
		scale = math.Sqrt(1 + secondEccentricitySquared*sin*sin/(sin*sin+cos*cos))
		omega = unitRadians(p.lambda.radians() / (axisRatio * scale))
	}
	versine := 1 - omega.cos
	if omega.cos > 0 {
		versine = omega.sin * omega.sin / (1 + omega.cos)
	}
	alpha1 := unit{p.beta2.cos * omega.sin, difference.sin + p.beta2.cos*p.beta1.sin*versine}
	alpha2 := unit{p.beta1.cos * omega.sin, difference.sin - p.beta1.cos*p.beta2.sin*versine}
	arc := math.Atan2(math.Hypot(alpha1.sin, alpha1.cos), p.beta1.sin*p.beta2.sin+p.beta1.cos*p.beta2.cos*omega.cos)
	if alpha1.sin <= 0 {
		alpha1 = unit{1, 0}
	}
	return sphericalArc{arc, polarRadiusM * scale, alpha1.normalised(), alpha2}
}

// sphericalArc is an arc in radians on a sphere of the given radius.
type sphericalArc struct {
	arc, radiusM   float64
	alpha1, alpha2 unit
}

func (s sphericalArc) solution() inverseSolution {
	return inverseSolution{s.arc * s.radiusM, s.alpha1, s.alpha2}
}

// geodesicArc is the geodesic between two latitudes that starts with a given azimuth, seen on the auxiliary sphere.
type geodesicArc struct {
	beta1, beta2   unit
	alpha1, alpha2 unit
	equator        unit    // azimuth at the crossing of the equator
	sigma1, sigma2 unit    // arcs from that crossing
	arc            float64 // σ12, radians
	omega          unit    // difference of longitude on the auxiliary sphere
	eps            float64
}

func (p inverseProblem) arc(alpha1, alpha2 unit) geodesicArc {
	equator := unit{alpha1.sin * p.beta1.cos, math.Hypot(alpha1.cos, alpha1.sin*p.beta1.sin)}
	east1 := unit{equator.sin * p.beta1.sin, alpha1.cos * p.beta1.cos}
	east2 := unit{equator.sin * p.beta2.sin, alpha2.cos * p.beta2.cos}
	omega := east2.minus(east1)
	omega.sin = math.Max(0, omega.sin)
	sigma1 := unit{p.beta1.sin, east1.cos}.normalised()
	sigma2 := unit{p.beta2.sin, east2.cos}.normalised()
	sigma := sigma2.minus(sigma1)
	sigma.sin = math.Max(0, sigma.sin)
	return geodesicArc{
		beta1: p.beta1, beta2: p.beta2,
		alpha1: alpha1, alpha2: alpha2,
		equator: equator,
		sigma1:  sigma1, sigma2: sigma2,
		arc:   sigma.radians(),
		omega: omega,
		eps:   expansionParameter(equator.cos),
	}
}

// along is the integral of a sine series over the arc.
func (a *geodesicArc) along(series sineSeries) float64 {
	return a.arc + series.at(a.sigma2) - series.at(a.sigma1)
}

func (a geodesicArc) solution() inverseSolution {
	distanceM := polarRadiusM * distanceScale(a.eps) * a.along(distanceSeries(a.eps))
	return inverseSolution{distanceM, a.alpha1, a.alpha2}
}

// longitudeExcess is how far the arc's difference of longitude, equation (8), exceeds another, in radians.
func (a *geodesicArc) longitudeExcess(lambda unit) float64 {
	return a.omega.minus(lambda).radians() -
		flattening*a.equator.sin*longitudeScale(a.eps)*a.along(longitudeSeries(a.eps))
}

// longitudeSlope is the derivative of the arc's longitude by its azimuth at the first point, equation (46); the reduced
// length in it is equation (38).
func (a *geodesicArc) longitudeSlope() float64 {
	stretch := func(beta unit) float64 { return math.Sqrt(1 + secondEccentricitySquared*beta.sin*beta.sin) }
	if a.alpha2.cos == 0 {
		return -2 * axisRatio * stretch(a.beta1) / a.beta1.sin
	}
	twist := distanceScale(a.eps)*a.along(distanceSeries(a.eps)) -
		reducedLengthScale(a.eps)*a.along(reducedLengthSeries(a.eps))
	reduced := stretch(a.beta2)*a.sigma1.cos*a.sigma2.sin -
		stretch(a.beta1)*a.sigma1.sin*a.sigma2.cos -
		a.sigma1.cos*a.sigma2.cos*twist
	return reduced * axisRatio / (a.alpha2.cos * a.beta2.cos)
}

// The WGS-84 ellipsoid: its two defining constants (NGA.STND.0036) and what follows from them.
const (
	equatorialRadiusM = 6378137.0
	flattening        = 1 / 298.257223563

	axisRatio                 = 1 - flattening
	polarRadiusM              = equatorialRadiusM * axisRatio
	firstEccentricitySquared  = flattening * (2 - flattening)
	secondEccentricitySquared = firstEccentricitySquared / (axisRatio * axisRatio)
	thirdFlattening           = flattening / (2 - flattening)

	metresPerNM = 1852.0
)

// tiny stands in for a zero cosine, so that an angle at a pole keeps its sign.
const tiny = 1e-150

// unit is an angle held as its sine and cosine. It is exact at right angles, and close to them keeps digits that degrees lose.
type unit struct{ sin, cos float64 }

func unitRadians(radians float64) unit {
	sin, cos := math.Sincos(radians)
	return unit{sin, cos}
}

// unitDegrees is exact at multiples of 90°, and odd and even as sine and cosine are.
func unitDegrees(degrees float64) unit {
	within := dropDust(math.Remainder(degrees, 360))
	quarter := math.Round(within / 90)
	sin, cos := math.Sincos((within - 90*quarter) * (math.Pi / 180))
	switch int(quarter) {
	case 0:
		return unit{sin, cos}
	case 1:
		return unit{cos, -sin}
	case -1:
		return unit{-cos, sin}
	default:
		return unit{0 - sin, -cos} // 0 - sin: half a turn is +180°, not -180°
	}
}

// dropDust rounds an angle near 0 to the spacing that floating point has at a sixteenth of a degree, far below the size of an atom. What
// is closer to 0 becomes 0: squares of angles like 1e-170° would vanish half-way through a sum.
func dropDust(degrees float64) float64 {
	const near = 1.0 / 16
	if size := math.Abs(degrees); size < near {
		return math.Copysign(near-(near-size), degrees)
	}
	return degrees
}

func (u unit) radians() float64 { return math.Atan2(u.sin, u.cos) }

func (u unit) degrees() float64 { return u.radians() * (180 / math.Pi) }

func (u unit) plus(v unit) unit {
	return unit{u.sin*v.cos + u.cos*v.sin, u.cos*v.cos - u.sin*v.sin}
}

func (u unit) minus(v unit) unit {
	return unit{u.sin*v.cos - u.cos*v.sin, u.cos*v.cos + u.sin*v.sin}
}

func (u unit) normalised() unit {
	length := math.Hypot(u.sin, u.cos)
	return unit{u.sin / length, u.cos / length}
}

// reducedLatitude returns the latitude on the auxiliary sphere, tan β = (1-f) tan φ.
func reducedLatitude(latitude float64) unit {
	geodetic := unitDegrees(latitude)
	reduced := unit{axisRatio * geodetic.sin, geodetic.cos}.normalised()
	reduced.cos = math.Max(tiny, reduced.cos)
	return reduced
}

// The expansions of C. F. F. Karney, "Algorithms for geodesics", J. Geod. 87 (2013) 43-55, to sixth order: truncation
// costs a few nanometres on WGS-84. Equation numbers are the paper's.

const seriesOrder = 6

// sineSeries holds the coefficients of Σ c[l] sin 2lσ, l from 1.
type sineSeries [seriesOrder + 1]float64

// at sums the series by Clenshaw's recurrence.
func (c *sineSeries) at(sigma unit) float64 {
	twiceCos := 2 * (sigma.cos - sigma.sin) * (sigma.cos + sigma.sin)
	var sum, last float64
	for l := seriesOrder; l >= 1; l-- {
		sum, last = c[l]+twiceCos*sum-last, sum
	}
	return 2 * sigma.sin * sigma.cos * sum
}

// expansionParameter is ε of equation (16), from the cosine of the azimuth at which the geodesic crosses the equator.
func expansionParameter(cosEquator float64) float64 {
	k2 := secondEccentricitySquared * cosEquator * cosEquator
	return k2 / (2*(1+math.Sqrt(1+k2)) + k2)
}

// distanceScale is A1 of equation (17).
func distanceScale(eps float64) float64 {
	e2 := eps * eps
	return (1 + e2*(1.0/4+e2*(1.0/64+e2/256))) / (1 - eps)
}

// distanceSeries is C1 of equation (18): the distance along the geodesic from the arc on the auxiliary sphere.
func distanceSeries(eps float64) sineSeries {
	e2 := eps * eps
	e3 := e2 * eps
	e4, e5, e6 := e2*e2, e3*e2, e3*e3
	return sineSeries{
		1: -eps/2 + 3*e3/16 - e5/32,
		2: -e2/16 + e4/32 - 9*e6/2048,
		3: -e3/48 + 3*e5/256,
		4: -5*e4/512 + 3*e6/512,
		5: -7 * e5 / 1280,
		6: -7 * e6 / 2048,
	}
}

// arcSeries is C1' of equation (21), the reversion of C1: the arc from the distance.
func arcSeries(eps float64) sineSeries {
	e2 := eps * eps
	e3 := e2 * eps
	e4, e5, e6 := e2*e2, e3*e2, e3*e3
	return sineSeries{
		1: eps/2 - 9*e3/32 + 205*e5/1536,
		2: 5*e2/16 - 37*e4/96 + 1335*e6/4096,
		3: 29*e3/96 - 75*e5/128,
		4: 539*e4/1536 - 2391*e6/2560,
		5: 3467 * e5 / 7680,
		6: 38081 * e6 / 61440,
	}
}

// reducedLengthScale is A2 of equation (42).
func reducedLengthScale(eps float64) float64 {
	e2 := eps * eps
	return (1 - eps) * (1 + e2*(1.0/4+e2*(9.0/64+e2*25/256)))
}

// reducedLengthSeries is C2 of equation (43).
func reducedLengthSeries(eps float64) sineSeries {
	e2 := eps * eps
	e3 := e2 * eps
	e4, e5, e6 := e2*e2, e3*e2, e3*e3
	return sineSeries{
		1: eps/2 + e3/16 + e5/32,
		2: 3*e2/16 + e4/32 + 35*e6/2048,
		3: 5*e3/48 + 5*e5/256,
		4: 35*e4/512 + 7*e6/512,
		5: 63 * e5 / 1280,
		6: 77 * e6 / 2048,
	}
}

// longitudeScale is A3 of equation (24).
func longitudeScale(eps float64) float64 {
	const n = thirdFlattening
	return 1 - eps*((1-n)/2+
		eps*((2+n-3*n*n)/8+
			eps*((1+3*n+n*n)/16+
				eps*((3+2*n)/64+
					eps*3/128))))
}

// longitudeSeries is C3 of equation (25): the longitude on the ellipsoid from that on the auxiliary sphere.
func longitudeSeries(eps float64) sineSeries {
	const n, n2 = thirdFlattening, thirdFlattening * thirdFlattening
	e2 := eps * eps
	e3 := e2 * eps
	e4, e5 := e2*e2, e3*e2
	return sineSeries{
		1: (1-n)/4*eps + (1-n2)/8*e2 + (3+3*n-n2)/64*e3 + (5+2*n)/128*e4 + 3*e5/128,
		2: (2-3*n+n2)/32*e2 + (3-2*n-3*n2)/64*e3 + (3+n)/128*e4 + 5*e5/256,
		3: (5-9*n+5*n2)/192*e3 + (9-10*n)/384*e4 + 7*e5/512,
		4: (7-14*n)/512*e4 + 7*e5/512,
		5: 21 * e5 / 2560,
	}
}
