package export

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/feed"
	"example.com/legclock/internal/flight"
)

// sevenDecimals is half of what the last decimal of a position counts.
const sevenDecimals = 0.5e-7 + 1e-12

// TestGPXIsReadBack: what is written is read as the same points, by the reader of tracks.
func TestGPXIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		position := rapid.Custom(func(t *rapid.T) earth.Position {
			return earth.Position{Lat: rapid.Float64Range(-90, 90).Draw(t, "lat"), Lon: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		})
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ab <>&\"'é€\u4e2d]")), 1, 12, -1)
		point := rapid.Custom(func(t *rapid.T) Point {
			return Point{Ident: text.Draw(t, "ident"), Name: text.Draw(t, "name"), Kind: "visual", At: position.Draw(t, "at")}
		})
		d := Document{Title: text.Draw(t, "title"), Points: rapid.SliceOfN(point, 0, 4).Draw(t, "points")}
		for _, p := range rapid.SliceOfN(point, 0, 4).Draw(t, "route") {
			d.Route = append(d.Route, RoutePoint{Point: p})
		}
		start := time.Date(2026, 5, 15, 13, 0, 0, 0, time.UTC)
		for range rapid.IntRange(0, 3).Draw(t, "pieces") {
			var piece []TrackPoint
			for _, at := range rapid.SliceOfN(position, 1, 5).Draw(t, "piece") {
				altitudeFt := rapid.Float64Range(-1000, 40000).Draw(t, "altitude")
				start = start.Add(time.Duration(rapid.IntRange(1, 1e6).Draw(t, "milliseconds")) * time.Millisecond)
				piece = append(piece, TrackPoint{At: at, Time: start, AltitudeFt: &altitudeFt})
			}
			d.Track = append(d.Track, piece)
		}
		var out bytes.Buffer
		require.NoError(t, d.Write(&out, "gpx"))
		read, err := feed.ReadGPX(&out)
		require.NoError(t, err)
		same := func(want Point, got feed.GPXPoint) {
			assertPlace(t, want.At, got.At)
			require.Equal(t, strings.TrimSpace(want.Ident), got.Name)
			require.Equal(t, want.Kind, got.Type)
		}
		require.Equal(t, strings.TrimSpace(d.Title), read.Name)
		require.Len(t, read.Waypoints, len(d.Points))
		for i, p := range d.Points {
			same(p, read.Waypoints[i])
		}
		require.Len(t, read.Routes, 1)
		require.Len(t, read.Routes[0].Points, len(d.Route))
		for i, p := range d.Route {
			same(p.Point, read.Routes[0].Points[i])
		}
		if len(d.Track) == 0 {
			require.Empty(t, read.Tracks)
			return
		}
		require.Len(t, read.Tracks[0].Segments, len(d.Track))
		for i, piece := range d.Track {
			require.Len(t, read.Tracks[0].Segments[i], len(piece))
			for k, p := range piece {
				got := read.Tracks[0].Segments[i][k]
				assertPlace(t, p.At, got.At)
				require.Equal(t, p.Time, got.Time)
				require.InDelta(t, *p.AltitudeFt, *got.AltitudeFt, 0.05/0.3048+1e-9, "decimetres")
			}
		}
	})
}

func assertPlace(t require.TestingT, want, got earth.Position) {
	require.InDelta(t, want.Lat, got.Lat, sevenDecimals)
	apart := math.Abs(want.Lon - got.Lon)
	require.LessOrEqual(t, min(apart, 360-apart), sevenDecimals)
}

// TestCutOfTheRFC is the example of RFC 7946 section 3.1.9: a line from 45 N 170 E to 45 N 170 W.
func TestCutOfTheRFC(t *testing.T) {
	got, err := json.Marshal(lineGeometry([][]earth.Position{{{Lat: 45, Lon: 170}, {Lat: 45, Lon: -170}}}))
	require.NoError(t, err)
	assert.JSONEq(t, `{"type": "MultiLineString", "coordinates": [[[170.0, 45.0], [180.0, 45.0]], [[-180.0, 45.0], [-170.0, 45.0]]]}`, string(got))
}

