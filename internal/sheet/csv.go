package sheet

import (
	"encoding/csv"
	"io"
	"strconv"
	"time"
)

// csvHeader names the columns as the JSON form does. A row is a leg or, below its leg, a checkpoint.
var csvHeader = []string{
	"row", "leg", "from", "to", "name", "kind", "after_nm", "distance_nm", "track_true", "track_magnetic", "course_outbound", "course_inbound",
	"declination", "altitude_ft", "safe_altitude_ft", "wind_from", "wind_kt", "tas_kt", "wind_correction_deg", "heading_true",
	"heading_magnetic", "groundspeed_kt", "minutes", "eta", "fuel",
}

// writeCSV writes the legs and checkpoints, unrounded; what does not belong to a row is empty.
func (s *Sheet) writeCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	if err := out.Write(csvHeader); err != nil {
		return err
	}
	for i, leg := range s.Legs {
		if err := out.Write(leg.csv(i)); err != nil {
			return err
		}
		for c, checkpoint := range leg.Checkpoints {
			row := make([]string, len(csvHeader))
			copy(row, []string{"checkpoint", strconv.Itoa(i), leg.From.Ident, leg.To.Ident, checkpoint.Name, "", number(checkpoint.AfterNM)})
			row[len(row)-2] = leg.CheckpointETAs[c].Format(time.RFC3339Nano)
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func (l Leg) csv(index int) []string {
	return []string{
		"leg", strconv.Itoa(index), l.From.Ident, l.To.Ident, "", l.Kind, "", number(l.DistanceNM), number(l.TrackTrue), number(l.TrackMagnetic),
		numberOf(l.CourseOutbound), numberOf(l.CourseInbound), number(l.Declination), number(l.AltitudeFt), numberOf(l.SafeAltitudeFt),
		number(l.Wind.FromTrue), number(l.Wind.SpeedKt), number(l.TASKt), number(l.CorrectionDeg), number(l.HeadingTrue),
		number(l.HeadingMagnetic), number(l.GroundspeedKt), number(l.Minutes), l.ETA.Format(time.RFC3339Nano), number(l.Fuel),
	}
}

func number(value float64) string { return strconv.FormatFloat(value, 'f', -1, 64) }

func numberOf(value *float64) string {
	if value == nil {
		return ""
	}
	return number(*value)
}
