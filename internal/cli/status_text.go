package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/words"
)

// writeStatus prints a Snapshot for a person: the same facts as the JSON, most urgent first.
func writeStatus(w io.Writer, s flight.Snapshot) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s  %s\n", s.Title, s.At.Format("2006-01-02 15:04:05Z"), s.Phase)
	for _, notice := range s.Notices {
		fmt.Fprintf(&b, "%s: %s\n", strings.ToUpper(notice.Severity), notice.Text)
	}
	statusLeg(&b, s)
	statusWays(&b, s)
	statusPrompts(&b, s)
	statusTanks(&b, s)
	statusRadio(&b, s.Radio)
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	return statusRoute(w, s)
}

func statusLeg(b *strings.Builder, s flight.Snapshot) {
	fmt.Fprintf(b, "\nleg %d of %d, %s to %s\n", s.Leg.Index+1, s.Leg.Count, s.Leg.From, s.Leg.To)
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-12s %s\n", label, fmt.Sprintf(format, values...))
	}
	row("clocks", "leg %s, airborne %s", words.Elapsed(s.Clock.LegSeconds), words.Elapsed(s.Clock.AirborneSeconds))
	drift := words.Unknown
	if s.Steer.Drift != nil {
		drift = words.Side(*s.Steer.Drift, 0)
	}
	row("steer", "%s magnetic for track %s, drift %s", words.DegreesOf(s.Steer.HeadingMagnetic), words.DegreesOf(s.Steer.TrackMagnetic), drift)
	if s.Position != nil {
		row("position", "%s after %s, %s to go, ±%s, by %s", words.Miles(s.Position.AfterNM), s.Leg.From, words.Miles(s.Position.ToGoNM),
			words.Miles(s.Position.UncertaintyNM), s.Position.By)
	}
	row("groundspeed", "%s in use, %s measured, %s planned", words.Knots(s.Groundspeed.UsedKt), words.KnotsOf(s.Groundspeed.MeasuredKt), words.Knots(s.Groundspeed.PlannedKt))
	if s.Groundspeed.Sum != "" {
		row("", "%s", s.Groundspeed.Sum)
	}
	row("wind", "%s ±%s, %s", words.Wind(s.Wind.FromTrue, s.Wind.SpeedKt), words.Knots(s.Wind.SigmaKt), s.Wind.Source)
	if s.Next != nil {
		row("next", "%s at %s %s, %s", s.Next.Point, words.Time(s.Next.ETA), words.PlusMinus(s.Next.ETASigmaSeconds), words.Against(s.Next.DifferenceSeconds))
	}
	if d := s.Destination; d != nil {
		row("arrival", "%s at %s %s, %.1f %s usable, reserve held %s of %s", d.Point, words.Time(d.ETA), words.PlusMinus(d.ETASigmaSeconds), d.Fuel,
			words.Unit(s.Tanks.Unit), words.Long(d.ReserveHeldMinutes), words.Long(d.ReserveMinutes))
		if d.BeforeSunsetMinutes != nil {
			row("daylight", "%s before sunset", words.Long(*d.BeforeSunsetMinutes))
		}
	}
}

// statusWays are a diversion, a hold, what is wanted of a point, the descent, the last bearing check and the ways out.
func statusWays(b *strings.Builder, s flight.Snapshot) {
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-12s %s\n", label, fmt.Sprintf(format, values...))
	}
	if d := s.Diversion; d != nil && d.Rejoins {
		row("direct", "to %s since %s, then as planned", d.To, words.Time(d.Since))
	} else if d != nil {
		row("diverting", "to %s since %s", d.To, words.Time(d.Since))
	}
	if h := s.Holding; h != nil {
		row("holding", "%s since %s, for the reserve until %s", h.Point, words.Time(h.Since), words.TimeOf(h.LeaveBy))
	}
	if wanted := words.Wanted(s.Crossing, s.Descent); wanted != "" {
		row("wanted", "%s", wanted)
	}
	if d := s.Descent; d != nil && d.NeededFtMin != nil {
		row("descent", "%.0f ft/min from here for %.0f ft at %s", *d.NeededFtMin, d.ToFt, d.Point)
	} else if d != nil {
		row("descent", "leave %.0f ft at %s, %s before %s", d.FromFt, words.Time(d.LeaveAt), words.Miles(d.BeforeNM), d.Point)
	}
	if c := s.Bearing; c != nil && c.Result != nil {
		row("bearing", "%s: %s, by the wind in use %s", c.Beacon, c.Result.Sum, milesOf(c.Result.DistanceInWindNM))
	}
	if o := s.Offer; o != nil {
		row("feed", "passed %s at %s", o.Point, words.Time(o.At))
	}
	for _, way := range s.Alternates {
		text := fmt.Sprintf("%s %s, %s, %s, %s reserve", words.Degrees(way.HeadingMagnetic), words.Miles(way.DistanceNM), words.Long(way.Minutes), words.Time(way.ETA), words.Long(way.ReserveHeldMinutes))
		if way.Problem != "" {
			text = way.Problem
		}
		row("to "+way.Point, "%s", text)
	}
}

func milesOf(distanceNM *float64) string {
	if distanceNM == nil {
		return words.Unknown
	}
	return words.Miles(*distanceNM)
}

func statusPrompts(b *strings.Builder, s flight.Snapshot) {
	fmt.Fprintf(b, "\nprompts\n")
	for _, prompt := range s.Prompts {
		if prompt.State == flight.PromptDone || prompt.State == flight.PromptSkipped {
			continue
		}
		fmt.Fprintf(b, "  %s  %-6s  %s\n", words.Time(prompt.Due), prompt.State, prompt.Text)
	}
}

func statusRadio(b *strings.Builder, receivers []flight.ReceiverNow) {
	fmt.Fprintf(b, "\nradio\n")
	for _, receiver := range receivers {
		fmt.Fprintf(b, "  %-5s", receiver.Receiver)
		if tuned := receiver.Tuned; tuned != nil {
			identified := "not identified"
			if receiver.Identified {
				identified = "identified"
			}
			fmt.Fprintf(b, " %s %s %s", tuned.Beacon, words.Frequency(tuned.Frequency), identified)
		}
		if next := receiver.Next; next != nil && next.Due != nil {
			fmt.Fprintf(b, "  next %s %s at %s", next.Beacon, words.Frequency(next.Frequency), words.Time(*next.Due))
		}
		b.WriteByte('\n')
	}
}

func statusRoute(w io.Writer, s flight.Snapshot) error {
	fmt.Fprintln(w)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "point\tplanned\trevised\tactual\tdifference")
	for _, point := range s.Route {
		name := point.Point
		if point.Checkpoint {
			name = "  " + name
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", name, words.Time(point.Planned), words.TimeOf(point.Revised), words.TimeOf(point.Actual),
			words.SignedOf(point.DifferenceSeconds))
	}
	return table.Flush()
}
