package feed

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
)

// minimal is case 14.21: root with version and creator, one track, one segment, points with lat, lon, ele and time.
const minimal = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">
  <trk><trkseg>
    <trkpt lat="52.1" lon="-1.5"><ele>1371.6</ele><time>2026-05-15T13:05:12Z</time></trkpt>
    <trkpt lat="52.2" lon="-1.5"><ele>1371.6</ele><time>2026-05-15T13:08:12.5Z</time></trkpt>
  </trkseg></trk>
</gpx>`

// full has every kind of element in the order of the GPX 1.1 schema, cases 14.17, 14.18 and 14.20.
const full = `<?xml version="1.0"?>
<gpx version="1.1" creator="test &amp; co" xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:x">
  <metadata><name>the file</name><time>2026-01-01T00:00:00Z</time></metadata>
  <wpt lat="0" lon="-180"><ele>10</ele><time>2026-05-15T14:05:12+01:00</time><magvar>1</magvar><geoidheight>48</geoidheight>
    <name>A &lt;b&gt;</name><cmt>c</cmt><desc>d</desc><src>s</src><link href="urn:l"><text>name in a link</text></link><sym>Flag</sym><type>visual</type>
    <fix>3d</fix><sat>8</sat><hdop>1</hdop><extensions><x:name>not this</x:name><name>nor this</name></extensions></wpt>
  <rte><name>way</name><rtept lat="1.5" lon="2.5"><name>R1</name></rtept><rtept lat="2.5" lon="3.5"/></rte>
  <trk><name>flown</name>
    <trkseg><trkpt lat="1" lon="2"/></trkseg><trkseg><trkpt lat="3" lon="4"/><trkpt lat="5" lon="6"/></trkseg></trk>
  <extensions><x:deep><x:deeper/></x:deep></extensions>
