package deadreckon

import (
	"math"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/angle"
)

// LevelChange returns the time and distance of a climb or descent by a height, up or down, at a rate in feet a minute, both
// counted without sign. The groundspeed is that of the mean true airspeed and the wind half-way up. Without a rate a height
// that is left takes for ever: +Inf.
func LevelChange(heightFt, rateFtPerMin, groundspeedKt float64) (minutes, distanceNM float64) {
	height, rate := math.Abs(heightFt), math.Abs(rateFtPerMin)
	if height == 0 {
		return 0, 0
	}
	minutes = height / rate
	return minutes, Distance(groundspeedKt, minutes)
}

// RateForAngle returns the rate, in feet a minute, of a path inclined at an angle: by the 1-in-60 rule, 100 ft a mile for
// each degree (for 3° that is 5 × groundspeed), and exactly.
func RateForAngle(angleDeg, groundspeedKt float64) (rule, exact float64) {
	return angleDeg * 100 * groundspeedKt / 60, air.FeetPerNM * math.Tan(angle.Radians(angleDeg)) * groundspeedKt / 60
}

// AngleForRate returns the angle of the path of a rate, in feet a minute, exactly.
func AngleForRate(rateFtPerMin, groundspeedKt float64) float64 {
	return angle.Degrees(math.Atan(GradientFtPerNM(rateFtPerMin, groundspeedKt) / air.FeetPerNM))
}

// GradientFtPerNM returns the height that a rate, in feet a minute, gives over each nautical mile.
func GradientFtPerNM(rateFtPerMin, groundspeedKt float64) float64 {
	return 60 * rateFtPerMin / groundspeedKt
}

// RateForDistance returns the rate, in feet a minute, that gains or loses a height over a distance.
func RateForDistance(heightFt, distanceNM, groundspeedKt float64) float64 {
	return heightFt / Minutes(distanceNM, groundspeedKt)
}

// DescentDistanceRuleNM returns the distance to descend by a height as taught: 3 nautical miles for each 1,000 ft (FAA
// Instrument Procedures Handbook). That is a path of 3.1°.
func DescentDistanceRuleNM(heightFt float64) float64 { return 3 * heightFt / 1000 }
