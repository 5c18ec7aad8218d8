package export

import (
	"encoding/xml"
	"io"

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
