package earth

import "math"

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
