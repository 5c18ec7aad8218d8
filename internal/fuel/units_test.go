package fuel_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/fuel"
)

// Cases 13.01–13.09 of the reference values. The factors themselves (13.04–13.06) are exact by definition. The densities of
// 13.02 and the 0.72 that they start from are both rounded to 0.01, so they may differ by that.
func TestUnitsAgreeWithPublishedFigures(t *testing.T) {
	const avgas = fuel.AvgasDensityKgPerLitre
	poundsOf := func(u fuel.Unit) float64 { return fuel.Pounds(u.MassKg(1, avgas)) }
	for _, c := range []struct {
		name      string
		got, want float64
		tolerance float64
	}{
		{"13.01 pounds in a US gallon at 15 °C, 6.02 (aviation reference pages)", poundsOf(fuel.USGallon), 6.02, 0.02},
		{"13.02 density at 35 °C, kg/l (PPL training page)", fuel.AvgasDensityAt(35), 0.71, 0.01},
		{"13.02 density at −10 °C, kg/l (PPL training page)", fuel.AvgasDensityAt(-10), 0.73, 0.01},
		{"13.02 density at 15 °C, kg/l (PPL training page)", fuel.AvgasDensityAt(15), 0.72, 0},
		{"13.03 320 US gal weigh 870 kg at 0.7182 (EASA-style question bank)", fuel.USGallon.MassKg(320, 0.7182), 870, 0.05},
		{"13.04 litres in a US gallon (definition)", fuel.USGallon.Litres(1), 3.785411784, 0},
		{"13.05 litres in an imperial gallon (definition)", fuel.ImperialGallon.Litres(1), 4.54609, 0},
		{"13.05 US gallons in an imperial gallon (definition)", fuel.USGallon.FromLitres(fuel.ImperialGallon.Litres(1)), 1.20095, 5e-6},
		{"13.06 kilograms in a pound (definition)", fuel.Kilograms(1), 0.45359237, 0},
		{"13.07 40 US gal in litres (PPL training page)", fuel.USGallon.Litres(40), 151.4, 0.1},
		{"13.07 40 US gal in kg at 0.72 (PPL training page)", fuel.USGallon.MassKg(40, 0.72), 109.0, 0.1},
		{"13.08 53 US gal in litres (PPL training page)", fuel.USGallon.Litres(53), 200.6, 0.1},
		{"13.08 30 imp gal in litres (PPL training page)", fuel.ImperialGallon.Litres(30), 136.4, 0.1},
		{"13.08 90 kg at 0.72 in litres (PPL training page)", fuel.Litre.QuantityOfMass(90, 0.72), 125, 0.1},
		{"13.08 90 kg at 0.72 in US gal, 33 (PPL training page, whole gallons)", fuel.USGallon.QuantityOfMass(90, 0.72), 33, 0.5},
		{"13.09 pounds in a US gallon at 0.72 (conversion)", poundsOf(fuel.USGallon), 6.009, 0.001},
		{"13.09 pounds in an imperial gallon at 0.72 (conversion)", poundsOf(fuel.ImperialGallon), 7.216, 0.001},
	} {
		assert.InDelta(t, c.want, c.got, c.tolerance, c.name)
	}
}

func TestUnitsAreReadByTheNameTheyHave(t *testing.T) {
	for _, unit := range []fuel.Unit{fuel.Litre, fuel.USGallon, fuel.ImperialGallon} {
		got, err := fuel.ParseUnit(unit.String())
		require.NoError(t, err)
		assert.Equal(t, unit, got)
	}
	_, err := fuel.ParseUnit("gallon")
	require.EqualError(t, err, `unknown fuel unit "gallon": use litre, usgal or impgal`)
	assert.Equal(t, []string{"L", "US gal", "imp gal"}, []string{fuel.Litre.Short(), fuel.USGallon.Short(), fuel.ImperialGallon.Short()})
	assert.Equal(t, "Unit(7)", fuel.Unit(7).String())
}

func TestUnitsConvertThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]fuel.Unit{fuel.Litre, fuel.USGallon, fuel.ImperialGallon}).Draw(t, "unit")
		quantity := rapid.Float64Range(0, 1e4).Draw(t, "quantity")
		density := rapid.Float64Range(0.6, 0.9).Draw(t, "density")
		assert.InDelta(t, quantity, unit.FromLitres(unit.Litres(quantity)), 1e-9)
		assert.InDelta(t, quantity, unit.QuantityOfMass(unit.MassKg(quantity, density), density), 1e-9)
		assert.InDelta(t, quantity, fuel.Pounds(fuel.Kilograms(quantity)), 1e-9)
	})
}
