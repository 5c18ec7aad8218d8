package feed

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
)

func float(value float64) *float64 { return &value }

func clock(hour, minute int, second float64) *time.Duration {
	d := time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute + time.Duration(second*float64(time.Second))
	return &d
}

func date(year int, month time.Month, day int) *time.Time {
	d := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	return &d
}

// published are sentences with what they say. Layouts: public NMEA 0183 sentence descriptions, case 14.01; lines 14.04 to 14.15 were
// computed by the checksum rule.
var published = []struct {
	id, line string
	want     Message
}{
	{"14.02, a public thread quoting the specification", "$INHDG,180,5,W,10,W*6D", Message{
		Talker: "IN", Type: "HDG", HeadingSensor: float(180), Deviation: float(-5), Variation: float(-10),
		HeadingMagnetic: float(175), HeadingTrue: float(165),
	}},
	{"14.03, a public library's example", "$HCHDG,98.3,0.0,E,12.6,W*57", Message{
		Talker: "HC", Type: "HDG", HeadingSensor: float(98.3), Deviation: float(0), Variation: float(-12.6),
		HeadingMagnetic: float(98.3), HeadingTrue: float(85.7),
	}},
	{"14.04", "$GPRMC,130512.00,A,5206.000,N,00130.000,W,095.4,295.1,150526,000.3,W*5E", Message{
		Talker: "GP", Type: "RMC", TimeOfDay: clock(13, 5, 12), Date: date(2026, 5, 15), At: &earth.Position{Lat: 52.1, Lon: -1.5},
		GroundspeedKt: float(95.4), TrackTrue: float(295.1), Variation: float(-0.3),
	}},
	{"14.05, no fix", "$GPRMC,131000.00,V,,,,,,,150526,,*19", Message{
		Talker: "GP", Type: "RMC", TimeOfDay: clock(13, 10, 0), Date: date(2026, 5, 15), Lost: true,
	}},
	{"14.06, mode A", "$GNRMC,204530.25,A,3612.0000,N,09630.0000,W,101.7,303.6,061026,003.1,E,A*34", Message{
		Talker: "GN", Type: "RMC", TimeOfDay: clock(20, 45, 30.25), Date: date(2026, 10, 6), At: &earth.Position{Lat: 36.2, Lon: -96.5},
		GroundspeedKt: float(101.7), TrackTrue: float(303.6), Variation: float(3.1),
	}},
	{
		"14.07, equator, next to the antimeridian, last second of the year",
		"$GPRMC,235959.00,A,0000.0000,N,17959.9990,E,110.0,090.0,311226,,*34",
		Message{
			Talker: "GP", Type: "RMC", TimeOfDay: clock(23, 59, 59), Date: date(2026, 12, 31),
			At: &earth.Position{Lat: 0, Lon: 179 + 59.999/60}, GroundspeedKt: float(110), TrackTrue: float(90),
		},
	},
	{"14.08, 1371.6 m are 4500 ft", "$GPGGA,130512.00,5206.0000,N,00130.0000,W,1,08,0.9,1371.6,M,48.5,M,,*43", Message{
		Talker: "GP", Type: "GGA", TimeOfDay: clock(13, 5, 12), At: &earth.Position{Lat: 52.1, Lon: -1.5}, AltitudeFt: float(4500),
	}},
	{"14.09, south and east, differential", "$GPGGA,001500.00,1808.4000,S,17826.4000,E,2,10,0.8,762.0,M,57.1,M,3.0,0120*5A", Message{
		Talker: "GP", Type: "GGA", TimeOfDay: clock(0, 15, 0), At: &earth.Position{Lat: -18.14, Lon: 178.44}, AltitudeFt: float(2500),
	}},
	{"14.10, old form", "$GPVTG,295.1,T,295.4,M,095.4,N,176.7,K*44", Message{
		Talker: "GP", Type: "VTG", TrackTrue: float(295.1), TrackMagnetic: float(295.4), GroundspeedKt: float(95.4),
	}},
	{"14.11, with mode", "$GNVTG,303.6,T,300.5,M,101.7,N,188.3,K,A*38", Message{
		Talker: "GN", Type: "VTG", TrackTrue: float(303.6), TrackMagnetic: float(300.5), GroundspeedKt: float(101.7),
	}},
	{"14.12", "$HEHDT,291.4,T*21", Message{Talker: "HE", Type: "HDT", HeadingTrue: float(291.4)}},
	{"14.13", "$HEHDT,178.3,T*22", Message{Talker: "HE", Type: "HDT", HeadingTrue: float(178.3)}},
	{"14.14", "$HCHDG,098.3,2.0,E,12.6,W*65", Message{
		Talker: "HC", Type: "HDG", HeadingSensor: float(98.3), Deviation: float(2), Variation: float(-12.6),
		HeadingMagnetic: float(100.3), HeadingTrue: float(87.7),
	}},
	{"14.15, deviation blank", "$HCHDG,180.0,,,3.1,E*22", Message{
		Talker: "HC", Type: "HDG", HeadingSensor: float(180), Variation: float(3.1), HeadingMagnetic: float(180), HeadingTrue: float(183.1),
	}},
}

