package feed

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadNMEATrack(t *testing.T) {
	text := "logger started\n" + sentence(rmc("130512", 6, "150526")) + sentence(gga("130512", 6, 300)) +
		strings.Repeat("x", 5000) + "\n" + // longer than any line
		"$GPRMC,130512.00,A,5206.000,N,00130.000,W,095.4,295.1,150526,000.3,W*5F\n" +
		sentence(rmc("130513", 6.03, "150526")) + sentence(gga("130513", 6.03, 310)) +
		sentence(rmc("130513", 6.03, "150526")) + // the same moment again
		strings.TrimSpace(sentence(rmc("130514", 6.06, "150526"))) // no line end
	for name, reader := range map[string]io.Reader{
		"whole": strings.NewReader(text), "byte by byte": iotest.OneByteReader(strings.NewReader(text)),
	} {
		track, recorded, err := readOne(reader, time.Time{})
		require.NoError(t, err, name)
		assert.Equal(t, "NMEA 0183", track.Format)
		require.Len(t, track.Samples, 3, name)
		assert.InDelta(t, 310/0.3048, *track.Samples[1].AltitudeFt, 1e-9)
		assert.Equal(t, Faults{Count: 2, First: []Fault{
			{4, "a line of more than 1024 bytes"}, {5, "checksum 5F, computed 5E: the line was damaged on its way"},
		}}, recorded.Faults)
	}
}

func TestDayOfATrackWithoutDate(t *testing.T) {
	text := sentence(gga("130512", 6, 300)) + sentence(gga("130513", 6.03, 300))
	_, _, err := readOne(strings.NewReader(text), time.Time{})
	require.EqualError(t, err, "its positions have no times, so it can't be told when anything was passed")
	track, _, err := readOne(strings.NewReader(text), time.Date(2026, 5, 15, 9, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	assert.Equal(t, time.Date(2026, 5, 15, 13, 5, 12, 0, time.UTC), track.Samples[0].Time)
}

// igc is a flight recorder's file. The last fix is case 14.22, the rest follows its layout.
const igc = `AXXX001 an invented recorder
HFDTEDATE:150526,01
HFPLTPILOTINCHARGE:nobody
B1336566104081N02309954EV0017700000
Bdamaged
B1336576104081N02309954EA0017800129001
`

func TestReadIGC(t *testing.T) { // case 14.22: 13:36:57, 61°04.081N 023°09.954E, valid, 178 m pressure, 129 m satellite altitude
	track, recorded, err := readOne(strings.NewReader(igc), time.Time{})
	require.NoError(t, err)
	assert.Equal(t, "IGC", track.Format)
	require.Len(t, track.Samples, 2)
	fix := track.Samples[1]
	assert.Equal(t, time.Date(2026, 5, 15, 13, 36, 57, 0, time.UTC), fix.Time)
	assert.InDelta(t, 61+4.081/60, fix.At.Lat, 1e-9)
	assert.InDelta(t, 23+9.954/60, fix.At.Lon, 1e-9)
	assert.InDelta(t, 129/0.3048, *fix.AltitudeFt, 1e-9)
	assert.InDelta(t, 177/0.3048, *track.Samples[0].AltitudeFt, 1e-9, "without a satellite altitude that of the pressure")
	assert.Equal(t, Faults{Count: 1, First: []Fault{{5, "a fix of 8 characters: it has 35"}}}, recorded.Faults)

	old, _, err := readOne(strings.NewReader("AXXX001\nHFDTE311226\nB2359590000000N17959999EA0000000000\nB0000010000000S17959999WA0000000000\n"), time.Time{})
	require.NoError(t, err)
	assert.Equal(t, 2*time.Second, old.Samples[1].Time.Sub(old.Samples[0].Time), "past midnight")
	assert.InDelta(t, 0.002/60*60/2*3600, *old.Samples[0].GroundspeedKt, 0.01, "across the antimeridian: 0.002 minutes of the equator in 2 s")
}

func TestUnreadableTracks(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "there is no position in it, read as NMEA 0183: tracks are GPX, NMEA 0183 or IGC"},
		{"hello\n", "there is no position in it, read as NMEA 0183: tracks are GPX, NMEA 0183 or IGC"},
		{"$HEHDT,1,T*00\n", "there is no position in it, read as NMEA 0183; 1 line could not be used, line 1: checksum 00, computed 30: the line was damaged on its way"},
		{
			strings.Repeat(sentence("GPRMC,130512.00,V,,,,,,,150526,,,N"), 8000), // status V: NMEA 0183, RMC
			"no valid fix in 8000 sentences (status V or quality 0): the receiver had no position yet, or lost it",
		},
		{`<gpx version="1.1"/>`, "there is no position in it, read as GPX: tracks are GPX, NMEA 0183 or IGC"},
		{`<gpx version="1.1"><trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`, "its positions have no times, so it can't be told when anything was passed"},
	} {
		_, _, err := readOne(strings.NewReader(c.text), time.Time{})
		assert.EqualError(t, err, c.want)
	}
	broken := errors.New("broken")
	_, _, err := readOne(io.MultiReader(strings.NewReader(sentence(rmc("130512", 6, "150526"))), iotest.ErrReader(broken)), time.Time{})
	require.ErrorIs(t, err, broken)
}

func TestWhatGoesBackInTimeIsDropped(t *testing.T) {
	text := sentence(rmc("130512", 6, "150526")) + sentence(rmc("130513", 6.03, "150526")) + sentence(rmc("130511", 5.9, "150526")) + sentence(rmc("130514", 6.06, "150526"))
	track, recorded, err := readOne(strings.NewReader(text), time.Time{})
	require.NoError(t, err)
	require.Len(t, track.Samples, 3)
	for i, s := range track.Samples {
		assert.Equal(t, 12+i, s.Time.Second())
		assert.InDelta(t, 52+(6+0.03*float64(i))/60, s.At.Lat, 1e-9)
	}
	assert.Equal(t, Dropped{Backwards: 1}, recorded.Dropped)
	assert.Equal(t, "1 not later than the one before", recorded.Dropped.Words())
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = 'x'
	}
	return len(b), nil
}

func TestFilesAreBounded(t *testing.T) {
	err := readNMEA(&limited{endless{}, 1 << 20}, time.Time{}, &collector{})
	require.ErrorIs(t, err, errTooLarge)
	_, err = ReadGPX(&limited{io.MultiReader(strings.NewReader(`<gpx version="1.1"><metadata><name>`), endless{}), 1 << 20})
	require.EqualError(t, err, "line 1: a file of more than 256 MiB")
}

func FuzzReadTrack(f *testing.F) {
	f.Add([]byte(minimal))
	f.Add([]byte(igc))
	f.Add([]byte(sentence(rmc("235959", 6, "150526")) + sentence(gga("000000", 6, 300)) + "\n\r\n$"))
	f.Fuzz(func(t *testing.T, data []byte) {
		recorded, err := ReadTracks(strings.NewReader(string(data)), time.Date(2026, 5, 15, 9, 0, 0, 0, time.UTC))
		if err != nil {
			return
		}
		if len(recorded.Flights()) == 0 {
			t.Fatal("no error and no flight")
		}
		for place := range recorded.Flights() {
			samples := recorded.Track(place).Samples
			for i, s := range samples {
				if s.Time.IsZero() || !s.At.Valid() || i > 0 && !s.Time.After(samples[i-1].Time) {
					t.Errorf("sample %d: %+v", i, s)
				}
			}
		}
	})
}
