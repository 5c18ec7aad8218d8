package air_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
)

// The altimeter equation of ISO 2533, with the rules of 27 and 30 ft a hectopascal; cases 4.36 to 4.41. The rules are
// printed to the foot.
func TestPressureAltitude(t *testing.T) {
	for _, c := range []struct {
		id                                 string
		altitudeFt, qnh, exact, by27, by30 float64
	}{
		{"4.36", 0, 1003.25, 274.2, 270, 300},
		{"4.37", 0, 1030, -454.4, -452, -502},
		{"4.38", 2000, 1003, 2281.1, 2277, 2308},
		{"4.39", 1500, 1023, 1234.8, 1237, 1208},
		{"4.40", 5000, 985, 5780.4, 5763, 5848},
		{"4.41", 5500, 1030, 5045.6, 5048, 4998},
	} {
		t.Run(c.id, func(t *testing.T) {
			assert.InDelta(t, c.exact, air.PressureAltitudeFt(c.altitudeFt, c.qnh), 0.06)
			assert.InDelta(t, c.altitudeFt, air.AltitudeFt(c.exact, c.qnh), 0.06)
			assert.InDelta(t, c.by27, air.PressureAltitudeRuleFt(c.altitudeFt, c.qnh, 27), 0.51)
			assert.InDelta(t, c.by30, air.PressureAltitudeRuleFt(c.altitudeFt, c.qnh, 30), 0.51)
		})
	}
}

// A second altimeter set to 1013 beside one that shows 5,000 ft on a QFE of 963: European question bank, dead
// reckoning, case 4.42, published "about 6,500 ft" ±100.
func TestPressureAltitudeOnQFE(t *testing.T) {
	got := air.PressureAltitudeFt(5000, 963)
	assert.InDelta(t, 6401, got, 0.6)
	assert.InDelta(t, 6500, got, 100)
}

// Flight level 100, 15 °C colder than standard, QNH 1032, 27 ft a hectopascal: European question bank, dead
// reckoning, case 4.43, published "about 9,900 ft" ±50 (by the rule 9,882).
func TestTrueAltitudeInColdAir(t *testing.T) {
	const onQNH = 10000 + 27*(1032-1013)
	assert.InDelta(t, 9882, air.TrueAltitudeRuleFt(onQNH, -15), 0.5)
	assert.InDelta(t, 9900, air.TrueAltitudeFt(10000, 1032, -15), 50)
}

func TestTrueAltitude(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pressureAltitude := rapid.Float64Range(0, 20000).Draw(t, "pressure altitude")
		qnh := rapid.Float64Range(960, 1050).Draw(t, "qnh")
		deviation := rapid.Float64Range(-40, 40).Draw(t, "deviation")
		indicated := air.AltitudeFt(pressureAltitude, qnh)
		assert.InDelta(t, indicated, air.TrueAltitudeFt(pressureAltitude, qnh, 0), 1e-6, "standard air needs no correction")

		// Every layer of air stretches with its absolute temperature: so sum the layers.
		const layers = 400
		surface, sum := pressureAltitude-indicated, 0.0
		step := indicated / layers
		for i := range layers {
			standard := air.ISATemperatureC(surface+(float64(i)+0.5)*step) + 273.15
			sum += step * (standard + deviation) / standard
		}
		assert.InDelta(t, sum, air.TrueAltitudeFt(pressureAltitude, qnh, deviation), 0.05)
	})
}

func TestAltitudeRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		altitude := rapid.Float64Range(-1000, 30000).Draw(t, "altitude")
		qnh := rapid.Float64Range(930, 1060).Draw(t, "qnh")
		assert.InDelta(t, altitude, air.AltitudeFt(air.PressureAltitudeFt(altitude, qnh), qnh), 1e-6)
		assert.InDelta(t, altitude, air.PressureAltitudeFt(altitude, air.StandardQNH), 1e-6)
	})
}

// What a setting means: the altimeter shows zero where the pressure is the one it is set to.
func TestAltimeterShowsZeroAtItsSetting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		qnh := rapid.Float64Range(930, 1060).Draw(t, "qnh")
		assert.InDelta(t, qnh, air.PressureHPa(air.PressureAltitudeFt(0, qnh)), 1e-6)
	})
}

// The inch of mercury: case 4.45, from memory; PHAK chapter on navigation: 1 nm is 6,076.1 ft, case 1.31.
func TestUnits(t *testing.T) {
	assert.InDelta(t, 33.86389, air.QNHFromInHg(1), 1e-9)
	assert.InDelta(t, 29.9213, air.InHgFromHPa(air.StandardQNH), 0.00005)
	assert.InDelta(t, air.StandardQNH, air.QNHFromInHg(29.92), 0.06, "10.19: 1013.25 hPa is 29.92 inHg")
	assert.InDelta(t, 6076.1, air.FeetPerNM, 0.05)
	assert.InDelta(t, 23, 20*air.StatuteMilesPerNM, 0.1, "1.31: 20 kt is 23 mph")

	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(-100, 1100).Draw(t, "value")
		assert.InDelta(t, value, air.QNHFromInHg(air.InHgFromHPa(value)), 1e-9)
		assert.InDelta(t, value, air.CelsiusFromFahrenheit(air.FahrenheitFromCelsius(value)), 1e-9)
	})
	assert.InDelta(t, 212, air.FahrenheitFromCelsius(100), 1e-9)
}

// PHAK, chapter on flight instruments, Figure 10-3 (case 4.35): an altimeter setting of 29.70 inHg puts a field at
// sea level at a pressure altitude of 205 ft.
func ExamplePressureAltitudeFt() {
	fmt.Printf("%.0f ft\n", air.PressureAltitudeFt(0, air.QNHFromInHg(29.70)))
	// Output: 205 ft
}
