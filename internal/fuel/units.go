package fuel

import (
	"errors"
	"fmt"
	"math"
)

// Unit is a unit of fuel volume. The zero value is the litre.
type Unit int

// The units that an aircraft's fuel can be reckoned in.
const (
	Litre Unit = iota
	USGallon
	ImperialGallon
)

// LitresPerUSGallon is exact: 231 cubic inches of 2.54³ cm³.
const LitresPerUSGallon = 3.785411784

// LitresPerImperialGallon is exact by definition.
const LitresPerImperialGallon = 4.54609

// KilogramsPerPound is exact: the international avoirdupois pound.
const KilogramsPerPound = 0.45359237

// AvgasDensityKgPerLitre is the density of aviation gasoline used for planning, at 15 °C.
const AvgasDensityKgPerLitre = 0.72

// avgasExpansionKgPerLitreCelsius is how much a litre of aviation gasoline loses for each degree.
const avgasExpansionKgPerLitreCelsius = 0.0007

// ParseUnit reads a unit by the name that aircraft files use: litre, usgal or impgal.
func ParseUnit(name string) (Unit, error) {
	for _, unit := range []Unit{Litre, USGallon, ImperialGallon} {
		if unit.String() == name {
			return unit, nil
		}
	}
	return Litre, fmt.Errorf("unknown fuel unit %q: use litre, usgal or impgal", name)
}

// String is the unit's name in aircraft files.
func (u Unit) String() string {
	switch u {
	case Litre:
		return "litre"
	case USGallon:
		return "usgal"
	case ImperialGallon:
		return "impgal"
	}
	return fmt.Sprintf("Unit(%d)", int(u))
}

// Short is the unit as it stands behind a figure: L, US gal or imp gal.
func (u Unit) Short() string {
	switch u {
	case USGallon:
		return "US gal"
	case ImperialGallon:
		return "imp gal"
	default:
		return "L"
	}
}

// Litres converts a quantity in the unit to litres.
func (u Unit) Litres(quantity float64) float64 {
	switch u {
	case USGallon:
		return quantity * LitresPerUSGallon
	case ImperialGallon:
		return quantity * LitresPerImperialGallon
	default:
		return quantity
	}
}

// FromLitres converts litres to a quantity in the unit.
func (u Unit) FromLitres(litres float64) float64 { return litres / u.Litres(1) }

// MassKg is the mass of a quantity in the unit, for a density in kg per litre.
func (u Unit) MassKg(quantity, densityKgPerLitre float64) float64 {
	return u.Litres(quantity) * densityKgPerLitre
}

// MassText is a mass in whole units of the kind that goes with the unit of volume: kilograms, with gallons pounds.
func (u Unit) MassText(kilograms float64) string {
	if u == Litre {
		return fmt.Sprintf("%.0f kg", kilograms)
	}
	return fmt.Sprintf("%.0f lb", Pounds(kilograms))
}

// QuantityOfMass is the quantity in the unit of a mass in kilograms, for a density in kg per litre.
func (u Unit) QuantityOfMass(massKg, densityKgPerLitre float64) float64 {
	return u.FromLitres(massKg / densityKgPerLitre)
}

// AvgasDensityAt is the density of aviation gasoline in kg per litre at a temperature in °C: 0.72 at 15 °C, 0.0007 less
// for each degree above. It holds for temperatures met in light aircraft, about −40 to 50 °C.
func AvgasDensityAt(temperatureC float64) float64 {
	return AvgasDensityKgPerLitre - avgasExpansionKgPerLitreCelsius*(temperatureC-15)
}

// Pounds converts kilograms to pounds.
func Pounds(kilograms float64) float64 { return kilograms / KilogramsPerPound }

// Kilograms converts pounds to kilograms.
func Kilograms(pounds float64) float64 { return pounds * KilogramsPerPound }

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

// ReserveFlow says at which flow a rule counts its minutes of final reserve.
type ReserveFlow int

// The flows that rules and plans name.
const (
	AtNormalCruise ReserveFlow = iota
	AtHolding
)

// Reserve is a published minimum of fuel to be left at the first point of intended landing, in minutes of flight at the flow that
// the rule names, with its source in words that can be shown to a pilot.
type Reserve struct {
	Minutes float64
	At      ReserveFlow
	Source  string
}

// PublishedReserves are the published minima for an aeroplane flown by visual rules, for an arrival by day or by night. Night is from
// the end of evening to the beginning of morning civil twilight (14 CFR 1.1); whether the arrival is in it is the caller's to say, and
// a caller who doesn't know should say yes.
//
//   - 14 CFR 91.151(a): to the first point of intended landing and after that, at normal cruising speed, 30 minutes by day and 45 by
//     night.
//   - ICAO Annex 6 Part II 2.2.3.6: final reserve fuel for 30 minutes by day and 45 by night, at normal cruising altitude; the wording
//     of the altitude is from memory.
//
// None of the two counts at the flow of holding: that of reciprocating engines in ICAO Annex 6 Part I is for airlines.
func PublishedReserves(arrivesByNight bool) []Reserve {
	minutes, when := 30.0, "30 min by day"
	if arrivesByNight {
		minutes, when = 45, "45 min by night"
	}
	return []Reserve{
		{minutes, AtNormalCruise, when + " at normal cruise (14 CFR 91.151)"},
		{minutes, AtNormalCruise, when + " at normal cruise (ICAO Annex 6 Part II 2.2.3.6)"},
	}
}

