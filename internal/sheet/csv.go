package sheet

import (
	"fmt"
	"io"
	"math"

	"example.com/legclock/internal/markup"
	"example.com/legclock/internal/say"
)

// writeCSV writes what a person opens in a spreadsheet: short numbers, spans as h:mm:ss and times as hh:mm:ss UTC, in sections that an
// empty line parts, each with heads of its own. Programs take the JSON form, whose figures are unrounded.
func (s *Sheet) writeCSV(w io.Writer) error {
	rows := s.csvLog()
	section := func(heads []string, body [][]string) {
		if len(body) > 0 {
			rows = append(rows, []string{""}, heads)
			rows = append(rows, body...)
		}
	}
	var along, radio, contacts, tanks [][]string
	for i, leg := range s.Legs {
		for c, checkpoint := range leg.Checkpoints {
			kind := "checkpoint"
			if checkpoint.Boundary {
				kind = "boundary"
			}
			along = append(along, []string{leg.From.Ident, leg.To.Ident, checkpoint.Name, kind, say.Tenth(checkpoint.AfterNM), say.UTC(s.Legs[i].CheckpointETAs[c])})
		}
	}
	for i, step := range s.Radio {
		leg := s.Legs[step.Leg]
		radio = append(radio, []string{
			leg.From.Ident, leg.To.Ident, step.Receiver, step.Beacon.Ident, say.Frequency(step.Beacon.Frequency),
			directionOf(step.CourseMagnetic), say.Tenth(step.AfterNM), say.UTC(s.RadioETAs[i]),
		})
	}
	for _, contact := range s.Contacts {
		leg := s.Legs[contact.Leg]
		contacts = append(contacts, []string{
			leg.From.Ident, leg.To.Ident, contact.Name, say.Voice(contact.FrequencyMHz),
			say.Tenth(contact.AfterNM), say.UTC(contact.ETA), contact.For,
		})
	}
	for _, change := range s.Tanks.Changes {
		tanks = append(tanks, []string{change.To, say.UTC(change.At), say.Tenth(change.ImbalanceBefore)})
	}
	section([]string{"from", "to", "along the leg", "what", "after nm", "ETA UTC"}, along)
	section([]string{"from", "to", "receiver", "beacon", "frequency", "course °M", "after nm", "ETA UTC"}, radio)
	section([]string{"from", "to", "contact", "frequency", "after nm", "ETA UTC", "for"}, contacts)
	section([]string{"tank", "change UTC", "imbalance " + s.Fuel.Unit}, tanks)
	var arrivals [][]string
	for i, cells := range s.arrivalWords() {
		if i > 0 {
			cells[3] = csvSpan(60 * s.Alternates[i-1].Minutes)
		}
		arrivals = append(arrivals, cells)
	}
	section([]string{"arrival", "heading °M", "distance nm", "time", "fuel " + s.Fuel.Unit, "ETA UTC", "sunset UTC", "end of civil twilight UTC"}, arrivals)
	out := markup.NewTable(w)
	for _, row := range rows {
		out.Row(row...)
	}
	return out.End()
}

// csvLog is the log with its heads.
func (s *Sheet) csvLog() [][]string {
	rows := [][]string{{
		"from", "to", "phase", "distance nm", "level", "MSA ft", "track °M", "wind from °T", "wind kt", "TAS kt", "WCA °", "heading °M", "compass",
		"GS kt", "time", "ETA UTC", "revised ETA", "actual", "fuel " + s.Fuel.Unit, "left " + s.Fuel.Unit,
	}}
	for _, row := range s.logRows() {
		leg, msa, compass := s.Legs[row.leg], "", ""
		if leg.SafeAltitudeFt != nil {
			msa = say.Whole(*leg.SafeAltitudeFt)
		}
		if by, ok := s.Plan.Aircraft.CompassHeading(row.HeadingMagnetic); ok {
			compass = say.Degrees(by)
		}
		rows = append(rows, []string{
			row.From, row.To, string(row.Phase), say.Tenth(row.DistanceNM), levelWords(leg.Level), msa,
			say.Degrees(row.TrackMagnetic), say.Degrees(row.Wind.FromTrue), say.Whole(row.Wind.SpeedKt), say.Whole(row.TASKt),
			say.Whole(row.correction), say.Degrees(row.HeadingMagnetic), compass, say.Whole(row.GroundspeedKt),
			csvSpan(row.seconds), say.UTC(row.ETA), "", "", say.Tenth(row.fuel), say.Tenth(row.left),
		})
	}
	return rows
}

// csvSpan is a span with its hours, so that no spreadsheet takes minutes for hours.
func csvSpan(spanSeconds float64) string {
	seconds := int(math.Round(spanSeconds))
	return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
}
