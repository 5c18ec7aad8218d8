package export

import (
	"encoding/xml"
	"io"
	"strings"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// The elements of GPX 1.1, in the order of its schema.
type (
	gpxFile struct {
		XMLName   xml.Name    `xml:"http://www.topografix.com/GPX/1/1 gpx"`
		Version   string      `xml:"version,attr"`
		Creator   string      `xml:"creator,attr"`
		Metadata  gpxMetadata `xml:"metadata"`
		Waypoints []gpxPoint  `xml:"wpt"`
		Routes    []gpxRoute  `xml:"rte"`
		Tracks    []gpxTrack  `xml:"trk"`
	}
	gpxMetadata struct {
		Name        string `xml:"name,omitempty"`
		Description string `xml:"desc,omitempty"`
		Time        string `xml:"time,omitempty"`
	}
	gpxPoint struct {
		Lat         string `xml:"lat,attr"`
		Lon         string `xml:"lon,attr"`
		Elevation   string `xml:"ele,omitempty"`
		Time        string `xml:"time,omitempty"`
		Name        string `xml:"name,omitempty"`
		Description string `xml:"desc,omitempty"`
		Type        string `xml:"type,omitempty"`
	}
	gpxRoute struct {
		Name   string     `xml:"name,omitempty"`
		Points []gpxPoint `xml:"rtept"`
	}
	gpxTrack struct {
		Name     string       `xml:"name,omitempty"`
		Segments []gpxSegment `xml:"trkseg"`
	}
	gpxSegment struct {
		Points []gpxPoint `xml:"trkpt"`
	}
)

// writeGPX writes waypoints, one route and, if there is one, the track. A route point has no altitude: to some programs that is the
// ground's, to others the aircraft's; it is in the description.
func (d Document) writeGPX(w io.Writer) error {
	file := gpxFile{
		Version: "1.1", Creator: "legclock",
		Metadata: gpxMetadata{Name: d.Title, Description: say.Caution, Time: moment(d.Time)},
		Routes:   []gpxRoute{{Name: d.Title}},
	}
	for _, point := range d.Points {
		waypoint := point.gpx()
		waypoint.Elevation = metresOf(point.ElevationFt)
		waypoint.Description = point.describe()
		file.Waypoints = append(file.Waypoints, waypoint)
	}
	for _, point := range d.Route {
		stop := point.gpx()
		stop.Description = point.describe()
		file.Routes[0].Points = append(file.Routes[0].Points, stop)
	}
	if len(d.Track) > 0 {
		track := gpxTrack{Name: d.Title}
		for _, piece := range d.Track {
			track.Segments = append(track.Segments, gpxSegmentOf(piece))
		}
		file.Tracks = []gpxTrack{track}
	}
	return writeXML(w, file)
}

func (p Point) gpx() gpxPoint {
	return gpxPoint{Lat: degrees(p.At.Lat), Lon: degrees(longitude(p.At.Lon)), Name: p.Ident, Type: p.Kind}
}

func gpxSegmentOf(piece []TrackPoint) gpxSegment {
	var segment gpxSegment
	for _, p := range piece {
		segment.Points = append(segment.Points, gpxPoint{
			Lat: degrees(p.At.Lat), Lon: degrees(longitude(p.At.Lon)), Elevation: metresOf(p.AltitudeFt), Time: moment(p.Time), Name: p.Text,
		})
	}
	return segment
}

// writeXML writes a file of XML.
func writeXML(w io.Writer, file any) error {
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	encoder := xml.NewEncoder(w)
	encoder.Indent("", "  ")
	if err := encoder.Encode(file); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// The elements of KML 2.2, in the order of its schema.
type (
	kmlFile struct {
		XMLName  xml.Name    `xml:"http://www.opengis.net/kml/2.2 kml"`
		Document kmlDocument `xml:"Document"`
	}
	kmlDocument struct {
		Name        string      `xml:"name"`
		Description string      `xml:"description"`
		Styles      []kmlStyle  `xml:"Style"`
		Folders     []kmlFolder `xml:"Folder"`
	}
	kmlStyle struct {
		ID   string       `xml:"id,attr"`
		Line kmlLineStyle `xml:"LineStyle"`
	}
	kmlLineStyle struct {
		Color string `xml:"color"` // opacity, blue, green, red
		Width string `xml:"width"`
	}
	kmlFolder struct {
		Name       string         `xml:"name"`
		Placemarks []kmlPlacemark `xml:"Placemark"`
	}
	kmlPlacemark struct {
		Name        string       `xml:"name,omitempty"`
		Description string       `xml:"description,omitempty"`
		Span        *kmlTimeSpan `xml:"TimeSpan"`
		Stamp       *kmlStamp    `xml:"TimeStamp"`
		Style       string       `xml:"styleUrl,omitempty"`
		Point       *kmlPoint    `xml:"Point"`
		Line        *kmlLine     `xml:"LineString"`
	}
	kmlTimeSpan struct {
		Begin string `xml:"begin"`
		End   string `xml:"end"`
	}
	kmlStamp struct {
		When string `xml:"when"`
	}
	kmlPoint struct {
		AltitudeMode string `xml:"altitudeMode,omitempty"`
		Coordinates  string `xml:"coordinates"`
	}
	kmlLine struct {
		Tessellate   int    `xml:"tessellate,omitempty"`
		AltitudeMode string `xml:"altitudeMode,omitempty"`
		Coordinates  string `xml:"coordinates"`
	}
)

// writeKML writes three folders: the points, the route as a line on the ground, and the track as a line at its altitude with what was
// done on it.
func (d Document) writeKML(w io.Writer) error {
	file := kmlFile{Document: kmlDocument{
		Name: d.Title, Description: say.Caution,
		Styles: []kmlStyle{
			{"route", kmlLineStyle{"ff2f6fd0", "3"}},
			{"track", kmlLineStyle{"ffb0522a", "3"}},
		},
		Folders: []kmlFolder{d.kmlPoints(), d.kmlRoute()},
	}}
	if len(d.Track) > 0 {
		file.Document.Folders = append(file.Document.Folders, d.kmlTrack())
	}
	return writeXML(w, file)
}

func (d Document) kmlPoints() kmlFolder {
	folder := kmlFolder{Name: "points"}
	for _, p := range d.Points {
		folder.Placemarks = append(folder.Placemarks, kmlPlacemark{
			Name: p.Ident, Description: p.describe(), Point: &kmlPoint{Coordinates: kmlCoordinates(p.At, nil)},
		})
	}
	return folder
}

func (d Document) kmlRoute() kmlFolder {
	folder := kmlFolder{Name: "route"}
	var line []string
	for _, at := range way(d.Route) {
		line = append(line, kmlCoordinates(at, nil))
	}
	if len(line) > 1 {
		folder.Placemarks = []kmlPlacemark{{
			Name: d.Title, Description: d.kmlTimes(), Style: "#route", Line: &kmlLine{Tessellate: 1, Coordinates: strings.Join(line, " ")},
		}}
	}
	return folder
}

// kmlTimes is the route in words, a point a line.
func (d Document) kmlTimes() string {
	lines := make([]string, len(d.Route))
	for i, p := range d.Route {
		lines[i] = p.Ident + ": " + p.describe()
	}
	return strings.Join(lines, "\n")
}

func (d Document) kmlTrack() kmlFolder {
	folder := kmlFolder{Name: "track"}
	for _, piece := range d.Track {
		var line []string
		for _, p := range piece {
			line = append(line, kmlCoordinates(p.At, p.AltitudeFt))
			if p.Text != "" {
				folder.Placemarks = append(folder.Placemarks, kmlPlacemark{
					Name: p.Text, Description: say.Time(p.Time), Stamp: &kmlStamp{moment(p.Time)},
					Point: &kmlPoint{AltitudeMode: altitudeMode(p), Coordinates: kmlCoordinates(p.At, p.AltitudeFt)},
				})
			}
		}
		if len(piece) > 1 {
			folder.Placemarks = append(folder.Placemarks, kmlPlacemark{
				Name: d.Title, Span: &kmlTimeSpan{moment(piece[0].Time), moment(piece[len(piece)-1].Time)}, Style: "#track",
				Line: &kmlLine{AltitudeMode: altitudeMode(piece[0]), Coordinates: strings.Join(line, " ")},
			})
		}
	}
	return folder
}

// altitudeMode says that altitudes count from sea level; without one a point stands on the ground.
func altitudeMode(p TrackPoint) string {
	if p.AltitudeFt == nil {
		return ""
	}
	return "absolute"
}

// kmlCoordinates is longitude, latitude and, where it is known, altitude in metres.
func kmlCoordinates(at earth.Position, altitudeFt *float64) string {
	text := degrees(at.Lon) + "," + degrees(at.Lat)
	if altitudeFt != nil {
		text += "," + metres(*altitudeFt)
	}
	return text
}
