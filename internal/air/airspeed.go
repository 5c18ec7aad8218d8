package air

import "math"

// speedOfSoundSeaLevelKt is that of the standard atmosphere at sea level, 661.479 kt.
var speedOfSoundSeaLevelKt = math.Sqrt(1.4*gasConstant*seaLevelKelvin) / metresPerSecondPerKt

// SpeedOfSoundKt returns the speed of sound in dry air, in knots.
func SpeedOfSoundKt(temperatureC float64) float64 {
	return speedOfSoundSeaLevelKt * math.Sqrt(kelvin(temperatureC)/seaLevelKelvin)
}

// TASFromCAS returns the true airspeed of a calibrated one, both in knots, at a pressure altitude and an outside air
// temperature. It allows for compressibility (isentropic subsonic flow).
func TASFromCAS(casKt, pressureAltitudeFt, temperatureC float64) float64 {
	impact := impactRatio(casKt / speedOfSoundSeaLevelKt)
	return machOf(impact/pressureRatio(pressureAltitudeFt)) * SpeedOfSoundKt(temperatureC)
}

// CASFromTAS returns the calibrated airspeed of a true one: the inverse of TASFromCAS.
func CASFromTAS(tasKt, pressureAltitudeFt, temperatureC float64) float64 {
	impact := impactRatio(tasKt / SpeedOfSoundKt(temperatureC))
	return machOf(impact*pressureRatio(pressureAltitudeFt)) * speedOfSoundSeaLevelKt
}

// impactRatio is the impact pressure as a fraction of the static pressure at a Mach number.
func impactRatio(mach float64) float64 { return math.Expm1(3.5 * math.Log1p(0.2*mach*mach)) }

// machOf inverts impactRatio.
func machOf(impactRatio float64) float64 {
	return math.Sqrt(5 * math.Expm1(math.Log1p(impactRatio)/3.5))
}
