package fuel

import "fmt"

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
