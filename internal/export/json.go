package export

import (
	"encoding/json"
	"io"
	"math"
	"time"

	"example.com/legclock/internal/earth"
	"example.com/legclock/internal/say"
)

// The JSON form of a document, for programs: degrees, nautical miles, knots, feet above sea level, RFC 3339; what is not known is null.
type (
	jsonDocument struct {
		Title  string             `json:"title"`
		Time   string             `json:"off_blocks_planned"`
		Points []jsonPoint        `json:"points"`
		Route  []jsonRoutePoint   `json:"route"`
		Track  [][]jsonTrackPoint `json:"track"` // in pieces, where nothing is known between them
	}
	jsonPoint struct {
		Ident       string         `json:"ident"`
		Name        string         `json:"name"`
		Kind        string         `json:"kind"`
		At          earth.Position `json:"at"`
		ElevationFt *float64       `json:"elevation_ft"`
		Frequency   *string        `json:"frequency"` // with its unit
	}
	jsonRoutePoint struct {
		Point      string         `json:"point"`
		At         earth.Position `json:"at"`
		AltitudeFt float64        `json:"altitude_ft"` // of the leg that ends there
		DistanceNM float64        `json:"distance_nm"` // of that leg
		Planned    *time.Time     `json:"planned"`
		Actual     *time.Time     `json:"actual"`
	}
	jsonTrackPoint struct {
		Time          time.Time      `json:"time"`
		At            earth.Position `json:"at"`
		AltitudeFt    *float64       `json:"altitude_ft"`
		GroundspeedKt *float64       `json:"groundspeed_kt"`
		TrackTrue     *float64       `json:"track_true"`
		Text          string         `json:"text"`
	}
)

// writeJSON writes the document as one JSON object.
func (d Document) writeJSON(w io.Writer) error {
	out := jsonDocument{Title: d.Title, Time: moment(d.Time), Points: []jsonPoint{}, Route: []jsonRoutePoint{}, Track: [][]jsonTrackPoint{}}
	for _, p := range d.Points {
		point := jsonPoint{Ident: p.Ident, Name: p.Name, Kind: p.Kind, At: p.At, ElevationFt: p.ElevationFt}
		if p.Frequency != "" {
			point.Frequency = &p.Frequency
		}
		out.Points = append(out.Points, point)
	}
	for _, p := range d.Route {
		row := jsonRoutePoint{Point: p.Ident, At: p.At, AltitudeFt: p.AltitudeFt, DistanceNM: p.DistanceNM, Actual: p.Actual}
		if !p.Planned.IsZero() {
			row.Planned = &p.Planned
		}
		out.Route = append(out.Route, row)
	}
	for _, piece := range d.Track {
		points := []jsonTrackPoint{}
		for _, p := range piece {
			points = append(points, jsonTrackPoint{p.Time, p.At, p.AltitudeFt, p.GroundspeedKt, p.TrackTrue, p.Text})
		}
		out.Track = append(out.Track, points)
	}
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(out)
}

// The objects of RFC 7946, with the properties that are ours.
type (
	collection struct {
		Type     string    `json:"type"`
		Title    string    `json:"title"` // a foreign member, RFC 7946 section 6.1
		Caution  string    `json:"caution"`
		Features []feature `json:"features"`
	}
	feature struct {
		Type       string   `json:"type"`
		Geometry   geometry `json:"geometry"`
		Properties any      `json:"properties"`
	}
	geometry struct {
		Type        string `json:"type"`
		Coordinates any    `json:"coordinates"`
	}
	coordinate [2]float64 // longitude, latitude

	pointProperties struct {
		What        string   `json:"what"` // "point"
		Ident       string   `json:"ident"`
		Name        string   `json:"name,omitempty"`
		Kind        string   `json:"kind"`
		ElevationFt *float64 `json:"elevation_ft"`
		Frequency   string   `json:"frequency,omitempty"`
	}
	routeProperties struct {
		What   string      `json:"what"` // "route"
		Name   string      `json:"name"`
		Points []routeStop `json:"points"`
	}
	routeStop struct {
		Ident      string     `json:"ident"`
		AltitudeFt float64    `json:"altitude_ft"`
		DistanceNM float64    `json:"distance_nm"`
		Planned    *time.Time `json:"planned"`
		Actual     *time.Time `json:"actual"`
	}
	trackProperties struct {
		What string `json:"what"` // "track"
		Name string `json:"name"`
	}
	trackPointProperties struct {
		What          string    `json:"what"` // "position"
		Time          time.Time `json:"time"`
		AltitudeFt    *float64  `json:"altitude_ft"`
		GroundspeedKt *float64  `json:"groundspeed_kt"`
		TrackTrue     *float64  `json:"track_true"`
		Text          string    `json:"text,omitempty"`
	}
)

