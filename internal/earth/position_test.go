package earth_test

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
)

// The forms are those of ICAO Annex 15 and aeronautical charts and of a decimal pair; common practice, no source.
func TestParsePositionReadsEveryForm(t *testing.T) {
	seconds := earth.Position{Lat: 56 + 27.0/60 + 45.0/3600, Lon: -(4 + 32.0/60 + 10.0/3600)}
	minutes := earth.Position{Lat: 56 + 22.4/60, Lon: -(3 + 51.7/60)}
	for text, want := range map[string]earth.Position{
		"56.1234, -4.5678":   {Lat: 56.1234, Lon: -4.5678},
		"56.1234 -4.5678":    {Lat: 56.1234, Lon: -4.5678},
		" -33.5,+151 ":       {Lat: -33.5, Lon: 151},
		"56.1234° −4.5678°":  {Lat: 56.1234, Lon: -4.5678},
		"56.1234N, 4.5678W":  {Lat: 56.1234, Lon: -4.5678},
		"N56.1234 W004.5678": {Lat: 56.1234, Lon: -4.5678},
		"56N 4W":             {Lat: 56, Lon: -4},
		"0, 0":               {},
		"90S 180W":           {Lat: -90, Lon: -180},

		"N56 22.4 W003 51.7":       minutes,
		"n56 22.4, w3 51.7":        minutes,
		"56 22.4N 3 51.7W":         minutes,
		"5622.4N 00351.7W":         minutes,
		"N5622.4W00351.7":          minutes,
		"N 56° 22.4' W 003° 51.7'": minutes,
		"56º22.4′N 003º51.7′W":     minutes,

		"562745N 0043210W":                 seconds,
		"N562745 W0043210":                 seconds,
		"56 27 45 N 4 32 10 W":             seconds,
		"56 27 45.0 N, 4 32 10.0 W":        seconds,
		"56°27'45\"N 004°32'10\"W":         seconds,
		"56°27′45″N, 004°32′10″W":          seconds,
		"56°27’45”N 004°32’10”W":           seconds,
		"56°27'45''N 004°32'10''W":         seconds,
		"5627N 00432W":                     {Lat: 56.45, Lon: -(4 + 32.0/60)},
		"5627S 00432E":                     {Lat: -56.45, Lon: 4 + 32.0/60},
		"562745.5N 0043210W":               {Lat: 56 + 27.0/60 + 45.5/3600, Lon: seconds.Lon},
		"56.N 4.W":                         {Lat: 56, Lon: -4},
		"N00 00.00 E000 00.00":             {},
		"89 59 59.999 N 179 59 59.999 W\t": {Lat: 90 - 0.001/3600, Lon: -(180 - 0.001/3600)},
	} {
		got, err := earth.ParsePosition(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want.Lat, got.Lat, 1e-12, text)
		assert.InDelta(t, want.Lon, got.Lon, 1e-12, text)
	}
}

func TestParsePositionSaysWhatIsWrong(t *testing.T) {
	for text, reason := range map[string]string{
		"":                       "nothing is written",
		"  ":                     "nothing is written",
		"here":                   `"h" is not part of a position`,
		"56.1":                   "without N or S and E or W there must be two figures, not 1",
		"56 27.4 -4 32.1":        "without N or S and E or W there must be two figures, not 4",
		"56,12 -4,56":            "a comma may only part latitude from longitude",
		", 56.1 4":               "a comma may only part latitude from longitude",
		"56, N 4 W":              "a comma may only part latitude from longitude",
		"56N 4W,":                "before their figures or both after them",
		"N56, 22.4 W3 51.7":      "a comma may only part latitude from longitude",
		"W004 32 N56 27":         "the latitude (N or S) comes first",
		"56N 57S":                "one of N and S, and one of E and W",
		"N56 27 4 32":            "one of N and S, and one of E and W",
		"N56 27 4 32W":           "before their figures or both after them",
		"56 27N W4 32":           "before their figures or both after them",
		"N W 56 4":               "latitude: no figures",
		"91, 0":                  "latitude: 91° is beyond 90°",
		"0, 180.001":             "longitude: 180.001° is beyond 180°",
		"N56 60 W4 10":           "latitude: 60 minutes are not below 60",
		"N56 27 61 W4 10":        "latitude: 61 seconds are not below 60",
		"5667N 00432W":           "latitude: 67 minutes are not below 60",
		"N90 00.01 W4 10":        "latitude: 90.00016666666667° is beyond 90°",
		"N56.5 27 W4 10":         "latitude: 56.5 has decimals, but only the last figure may",
		"-56 27 N 4 10 W":        "latitude: both a sign and the letter N",
		"56 27 45 1 N 4 10 W":    "latitude: more figures than degrees, minutes and seconds",
		"56'27N 4 10W":           "latitude: 56 stands in the place of degrees but has another mark",
		"56°27\"N 4 10W":         "latitude: 27 stands in the place of minutes but has another mark",
		"5627N 0432W":            "longitude: 0432 is neither degrees nor dddmm or dddmmss",
		"56274N 00432W":          "latitude: 56274 is neither degrees nor ddmm or ddmmss",
		"5627°N 004W":            "latitude: 5627 is neither degrees nor ddmm or ddmmss",
		"'56 4":                  `"'" does not follow a figure`,
		"56°° 4":                 `"°" does not follow a figure`,
		"1e2, 0":                 "one of N and S, and one of E and W",
		"56..1, 4":               `"." is not part of a position`,
		"NaN, 0":                 `"a" is not part of a position`,
		string(make([]byte, 99)): `"\x00" is not part of a position`,
	} {
		_, err := earth.ParsePosition(text)
		require.Error(t, err, text)
		assert.ErrorContains(t, err, reason)
		assert.ErrorContains(t, err, "write 56.1234, -4.5678 or N56 22.4 W003 51.7", "%q", text)
	}
}

