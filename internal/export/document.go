package export

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/say"
)

// Document is what a flight looks like from outside.
type Document struct {
	Title  string
	Time   time.Time // off-blocks as planned, UTC
	Points []Point   // every place that the flight uses, once
	Route  []RoutePoint
	Track  [][]TrackPoint // in pieces, where nothing is known between them
}

// Point is a place by its name.
type Point struct {
	Ident, Name string // Name may be empty
	Kind        string // a plan's kind of point, or "checkpoint"
	At          earth.Position
	ElevationFt *float64 // above sea level; nil: not given
	Frequency   string   // "114.35 MHz"; empty for what can't be tuned
}

// RoutePoint is a turning point of the route.
type RoutePoint struct {
	Point
	AltitudeFt float64 // planned on the leg that ends here, above sea level; at the departure its elevation
	DistanceNM float64 // of the leg that ends here
	Planned    time.Time
	Actual     *time.Time // nil: not passed
	Aside      bool       // where the flight turned aside from the route: a leg of it was left there
}

// TrackPoint is where the aircraft was.
type TrackPoint struct {
	At            earth.Position
	Time          time.Time
	AltitudeFt    *float64 // above sea level
	GroundspeedKt *float64
	TrackTrue     *float64
	Text          string // what was done there: "passing KVN"; may be empty
}

// formats is every form that a document can be written in.
var formats = []struct {
	name  string
	write func(Document, io.Writer) error
}{
	{"gpx", Document.writeGPX},
	{"geojson", Document.writeGeoJSON},
	{"kml", Document.writeKML},
	{"csv", Document.writeCSV},
	{"json", Document.writeJSON},
}

// Formats names the forms that Write knows.
func Formats() []string {
	names := make([]string, len(formats))
	for i, format := range formats {
		names[i] = format.name
	}
	return names
}

