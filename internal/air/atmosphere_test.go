package air_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
)

// The equations of ISO 2533, ICAO Doc 7488 and the US Standard Atmosphere 1976, computed independently; cases 4.01 to 4.13.
func TestStandardAtmosphere(t *testing.T) {
	for _, c := range []struct {
		id                                           string
		ft, celsius, hPa, inHg, kgM3, sigma, ftPerHP float64
	}{
		{"4.01", 0, 15.000, 1013.25, 29.9213, 1.2250, 1.00000, 27.31},
		{"4.02", 1000, 13.019, 977.17, 28.8557, 1.1896, 0.97106, 28.12},
		{"4.03", 2000, 11.038, 942.13, 27.8211, 1.1549, 0.94277, 28.97},
		{"4.04", 3000, 9.056, 908.12, 26.8167, 1.1210, 0.91512, 29.84},
		{"4.05", 4000, 7.075, 875.11, 25.8418, 1.0879, 0.88809, 30.75},
		{"4.06", 5000, 5.094, 843.07, 24.8959, 1.0555, 0.86167, 31.69},
		{"4.07", 6000, 3.113, 812.00, 23.9782, 1.0239, 0.83586, 32.67},
		{"4.08", 8000, -0.850, 752.62, 22.2250, 0.9629, 0.78602, 34.75},
		{"4.09", 10000, -4.812, 696.82, 20.5770, 0.9046, 0.73848, 36.98},
		{"4.10", 12000, -8.774, 644.41, 19.0294, 0.8491, 0.69317, 39.40},
		{"4.11", 15000, -14.718, 571.82, 16.8858, 0.7708, 0.62924, 43.40},
		{"4.12", 18000, -20.662, 506.00, 14.9421, 0.6981, 0.56991, 47.92},
		{"4.13", 20000, -24.624, 465.63, 13.7501, 0.6527, 0.53281, 51.26},
	} {
		t.Run(c.id, func(t *testing.T) {
			temperature, pressure := air.ISATemperatureC(c.ft), air.PressureHPa(c.ft)
			density := air.DensityRatio(c.ft, temperature)
			assert.InDelta(t, c.celsius, temperature, 0.001)
			assert.InDelta(t, c.hPa, pressure, 0.005)
			assert.InDelta(t, c.inHg, air.InHgFromHPa(pressure), 0.00015)
			assert.InDelta(t, c.sigma, density, 0.00001)
			assert.InDelta(t, c.kgM3, 1.225*density, 0.00006)
			assert.InDelta(t, c.ftPerHP, air.FeetPerHPa(c.ft), 0.006)
		})
	}
}

// US Standard Atmosphere in imperial units, from an engineering reference page; case 4.14, ±1 in the last digit. That table
// counts geometric feet; pressure altitude is geopotential, in which the standard's radius of the earth puts 20,000 ft 19 ft
// lower.
func TestStandardAtmosphereImperial(t *testing.T) {
	const hPaPerPSI, kgM3PerSlugFt3, earthRadiusFt = 68.94757, 515.3788, 6356766 / 0.3048
	for _, c := range []struct{ ft, fahrenheit, psi, slugsFt3 float64 }{
		{5000, 41.17, 12.228, 20.48e-4},
		{10000, 23.36, 10.108, 17.56e-4},
		{15000, 5.55, 8.297, 14.96e-4},
		{20000, -12.26, 6.759, 12.67e-4},
	} {
		geopotentialFt := earthRadiusFt * c.ft / (earthRadiusFt + c.ft)
		temperature := air.ISATemperatureC(geopotentialFt)
		assert.InDelta(t, c.fahrenheit, air.FahrenheitFromCelsius(temperature), 0.01, "%v ft", c.ft)
		assert.InDelta(t, c.psi, air.PressureHPa(geopotentialFt)/hPaPerPSI, 0.001, "%v ft", c.ft)
		assert.InDelta(t, c.slugsFt3, 1.225*air.DensityRatio(geopotentialFt, temperature)/kgM3PerSlugFt3, 0.01e-4, "%v ft", c.ft)
	}
}