func drawPosition(t *rapid.T, label string) earth.Position {
	return earth.Position{
		Lat: rapid.Float64Range(-90, 90).Draw(t, label+" latitude"),
		Lon: rapid.Float64Range(-180, 180).Draw(t, label+" longitude"),
	}
}

func TestStringIsReadBackToItsLastDigit(t *testing.T) {
	const halfHundredthMinute = 0.005/60 + 1e-12
	rapid.Check(t, func(t *rapid.T) {
		p := drawPosition(t, "p")
		back, err := earth.ParsePosition(p.String())
		require.NoError(t, err)
		assert.InDelta(t, p.Lat, back.Lat, halfHundredthMinute)
		assert.InDelta(t, p.Lon, back.Lon, halfHundredthMinute)
		assert.Equal(t, p.String(), back.String())
	})
}

func TestStringCarriesAndKeepsItsWidth(t *testing.T) {
	for _, c := range []struct {
		p    earth.Position
		want string
	}{
		{earth.Position{Lat: 56 + 22.4/60, Lon: -(3 + 51.7/60)}, "N56 22.40 W003 51.70"},
		{earth.Position{Lat: 55.99999, Lon: -9.99999}, "N56 00.00 W010 00.00"},
		{earth.Position{Lat: -1e-9, Lon: -1e-9}, "N00 00.00 E000 00.00"},
		{earth.Position{Lat: -90, Lon: 180}, "S90 00.00 E180 00.00"},
		{earth.Position{Lat: math.NaN(), Lon: 4}, "not a position (NaN, 4)"},
	} {
		assert.Equal(t, c.want, c.p.String())
	}
}

func TestPositionKeepsEveryDigitInJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPosition(t, "p")
		data, err := json.Marshal(p)
		require.NoError(t, err)
		var back earth.Position
		require.NoError(t, json.Unmarshal(data, &back))
		assert.Equal(t, p, back)
	})
	data, err := json.Marshal(earth.Position{Lat: 56.1234, Lon: -4.5678})
	require.NoError(t, err)
	assert.Equal(t, "[56.1234,-4.5678]", string(data))
}

func TestPositionRefusesOtherJSON(t *testing.T) {
	for _, text := range []string{`[56.1]`, `[56.1,-4.5,3]`, `[null,4]`, `[91,0]`, `[0,-181]`, `{"lat":1,"lon":2}`, `"56.1, -4.5"`, `[]`, `7`} {
		p := earth.Position{Lat: 1, Lon: 2}
		err := json.Unmarshal([]byte(text), &p)
		require.Error(t, err, text)
		assert.ErrorContains(t, err, "position "+text)
		assert.Equal(t, earth.Position{Lat: 1, Lon: 2}, p, "left as it was by %s", text)
	}
}

func FuzzParsePosition(f *testing.F) {
	for _, seed := range []string{
		"56.1234, -4.5678", "N56 22.4 W003 51.7", "562745N 0043210W", "5627N 00432W", "56 27 45 N 4 32 10 W",
		"56°27'45\"N 004°32'10\"W", "56°27′45″N, 004°32′10″W", "W004 N56", "−1,\t+2", "56''N 4'W", "99999999999999N 1E",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := earth.ParsePosition(text)
		if err != nil {
			assert.Equal(t, earth.Position{}, p)
			assert.ErrorContains(t, err, "write ")
			return
		}
		require.True(t, p.Valid(), "%q gave %v, %v", text, p.Lat, p.Lon)
		back, err := earth.ParsePosition(p.String())
		require.NoError(t, err, "%q gave %v", text, p)
		assert.Equal(t, p.String(), back.String())
	})
}

// Nonsense in gives nonsense out, but neither a panic nor an endless loop.
func TestPositionsThatAreNotValidDoNoHarm(t *testing.T) {
	here, now := earth.Position{Lat: 56, Lon: -4}, time.Date(2026, 6, 14, 0, 0, 0, 0, time.UTC)
	for _, bad := range []earth.Position{
		{Lat: math.NaN(), Lon: math.NaN()}, {Lat: math.Inf(1), Lon: math.Inf(-1)}, {Lat: 1e300, Lon: -1e300}, {Lat: 91, Lon: 181},
	} {
		assert.False(t, bad.Valid())
		assert.NotPanics(t, func() {
			earth.Inverse(here, bad)
			earth.Direct(bad, 30, 10)
			earth.Abeam(here, bad, here)
			earth.Abeam(here, earth.Position{}, bad)
			earth.Sun(bad, now)
			earth.SunAround(bad, now)
			earth.SunAltitude(bad, now)
		})
	}
}
