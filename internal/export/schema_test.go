package export

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os/exec"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/earth"
)

// samples are documents with all that there can be: planned, flown, with a feed's positions, hard names, edges of the map.
func samples(t *testing.T) map[string]Document {
	altitudeFt, speed, track := 4500.0, 95.4, 295.1
	passed := time.Date(2026, 5, 15, 13, 5, 12, 500e6, time.UTC)
	name := "a <b> & \"c\" 'd'\x01 ]]> \u00e4"
	at := func(lat, lon float64) Point {
		return Point{Ident: name, Name: name, Kind: "fix", At: earth.Position{Lat: lat, Lon: lon}, ElevationFt: &altitudeFt, Frequency: "114.35 MHz"}
	}
	return map[string]Document{
		"planned": planned(t),
		"flown":   flown(t),
		"empty":   {},
		"edges": {
			Title: name, Time: passed, Points: []Point{at(90, 180), at(-90, -180), at(0, 179.99999999)},
			Route: []RoutePoint{
				{Point: at(10, 170), Planned: passed},
				{Point: at(20, -170), Planned: passed, Actual: &passed, DistanceNM: 1},
				{Point: at(-10, 179.9999)},
				{Point: at(-10, 180)},
				{Point: at(-10, -180)},
			},
			Track: [][]TrackPoint{
				{{At: earth.Position{Lat: -18, Lon: 179.9}, Time: passed, AltitudeFt: &altitudeFt, GroundspeedKt: &speed, TrackTrue: &track, Text: name}, {At: earth.Position{Lat: -18.1, Lon: -179.9}, Time: passed}},
				{{At: earth.Position{}, Time: passed}},
			},
		},
	}
}

// TestSchemas validates against the published schemas of GPX 1.1 and OGC KML 2.2, cases 14.17, 14.18 and 14.20.
func TestSchemas(t *testing.T) {
	xmllint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("there is no xmllint here")
	}
	validate := func(schema string, text []byte) (said []byte, err error) {
		command := exec.Command(xmllint, "--noout", "--nonet", "--schema", "testdata/schemas/"+schema, "-")
		command.Stdin = bytes.NewReader(text)
		return command.CombinedOutput()
	}
	for format, schema := range map[string]string{"gpx": "gpx.xsd", "kml": "ogckml22.xsd"} {
		for name, document := range samples(t) {
			t.Run(format+" "+name, func(t *testing.T) {
				said, err := validate(schema, written(t, document, format))
				assert.NoError(t, err, "%s", said)
			})
		}
	}
	for what, wrong := range map[string]struct{ format, schema, right, instead string }{
		"a height after a name":      {"gpx", "gpx.xsd", "<ele>", "<name>x</name><ele>"},
		"a longitude of half a turn": {"gpx", "gpx.xsd", `lon="`, `lon="180" x="`},
		"an element that is none":    {"kml", "ogckml22.xsd", "<Placemark>", "<Placemark><place/>"},
	} {
		text := written(t, flown(t), wrong.format)
		broken := bytes.Replace(text, []byte(wrong.right), []byte(wrong.instead), 1)
		require.NotEqual(t, text, broken, what)
		_, err := validate(wrong.schema, broken)
		assert.Error(t, err, "the check can fail: %s", what)
	}
}

// gpxOrder is the order of children by the GPX 1.1 schema, cases 14.17, 14.18 and 14.20: what stands here is also what is written.
var gpxOrder = func() map[string][]string {
	point := []string{
		"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix", "sat", "hdop", "vdop", "pdop",
		"ageofdgpsdata", "dgpsid", "extensions",
	}
	line := []string{"name", "cmt", "desc", "src", "link", "number", "type", "extensions"}
	return map[string][]string{
		"gpx":      {"metadata", "wpt", "rte", "trk", "extensions"},
		"metadata": {"name", "desc", "author", "copyright", "link", "time", "keywords", "bounds", "extensions"},
		"wpt":      point, "rtept": point, "trkpt": point,
		"rte": append(slices.Clone(line), "rtept"), "trk": append(slices.Clone(line), "trkseg"), "trkseg": {"trkpt", "extensions"},
	}
}()

// TestGPXByItsRules holds the file to the schema's rules without a tool: order, required attributes, ranges of positions.
func TestGPXByItsRules(t *testing.T) {
	for name, document := range samples(t) {
		t.Run(name, func(t *testing.T) {
			text := written(t, document, "gpx")
			require.NoError(t, checkGPX(text))
			if name == "flown" {
				swapped := bytes.Replace(text, []byte("<ele>"), []byte("<name>x</name><ele>"), 1)
				require.ErrorContains(t, checkGPX(swapped), "<ele> after <name>", "the check can fail")
			}
		})
	}
}