func TestPublishedSentences(t *testing.T) {
	for _, c := range published {
		t.Run(c.id, func(t *testing.T) {
			got, err := ParseMessage(c.line)
			require.NoError(t, err)
			c.want.Known = true
			assertMessage(t, c.want, got)

			sum := len(c.line) - 2
			lower, err := ParseMessage(c.line[:sum] + strings.ToLower(c.line[sum:]) + "\r\n")
			require.NoError(t, err, "checksum in lower case, CR LF")
			assertMessage(t, c.want, lower)
		})
	}
}

// assertMessage compares figures to their last digit but one: decimals of minutes and metres are not exact in binary.
func assertMessage(t *testing.T, want, got Message) {
	t.Helper()
	figures := func(m Message) []**float64 {
		return []**float64{
			&m.AltitudeFt, &m.GroundspeedKt, &m.TrackTrue, &m.TrackMagnetic, &m.HeadingSensor, &m.HeadingMagnetic, &m.HeadingTrue,
			&m.Deviation, &m.Variation,
		}
	}
	gotFigures := figures(got)
	for i, w := range figures(want) {
		g := *gotFigures[i]
		if *w == nil {
			assert.Nil(t, g, "figure %d", i)
		} else if assert.NotNil(t, g, "figure %d", i) {
			assert.InDelta(t, **w, *g, 1e-9, "figure %d", i)
		}
	}
	if want.At == nil {
		assert.Nil(t, got.At)
	} else if assert.NotNil(t, got.At) {
		assert.InDelta(t, want.At.Lat, got.At.Lat, 1e-9)
		assert.InDelta(t, want.At.Lon, got.At.Lon, 1e-9)
	}
	assert.Equal(t, want.TimeOfDay, got.TimeOfDay)
	assert.Equal(t, want.Date, got.Date)
	assert.Equal(t, []any{want.Talker, want.Type, want.Known, want.Lost}, []any{got.Talker, got.Type, got.Known, got.Lost})
}

// sentence puts the right checksum to a body.
func sentence(body string) string { return fmt.Sprintf("$%s*%02X\r\n", body, Checksum(body)) }