// LargestReserve is the one of some that asks for the largest quantity, each at its own flow per hour; of equals the first.
func LargestReserve(reserves []Reserve, flow func(ReserveFlow) float64) (largest Reserve, quantity float64) {
	for i, reserve := range reserves {
		if asked := Burned(reserve.Minutes, flow(reserve.At)); i == 0 || asked > quantity {
			largest, quantity = reserve, asked
		}
	}
	return largest, quantity
}

// GaugeCheck compares what a gauge reads with what was reckoned.
type GaugeCheck struct {
	Difference float64 // reading − reckoned: negative when there is less fuel than was thought
	Disagrees  bool    // the difference is larger than the error
	Counts     float64 // the quantity to go on with: the lower of the two
}

// CheckGauge compares a gauge's reading of a tank with the quantity reckoned for it; readingError is how far, either way,
// the two may differ before that means something. The lower figure counts, whether they agree or not: fuel that one of
// two witnesses denies isn't counted on.
func CheckGauge(reckoned, reading, readingError float64) GaugeCheck {
	difference := reading - reckoned
	return GaugeCheck{
		Difference: difference,
		Disagrees:  math.Abs(difference) > readingError,
		Counts:     min(reckoned, reading),
	}
}

// Reading is a quantity read at a time, with one standard error.
type Reading struct {
	Minutes  float64
	Quantity float64
	Sigma    float64
}

// BurnFit is a burn rate found from readings.
type BurnFit struct {
	FlowPerHour      float64 // quantity used in an hour
	FlowSigmaPerHour float64 // one standard error of the flow
	Quantity         float64 // at minute 0, by the fitted lines, of all tanks together
	QuantitySigma    float64 // one standard error of that
	ChiSquare        float64 // sum of squared residuals, each in its standard errors; about Readings − tanks − 1 when the errors are right
	Readings         int
}

// ErrTooFewReadings is returned by FitBurn when the readings don't span any time.
var ErrTooFewReadings = errors.New("a burn rate needs readings at two times at least")

// sameMinutes is how close together readings have to be for nothing to follow from them.
const sameMinutes = 1e-3

// FitBurn finds the burn rate from readings of one gauge or of several, by weighted least squares of straight lines with one slope,
// each gauge's with a height of its own, each reading weighing 1/σ². A gauge that always reads too much or too little does no harm. The
// standard errors follow from the σ given, not from the scatter.
func FitBurn(gauges ...[]Reading) (BurnFit, error) {
	var fit BurnFit
	var weight, spread, slopeSum float64
	means := make([]weightedMean, len(gauges))
	for i, readings := range gauges {
		mean, err := meanOf(readings, fit.Readings)
		if err != nil {
			return BurnFit{}, err
		}
		fit.Readings += len(readings)
		weight += mean.weight
		means[i] = mean
		for _, r := range readings {
			w := 1 / (r.Sigma * r.Sigma)
			spread += w * (r.Minutes - mean.minutes) * (r.Minutes - mean.minutes)
			slopeSum += w * (r.Minutes - mean.minutes) * (r.Quantity - mean.quantity)
		}
	}
	if !(spread > weight*sameMinutes*sameMinutes) {
		return BurnFit{}, ErrTooFewReadings
	}
	slope := slopeSum / spread
	fit.FlowPerHour, fit.FlowSigmaPerHour = -slope*minutesPerHour, minutesPerHour/math.Sqrt(spread)
	var variance, minutes float64
	for i, readings := range gauges {
		mean := means[i]
		if len(readings) == 0 {
			continue
		}
		fit.Quantity += mean.quantity - slope*mean.minutes
		variance += 1 / mean.weight
		minutes += mean.minutes
		for _, r := range readings {
			residual := (r.Quantity - mean.quantity - slope*(r.Minutes-mean.minutes)) / r.Sigma
			fit.ChiSquare += residual * residual
		}
	}
	fit.QuantitySigma = math.Sqrt(variance + minutes*minutes/spread)
	return fit, nil
}

// weightedMean is the middle of some readings.
type weightedMean struct{ weight, minutes, quantity float64 }

// meanOf weighs readings by 1/σ²; before is how many were counted before them.
func meanOf(readings []Reading, before int) (weightedMean, error) {
	var m weightedMean
	for i, r := range readings {
		if !(r.Sigma > 0) || math.IsInf(r.Sigma, 1) {
			return m, fmt.Errorf("reading %d: standard error %v: it must be above 0", before+i+1, r.Sigma)
		}
		w := 1 / (r.Sigma * r.Sigma)
		m.weight += w
		m.minutes += w * r.Minutes
		m.quantity += w * r.Quantity
	}
	if m.weight > 0 {
		m.minutes, m.quantity = m.minutes/m.weight, m.quantity/m.weight
	}
	return m, nil
}
