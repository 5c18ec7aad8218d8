package export

import (
	"io"
	"strconv"

	"example.com/legclock/internal/markup"
)

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
