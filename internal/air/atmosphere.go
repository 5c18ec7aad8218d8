package air

import "math"

// The constants of ISO 2533. The lengths are geopotential metres.
const (
	seaLevelKelvin     = 288.15
	seaLevelHPa        = StandardQNH
	lapseKelvinPerM    = 0.0065
	gravity            = 9.80665   // m/s²
	gasConstant        = 287.05287 // J/(kg K), dry air
	tropopauseM        = 11000
	tropopauseKelvin   = seaLevelKelvin - lapseKelvinPerM*tropopauseM
	absoluteZeroC      = -273.15
	pressureExponent   = gravity / (gasConstant * lapseKelvinPerM) // 5.25588
	densityExponent    = pressureExponent - 1
	isothermalPerMetre = gravity / (gasConstant * tropopauseKelvin)
)

// Pressure and density at the tropopause as fractions of those at sea level.
var (
	tropopausePressureRatio = math.Pow(tropopauseKelvin/seaLevelKelvin, pressureExponent)
	tropopauseDensityRatio  = math.Pow(tropopauseKelvin/seaLevelKelvin, densityExponent)
)

// ISATemperatureC returns the temperature of the standard atmosphere, in degrees Celsius (ISO 2533).
func ISATemperatureC(pressureAltitudeFt float64) float64 {
	return isaKelvin(pressureAltitudeFt) + absoluteZeroC
}

// PressureHPa returns the pressure of the standard atmosphere, in hectopascals (ISO 2533).
func PressureHPa(pressureAltitudeFt float64) float64 {
	return seaLevelHPa * pressureRatio(pressureAltitudeFt)
}

// PressureAltitudeAtFt returns the pressure altitude at which the standard atmosphere has a pressure: the inverse of
// PressureHPa.
func PressureAltitudeAtFt(pressureHPa float64) float64 {
	return heightFt(pressureHPa/seaLevelHPa, tropopausePressureRatio, pressureExponent)
}

// DensityRatio returns the density of dry air as a fraction of the standard density at sea level, 1.225 kg/m³.
func DensityRatio(pressureAltitudeFt, temperatureC float64) float64 {
	return pressureRatio(pressureAltitudeFt) * seaLevelKelvin / kelvin(temperatureC)
}

// DensityAltitudeFt returns the height in the standard atmosphere at which its density is that of dry air at a pressure
// altitude and temperature. Damp air is a little less dense than this says.
func DensityAltitudeFt(pressureAltitudeFt, temperatureC float64) float64 {
	return heightFt(DensityRatio(pressureAltitudeFt, temperatureC), tropopauseDensityRatio, densityExponent)
}

// FeetPerHPa returns how many feet of height make one hectopascal at a pressure altitude in standard air.
func FeetPerHPa(pressureAltitudeFt float64) float64 {
	return gasConstant * isaKelvin(pressureAltitudeFt) / gravity / PressureHPa(pressureAltitudeFt) / MetresPerFoot
}

func kelvin(temperatureC float64) float64 { return temperatureC - absoluteZeroC }

func isaKelvin(pressureAltitudeFt float64) float64 {
	return seaLevelKelvin - lapseKelvinPerM*min(pressureAltitudeFt*MetresPerFoot, tropopauseM)
}

func pressureRatio(pressureAltitudeFt float64) float64 {
	ratio := math.Pow(isaKelvin(pressureAltitudeFt)/seaLevelKelvin, pressureExponent)
	if above := pressureAltitudeFt*MetresPerFoot - tropopauseM; above > 0 {
		ratio *= math.Exp(-isothermalPerMetre * above)
	}
	return ratio
}

// heightFt inverts the fall of pressure or density with height: a power of the temperature up to the tropopause, an
// exponential above it.
func heightFt(ratio, tropopauseRatio, exponent float64) float64 {
	if ratio < tropopauseRatio {
		return (tropopauseM - math.Log(ratio/tropopauseRatio)/isothermalPerMetre) / MetresPerFoot
	}
	return seaLevelKelvin / lapseKelvinPerM * (1 - math.Pow(ratio, 1/exponent)) / MetresPerFoot
}
