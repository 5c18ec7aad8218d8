package feed

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"golang.org/x/text/encoding/charmap"

	"example.com/legclock/internal/air"
	"example.com/legclock/internal/earth"
)

// maxDepth is how deep elements may be nested.
const maxDepth = 32

// GPX is what a GPX file says, without its extensions.
type GPX struct {
	Version, Creator string
	Name             string // of the file
	Waypoints        []GPXPoint
	Routes           []GPXRoute
	Tracks           []GPXTrack

	points int
}

// GPXRoute is a way that was planned.
type GPXRoute struct {
	Name   string
	Points []GPXPoint
}

// GPXTrack is a way that was recorded, in segments without a loss of reception.
type GPXTrack struct {
	Name     string
	Segments [][]GPXPoint
}

// GPXPoint is a place. GPX counts altitudes in metres and speeds in metres a second; here they are feet and knots.
type GPXPoint struct {
	At            earth.Position
	AltitudeFt    *float64
	Time          time.Time // UTC; zero: not given
	Name          string
	Description   string
	Symbol, Type  string
	GroundspeedKt *float64 // GPX 1.0 only
	TrackTrue     *float64 // GPX 1.0 only
}

// ReadGPX reads a GPX 1.1 file, or the same parts of a GPX 1.0 file. Elements that it does not know are passed over. The error names
// the line.
func ReadGPX(r io.Reader) (GPX, error) {
	reader := gpxReader{decoder: xml.NewDecoder(bounded(r))}
	reader.decoder.CharsetReader = toUTF8
	if err := reader.file(); err != nil {
		line, _ := reader.decoder.InputPos()
		return GPX{}, fmt.Errorf("line %d: %w", line, err)
	}
	return reader.gpx, nil
}

// gpxReader walks the file's elements.
type gpxReader struct {
	decoder *xml.Decoder
	gpx     GPX
	space   string // the namespace of the root
	depth   int
}

// file reads the root.
func (g *gpxReader) file() error {
	root, err := g.root()
	if err != nil {
		return err
	}
	g.gpx.Version, g.gpx.Creator = attribute(root, "version"), attribute(root, "creator")
	if g.gpx.Version != "1.1" && g.gpx.Version != "1.0" {
		return fmt.Errorf("GPX version %q: 1.1 and 1.0 can be read", g.gpx.Version)
	}
	return g.children(map[string]func(xml.StartElement) error{
		"name": g.texts(&g.gpx.Name), // GPX 1.0
		"metadata": func(xml.StartElement) error {
			return g.children(map[string]func(xml.StartElement) error{"name": g.texts(&g.gpx.Name)})
		},
		"wpt": func(start xml.StartElement) error { return g.point(start, &g.gpx.Waypoints) },
		"rte": g.route,
		"trk": g.track,
	})
}

func (g *gpxReader) root() (xml.StartElement, error) {
	for {
		token, err := g.decoder.Token()
		if errors.Is(err, io.EOF) {
			return xml.StartElement{}, errors.New("no GPX in it: a GPX file begins with <gpx>")
		}
		if err != nil {
			return xml.StartElement{}, plainXML(err)
		}
		if start, ok := token.(xml.StartElement); ok {
			if start.Name.Local != "gpx" {
				return start, fmt.Errorf("<%s>: a GPX file begins with <gpx>", start.Name.Local)
			}
			g.space = start.Name.Space
			return start, nil
		}
	}
}

// children reads the elements within the one that was begun, each by its reader, up to its end. Those without a reader, and those of
// another namespace than its own, are passed over.
func (g *gpxReader) children(readers map[string]func(xml.StartElement) error) error {
	g.depth++
	defer func() { g.depth-- }()
	for {
		token, err := g.decoder.Token()
		if err != nil {
			return plainXML(err)
		}
		switch token := token.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			read, known := readers[token.Name.Local]
			if !known || token.Name.Space != g.space {
				read = func(xml.StartElement) error { return g.skip() }
			}
			if err := read(token); err != nil {
				return err
			}
		}
	}
}

// skip passes over the rest of the element that was begun.
func (g *gpxReader) skip() error {
	for depth := 1; depth > 0; {
		token, err := g.decoder.Token()
		if err != nil {
			return plainXML(err)
		}
		switch token.(type) {
		case xml.StartElement:
			if depth++; g.depth+depth > maxDepth {
				return fmt.Errorf("elements nested deeper than %d", maxDepth)
			}
		case xml.EndElement:
			depth--
		}
	}
	return nil
}

// text is the characters of the element that was begun; elements within it are passed over.
func (g *gpxReader) text() (string, error) {
	var b strings.Builder
	for {
		token, err := g.decoder.Token()
		if err != nil {
			return "", plainXML(err)
		}
		switch token := token.(type) {
		case xml.CharData:
			b.Write(token)
		case xml.StartElement:
			if err := g.skip(); err != nil {
				return "", err
			}
		case xml.EndElement:
			return strings.TrimSpace(b.String()), nil
		}
	}
}

// texts is a reader that puts an element's text somewhere.
func (g *gpxReader) texts(into *string) func(xml.StartElement) error {
	return func(xml.StartElement) (err error) {
		*into, err = g.text()
		return err
	}
}

