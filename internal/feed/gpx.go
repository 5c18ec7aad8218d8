package feed

import (
	"bytes"
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

// readGPXTracks hands the points of a file's tracks over as they are read. A point that can't be used is counted; where the file itself can
// be read no further the error is a *tornError, and what came before it has been handed over.
func readGPXTracks(r io.Reader, c *collector) error {
	reader := gpxReader{decoder: xml.NewDecoder(r), into: c}
	reader.decoder.CharsetReader = toUTF8
	err := reader.file()
	if err == nil {
		return nil
	}
	line, _ := reader.decoder.InputPos()
	err = fmt.Errorf("line %d: %w", line, err)
	if reader.space == "" && reader.gpx.Version == "" || errors.Is(err, errTooLarge) || errors.Is(err, errTooManyPoints) {
		return err
	}
	return &tornError{err}
}

// gpxReader walks the file's elements.
type gpxReader struct {
	decoder *xml.Decoder
	gpx     GPX
	space   string // the namespace of the root
	depth   int
	buffer  []byte // of a text, used again

	into     *collector // takes the points of tracks; nil: they are kept
	segments int        // of the track that is being read
	first    bool       // the next point is the first of its segment
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
	err = g.children(map[string]func(xml.StartElement) error{
		"name": g.texts(&g.gpx.Name), // GPX 1.0
		"metadata": func(xml.StartElement) error {
			return g.children(map[string]func(xml.StartElement) error{"name": g.texts(&g.gpx.Name)})
		},
		"wpt": func(start xml.StartElement) error { return g.point(start, &g.gpx.Waypoints) },
		"rte": g.route,
		"trk": g.track,
	})
	if err != nil {
		return err
	}
	return g.nothingMore()
}

// nothingMore says so where something begins behind the end: two documents, one behind the other, are no GPX file.
func (g *gpxReader) nothingMore() error {
	for {
		token, err := g.decoder.Token()
		if err != nil {
			return nil
		}
		if start, ok := token.(xml.StartElement); ok {
			return fmt.Errorf("<%s> begins after the end of the first GPX document, </gpx>: save each flight to a file of its own", start.Name.Local)
		}
	}
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
	b := g.buffer[:0]
	defer func() { g.buffer = b }()
	for {
		token, err := g.decoder.Token()
		if err != nil {
			return "", plainXML(err)
		}
		switch token := token.(type) {
		case xml.CharData:
			b = append(b, token...)
		case xml.StartElement:
			if err := g.skip(); err != nil {
				return "", err
			}
		case xml.EndElement:
			return string(bytes.TrimSpace(b)), nil
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
	g.segments = 0
	if g.into != nil {
		g.into.begin("")
	}
	err := g.children(map[string]func(xml.StartElement) error{
		"name": func(start xml.StartElement) error {
			err := g.texts(&track.Name)(start)
			if g.into != nil {
				g.into.recordings[len(g.into.recordings)-1].name = track.Name
			}
			return err
		},
		"trkseg": func(xml.StartElement) error {
			var segment []GPXPoint
			g.segments++
			g.first = g.segments > 1
			err := g.children(map[string]func(xml.StartElement) error{
				"trkpt": func(start xml.StartElement) error {
					if g.into == nil {
						return g.point(start, &segment)
					}
					return g.handOver(start)
				},
			})
			if g.into == nil {
				track.Segments = append(track.Segments, segment)
			}
			return err
		},
	})
	if g.into == nil {
		g.gpx.Tracks = append(g.gpx.Tracks, track)
	}
	return err
}

// handOver reads a track point and hands it over.
func (g *gpxReader) handOver(start xml.StartElement) error {
	at, unplaced := placeOf(start)
	line, _ := g.decoder.InputPos()
	p, err := g.pointAt(at)
	if err != nil {
		return err
	}
	if unplaced != nil {
		g.into.faults.add(line, unplaced.Error())
		return nil
	}
	gap := g.first
	g.first = false
	return g.into.add(Sample{Time: p.Time, At: at, AltitudeFt: p.AltitudeFt, GroundspeedKt: p.GroundspeedKt, TrackTrue: p.TrackTrue, AfterGap: gap})
}

func (g *gpxReader) point(start xml.StartElement, into *[]GPXPoint) error {
	if g.gpx.points++; g.gpx.points > maxPoints {
		return fmt.Errorf("more than %d points", maxPoints)
	}
	at, err := placeOf(start)
	if err != nil {
		return err
	}
	point, err := g.pointAt(at)
	*into = append(*into, point)
	return err
}

// pointAt reads what stands within a point. It is read for every point of a track, so it makes no table of readers as children does.
func (g *gpxReader) pointAt(at earth.Position) (GPXPoint, error) {
	point := GPXPoint{At: at}
	g.depth++
	defer func() { g.depth-- }()
	for {
		token, err := g.decoder.Token()
		if err != nil {
			return point, plainXML(err)
		}
		switch token := token.(type) {
		case xml.EndElement:
			return point, nil
		case xml.StartElement:
			if err := g.ofPoint(&point, token); err != nil {
				return point, err
			}
		}
	}
}

// ofPoint reads one element within a point.
func (g *gpxReader) ofPoint(point *GPXPoint, start xml.StartElement) (err error) {
	if start.Name.Space != g.space {
		return g.skip()
	}
	switch start.Name.Local {
	case "ele":
		point.AltitudeFt, err = g.figure(1 / air.MetresPerFoot)
	case "speed":
		point.GroundspeedKt, err = g.figure(3600 / air.MetresPerNM)
	case "course":
		point.TrackTrue, err = g.figure(1)
	case "time":
		point.Time, err = g.moment()
	case "name":
		point.Name, err = g.text()
	case "desc":
		point.Description, err = g.text()
	case "sym":
		point.Symbol, err = g.text()
	case "type":
		point.Type, err = g.text()
	default:
		err = g.skip()
	}
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

// figure reads a number in another unit; nil for text that is none.
func (g *gpxReader) figure(unit float64) (*float64, error) {
	text, err := g.text()
	value, ok := decimal(text)
	if value *= unit; !ok || math.IsInf(value, 0) {
		return nil, err
	}
	return &value, err
}

// moment reads a time: ISO 8601 in UTC or with a zone, fractions allowed. In a track that is being handed over what is no time is counted
// and counts as not given.
func (g *gpxReader) moment() (time.Time, error) {
	text, err := g.text()
	if err != nil {
		return time.Time{}, err
	}
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05.999999999"} { // without a zone: UTC
		if moment, err := time.Parse(layout, text); err == nil {
			return moment.UTC(), nil
		}
	}
	err = fmt.Errorf("<time>%s: times are 2026-06-14T09:10:00Z", text)
	if g.into != nil {
		line, _ := g.decoder.InputPos()
		g.into.faults.add(line, err.Error())
		return time.Time{}, nil
	}
	return time.Time{}, err
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
	case errors.As(err, &syntax) && syntax.Msg == "unexpected EOF":
		return errors.New("the file ends too early")
	case errors.As(err, &syntax):
		return errors.New(syntax.Msg)
	case errors.Is(err, io.EOF):
		return errors.New("the file ends too early")
	}
	return errors.New(strings.TrimPrefix(err.Error(), "xml: "))
}
