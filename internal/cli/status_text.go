package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/words"
)

// writeStatus prints a Snapshot for a person: the same facts as the JSON, most urgent first.
func writeStatus(w io.Writer, s flight.Snapshot) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n%s  %s\n", s.Title, say.Moment(s.At), s.Phase)
	for _, notice := range s.Notices {
		fmt.Fprintf(&b, "%s: %s\n", strings.ToUpper(string(notice.Severity)), notice.Text)
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
	row("clocks", "leg %s, airborne %s", say.Elapsed(s.Clock.LegSeconds), say.Elapsed(s.Clock.AirborneSeconds))
	drift := say.Unknown
	if s.Steer.Drift != nil {
		drift = say.Side(*s.Steer.Drift, 0)
	}
	row("steer", "%s magnetic for track %s, drift %s", say.DegreesOf(s.Steer.HeadingMagnetic), say.DegreesOf(s.Steer.TrackMagnetic), drift)
	if s.Position != nil {
		row("position", "%s after %s, %s to go, ±%s, by %s", say.Miles(s.Position.AfterNM), s.Leg.From, say.Miles(s.Position.ToGoNM),
			say.Miles(s.Position.UncertaintyNM), s.Position.By)
	}
	row("groundspeed", "%s in use, %s measured, %s planned", say.Knots(s.Groundspeed.UsedKt), say.KnotsOf(s.Groundspeed.MeasuredKt), say.Knots(s.Groundspeed.PlannedKt))
	if s.Groundspeed.Sum != "" {
		row("", "%s", s.Groundspeed.Sum)
	}
	row("wind", "%s ±%s, %s", say.Wind(s.Wind.FromTrue, s.Wind.SpeedKt), say.Knots(s.Wind.SigmaKt), s.Wind.Source)
	if s.Next != nil {
		row("next", "%s at %s %s, %s", s.Next.Point, say.Time(s.Next.ETA), say.PlusMinus(s.Next.ETASigmaSeconds), say.Against(s.Next.DifferenceSeconds))
	}
	if d := s.Destination; d != nil {
		row("arrival", "%s at %s %s, %.1f %s usable, reserve held %s of %s", d.Point, say.Time(d.ETA), say.PlusMinus(d.ETASigmaSeconds), d.Fuel,
			say.Unit(s.Tanks.Unit), say.Long(d.ReserveHeldMinutes), say.Long(d.ReserveMinutes))
		if d.BeforeSunsetMinutes != nil {
			row("daylight", "%s before sunset", say.Long(*d.BeforeSunsetMinutes))
		}
	}
}

// statusWays are a diversion, a hold, what is wanted of a point, the descent, the last bearing check and the ways out.
func statusWays(b *strings.Builder, s flight.Snapshot) {
	row := func(label, format string, values ...any) {
		fmt.Fprintf(b, "  %-12s %s\n", label, fmt.Sprintf(format, values...))
	}
	if d := s.Diversion; d != nil && d.Rejoins {
		row("direct", "to %s since %s, then as planned", d.To, say.Time(d.Since))
	} else if d != nil {
		row("diverting", "to %s since %s", d.To, say.Time(d.Since))
	}
	if h := s.Holding; h != nil {
		row("holding", "%s since %s, for the reserve until %s", h.Point, say.Time(h.Since), say.TimeOf(h.LeaveBy))
	}
	if wanted := words.Wanted(s.Crossing, s.Descent); wanted != "" {
		row("wanted", "%s", wanted)
	}
	if d := s.Descent; d != nil && d.NeededFtMin != nil {
		row("descent", "%.0f ft/min from here for %s at %s", *d.NeededFtMin, say.Feet(d.ToFt), d.Point)
	} else if d != nil {
		row("descent", "leave %s at %s, %s before %s", say.Feet(d.FromFt), say.Time(d.LeaveAt), say.Miles(d.BeforeNM), d.Point)
	}
	if c := s.Bearing; c != nil && c.Result != nil {
		row("bearing", "%s: %s, by the wind in use %s", c.Beacon, c.Result.Sum, milesOf(c.Result.DistanceInWindNM))
	}
	if o := s.Offer; o != nil {
		what := string(o.Act)
		if o.Act == flight.Passing {
			what = "passed " + o.Point
		}
		row("feed", "%s at %s", what, say.Time(o.At))
	}
	for _, way := range s.Alternates {
		text := fmt.Sprintf("%s %s, %s, %s, %s reserve", say.Degrees(way.HeadingMagnetic), say.Miles(way.DistanceNM), say.Long(way.Minutes), say.Time(way.ETA), say.Long(way.ReserveHeldMinutes))
		if way.Problem != "" {
			text = way.Problem
		}
		row("to "+way.Point, "%s", text)
	}
}

func milesOf(distanceNM *float64) string {
	if distanceNM == nil {
		return say.Unknown
	}
	return say.Miles(*distanceNM)
}

func statusPrompts(b *strings.Builder, s flight.Snapshot) {
	fmt.Fprintf(b, "\nprompts\n")
	for _, prompt := range s.Prompts {
		if !prompt.Open() {
			continue
		}
		fmt.Fprintf(b, "  %s  %-6s  %s\n", say.Time(prompt.Due), prompt.State, prompt.Text)
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
			fmt.Fprintf(b, " %s %s %s", tuned.Beacon, say.Frequency(tuned.Frequency), identified)
		}
		if next := receiver.Next; next != nil && next.Due != nil {
			fmt.Fprintf(b, "  next %s %s at %s", next.Beacon, say.Frequency(next.Frequency), say.Time(*next.Due))
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
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", name, say.Time(point.Planned), say.TimeOf(point.Revised), say.TimeOf(point.Actual),
			say.SignedOf(point.DifferenceSeconds))
	}
	return table.Flush()
}
