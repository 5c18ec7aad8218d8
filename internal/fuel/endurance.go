package fuel

import "math"

const minutesPerHour = 60.0

// EnduranceMinutes is how long a usable quantity lasts at a flow per hour; without flow, for ever (+Inf). Nothing usable
// lasts 0 minutes.
func EnduranceMinutes(usable, flowPerHour float64) float64 {
	if usable <= 0 {
		return 0
	}
	if flowPerHour <= 0 {
		return math.Inf(1)
	}
	return usable / flowPerHour * minutesPerHour
}

// Burned is the quantity that a flow per hour uses in a number of minutes.
func Burned(minutes, flowPerHour float64) float64 { return minutes * flowPerHour / minutesPerHour }

// MinutesToReserve is how long a usable quantity lasts until only a reserve of so many minutes at the same flow is left;
// negative when it has been broken into.
func MinutesToReserve(usable, flowPerHour, reserveMinutes float64) float64 {
	return EnduranceMinutes(usable, flowPerHour) - reserveMinutes
}

// MeasuredFlowPerHour is the flow that turned one total quantity into another in a number of minutes, which must be
// above 0.
func MeasuredFlowPerHour(before, after, minutes float64) float64 {
	return (before - after) / minutes * minutesPerHour
}

// Usable is the quantity of a tank that can be fed to the engine; never below 0.
func Usable(quantity, unusable float64) float64 { return max(0, quantity-unusable) }

// Imbalance is the difference of two quantities, never negative.
func Imbalance(one, other float64) float64 { return math.Abs(one - other) }

// LargestImbalance is the largest imbalance within a pair of tanks, and the fuller of the two; without pairs, or with all of them
// level, 0 and -1. Pairs are indexes of quantities.
func LargestImbalance(quantities []float64, pairs [][2]int) (imbalance float64, fuller int) {
	fuller = -1
	for _, pair := range pairs {
		between := Imbalance(quantities[pair[0]], quantities[pair[1]])
		if between <= imbalance {
			continue
		}
		imbalance, fuller = between, pair[0]
		if quantities[pair[0]] < quantities[pair[1]] {
			fuller = pair[1]
		}
	}
	return imbalance, fuller
}