</gpx>`

func TestMinimalGPX(t *testing.T) {
	track, _, err := readOne(strings.NewReader(minimal), time.Time{})
	require.NoError(t, err)
	require.Len(t, track.Samples, 2)
	first, second := track.Samples[0], track.Samples[1]
	assert.Equal(t, time.Date(2026, 5, 15, 13, 5, 12, 0, time.UTC), first.Time)
	assert.Equal(t, 180500*time.Millisecond, second.Time.Sub(first.Time))
	assert.InDelta(t, 4500, *first.AltitudeFt, 1e-9)
	// GPX 1.1 has no speed: it comes of the positions (case 14.19). A tenth of a degree of latitude at 52.15 N is 11 126 m by the
	// length of a degree of the meridian, 111 132.95 - 559.85 cos 2φ + 1.17 cos 4φ m (usual series, from memory): 119.8 kt here.
	require.NotNil(t, first.GroundspeedKt)
	metres := 0.1 * (111132.95 - 559.85*-0.24700 + 1.17*-0.8780)
	assert.InDelta(t, metres/1852/180.5*3600, *first.GroundspeedKt, 0.01)
	assert.InDelta(t, 0, *first.TrackTrue, 1e-9)
}

func TestFullGPX(t *testing.T) {
	gpx, err := ReadGPX(strings.NewReader(full))
	require.NoError(t, err)
	assert.Equal(t, []string{"1.1", "test & co", "the file"}, []string{gpx.Version, gpx.Creator, gpx.Name})
	require.Len(t, gpx.Waypoints, 1)
	point := gpx.Waypoints[0]
	assert.Equal(t, earth.Position{Lat: 0, Lon: -180}, point.At)
	assert.Equal(t, []string{"A <b>", "d", "Flag", "visual"}, []string{point.Name, point.Description, point.Symbol, point.Type})
	assert.Equal(t, time.Date(2026, 5, 15, 13, 5, 12, 0, time.UTC), point.Time)
	require.Len(t, gpx.Routes, 1)
	assert.Equal(t, GPXRoute{Name: "way", Points: []GPXPoint{
		{At: earth.Position{Lat: 1.5, Lon: 2.5}, Name: "R1"}, {At: earth.Position{Lat: 2.5, Lon: 3.5}},
	}}, gpx.Routes[0])
	require.Len(t, gpx.Tracks, 1)
	assert.Equal(t, []GPXTrack{{Name: "flown", Segments: [][]GPXPoint{
		{{At: earth.Position{Lat: 1, Lon: 2}}}, {{At: earth.Position{Lat: 3, Lon: 4}}, {At: earth.Position{Lat: 5, Lon: 6}}},
	}}}, gpx.Tracks)
}

func TestGPX10HasSpeedAndCourse(t *testing.T) { // case 14.19
	gpx, err := ReadGPX(strings.NewReader(`<gpx version="1.0" creator="test" xmlns="http://www.topografix.com/GPX/1/0"><name>old</name>
		<trk><trkseg><trkpt lat="1" lon="2"><time>2026-05-15T13:05:12Z</time><course>90</course><speed>51.4444444</speed></trkpt></trkseg></trk></gpx>`))
	require.NoError(t, err)
	point := gpx.Tracks[0].Segments[0][0]
	assert.InDelta(t, 100, *point.GroundspeedKt, 1e-5, "1 kt is 1852 m an hour")
	assert.InDelta(t, 90, *point.TrackTrue, 0)
	assert.Equal(t, "old", gpx.Name)
}

func TestEncodingsOfGPX(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"\ufeff" + `<gpx version="1.1"><metadata><name>Häge</name></metadata></gpx>`, "Häge"},
		{`<?xml version="1.0" encoding="ISO-8859-1"?><gpx version="1.1"><metadata><name>H` + "\xe4" + `ge</name></metadata></gpx>`, "Häge"},
		{`<?xml version="1.0" encoding="windows-1252"?><gpx version="1.1"><metadata><name>` + "\x80" + `</name></metadata></gpx>`, "€"},
	} {
		gpx, err := ReadGPX(strings.NewReader(c.text))
		require.NoError(t, err)
		assert.Equal(t, c.want, gpx.Name)
	}
}

func TestRefusedGPX(t *testing.T) {
	point := func(attributes, inside string) string {
		return "<gpx version=\"1.1\">\n<trk><trkseg>\n<trkpt " + attributes + ">" + inside + "</trkpt></trkseg></trk></gpx>"
	}
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "line 1: no GPX in it: a GPX file begins with <gpx>"},
		{"another file", "<html/>", "line 1: <html>: a GPX file begins with <gpx>"},
		{"version", `<gpx version="2.0"/>`, `line 1: GPX version "2.0": 1.1 and 1.0 can be read`},
		{"no longitude", point(`lat="1"`, ""), `line 3: <trkpt lat="1" lon="">: it needs decimal degrees, lat to 90, lon to 180`},
		{"beyond the pole", point(`lat="90.1" lon="0"`, ""), `line 3: <trkpt lat="90.1" lon="0">: it needs decimal degrees, lat to 90, lon to 180`},
		{"no decimal", point(`lat="NaN" lon="0"`, ""), `line 3: <trkpt lat="NaN" lon="0">: it needs decimal degrees, lat to 90, lon to 180`},
		{"time", point(`lat="1" lon="2"`, "<time>noon</time>"), "line 3: <time>noon: times are 2026-06-14T09:10:00Z"},
		{"cut off", point(`lat="1" lon="2"`, "")[:60], "line 3: the file ends too early"},
		{"not closed", `<gpx version="1.1"><trk></gpx>`, "line 1: element <trk> closed by </gpx>"},
		{"entity", `<!DOCTYPE gpx [<!ENTITY a "b">]><gpx version="1.1"><metadata><name>&a;</name></metadata></gpx>`, "line 1: invalid character entity &a;"},
		{"encoding", `<?xml version="1.0" encoding="utf-16"?><gpx version="1.1"/>`, `encoding "utf-16" can't be read: save the file as UTF-8`},
		{"deep", `<gpx version="1.1"><extensions>` + strings.Repeat("<a>", 40), "line 1: elements nested deeper than 32"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadGPX(strings.NewReader(c.text))
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.want)
			assert.NotContains(t, err.Error(), "xml:")
		})
	}
}

func FuzzReadGPX(f *testing.F) {
	f.Add(minimal)
	f.Add(full)
	f.Add(`<gpx version="1.1"><trk><trkseg><trkpt lat="1" lon="2"><ele>1e9</ele>`)
	f.Fuzz(func(t *testing.T, text string) {
		gpx, err := ReadGPX(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, track := range gpx.Tracks {
			for _, segment := range track.Segments {
				for _, point := range segment {
					if !point.At.Valid() {
						t.Errorf("position %v", point.At)
					}
				}
			}
		}
	})
}

// Of two documents, one behind the other, what is left unread is said.
func TestASecondDocumentIsSaid(t *testing.T) {
	const one = `<gpx><trk><trkseg><trkpt lat="1" lon="2"><time>2026-05-15T13:05:12Z</time></trkpt></trkseg></trk></gpx>`
	recorded, err := ReadTracks(strings.NewReader(strings.Replace(one, "<gpx>", `<gpx version="1.1" creator="test">`, 1)+"\n"+one), time.Date(2026, 5, 15, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	require.Contains(t, recorded.Torn, "begins after the end of the first GPX document")
}
