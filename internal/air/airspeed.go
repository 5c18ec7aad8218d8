package air

import (
	"fmt"
	"math"
)

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
