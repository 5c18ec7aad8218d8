// Package air says what the air does: standard atmosphere, altimetry, airspeeds, winds by level.
//
// It knows nothing of places, tracks, aircraft or plans.
//
// Units and signs: heights in feet, pressures in hectopascals, temperatures in degrees Celsius, speeds in knots. A
// pressure altitude is the height in the standard atmosphere at which the pressure is the one found; an altitude is what
// an altimeter set to the QNH shows. A wind has the true direction it blows from. A deviation is degrees Celsius warmer
// (positive) or colder than the standard atmosphere at the same pressure altitude.
//
// Sources: the atmosphere is that of ISO 2533, the same as ICAO Doc 7488 and the US Standard Atmosphere 1976 in this
// range; the airspeed relations are the isentropic ones for subsonic flow with a ratio of specific heats of 1.4. The rules
// of thumb stand in rules.go, each beside the name of the exact sum it stands for.
//
// Limits: the atmosphere holds to 20 km (65,617 ft); below sea level the lowest layer is continued. Air is dry. Airspeeds
// are subsonic and not negative. Temperatures are static (outside air temperature free of ram rise) and above absolute
// zero, a QNH is positive: input outside gives NaN or nonsense, and it is for the reader of a plan to refuse it.
package air

import (
	"fmt"
	"math"
)

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

// StandardQNH is the altimeter setting, in hectopascals, with which an altimeter shows pressure altitude.
const StandardQNH = 1013.25

// What an altimeter setting may be, in hectopascals and, well within these, in inches of mercury: wider than every sea level pressure that was ever
// read, 870 to 1085 hPa.
const (
	LowestQNH, HighestQNH         = 850, 1090
	LowestQNHInHg, HighestQNHInHg = 25.2, 32.1
)

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

// Units that flying mixes. All are exact by definition except the inch of mercury, which is the conventional one (at 0 °C).
const (
	MetresPerFoot        = 0.3048
	MetresPerNM          = 1852.0
	FeetPerNM            = MetresPerNM / MetresPerFoot
	StatuteMilesPerNM    = FeetPerNM / 5280
	hPaPerInchOfMercury  = 33.86389
	metresPerSecondPerKt = MetresPerNM / 3600
)

// QNHFromInHg returns an altimeter setting in hectopascals from one in inches of mercury.
func QNHFromInHg(inHg float64) float64 { return inHg * hPaPerInchOfMercury }

// InHgFromHPa returns a pressure in inches of mercury from one in hectopascals.
func InHgFromHPa(pressureHPa float64) float64 { return pressureHPa / hPaPerInchOfMercury }

// FahrenheitFromCelsius converts a temperature.
func FahrenheitFromCelsius(temperatureC float64) float64 { return temperatureC*9/5 + 32 }

// CelsiusFromFahrenheit converts a temperature.
func CelsiusFromFahrenheit(temperatureF float64) float64 { return (temperatureF - 32) * 5 / 9 }

// speedOfSoundSeaLevelKt is that of the standard atmosphere at sea level, 661.479 kt.
var speedOfSoundSeaLevelKt = math.Sqrt(1.4*gasConstant*seaLevelKelvin) / metresPerSecondPerKt

// SpeedOfSoundKt returns the speed of sound in dry air, in knots.
func SpeedOfSoundKt(temperatureC float64) float64 {
	return speedOfSoundSeaLevelKt * math.Sqrt(kelvin(temperatureC)/seaLevelKelvin)
}

// TASFromCAS returns the true airspeed of a calibrated one, both in knots, at a pressure altitude and an outside air
// temperature. It allows for compressibility (isentropic subsonic flow).
func TASFromCAS(casKt, pressureAltitudeFt, temperatureC float64) float64 {
	return ImpactOf(casKt).TASKt(pressureAltitudeFt, temperatureC)
}

// Impact is what an airspeed indicator measures: the impact pressure, as a fraction of the standard pressure at sea level.
type Impact float64

// ImpactOf is the impact of a calibrated airspeed in knots.
func ImpactOf(casKt float64) Impact { return Impact(impactRatio(casKt / speedOfSoundSeaLevelKt)) }

// TASKt is the true airspeed, at a pressure altitude and an outside air temperature.
func (i Impact) TASKt(pressureAltitudeFt, temperatureC float64) float64 {
	return machOf(float64(i)/pressureRatio(pressureAltitudeFt)) * SpeedOfSoundKt(temperatureC)
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

// Correction is one row of an airspeed indicator's position error table.
type Correction struct {
	IndicatedKt  float64 `json:"ias"`
	CalibratedKt float64 `json:"cas"`
}

// Calibrated returns the calibrated airspeed of an indicated one. Between rows it is interpolated; outside the table the
// difference of the nearest row stays, since such an error changes slowly and a pilot who flies just outside the table
// still has an airspeed. An empty table says that indicated is calibrated. The error says which rows do not rise, by
// number from 1: a table must rise in both columns, so that one speed belongs to one reading.
func Calibrated(table []Correction, iasKt float64) (float64, error) {
	if err := CheckCorrections(table); err != nil {
		return 0, err
	}
	return corrected(table, iasKt, func(row Correction) (from, to float64) { return row.IndicatedKt, row.CalibratedKt }), nil
}

// Indicated returns the indicated airspeed of a calibrated one: the inverse of Calibrated, with the same errors.
func Indicated(table []Correction, casKt float64) (float64, error) {
	if err := CheckCorrections(table); err != nil {
		return 0, err
	}
	return corrected(table, casKt, func(row Correction) (from, to float64) { return row.CalibratedKt, row.IndicatedKt }), nil
}

// CheckCorrections says which rows of a table do not rise in both columns; nil if all do.
func CheckCorrections(table []Correction) error {
	for i := 1; i < len(table); i++ {
		below, row := table[i-1], table[i]
		if !(row.IndicatedKt > below.IndicatedKt && row.CalibratedKt > below.CalibratedKt) {
			return fmt.Errorf("row %d of the airspeed corrections (indicated %g kt, calibrated %g kt) must be above row %d "+
				"(indicated %g kt, calibrated %g kt) in both speeds",
				i+1, row.IndicatedKt, row.CalibratedKt, i, below.IndicatedKt, below.CalibratedKt)
		}
	}
	return nil
}

func corrected(table []Correction, speedKt float64, columns func(Correction) (from, to float64)) float64 {
	if len(table) == 0 {
		return speedKt
	}
	for i, row := range table {
		from, to := columns(row)
		if speedKt > from {
			continue
		}
		if i == 0 {
			return to + speedKt - from
		}
		belowFrom, belowTo := columns(table[i-1])
		return belowTo + (to-belowTo)*(speedKt-belowFrom)/(from-belowFrom)
	}
	from, to := columns(table[len(table)-1])
	return to + speedKt - from
}
