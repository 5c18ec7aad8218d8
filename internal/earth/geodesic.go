package earth

import (
	"math"

	"example.com/legclock/internal/angle"
)

const radiusNM = 6371.0088 / 1.852

// Geodesic is the shortest path between two positions: length in nautical miles, true azimuths in [0, 360) degrees.
type Geodesic struct{ DistanceNM, AzimuthStart, AzimuthEnd float64 }

// Inverse returns the geodesic from one position to another.
func Inverse(from, to Position) Geodesic {
	bearing := func(a, b Position) float64 {
		d := b.Lon - a.Lon
		return angle.Direction(
			angle.Cos(a.Lat)*angle.Sin(b.Lat)-angle.Sin(a.Lat)*angle.Cos(b.Lat)*angle.Cos(d),
			angle.Sin(d)*angle.Cos(b.Lat))
	}
	u, v := angle.Sin((to.Lat-from.Lat)/2), angle.Sin((to.Lon-from.Lon)/2)
	h := u*u + angle.Cos(from.Lat)*angle.Cos(to.Lat)*v*v
	return Geodesic{2 * radiusNM * math.Asin(math.Sqrt(h)), bearing(from, to), angle.Reciprocal(bearing(to, from))}
}

// Direct returns the position reached along the geodesic that starts with a true azimuth, and the azimuth there.
func Direct(from Position, azimuthTrue, distanceNM float64) (to Position, azimuthEnd float64) {
	s := angle.Degrees(distanceNM / radiusNM)
	to.Lat = angle.Degrees(math.Asin(angle.Sin(from.Lat)*angle.Cos(s) + angle.Cos(from.Lat)*angle.Sin(s)*angle.Cos(azimuthTrue)))
	to.Lon = angle.Wrap180(from.Lon + angle.Degrees(math.Atan2(angle.Sin(azimuthTrue)*angle.Sin(s)*angle.Cos(from.Lat),
		angle.Cos(s)-angle.Sin(from.Lat)*angle.Sin(to.Lat))))
	if distanceNM < 0 {
		return to, Inverse(to, from).AzimuthStart
	}
	return to, Inverse(from, to).AzimuthEnd
}

// Line is a geodesic through two positions, prepared for repeated use.
type Line struct {
	from     Position
	geodesic Geodesic
}

// NewLine prepares the geodesic from one position to another.
func NewLine(from, to Position) Line { return Line{from, Inverse(from, to)} }

// DistanceNM is the length from the first to the second position.
func (l Line) DistanceNM() float64 { return l.geodesic.DistanceNM }

// At returns the position and the true azimuth a distance along the line, which may be negative or beyond the end.
func (l Line) At(alongNM float64) (at Position, azimuthTrue float64) {
	return Direct(l.from, l.geodesic.AzimuthStart, alongNM)
}

// Abeam returns where on the geodesic through from and to a point lies abeam, and its distance right of the line.
func Abeam(from, to, point Position) (alongNM, rightNM float64) {
	line, there := Inverse(from, to), Inverse(from, point)
	turn, s := there.AzimuthStart-line.AzimuthStart, angle.Degrees(there.DistanceNM/radiusNM)
	rightNM = radiusNM * math.Asin(angle.Sin(s)*angle.Sin(turn))
	alongNM = radiusNM * math.Atan2(angle.Sin(s)*angle.Cos(turn), angle.Cos(s))
	return alongNM, rightNM
}
