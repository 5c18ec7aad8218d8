package deadreckon

import "math"

// Minutes returns the time for a distance: 60 × distance / groundspeed. Without headway (a groundspeed of zero or less) a
// distance that is left takes for ever, +Inf.
func Minutes(distanceNM, groundspeedKt float64) float64 {
	switch {
	case distanceNM == 0:
		return 0
	case groundspeedKt <= 0:
		return math.Inf(1)
	}
	return 60 * distanceNM / groundspeedKt
}

// Distance returns the distance made good in a time: groundspeed × minutes / 60.
func Distance(groundspeedKt, minutes float64) float64 { return groundspeedKt * minutes / 60 }

// Groundspeed returns the mean groundspeed of a distance flown in a time: 60 × distance / minutes. No time has no speed: NaN.
func Groundspeed(distanceNM, minutes float64) float64 {
	if minutes <= 0 {
		return math.NaN()
	}
	return 60 * distanceNM / minutes
}
