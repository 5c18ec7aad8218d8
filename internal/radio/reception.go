package radio

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

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