// Write writes the document in one of Formats. Nothing is written when it fails before the end.
func (d Document) Write(w io.Writer, format string) error {
	i := slices.Index(Formats(), format)
	if i < 0 {
		return fmt.Errorf("there is no format %q: use %s", format, strings.Join(Formats(), ", "))
	}
	var out bytes.Buffer
	if err := formats[i].write(d, &out); err != nil {
		return fmt.Errorf("writing %s: %w", format, err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// describe is a route point in words: "Larkmere; 21.4 nm at 3500 ft; planned 08:49:12Z; passed 08:50:01Z".
func (p RoutePoint) describe() string {
	parts := make([]string, 0, 4)
	if p.Name != "" {
		parts = append(parts, p.Name)
	}
	if p.DistanceNM > 0 {
		parts = append(parts, fmt.Sprintf("%s at %s", say.Miles(p.DistanceNM), say.Feet(p.AltitudeFt)))
	}
	if !p.Planned.IsZero() {
		parts = append(parts, "planned "+say.Time(p.Planned))
	}
	switch {
	case p.Actual == nil:
	case p.Aside:
		parts = append(parts, "turned aside "+say.Time(*p.Actual))
	case p.DistanceNM > 0:
		parts = append(parts, "passed "+say.Time(*p.Actual))
	default: // no leg ends there
		parts = append(parts, "left "+say.Time(*p.Actual))
	}
	return strings.Join(parts, "; ")
}

// describe is a point in words: "Larkmere; 114.35 MHz".
func (p Point) describe() string {
	parts := []string{p.Name, p.Frequency}
	return strings.Join(slices.DeleteFunc(parts, func(part string) bool { return part == "" }), "; ")
}

// planPoint is a point of a plan.
func planPoint(p plan.Point) Point {
	point := Point{Ident: p.Ident, Name: p.Name, Kind: string(p.Kind), At: p.At}
	if p.ElevationFt != 0 || p.Kind == plan.Aerodrome {
		point.ElevationFt = &p.ElevationFt
	}
	switch {
	case p.Frequency == 0:
	case p.Kind == plan.NDB:
		point.Frequency = fmt.Sprintf("%g kHz", p.Frequency)
	default:
		point.Frequency = fmt.Sprintf("%.2f MHz", p.Frequency)
	}
	return point
}

// degrees writes a latitude or longitude to seven decimals, without zeros at the end.
func degrees(value float64) string { return strconv.FormatFloat(roundedTo(value, 1e7), 'f', -1, 64) }

// longitude is a longitude from -180 up to but not 180, as GPX wants it.
func longitude(value float64) float64 {
	if rounded := roundedTo(value, 1e7); rounded >= 180 {
		return rounded - 360
	}
	return value
}

// metres writes an altitude in feet as metres, to the decimetre.
func metres(altitudeFt float64) string {
	return strconv.FormatFloat(roundedTo(altitudeFt*air.MetresPerFoot, 10), 'f', -1, 64)
}

func metresOf(altitudeFt *float64) string {
	if altitudeFt == nil {
		return ""
	}
	return metres(*altitudeFt)
}

// roundedTo rounds to a part of one; negative zero is zero.
func roundedTo(value, parts float64) float64 { return math.Round(value*parts)/parts + 0 }

// roundedOf rounds a figure that may not be known.
func roundedOf(value *float64, parts float64) *float64 {
	if value == nil {
		return nil
	}
	rounded := roundedTo(*value, parts)
	return &rounded
}

// moment writes a time; empty for the zero time.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339Nano)
}

func momentOf(t *time.Time) string {
	if t == nil {
		return ""
	}
	return moment(*t)
}

// longestStraightNM is how long a line drawn straight between two positions may be. Over 30 nm at 60° of latitude a geodesic bulges
// less than 0.06 nm from it.
const longestStraightNM = 30

// way is a line along the geodesics between route points.
func way(route []RoutePoint) []earth.Position {
	var line []earth.Position
	for i, point := range route {
		if i > 0 {
			leg := earth.NewLine(route[i-1].At, point.At)
			pieces := int(math.Ceil(leg.DistanceNM() / longestStraightNM))
			for piece := 1; piece < pieces; piece++ {
				at, _ := leg.At(leg.DistanceNM() * float64(piece) / float64(pieces))
				line = append(line, at)
			}
		}
		line = append(line, point.At)
	}
	return line
}

// csvHeader names the columns. A row is a point, a turning point of the route, or a position of the track.
var csvHeader = []string{
	"row", "point", "name", "kind", "lat", "lon", "altitude_ft", "distance_nm", "groundspeed_kt", "track_true", "planned", "time",
}

// writeCSV writes one row for each point (altitude_ft is its elevation), turning point (altitude_ft is the leg's level, distance_nm its
// length, time when it was passed) and position of the track. What does not belong to a row is empty.
func (d Document) writeCSV(w io.Writer) error {
	rows := [][]string{csvHeader}
	for _, p := range d.Points {
		rows = append(rows, []string{"point", p.Ident, p.Name, p.Kind, degrees(p.At.Lat), degrees(p.At.Lon), figureOf(p.ElevationFt, 10), "", "", "", "", ""})
	}
	for _, p := range d.Route {
		rows = append(rows, []string{
			"route", p.Ident, p.Name, p.Kind, degrees(p.At.Lat), degrees(p.At.Lon), figureOf(&p.AltitudeFt, 10), figureOf(&p.DistanceNM, 1000), "", "",
			moment(p.Planned), momentOf(p.Actual),
		})
	}
	for _, piece := range d.Track {
		for _, p := range piece {
			rows = append(rows, []string{
				"track", "", p.Text, "", degrees(p.At.Lat), degrees(p.At.Lon), figureOf(p.AltitudeFt, 10), "",
				figureOf(p.GroundspeedKt, 10), figureOf(p.TrackTrue, 10), "", moment(p.Time),
			})
		}
	}
	table := markup.NewTable(w)
	for _, row := range rows {
		table.Row(row...)
	}
	return table.End()
}

func figureOf(value *float64, parts float64) string {
	if value == nil {
		return ""
	}
	return strconv.FormatFloat(roundedTo(*value, parts), 'f', -1, 64)
}
