package fuel

import (
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