// TestCutsKeepTheLine: whatever crosses the antimeridian, all positions are there, in order, and only edges are added.
func TestCutsKeepTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) earth.Position {
			return earth.Position{Lat: rapid.Float64Range(-90, 90).Draw(t, "lat"), Lon: rapid.Float64Range(-180, 180).Draw(t, "lon")}
		}), 2, 8).Draw(t, "line")
		var joined []coordinate
		parts := cutAtAntimeridian(line)
		for i, part := range parts {
			require.GreaterOrEqual(t, len(part), 2)
			for k, c := range part {
				require.False(t, k > 0 && math.Abs(c[0]-part[k-1][0]) > 180)
				edge := i > 0 && k == 0 || i+1 < len(parts) && k == len(part)-1
				if edge {
					require.InDelta(t, 180, math.Abs(c[0]), 0)
				} else {
					joined = append(joined, c)
				}
			}
			if i > 0 {
				last := parts[i-1][len(parts[i-1])-1]
				require.Equal(t, coordinate{-last[0], last[1]}, part[0], "it goes on where it was cut")
			}
		}
		require.Len(t, joined, len(line))
		for i, at := range line {
			require.Equal(t, coordinateOf(at), joined[i])
		}
	})
}

// TestLongLegsAreDrawnAsGeodesics: half-way between two drawn positions, straight in latitude and longitude, the leg is close.
func TestLongLegsAreDrawnAsGeodesics(t *testing.T) {
	from, to := earth.Position{Lat: 60, Lon: 0}, earth.Position{Lat: 60, Lon: 10}
	line := way([]RoutePoint{{Point: Point{At: from}}, {Point: Point{At: to}}})
	require.Len(t, line, 12, "300.9 nm in pieces of 30 at most")
	geodesic := earth.NewLine(from, to)
	for i := 1; i < len(line); i++ {
		middle := earth.Position{Lat: (line[i-1].Lat + line[i].Lat) / 2, Lon: (line[i-1].Lon + line[i].Lon) / 2}
		_, right := geodesic.Abeam(middle)
		assert.Less(t, math.Abs(right), 0.06)
	}
	_, right := geodesic.Abeam(earth.Position{Lat: 60, Lon: 5})
	assert.Greater(t, math.Abs(right), 5.0, "what a straight line would be off")
}

func TestFlownTrackIsWhatWasPassed(t *testing.T) {
	d := flown(t)
	require.Len(t, d.Track, 1)
	names := map[string]earth.Position{}
	for _, p := range d.Points {
		names[p.Ident] = p.At
	}
	passed := 0
	for i, p := range d.Track[0] {
		require.False(t, i > 0 && p.Time.Before(d.Track[0][i-1].Time))
		name, isPassing := strings.CutPrefix(p.Text, "passing ")
		if !isPassing {
			continue
		}
		passed++
		at, known := names[name]
		require.True(t, known, name)
		assert.Less(t, earth.Inverse(at, p.At).DistanceNM, 1.5, "%s: on the leg abeam it, or overhead", name)
	}
	assert.Equal(t, 13, passed, "five legs' ends and eight checkpoints")
	for _, p := range d.Route {
		assert.NotNil(t, p.Actual, p.Ident)
	}
}

func TestVoidedPassingIsNotShown(t *testing.T) {
	s := demo(t)
	airborne, passed := s.Airborne, s.Airborne.Add(5*time.Minute)
	rate := 1.0
	d := of(t, s, []flight.Event{
		{Act: flight.Clock, T: s.Plan.OffBlocks, Rec: s.Plan.OffBlocks, Set: &s.Plan.OffBlocks, Rate: &rate},
		{Act: flight.Airborne, T: airborne, Rec: airborne},
		{Act: flight.Passing, T: passed, Rec: passed, Point: "JNC"},
		{Act: flight.Void, T: passed, Rec: passed, Event: 3},
	})
	require.Len(t, d.Track, 1)
	require.Len(t, d.Track[0], 1)
	assert.Equal(t, "airborne", d.Track[0][0].Text)
}

func TestPositionsOfAFeedAreTheTrack(t *testing.T) {
	s := demo(t)
	rate := 1.0
	events := []flight.Event{
		{Act: flight.Clock, T: s.Airborne, Rec: s.Airborne, Set: &s.Airborne, Rate: &rate},
		{Act: flight.Airborne, T: s.Airborne, Rec: s.Airborne},
	}
	for _, minute := range []int{1, 2, 3, 9, 10} { // nothing for six minutes
		at := s.Route.PositionAt(0, float64(minute))
		speed, altitude := 60.0, 1000.0
		when := s.Airborne.Add(time.Duration(minute) * time.Minute)
		events = append(events, flight.Event{Act: flight.Position, T: when, Rec: when, At: &at, GS: &speed, Alt: &altitude, By: "feed"})
	}
	passed := s.Airborne.Add(9*time.Minute + 15*time.Second)
	events = append(events, flight.Event{Act: flight.Passing, T: passed, Rec: passed, Point: "JNC", By: "feed"})
	d := of(t, s, events)
	require.Len(t, d.Track, 2)
	assert.Len(t, d.Track[0], 3)
	require.Len(t, d.Track[1], 3)
	assert.Equal(t, s.Route.PositionAt(0, 9), d.Track[1][0].At)
	mark := d.Track[1][1]
	assert.Equal(t, "passing JNC", mark.Text)
	assert.Less(t, earth.Inverse(s.Route.PositionAt(0, 9.25), mark.At).DistanceNM, 1e-6, "a mile a minute")
	assert.InDelta(t, 1000, *mark.AltitudeFt, 1e-9)
}

