package export

import (
	"encoding/json"
	"io"
	"time"

	"example.com/legclock/internal/earth"
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
