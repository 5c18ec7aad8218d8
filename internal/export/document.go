package export

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/earth"
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