func checkGPX(text []byte) error {
	decoder := xml.NewDecoder(bytes.NewReader(text))
	type open struct {
		name string
		at   int // in the order of its children
	}
	stack := []open{}
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if token.Name.Space != "http://www.topografix.com/GPX/1/1" {
				return fmt.Errorf("<%s> in namespace %q", token.Name.Local, token.Name.Space)
			}
			if n := len(stack); n > 0 {
				order := gpxOrder[stack[n-1].name]
				at := slices.Index(order, token.Name.Local)
				switch {
				case at < 0:
					return fmt.Errorf("<%s> in <%s>", token.Name.Local, stack[n-1].name)
				case at < stack[n-1].at:
					return fmt.Errorf("<%s> after <%s>", token.Name.Local, order[stack[n-1].at])
				}
				stack[n-1].at = at
			}
			if err := checkAttributes(token); err != nil {
				return err
			}
			stack = append(stack, open{name: token.Name.Local})
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
}

func checkAttributes(element xml.StartElement) error {
	given := map[string]string{}
	for _, a := range element.Attr {
		given[a.Name.Local] = a.Value
	}
	switch element.Name.Local {
	case "gpx":
		if given["version"] != "1.1" || given["creator"] == "" {
			return fmt.Errorf("root %v", given)
		}
	case "wpt", "rtept", "trkpt":
		var lat, lon float64
		if _, err := fmt.Sscanf(given["lat"]+" "+given["lon"], "%g %g", &lat, &lon); err != nil {
			return err
		}
		if math.Abs(lat) > 90 || lon < -180 || lon >= 180 {
			return fmt.Errorf("position %v", given)
		}
	}
	return nil
}

// TestGeoJSONByItsRules holds the file to RFC 7946.
func TestGeoJSONByItsRules(t *testing.T) {
	for name, document := range samples(t) {
		t.Run(name, func(t *testing.T) { require.NoError(t, checkGeoJSON(written(t, document, "geojson"))) })
	}
	for what, text := range map[string]string{
		"latitude first": `{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"Point","coordinates":[52,-118]}}]}`,
		"one position":   `{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"LineString","coordinates":[[1,2]]}}]}`,
		"not cut":        `{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,"geometry":{"type":"LineString","coordinates":[[170,45],[-170,45]]}}]}`,
		"no properties":  `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2]}}]}`,
	} {
		assert.Error(t, checkGeoJSON([]byte(text)), "the check can fail: %s", what)
	}
}

// checkGeoJSON checks sections 3 and 7 of RFC 7946 as far as a collection of points and lines goes.
func checkGeoJSON(text []byte) error {
	var all map[string]json.RawMessage
	if err := json.Unmarshal(text, &all); err != nil {
		return err
	}
	for _, reserved := range []string{"coordinates", "geometries", "geometry", "properties", "crs"} { // section 7.1
		if _, found := all[reserved]; found {
			return fmt.Errorf("a collection with %q", reserved)
		}
	}
	var features []map[string]json.RawMessage
	if err := json.Unmarshal(all["features"], &features); err != nil || string(all["type"]) != `"FeatureCollection"` || features == nil {
		return fmt.Errorf("no collection of features: %w", err)
	}
	for i, f := range features {
		properties, given := f["properties"] // section 3.2: an object or null, but there
		if string(f["type"]) != `"Feature"` || !given || properties[0] != '{' && string(properties) != "null" {
			return fmt.Errorf("feature %d: %v", i, f)
		}
		if err := checkGeometry(f["geometry"]); err != nil {
			return fmt.Errorf("feature %d: %w", i, err)
		}
	}
	return nil
}

func checkGeometry(text json.RawMessage) error {
	var g struct {
		Type        string          `json:"type"`
		Coordinates json.RawMessage `json:"coordinates"`
	}
	if err := json.Unmarshal(text, &g); err != nil {
		return err
	}
	switch g.Type {
	case "Point":
		var point []float64
		return errors.Join(json.Unmarshal(g.Coordinates, &point), checkPosition(point))
	case "LineString":
		var line [][]float64
		return errors.Join(json.Unmarshal(g.Coordinates, &line), checkLine(line))
	case "MultiLineString":
		var lines [][][]float64
		err := json.Unmarshal(g.Coordinates, &lines)
		for _, line := range lines {
			err = errors.Join(err, checkLine(line))
		}
		return err
	}
	return fmt.Errorf("geometry %q", g.Type)
}

// checkPosition: longitude, then latitude, section 3.1.1.
func checkPosition(p []float64) error {
	if len(p) != 2 || math.Abs(p[0]) > 180 || math.Abs(p[1]) > 90 {
		return fmt.Errorf("position %v", p)
	}
	return nil
}

// checkLine: two positions or more, section 3.1.4, none across the antimeridian, section 3.1.9.
func checkLine(line [][]float64) error {
	if len(line) < 2 {
		return fmt.Errorf("a line of %d positions", len(line))
	}
	for i, p := range line {
		if err := checkPosition(p); err != nil {
			return err
		}
		if i > 0 && math.Abs(p[0]-line[i-1][0]) > 180 {
			return fmt.Errorf("across the antimeridian: %v", line)
		}
	}
	return nil
}
