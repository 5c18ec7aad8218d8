package air

import "math"

// StandardQNH is the altimeter setting, in hectopascals, with which an altimeter shows pressure altitude.
const StandardQNH = 1013.25

// PressureAltitudeFt returns the pressure altitude of an altimeter that shows an altitude on a QNH. The scale of an
// altimeter shifts the reading by the pressure altitude of its setting (the altimeter equation of ISO 2533).
// With a QFE for the QNH, the altitude is the height shown above the place of the QFE.
func PressureAltitudeFt(altitudeFt, qnhHPa float64) float64 {
	return altitudeFt + PressureAltitudeAtFt(qnhHPa)
}

// AltitudeFt returns what an altimeter set to a QNH shows at a pressure altitude: the inverse of PressureAltitudeFt.
func AltitudeFt(pressureAltitudeFt, qnhHPa float64) float64 {
	return pressureAltitudeFt - PressureAltitudeAtFt(qnhHPa)
}

// TrueAltitudeFt returns the height above sea level at a pressure altitude when the whole air from sea level up is
// warmer or colder than standard by one deviation: in cold air an altimeter shows more than the height there is. It is the
// hydrostatic equation integrated over the standard lapse (the accurate method of ICAO Doc 8168, from memory).
// It holds below the tropopause.
func TrueAltitudeFt(pressureAltitudeFt, qnhHPa, deviationC float64) float64 {
	surfaceFt := PressureAltitudeAtFt(qnhHPa)
	stretchM := deviationC / lapseKelvinPerM * math.Log(isaKelvin(surfaceFt)/isaKelvin(pressureAltitudeFt))
	return pressureAltitudeFt - surfaceFt + stretchM/MetresPerFoot
}
