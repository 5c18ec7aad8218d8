package say_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/say"
)

func TestSpans(t *testing.T) {
	for text, minutes := range map[string]float64{
		"7:20": 7 + 20.0/60, "0:09": 9.0 / 60, "1:07:20": 67 + 20.0/60, "7.3": 7.3, "7.3 min": 7.3, "7.3min": 7.3, "75 s": 1.25,
		"75 seconds": 1.25, "7m20s": 7 + 20.0/60, "7 min 20": 7 + 20.0/60, "1 h 05": 65, "1h 5m 30s": 65.5, "1:30 h": 90, "90": 90, "1.5 h": 90,
		"  12  MIN ": 12, "0": 0,
	} {
		got, err := say.ParseSpan(text)
		require.NoError(t, err, text)
		assert.InDelta(t, minutes, got, 1e-9, text)
	}
	for text, minutes := range map[string]float64{
		"4:20": 260, "4:20 h": 260, "6.5 h": 390, "4 h 20": 260, "260 min": 260, "1:07:20": 67 + 20.0/60, "4h20m": 260,
	} {
		got, err := say.ParseHours(text)
		require.NoError(t, err, text)
		assert.InDelta(t, minutes, got, 1e-9, text)
	}
}

func TestDirections(t *testing.T) {
	for text, want := range map[string]say.Direction{
		"045": {Degrees: 45}, "45M": {45, say.Magnetic}, "060 true": {60, say.True}, "360": {}, "0": {}, "045.5°T": {45.5, say.True},
		"94 degrees magnetic": {94, say.Magnetic}, "010": {Degrees: 10},
	} {
		got, err := say.ParseDirection(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
}

func TestSidesAndLetters(t *testing.T) {
	for text, want := range map[string]float64{
		"2 left": -2, "2 nm left": -2, "L2": -2, "l 2": -2, "2L": -2, "0.8 right": 0.8, "R .5": 0.5, "0": 0, "2 nm left of track": -2, "left 2": -2, "0 left": 0,
	} {
		got, err := say.Distance.ParseSide(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.False(t, math.Signbit(got) && got == 0, text)
	}
	for text, want := range map[string]float64{"3W": -3, "0.47E": 0.47, "-3": -3, "15 east": 15, "2.5° W": -2.5, "+1": 1, "−3": -3, "0": 0} {
		got, err := say.ParseEast(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	deviation, err := say.ParseDeviation("2W")
	require.NoError(t, err)
	assert.Equal(t, -2.0, deviation)
}

func TestWinds(t *testing.T) {
	for text, want := range map[string]air.Wind{
		"240/15": {FromTrue: 240, SpeedKt: 15}, "24015": {FromTrue: 240, SpeedKt: 15}, "24015KT": {FromTrue: 240, SpeedKt: 15}, "240 15": {FromTrue: 240, SpeedKt: 15},
		"240 at 15": {FromTrue: 240, SpeedKt: 15}, "from 240° / 15 kt": {FromTrue: 240, SpeedKt: 15}, "360/08": {SpeedKt: 8}, "045/7.5": {FromTrue: 45, SpeedKt: 7.5},
		"calm": {}, "240105": {FromTrue: 240, SpeedKt: 105}, "045/40 knots": {FromTrue: 45, SpeedKt: 40},
	} {
		got, err := say.ParseWind(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
}

func TestLevelsAndAir(t *testing.T) {
	for text, want := range map[string]say.Level{
		"4500": {Feet: 4500}, "4500 ft": {Feet: 4500}, "FL065": {6500, true}, "fl 65": {6500, true}, "-30": {Feet: -30}, "0450": {Feet: 450},
	} {
		got, err := say.ParseLevel(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, want := range map[string]float64{"1019": 1019, "1013.25 hPa": 1013.25, "29.92": 1013.2075, "29.70 inHg": 1005.7575} {
		got, inches, err := say.ParseQNH(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-3, text)
		assert.Equal(t, want < 1013.25 && !strings.HasSuffix(text, "hPa"), inches, text)
	}
	// 29.921 inHg is 1013.25 hPa: ICAO Doc 7488, Manual of the ICAO Standard Atmosphere.
	assert.Equal(t, "1013", say.QNH(1013.25, false))
	assert.Equal(t, "1013 / 29.92 inHg", say.QNH(1013.25, true))
	assert.Equal(t, "1013.25 hPa, 29.92 inHg", say.QNHInBoth(1013.25))
	for text, want := range map[string]say.Temperature{
		"8": {Celsius: 8}, "-10 C": {Celsius: -10}, "−10°c": {Celsius: -10}, "50 F": {Celsius: 10}, "ISA": {FromISA: true}, "ISA-15": {-15, true}, "isa + 16": {16, true},
	} {
		got, err := say.ParseTemperature(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	assert.Equal(t, "FL065", say.Level{Feet: 6500, FlightLevel: true}.String())
	assert.Equal(t, "4500 ft", say.Level{Feet: 4500}.String())
}

func TestFuel(t *testing.T) {
	for text, want := range map[string]say.Fuel{
		"30": {Amount: 30}, "30 gal": {30, "gal"}, "110 litres": {110, "l"}, "25 imp gal": {25, "imp gal"}, "180lb": {180, "lb"}, "30 US gal": {30, "gal"},
	} {
		got, err := say.ParseFuel(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, want := range map[string]say.Fuel{
		"8": {Amount: 8}, "8 gal/h": {8, "gal"}, "8.5 gph": {8.5, "gal"}, "30 l an hour": {30, "l"}, "105 lb/h": {105, "lb"}, "48 pph": {48, "lb"},
	} {
		got, err := say.ParseFlow(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
}

func TestDates(t *testing.T) {
	day, err := say.ParseDate("2026-06-21")
	require.NoError(t, err)
	assert.Equal(t, say.Date{At: time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)}, day)
	moment, err := say.ParseDate("2026-06-21T18:30:00+01:00")
	require.NoError(t, err)
	assert.Equal(t, "2026-06-21T17:30:00Z", moment.String())
}

// What is wrong is quoted, what would be right is shown.
func TestMisreads(t *testing.T) {
	span := func(text string) error { _, err := say.ParseSpan(text); return err }
	hours := func(text string) error { _, err := say.ParseHours(text); return err }
	direction := func(text string) error { _, err := say.ParseDirection(text); return err }
	speed := func(text string) error { _, err := say.Speed.Parse(text); return err }
	side := func(text string) error { _, err := say.Distance.ParseSide(text); return err }
	wind := func(text string) error { _, err := say.ParseWind(text); return err }
	deviation := func(text string) error { _, err := say.ParseDeviation(text); return err }
	east := func(text string) error { _, err := say.ParseEast(text); return err }
	qnh := func(text string) error { _, _, err := say.ParseQNH(text); return err }
	level := func(text string) error { _, err := say.ParseLevel(text); return err }
	temperature := func(text string) error { _, err := say.ParseTemperature(text); return err }
	flow := func(text string) error { _, err := say.ParseFlow(text); return err }
	date := func(text string) error { _, err := say.ParseDate(text); return err }
	for _, test := range []struct {
		parse       func(string) error
		text, wrong string
	}{
		{span, "7:2", "two digits"},
		{span, "7:60", "00 to 59"},
		{span, "7 parsecs", `"parsecs" for a unit`},
		{span, "1e3", `"e" for a unit`},
		{span, "-3", "not a length of time"},
		{span, "20 s 7 min", "not a length of time"},
		{span, "7 20 s", "not a length of time"},
		{span, "", "not a length of time"},
		{span, "99999", "longer than"},
		{hours, "6", "hours or minutes"},
		{direction, "north", "not a direction"},
		{direction, "361", "outside 0 to 360"},
		{direction, "045 grid", `"grid" after it`},
		{speed, "12o", `needed in kt, not in "o"`},
		{speed, "120 mph", `needed in kt, not in "mph"`},
		{speed, "98,5", "comma"},
		{speed, "-5", "outside 0 kt to 999 kt"},
		{speed, "1e9", "needed in kt"},
		{speed, "fast", "is not a figure in kt"},
		{side, "2", "left or right?"},
		{side, "2 up", "not a figure with a side"},
		{side, "-2 left", "has a sign in place of its side"},
		{side, "2 km left", "needed in nm"},
		{wind, "240", "is not a wind"},
		{wind, "400/15", "beyond 360"},
		{wind, "240/-5", "is not a wind"},
		{deviation, "+2", "has no letter"},
		{deviation, "two", "not a deviation"},
		{east, "3 N", "not a variation"},
		{east, "200", "outside"},
		{qnh, "700", "outside"},
		{qnh, "29.92 hPa", "outside"},
		{qnh, "1013 bar", "unit"},
		{level, "FL000", "outside FL010"},
		{level, "70000", "outside"},
		{temperature, "8 K", `"k" for a unit`},
		{temperature, "ISA+99", "more than 60"},
		{temperature, "-300", "outside"},
		{flow, "8 barrels/h", `"barrels" for a unit`},
		{date, "21.6.2026", "not a date"},
		{date, "2026-02-30", "not a date"},
	} {
		err := test.parse(test.text)
		var misread *say.Misread
		require.ErrorAs(t, err, &misread, test.text)
		assert.Contains(t, misread.Fault(), test.wrong, test.text)
		assert.Equal(t, test.text, misread.Text)
		assert.NotEmpty(t, misread.Right, test.text)
		assert.Contains(t, err.Error(), misread.Right)
	}
}

// What is said is read back as the same figure, to the places it was said with.
func TestWhatIsSaidIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		minutes := rapid.Float64Range(0, 5000).Draw(t, "minutes")
		span, err := say.ParseSpan(say.SaySpan(minutes))
		require.NoError(t, err)
		require.InDelta(t, minutes, span, 0.5/60+1e-9)

		degrees := rapid.Float64Range(0, 360).Draw(t, "degrees")
		direction, err := say.ParseDirection(say.Degrees(degrees))
		require.NoError(t, err)
		require.LessOrEqual(t, math.Abs(math.Remainder(degrees-direction.Degrees, 360)), 0.5+1e-9)

		offset := rapid.Float64Range(-90, 90).Draw(t, "offset")
		side, err := say.Distance.ParseSide(say.Distance.SaySide(offset, 1))
		require.NoError(t, err)
		require.InDelta(t, offset, side, 0.05+1e-9)

		declination := rapid.Float64Range(-180, 180).Draw(t, "declination")
		east, err := say.ParseEast(say.SayEast(declination, 1))
		require.NoError(t, err)
		require.InDelta(t, declination, east, 0.05+1e-9)

		speed := rapid.Float64Range(0, 999).Draw(t, "speed")
		read, err := say.Speed.Parse(say.Speed.Say(speed, 2))
		require.NoError(t, err)
		require.InDelta(t, speed, read, 0.005+1e-9)
	})
}

// Levels, temperatures, fuel and directions read back what their String wrote.
func TestValuesAreReadBack(t *testing.T) {
	for _, text := range []string{"FL065", "FL310", "4500 ft", "-30 ft"} {
		level, err := say.ParseLevel(text)
		require.NoError(t, err)
		require.Equal(t, text, level.String())
	}
	for _, text := range []string{"8 °C", "-10 °C", "ISA", "ISA+2.5", "ISA-15"} {
		temperature, err := say.ParseTemperature(text)
		require.NoError(t, err)
		require.Equal(t, text, temperature.String())
	}
	for _, text := range []string{"8", "8 gal", "30.5 l", "5 imp gal"} {
		fuel, err := say.ParseFuel(text)
		require.NoError(t, err)
		require.Equal(t, text, fuel.Say(2))
	}
	for _, text := range []string{"045", "045 magnetic", "360 true"} {
		direction, err := say.ParseDirection(text)
		require.NoError(t, err)
		require.Equal(t, text, direction.String())
	}
}