func TestMoreSentences(t *testing.T) {
	at := &earth.Position{Lat: 52.1, Lon: -1.5}
	for _, c := range []struct {
		name, body string
		want       Message
	}{
		{"GLL", "GPGLL,5206.0000,N,00130.0000,W,130512.00,A,A", Message{TimeOfDay: clock(13, 5, 12), At: at}},
		{"GLL without status is no position", "GPGLL,5206.0000,N,00130.0000,W,130512.00,", Message{TimeOfDay: clock(13, 5, 12), Lost: true}},
		{"ZDA", "GPZDA,130512.00,15,05,2026,00,00", Message{TimeOfDay: clock(13, 5, 12), Date: date(2026, 5, 15)}},
		{"GGA without a fix", "GPGGA,130512.00,5206.0000,N,00130.0000,W,0,00,,,M,,M,,", Message{TimeOfDay: clock(13, 5, 12), Lost: true}},
		{"GGA estimated", "GPGGA,130512.00,5206.0000,N,00130.0000,W,6,00,,,M,,M,,", Message{TimeOfDay: clock(13, 5, 12), Lost: true}},
		{"GGA without altitude", "GPGGA,130512.00,5206.0000,N,00130.0000,W,1,04,,,,,,,", Message{TimeOfDay: clock(13, 5, 12), At: at}},
		{"RMC estimated", "GPRMC,130512,V,5206.0,N,00130.0,W,95,295,150526,,,E", Message{TimeOfDay: clock(13, 5, 12), Date: date(2026, 5, 15), Lost: true}},
		{"RMC simulated", "GPRMC,130512,V,5206.0,N,00130.0,W,95,360,150526,,,S", Message{
			TimeOfDay: clock(13, 5, 12), Date: date(2026, 5, 15), At: at, GroundspeedKt: float(95), TrackTrue: float(0),
		}},
		{"RMC of the century before", "GPRMC,130512,A,5206.0,N,00130.0,W,,,150599,,", Message{
			TimeOfDay: clock(13, 5, 12), Date: date(1999, 5, 15), At: at,
		}},
		{"RMC with a letter missing is no position", "GPRMC,130512,A,5206.0,,00130.0,W,95,295,150526,,", Message{
			TimeOfDay: clock(13, 5, 12), Date: date(2026, 5, 15), GroundspeedKt: float(95), TrackTrue: float(295),
		}},
		{"VTG by km/h", "GPVTG,,,,,,,185.2,K", Message{GroundspeedKt: float(100)}},
		{"VTG not valid", "GPVTG,295.1,T,,M,095.4,N,176.7,K,N", Message{}},
		{"HDG without variation", "HCHDG,98.3,2,W,,", Message{HeadingSensor: float(98.3), Deviation: float(-2), HeadingMagnetic: float(96.3)}},
		{"HDG past north", "HCHDG,358,5,E,3,W", Message{
			HeadingSensor: float(358), Deviation: float(5), Variation: float(-3), HeadingMagnetic: float(3), HeadingTrue: float(0),
		}},
		{"a leap second counts as the one before it", "GPZDA,235960,30,06,2026,00,00", Message{TimeOfDay: clock(23, 59, 59), Date: date(2026, 6, 30)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ParseMessage(sentence(c.body))
			require.NoError(t, err)
			c.want.Talker, c.want.Type, c.want.Known = c.body[:2], c.body[2:5], true
			assertMessage(t, c.want, got)
		})
	}
}

