package say_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/say"
)

// Whatever is written, each reader answers with a finite figure within its range, or with a Misread.
func FuzzReaders(f *testing.F) {
	for _, text := range []string{
		"7:20", "1 h 05", "7m20s", "9999:59:59 h", "045M", "2 nm left of track", "L2", "0.47E", "240/15", "24015KT", "FL065", "4500 ft", "ISA-15",
		"29.92 in", "8 gal/h", "48 pph", "2026-06-21T18:30:00Z", "1e999", "−3", "..", "0x10", "99999999999999999999999",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		bounded := func(value float64, err error, low, high float64) {
			var misread *say.Misread
			if err != nil {
				require.True(t, errors.As(err, &misread), "%q: %v", text, err)
				require.NotEmpty(t, misread.Right, text)
				return
			}
			require.False(t, math.IsNaN(value) || value < low || value > high, "%q is %v", text, value)
		}
		number := func(read func(string) (float64, error), low, high float64) {
			value, err := read(text)
			bounded(value, err, low, high)
		}
		number(say.ParseSpan, 0, 6000)
		number(say.ParseHours, 0, 6000)
		qnh, _, err := say.ParseQNH(text)
		bounded(qnh, err, 840, 1120)
		number(say.ParseEast, -180, 180)
		number(say.ParseDeviation, -180, 180)
		number(say.Distance.ParseSide, -10800, 10800)
		for _, quantity := range []say.Quantity{say.Speed, say.Distance, say.Height, say.Rate, say.Angle, say.Percent} {
			number(quantity.Parse, quantity.Low, quantity.High)
		}
		direction, err := say.ParseDirection(text)
		bounded(direction.Degrees, err, 0, math.Nextafter(360, 0))
		wind, err := say.ParseWind(text)
		bounded(wind.FromTrue, err, 0, math.Nextafter(360, 0))
		bounded(wind.SpeedKt, err, 0, 999.999999)
		level, err := say.ParseLevel(text)
		bounded(level.Feet, err, -2000, 60000)
		temperature, err := say.ParseTemperature(text)
		bounded(temperature.Celsius, err, -100, 60)
		fuel, err := say.ParseFuel(text)
		bounded(fuel.Amount, err, 0, 9999)
		flow, err := say.ParseFlow(text)
		bounded(flow.Amount, err, 0, 9999)
		_, err = say.ParseDate(text)
		bounded(0, err, 0, 0)
	})
}