// writeGeoJSON writes a collection of features, each of which says "what" it is: the points, the route as a line along its legs,
// the track as a line, and each position of the track with its time. Lines are cut at the antimeridian.
func (d Document) writeGeoJSON(w io.Writer) error {
	all := collection{Type: "FeatureCollection", Title: d.Title, Caution: say.Caution, Features: []feature{}}
	for _, p := range d.Points {
		all.add(pointGeometry(p.At), pointProperties{"point", p.Ident, p.Name, p.Kind, roundedOf(p.ElevationFt, 10), p.Frequency})
	}
	if len(d.Route) > 1 {
		all.add(lineGeometry([][]earth.Position{way(d.Route)}), routeProperties{"route", d.Title, stops(d.Route)})
	}
	var lines [][]earth.Position
	for _, piece := range d.Track {
		var line []earth.Position
		for _, p := range piece {
			line = append(line, p.At)
			all.add(pointGeometry(p.At), trackPointProperties{
				"position", p.Time, roundedOf(p.AltitudeFt, 10), roundedOf(p.GroundspeedKt, 10), roundedOf(p.TrackTrue, 10), p.Text,
			})
		}
		if len(line) > 1 { // RFC 7946 section 3.1.4
			lines = append(lines, line)
		}
	}
	if len(lines) > 0 {
		all.add(lineGeometry(lines), trackProperties{"track", d.Title})
	}
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	return encoder.Encode(all)
}

func (c *collection) add(g geometry, properties any) {
	c.Features = append(c.Features, feature{"Feature", g, properties})
}

func stops(route []RoutePoint) []routeStop {
	list := make([]routeStop, len(route))
	for i, p := range route {
		list[i] = routeStop{p.Ident, roundedTo(p.AltitudeFt, 10), roundedTo(p.DistanceNM, 1000), &p.Planned, p.Actual}
		if p.Planned.IsZero() {
			list[i].Planned = nil
		}
	}
	return list
}

func coordinateOf(p earth.Position) coordinate {
	return coordinate{roundedTo(p.Lon, 1e7), roundedTo(p.Lat, 1e7)}
}

func pointGeometry(at earth.Position) geometry { return geometry{"Point", coordinateOf(at)} }

// lineGeometry is a line, or several: for the lines themselves, and where one crosses the antimeridian (RFC 7946 section 3.1.9).
func lineGeometry(lines [][]earth.Position) geometry {
	var parts [][]coordinate
	for _, line := range lines {
		parts = append(parts, cutAtAntimeridian(line)...)
	}
	if len(parts) == 1 {
		return geometry{"LineString", parts[0]}
	}
	return geometry{"MultiLineString", parts}
}

// cutAtAntimeridian cuts a line where it crosses 180°, straight between two positions in latitude and longitude.
func cutAtAntimeridian(line []earth.Position) [][]coordinate {
	var parts [][]coordinate
	var part []coordinate
	for i, at := range line {
		if i > 0 && math.Abs(at.Lon-line[i-1].Lon) > 180 {
			before := line[i-1]
			edge := math.Copysign(180, before.Lon)
			eastwards := at.Lon + 2*edge // the longitude counted on beyond the edge
			latitude := before.Lat
			if eastwards != before.Lon {
				latitude += (at.Lat - before.Lat) * (edge - before.Lon) / (eastwards - before.Lon)
			}
			part = append(part, coordinateOf(earth.Position{Lat: latitude, Lon: edge}))
			parts = append(parts, part)
			part = []coordinate{coordinateOf(earth.Position{Lat: latitude, Lon: -edge})}
		}
		part = append(part, coordinateOf(at))
	}
	return append(parts, part)
}