// Layer boundaries of the US Standard Atmosphere: 11 km from a physics reference page, case 4.15; 20 km from memory.
func TestTropopauseAndAbove(t *testing.T) {
	const tropopauseFt, twentyKmFt = 11000 / 0.3048, 20000 / 0.3048
	assert.InDelta(t, 226.321, air.PressureHPa(tropopauseFt), 0.001)
	assert.InDelta(t, 216.65-273.15, air.ISATemperatureC(tropopauseFt), 1e-9)
	assert.InDelta(t, 0.363918, 1.225*air.DensityRatio(tropopauseFt, -56.5), 1e-6)
	assert.InDelta(t, 54.749, air.PressureHPa(twentyKmFt), 0.001)
	assert.InDelta(t, -56.5, air.ISATemperatureC(twentyKmFt), 1e-9)
}

// Dry air; the rule takes 120 ft for each °C and a standard lapse of 2 °C in 1,000 ft. Cases 4.27 to 4.34: computed from
// ISO 2533, and 4.29 from a coursework page.
func TestDensityAltitude(t *testing.T) {
	for _, c := range []struct {
		id                         string
		ft, celsius, exact, byRule float64
	}{
		{"4.27", 0, 30, 1724, 1800},
		{"4.28", 1000, 25, 2385, 2440},
		{"4.29", 1500, 25, 2997, 3060},
		{"4.30", 2000, 30, 4161, 4280},
		{"4.31", 4000, 25, 6046, 6160},
		{"4.32", 5000, 20, 6712, 6800},
		{"4.33", 6000, -10, 4398, 4440},
		{"4.34", 1500, 35, 4097, 4260},
	} {
		t.Run(c.id, func(t *testing.T) {
			assert.InDelta(t, c.exact, air.DensityAltitudeFt(c.ft, c.celsius), 0.6)
			assert.InDelta(t, c.byRule, air.DensityAltitudeRuleFt(c.ft, c.celsius), 1e-9)
		})
	}
	assert.InDelta(t, 13*120, air.DensityAltitudeRuleFt(1500, 25)-1500, 1e-9, "4.29: the published correction of 1,560 ft")
}

// About 27 ft a hectopascal low down, 30 as a round value, 37 at 10,000 ft: ISO 2533, case 4.44. About 1 inHg and
// 2 °C (3.5 °F) in 1,000 ft: an aviation glossary, case 4.16.
func TestLapses(t *testing.T) {
	assert.InDelta(t, 27.3, air.FeetPerHPa(0), 0.05)
	assert.InDelta(t, 31.7, air.FeetPerHPa(5000), 0.05)
	assert.InDelta(t, 37.0, air.FeetPerHPa(10000), 0.05)

	assert.InDelta(t, 2, air.ISATemperatureC(0)-air.ISATemperatureC(1000), 0.05)
	assert.InDelta(t, 3.5, air.FahrenheitFromCelsius(15)-air.FahrenheitFromCelsius(air.ISATemperatureC(1000)), 0.1)
	assert.InDelta(t, 1, air.InHgFromHPa(air.PressureHPa(0)-air.PressureHPa(1000)), 0.1)
	assert.InDelta(t, 26.92, air.InHgFromHPa(air.PressureHPa(3000)), 0.15)
	assert.InDelta(t, 9, air.ISATemperatureC(3000), 0.1)
}

func TestPressureAltitudeInvertsPressure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ft := rapid.Float64Range(-5000, 65000).Draw(t, "ft")
		assert.InDelta(t, ft, air.PressureAltitudeAtFt(air.PressureHPa(ft)), 1e-6)
	})
}

func TestDensityAltitudeInStandardAirIsPressureAltitude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ft := rapid.Float64Range(-5000, 65000).Draw(t, "ft")
		assert.InDelta(t, ft, air.DensityAltitudeFt(ft, air.ISATemperatureC(ft)), 1e-6)
	})
}

// The hydrostatic equation dp = −ρ g dh, integrated in small steps with the package's own temperature only, is a second
// way to the pressure.
func TestPressureIsTheWeightOfTheAirAbove(t *testing.T) {
	const gravityOverGasConstant = 9.80665 / 287.05287
	pressure := 1013.25
	for ft := range 45000 {
		if ft%1000 == 0 {
			require.InDelta(t, pressure, air.PressureHPa(float64(ft)), 1e-4, "%d ft", ft)
		}
		kelvin := air.ISATemperatureC(float64(ft)+0.5) + 273.15
		pressure *= math.Exp(-gravityOverGasConstant / kelvin * 0.3048)
	}
}