func TestDiversionIsTheRouteAsFlown(t *testing.T) {
	s := demo(t)
	rate := 1.0
	turned := s.Legs[0].ETA.Add(5 * time.Minute)
	d := of(t, s, []flight.Event{
		{Act: flight.Clock, T: s.Airborne, Rec: s.Airborne, Set: &s.Airborne, Rate: &rate},
		{Act: flight.Airborne, T: s.Airborne, Rec: s.Airborne},
		{Act: flight.Passing, T: s.Legs[0].ETA, Rec: s.Legs[0].ETA, Point: "LKM"},
		{Act: flight.Divert, T: turned, Rec: turned, To: "WXH"},
	})
	var idents []string
	for _, p := range d.Route {
		idents = append(idents, p.Ident)
	}
	assert.Equal(t, []string{"QLB", "LKM", "diversion", "WXH"}, idents)
	where := d.Route[2]
	along, right := s.Route.Legs[1].Line.Abeam(where.At)
	assert.InDelta(t, 9, along, 2, "five minutes after LKM at about 108 kt")
	assert.InDelta(t, 0, right, 0.01)
	assert.Contains(t, where.describe(), "turned aside")
	for i, p := range d.Route[1:] {
		assert.InDelta(t, earth.Inverse(d.Route[i].At, p.At).DistanceNM, p.DistanceNM, 0.01, "to %s", p.Ident)
	}
}

func TestCSVHasItsColumns(t *testing.T) {
	for name, d := range samples(t) {
		rows, err := csv.NewReader(bytes.NewReader(written(t, d, "csv"))).ReadAll() // which refuses rows of another length
		require.NoError(t, err, name)
		assert.Equal(t, csvHeader, rows[0])
		n := len(d.Points) + len(d.Route)
		for _, piece := range d.Track {
			n += len(piece)
		}
		assert.Len(t, rows, n+1)
	}
}

func TestUnknownFormat(t *testing.T) {
	var out bytes.Buffer
	require.EqualError(t, Document{}.Write(&out, "shp"), `there is no format "shp": use gpx, geojson, kml, csv, json`)
	assert.Zero(t, out.Len())
}

// TestAGeneralConverterReadsIt opens each format with a program that knows nothing of this one and lists the places that it finds: every point
// of the document and of its track is among them.
func TestAGeneralConverterReadsIt(t *testing.T) {
	converter, err := exec.LookPath("gpsbabel")
	if err != nil {
		t.Skip("no general converter: what other programs read is not looked at; Debian's gpsbabel serves")
	}
	for _, format := range []string{"gpx", "kml", "geojson"} {
		for name, document := range map[string]Document{"planned": planned(t), "flown": flown(t)} {
			t.Run(format+" "+name, func(t *testing.T) {
				file := filepath.Join(t.TempDir(), "flight."+format)
				require.NoError(t, os.WriteFile(file, written(t, document, format), 0o600))
				command := exec.Command(converter, "-w", "-r", "-t", "-i", format, "-f", file, "-o", "csv", "-F", "-")
				list, err := command.Output()
				require.NoError(t, err)
				var found []earth.Position
				for line := range strings.Lines(string(list)) {
					var p earth.Position
					if _, err := fmt.Sscanf(line, "%f, %f,", &p.Lat, &p.Lon); err == nil {
						found = append(found, p)
					}
				}
				wanted := []earth.Position{}
				for _, point := range document.Points {
					wanted = append(wanted, point.At)
				}
				for _, segment := range document.Track {
					for _, point := range segment {
						wanted = append(wanted, point.At)
					}
				}
				require.NotEmpty(t, wanted)
				for _, p := range wanted {
					const rounded = 0.6e-5 // the list has five decimals
					require.True(t, slices.ContainsFunc(found, func(other earth.Position) bool {
						return math.Abs(other.Lat-p.Lat) <= rounded && math.Abs(other.Lon-p.Lon) <= rounded
					}), "%v is none of the %d places read", p, len(found))
				}
			})
		}
	}
}
