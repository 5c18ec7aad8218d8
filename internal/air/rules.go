package air

// What pilots reckon in the head, to be set beside the exact sums. Each is as taught, not an approximation of ours.

// DensityAltitudeRuleFt adds 120 ft to the pressure altitude for each degree Celsius warmer than standard, standard
// falling from 15 °C by 2 °C in 1,000 ft. DensityAltitudeFt is exact.
func DensityAltitudeRuleFt(pressureAltitudeFt, temperatureC float64) float64 {
	return pressureAltitudeFt + 120*(temperatureC-(15-2*pressureAltitudeFt/1000))
}

// TASRule adds 2 % to the calibrated airspeed for each 1,000 ft of pressure altitude, whatever the temperature.
// TASFromCAS is exact.
func TASRule(casKt, pressureAltitudeFt float64) float64 {
	return casKt * (1 + 0.02*pressureAltitudeFt/1000)
}

// PressureAltitudeRuleFt adds so many feet for each hectopascal of the QNH below standard: 27 ft is right near sea level,
// 30 ft is the round figure. PressureAltitudeFt is exact.
func PressureAltitudeRuleFt(altitudeFt, qnhHPa, feetPerHPa float64) float64 {
	return altitudeFt + feetPerHPa*(StandardQNH-qnhHPa)
}

// TrueAltitudeRuleFt adds 4 % to the altitude for each 10 °C that the air is warmer than standard. TrueAltitudeFt is
// exact.
func TrueAltitudeRuleFt(altitudeFt, deviationC float64) float64 {
	return altitudeFt * (1 + 0.004*deviationC)
}