func (g *gpxReader) route(xml.StartElement) error {
	var route GPXRoute
	err := g.children(map[string]func(xml.StartElement) error{
		"name":  g.texts(&route.Name),
		"rtept": func(start xml.StartElement) error { return g.point(start, &route.Points) },
	})
	g.gpx.Routes = append(g.gpx.Routes, route)
	return err
}

func (g *gpxReader) track(xml.StartElement) error {
	var track GPXTrack
	err := g.children(map[string]func(xml.StartElement) error{
		"name": g.texts(&track.Name),
		"trkseg": func(xml.StartElement) error {
			var segment []GPXPoint
			err := g.children(map[string]func(xml.StartElement) error{
				"trkpt": func(start xml.StartElement) error { return g.point(start, &segment) },
			})
			track.Segments = append(track.Segments, segment)
			return err
		},
	})
	g.gpx.Tracks = append(g.gpx.Tracks, track)
	return err
}

func (g *gpxReader) point(start xml.StartElement, into *[]GPXPoint) error {
	if g.gpx.points++; g.gpx.points > maxPoints {
		return fmt.Errorf("more than %d points", maxPoints)
	}
	var point GPXPoint
	var err error
	if point.At, err = placeOf(start); err != nil {
		return err
	}
	err = g.children(map[string]func(xml.StartElement) error{
		"ele":    g.figure(&point.AltitudeFt, 1/air.MetresPerFoot),
		"speed":  g.figure(&point.GroundspeedKt, 3600/air.MetresPerNM),
		"course": g.figure(&point.TrackTrue, 1),
		"time":   g.moment(&point.Time),
		"name":   g.texts(&point.Name),
		"desc":   g.texts(&point.Description),
		"sym":    g.texts(&point.Symbol),
		"type":   g.texts(&point.Type),
	})
	*into = append(*into, point)
	return err
}

// placeOf is a point's lat and lon: WGS-84 decimal degrees, latitude to 90, longitude from -180 up to but not 180 (which some
// programs write all the same).
func placeOf(start xml.StartElement) (earth.Position, error) {
	lat, latOK := decimal(strings.TrimSpace(attribute(start, "lat")))
	lon, lonOK := decimal(strings.TrimSpace(attribute(start, "lon")))
	at := earth.Position{Lat: lat, Lon: lon}
	if !latOK || !lonOK || !at.Valid() {
		return at, fmt.Errorf("<%s lat=%q lon=%q>: it needs decimal degrees, lat to 90, lon to 180",
			start.Name.Local, attribute(start, "lat"), attribute(start, "lon"))
	}
	return at, nil
}

// figure is a reader of a number, in another unit. Text that is no number counts as not given.
func (g *gpxReader) figure(into **float64, unit float64) func(xml.StartElement) error {
	return func(xml.StartElement) error {
		text, err := g.text()
		if value, ok := decimal(text); ok && !math.IsInf(value*unit, 0) {
			value *= unit
			*into = &value
		}
		return err
	}
}

// moment is a reader of a time: ISO 8601 in UTC or with a zone, fractions allowed.
func (g *gpxReader) moment(into *time.Time) func(xml.StartElement) error {
	return func(start xml.StartElement) error {
		text, err := g.text()
		if err != nil {
			return err
		}
		for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05.999999999"} { // without a zone: UTC
			if moment, err := time.Parse(layout, text); err == nil {
				*into = moment.UTC()
				return nil
			}
		}
		return fmt.Errorf("<%s>%s: times are 2026-06-14T09:10:00Z", start.Name.Local, text)
	}
}

// toUTF8 reads the encodings that older programs write.
func toUTF8(encoding string, input io.Reader) (io.Reader, error) {
	switch strings.ToLower(encoding) {
	case "iso-8859-1", "us-ascii":
		return charmap.ISO8859_1.NewDecoder().Reader(input), nil
	case "windows-1252":
		return charmap.Windows1252.NewDecoder().Reader(input), nil
	}
	return nil, fmt.Errorf("encoding %q can't be read: save the file as UTF-8", encoding)
}

func attribute(start xml.StartElement, name string) string {
	for _, a := range start.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// plainXML is an error of the XML decoder without its own line, which is given already, and without its package.
func plainXML(err error) error {
	var syntax *xml.SyntaxError
	switch {
	case errors.Is(err, errTooLarge):
		return err
	case errors.As(err, &syntax):
		return errors.New(syntax.Msg)
	case errors.Is(err, io.EOF):
		return errors.New("the file ends too early")
	}
	return errors.New(strings.TrimPrefix(err.Error(), "xml: "))
}

// track is all tracks of the file, one after the other.
func (g GPX) track() Track {
	track := Track{Format: "GPX"}
	for _, recorded := range g.Tracks {
		if track.Name == "" {
			track.Name = recorded.Name
		}
		for _, segment := range recorded.Segments {
			for i, point := range segment {
				track.Samples = append(track.Samples, Sample{
					Time: point.Time, At: point.At, AltitudeFt: point.AltitudeFt, GroundspeedKt: point.GroundspeedKt,
					TrackTrue: point.TrackTrue, AfterGap: i == 0 && len(track.Samples) > 0,
				})
			}
		}
	}
	return track
}
