package deadreckon

import "math"

// EqualTime returns the point from which it is as long on to the destination as back to the start, as the distance from the
// start, and the minutes from there either way: distance × back / (on + back) (AFM 51-40, equal time point). A wind moves it
// towards where the wind comes from.
//
// The groundspeeds are those on the way on and, into whatever wind there is, on the way back. Where one is not positive
// there is no such point: NaN.
func EqualTime(distanceNM, onKt, backKt float64) (fromStartNM, minutes float64) {
	if !(onKt > 0 && backKt > 0) {
		return math.NaN(), math.NaN()
	}
	fromStartNM = distanceNM * backKt / (onKt + backKt)
	return fromStartNM, Minutes(fromStartNM, backKt)
}

// NoReturn returns the farthest point from which the start can be reached again within an endurance, reserve already taken
// off, and the minutes out to it: endurance × home / (out + home). Any wind along the track brings it nearer. It may lie
// beyond the destination: then there is a return from everywhere. Where a groundspeed is not positive: NaN.
func NoReturn(enduranceMinutes, outKt, homeKt float64) (distanceNM, minutes float64) {
	if !(outKt > 0 && homeKt > 0) {
		return math.NaN(), math.NaN()
	}
	minutes = enduranceMinutes * homeKt / (outKt + homeKt)
	return Distance(outKt, minutes), minutes
}

// NoReturnByFuel is NoReturn for fuel that can be used, reserve already taken off, and a flow an hour out and home:
// fuel / (flow out / out + flow home / home). Fuel and flows are in one unit. Where a groundspeed is not positive, or both
// flows are zero: NaN.
func NoReturnByFuel(usable, flowOut, outKt, flowHome, homeKt float64) (distanceNM, minutes float64) {
	perNM := flowOut/outKt + flowHome/homeKt
	if !(outKt > 0 && homeKt > 0 && perNM > 0) {
		return math.NaN(), math.NaN()
	}
	distanceNM = usable / perNM
	return distanceNM, Minutes(distanceNM, outKt)
}
