package radio

import (
	"fmt"
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

// FullScaleDeg is the distance from the selected course, in degrees, at which a VOR needle stands at its stop (AFMAN 11-217;
// other handbooks say up to 12).
const FullScaleDeg = 10

// flagOffDeg is how near abeam of the selected course a receiver shows neither TO nor FROM: a few degrees, common practice,
// no source.
const flagOffDeg = 3

// Sense is what the flag of a VOR receiver says: whether the course selected leads to or from the station.
type Sense int

// The flags of a VOR receiver.
const (
	Off  Sense = iota // neither: abeam, or no signal to be trusted
	To                // the course selected leads to the station
	From              // the course selected leads away from it
)

var senseNames = [...]string{Off: "OFF", To: "TO", From: "FROM"}

// String returns "TO", "FROM" or "OFF".
func (s Sense) String() string {
	if s < 0 || int(s) >= len(senseNames) {
		return fmt.Sprintf("Sense(%d)", int(s))
	}
	return senseNames[s]
}

// MarshalText writes a sense as String does.
func (s Sense) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *Sense) UnmarshalText(text []byte) error {
	for sense, name := range senseNames {
		if string(text) == name {
			*s = Sense(sense)
			return nil
		}
	}
	return fmt.Errorf("%q is not a sense; it is TO, FROM or OFF", text)
}

// CourseReading returns what a VOR receiver with a course selected shows on a radial, whatever the heading: the flag, and
// how far the needle stands off in degrees of course, right positive, in [-90, 90]. A needle that stands past FullScaleDeg is
// at its stop. The flag is off within 3° of abeam of the course, and always in the cone above the station, of which this
// knows nothing.
func CourseReading(courseSelected, radial float64) (sense Sense, needleDeg float64) {
	off := angle.Turn(radial, courseSelected)
	switch {
	case math.Abs(math.Abs(off)-90) < flagOffDeg:
		sense = Off
	case math.Abs(off) < 90:
		sense = From
	default:
		sense = To
	}
	if math.Abs(off) > 90 {
		off = math.Copysign(180, off) - off
	}
	return sense, off
}

// ReverseSensing reports whether turning towards the needle leads away from the course: the heading is more than 90° from
// the course selected.
func ReverseSensing(headingMagnetic, courseSelected float64) bool {
	return math.Abs(angle.Turn(headingMagnetic, courseSelected)) > 90
}

// QDM returns the magnetic bearing to a station from the heading and the relative bearing an ADF shows, in [0, 360).
func QDM(headingMagnetic, relativeBearing float64) float64 {
	return angle.Wrap360(headingMagnetic + relativeBearing)
}

// QDR returns the magnetic bearing from a station from the heading and the relative bearing an ADF shows, in [0, 360).
func QDR(headingMagnetic, relativeBearing float64) float64 {
	return angle.Reciprocal(QDM(headingMagnetic, relativeBearing))
}

// RelativeBearing returns what an ADF shows on a heading when a station bears so, in [0, 360): the inverse of QDM.
func RelativeBearing(headingMagnetic, qdm float64) float64 {
	return angle.Wrap360(qdm - headingMagnetic)
}

// LineOfSightNM returns how far VHF reaches between two heights above the surface between them: 1.23 × (√h₁ + √h₂), the
// rule for an earth of 4/3 its radius. Heights below zero count as zero.
func LineOfSightNM(heightFt1, heightFt2 float64) float64 {
	return 1.23 * (math.Sqrt(max(heightFt1, 0)) + math.Sqrt(max(heightFt2, 0)))
}

// Reception returns how far a beacon can be counted on, in nautical miles: its published range and, where it needs line of
// sight (VOR and DME), what LineOfSightNM gives for the two heights, both above sea level; the lower counts. A published
// range of 0 is one that is not given: then line of sight alone counts, and for an NDB, which has none, nothing is known: 0.
func Reception(publishedRangeNM, heightFt, stationHeightFt float64, lineOfSight bool) (rangeNM float64) {
	if !lineOfSight {
		return publishedRangeNM
	}
	sight := LineOfSightNM(heightFt, stationHeightFt)
	if publishedRangeNM == 0 {
		return sight
	}
	return min(publishedRangeNM, sight)
}

// SlantRangeNM returns what a DME shows at a distance over the ground and a difference of height, either way.
func SlantRangeNM(groundNM, heightDifferenceFt float64) float64 {
	return math.Hypot(groundNM, heightDifferenceFt/air.FeetPerNM)
}

// GroundRangeNM returns the distance over the ground of what a DME shows at a difference of height: the inverse of
// SlantRangeNM. A reading no longer than the height is overhead, at no distance.
func GroundRangeNM(slantNM, heightDifferenceFt float64) (groundNM float64, overhead bool) {
	height := math.Abs(heightDifferenceFt) / air.FeetPerNM
	if slantNM <= height {
		return 0, true
	}
	return math.Sqrt((slantNM - height) * (slantNM + height)), false
}

// DMEErrorNM returns how far a DME may be out at a distance: half a mile or 3 %, whichever is greater (AIM 1-1-7).
func DMEErrorNM(slantNM float64) float64 { return max(0.5, 0.03*slantNM) }

// Half angles, from the vertical, of the cones above beacons where readings are not to be trusted (ICAO Doc 8168, from
// memory).
const (
	coneVORDeg = 50
	coneNDBDeg = 40
)

// ConeRadiusNM returns how far from overhead a VOR's readings are not to be trusted: the radius of the cone of ambiguity of
// ICAO Doc 8168 at a height above the station. At or below the station there is none.
func ConeRadiusNM(heightAboveStationFt float64) float64 {
	return coneRadiusNM(heightAboveStationFt, coneVORDeg)
}

// ConeRadiusNDBNM is ConeRadiusNM for an NDB.
func ConeRadiusNDBNM(heightAboveStationFt float64) float64 {
	return coneRadiusNM(heightAboveStationFt, coneNDBDeg)
}

func coneRadiusNM(heightFt, halfAngleDeg float64) float64 {
	return max(heightFt, 0) / air.FeetPerNM * math.Tan(angle.Radians(halfAngleDeg))
}