func TestLinesAroundASentence(t *testing.T) {
	line := published[2].line
	for _, c := range []string{
		line + "\r\n", line + " \n", "2026-05-15T13:05:12.1Z " + line, `\s:ais,c:1778850312*0B\` + line,
		"$GPRMC,1305" + line, // two lines run together: the whole one counts
	} {
		got, err := ParseMessage(c)
		require.NoError(t, err, "%q", c)
		assert.NotNil(t, got.At)
	}
	got, err := ParseMessage(sentence("gprmc,130512,a,5206.0,n,00130.0,w,95,295,150526,,"))
	require.NoError(t, err)
	assert.NotNil(t, got.At, "lower case")
	for _, body := range []string{"GPGSV,3,1,11,03,03,111,00", "PGRME,15.0,M,45.0,M,25.0,M", "CCGPQ,GGA", "GPXXX"} {
		got, err := ParseMessage(sentence(body))
		require.NoError(t, err, body)
		assert.False(t, got.Known, body)
	}
}

func TestRefusedSentences(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"$GPRMC,130512.00,A,5206.000,N,00130.000,W,095.4,295.1,150526,000.3,W*5F", "checksum 5F, computed 5E: the line was damaged on its way"}, // case 14.16
		{"$GPRMC,130512.00,A,5206.000,N,00130.000,W,095.4,295.1,150526,000.3,W", "no checksum: the sentence should end in *5E"},
		{"$HEHDT,178.3,T*1E", "checksum 1E, computed 22: the line was damaged on its way"}, // case 14.13: printed so on a public page
		{"$HEHDT,178.3,T*2", `checksum "2": it is two hexadecimal digits`},
		{"$HEHDT,178.3,T*+2", `checksum "+2": it is two hexadecimal digits`},
		{"$HEHDT,178.3,T*22,more", `checksum "22,more": it is two hexadecimal digits`},
		{"nothing", `not a sentence: it begins with "$"`},
		{"", `not a sentence: it begins with "$"`},
		{"!AIVDM,1,1,,A,15,0*00", `not a sentence: it begins with "$"`},
		{sentence(""), "a sentence without its address"},
		{sentence("RMC,1"), `address "RMC": it is two letters for the talker and three for the sentence`},
		{sentence("GPGGA," + strings.Repeat(",", 300)), "a sentence of 309 bytes: none is longer than 256"},
		{sentence("GPTXT,caf\xe9"), "byte 0xe9: sentences are plain ASCII"},
		{sentence("GPRMC,130512,A,5260.0,N,00130.0,W,,,150526"), `field 3, "5260.0": it is degrees up to 90 and minutes below 60, as ddmm.mmm`},
		{sentence("GPRMC,130512,A,9000.1,N,00130.0,W,,,150526"), `field 3, "9000.1": it is a number from 0 to 9000`},
		{sentence("GPRMC,130512,A,5206.0,Q,00130.0,W,,,150526"), `field 4, "Q": it is one of the letters NS`},
		{sentence("GPRMC,130512,A,52060e-1,N,00130.0,W,,,150526"), `field 3, "52060e-1": it is a number from 0 to 9000`},
		{sentence("GPRMC,250000,A,5206.0,N,00130.0,W,,,150526"), `field 1, "250000": it is a time, hhmmss`},
		{sentence("GPRMC,130512,A,5206.0,N,00130.0,W,,,310226"), `field 9, "310226": it is a date of the calendar`},
		{sentence("GPRMC,130512,A,5206.0,N,00130.0,W,NaN,,150526"), `field 7, "NaN": it is a number from 0 to 2000`},
		{sentence("GPRMC,130512,A,5206.0,N,00130.0,W,1,361,150526"), `field 8, "361": it is a number from 0 to 360`},
	} {
		_, err := ParseMessage(c.line)
		assert.EqualError(t, err, c.want, "%q", c.line)
	}
}

// TestAnyDamagedByteIsFound: a change of one character anywhere within the checksum's reach is refused.
func TestAnyDamagedByteIsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SampledFrom(published).Draw(t, "case").line
		i := rapid.IntRange(1, len(line)-4).Draw(t, "at")
		other := rapid.ByteRange(' ', '~').Draw(t, "to")
		if line[i] == other || other == '$' || other == '*' {
			return
		}
		_, err := ParseMessage(line[:i] + string(other) + line[i+1:])
		require.Error(t, err)
	})
}

// TestPositionsSurviveSentences: what is written with five decimals of minutes is read to within half of the last.
func TestPositionsSurviveSentences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")
		got, err := ParseMessage(sentence(fmt.Sprintf("GPGLL,%s,%s,000000,A", packed(lat, 2, "NS"), packed(lon, 3, "EW"))))
		require.NoError(t, err)
		require.NotNil(t, got.At)
		assert.InDelta(t, lat, got.At.Lat, 0.51e-5/60)
		assert.InDelta(t, lon, got.At.Lon, 0.51e-5/60)
	})
}

// packed writes one half of a position as a receiver does: whole hundred-thousandths of a minute, so that no minute is 60.
func packed(degrees float64, width int, letters string) string {
	letter := letters[:1]
	if degrees < 0 {
		letter, degrees = letters[1:], -degrees
	}
	const perDegree = 60 * 100000
	units := int64(degrees*perDegree + 0.5)
	return fmt.Sprintf("%0*d%02d.%05d,%s", width, units/perDegree, units%perDegree/100000, units%100000, letter)
}

func FuzzParseMessage(f *testing.F) {
	for _, c := range published {
		f.Add(c.line)
	}
	f.Add("$GPGLL,,,,,,*50")
	f.Add("$*00")
	f.Fuzz(func(t *testing.T, line string) {
		for _, text := range []string{line, sentence(strings.Trim(line, "$*"))} { // as it is, and with a checksum that lets it through
			m, err := ParseMessage(text)
			if err != nil {
				continue
			}
			if m.At != nil && !m.At.Valid() {
				t.Errorf("%q: position %v", text, *m.At)
			}
			if m.TimeOfDay != nil && (*m.TimeOfDay < 0 || *m.TimeOfDay >= 24*time.Hour) {
				t.Errorf("%q: time of day %v", text, *m.TimeOfDay)
			}
			for _, direction := range []*float64{m.TrackTrue, m.TrackMagnetic, m.HeadingTrue, m.HeadingMagnetic, m.HeadingSensor} {
				if direction != nil && !(*direction >= 0 && *direction < 360) {
					t.Errorf("%q: direction %v", text, *direction)
				}
			}
		}
	})
}
