package flighttest

import (
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
)

// View gives lines of a Snapshot. The words are what follows the view's name in a script.
type View func(s flight.Snapshot, words []string) []string

// Views are what a script can look at.
var Views = map[string]View{
	"leg":  leg,
	"next": next,
	"position": func(s flight.Snapshot, _ []string) []string {
		if s.Position == nil {
			return []string{"none"}
		}
		return []string{fmt.Sprintf("%.3f %.3f ±%.1f along, ±%.1f across, by %s", s.Position.Lat, s.Position.Lon, s.Position.UncertaintyNM, s.Position.UncertaintyAcrossNM, s.Position.By)}
	},
	"arrival": arrival,
	"route":   route,
	"sums":    sums,
	"wind":    wind,
	"tanks":   tanks,
	"fuel":    fuelView,
	"radio":   radioView,
	"prompts": prompts,
	"report":  report,
	"cleared": cleared,
	"remarks": func(s flight.Snapshot, _ []string) []string { return s.Remarks },
	"list":    list,
	"notices": notices,
	"entries": entries,
	"ways":    alternates,
	"out":     out,
	"cross":   cross,
	"offer":   offer,
	"clock":   clocks,
	"back":    back,
	"marks":   marks,
}

func leg(s flight.Snapshot, _ []string) []string {
	lines := []string{fmt.Sprintf("%s, leg %d %s to %s, clock %s", s.Phase, s.Leg.Index, s.Leg.From, s.Leg.To, say.Or(s.Clock.LegSeconds, say.Span))}
	if s.HoldAt != "" {
		lines = append(lines, "hold intended at "+s.HoldAt)
	}
	for _, h := range s.Holds {
		lines = append(lines, fmt.Sprintf("held at %s %s to %s, fuel %.1f", h.Point, say.UTC(h.From), say.UTC(h.To), h.Fuel))
	}
	if h := s.Holding; h != nil {
		lines = append(lines, fmt.Sprintf("holding at %s since %s, fuel %.1f, latest departure %s, leave %s to cross in time", h.Point, say.UTC(h.Since), h.Fuel,
			say.Or(h.LeaveBy, say.UTC), say.Or(h.Leave, say.UTC)))
	}
	steer := fmt.Sprintf("steer %s, track %s", say.DegreesOf(s.Steer.HeadingMagnetic), say.DegreesOf(s.Steer.TrackMagnetic))
	if s.Steer.WasMagnetic != nil {
		steer += fmt.Sprintf(", was %s", say.DegreesOf(s.Steer.WasMagnetic))
	}
	if s.Steer.Steering != nil {
		steer += fmt.Sprintf(", steering %s", say.DegreesOf(s.Steer.Steering))
	}
	if s.Steer.NextHeading != nil {
		steer += fmt.Sprintf(", then %s", say.DegreesOf(s.Steer.NextHeading))
	}
	lines = append(lines, steer)
	if p := s.Position; p != nil {
		line := fmt.Sprintf("%s flown, %.1f to go, ±%.1f, %s, by %s", say.Miles(p.AfterNM), p.ToGoNM, p.UncertaintyNM, say.Feet(p.AltitudeFt), p.By)
		if p.FromEndNM != nil {
			line += fmt.Sprintf(", %s from %s, not logged", say.Miles(*p.FromEndNM), s.Leg.To)
		}
		if p.FlownSinceNM != nil {
			line += fmt.Sprintf(", %s not logged, %s flown since it was due", s.Leg.To, say.Miles(*p.FlownSinceNM))
		}
		if p.OffTrackNM != nil {
			line += fmt.Sprintf(", %+.1f off track", *p.OffTrackNM)
		}
		lines = append(lines, line)
	}
	return append(lines, groundspeed(s))
}

func groundspeed(s flight.Snapshot) string {
	line := fmt.Sprintf("groundspeed %.0f, planned %.0f", s.Groundspeed.UsedKt, s.Groundspeed.PlannedKt)
	if s.Groundspeed.Sum != "" {
		line += "; " + s.Groundspeed.SumSaid()
	}
	return line
}

func next(s flight.Snapshot, _ []string) []string {
	if s.Next == nil {
		return []string{"no next point"}
	}
	n := s.Next
	return []string{fmt.Sprintf("%s %s ±%s, %s, %s", n.Point, say.UTC(n.ETA), say.Span(n.ETASigmaSeconds), n.Stands(), say.Miles(n.ToGoNM))}
}

func arrival(s flight.Snapshot, _ []string) []string {
	d := s.Destination
	if d == nil {
		return []string{"no destination"}
	}
	line := fmt.Sprintf("%s %s ±%s, %s, %s", d.Point, say.UTC(d.ETA), say.Span(d.ETASigmaSeconds), say.Miles(d.ToGoNM),
		d.FuelSaid(&s, 0)+", "+say.FinalReserve(s.FinalReserve.Fuel, s.Tanks.Unit))
	if d.BeforeSunsetMinutes != nil && d.BeforeDarkMinutes != nil {
		line += fmt.Sprintf(", sunset in %.0f, night in %.0f min after", *d.BeforeSunsetMinutes, *d.BeforeDarkMinutes)
	}
	return []string{line}
}

func route(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, row := range s.Route {
		name := row.Point
		if row.Checkpoint {
			name = "  " + name
		}
		if row.Boundary {
			name += " boundary"
		}
		line := fmt.Sprintf("%-10s planned %s ", name, say.UTC(row.Planned))
		switch {
		case row.Actual != nil:
			line += "passed  " + say.UTC(*row.Actual)
		case row.Left != nil:
			line += fmt.Sprintf("left    %s after %s", say.UTC(row.Left.To), say.Miles(row.Left.AfterNM))
		case row.Diverted:
			line += "left out"
		case row.Revised != nil && row.SigmaSeconds != nil:
			line += fmt.Sprintf("revised %s ±%s", say.UTC(*row.Revised), say.Span(*row.SigmaSeconds))
		case row.Revised != nil:
			line += "revised " + say.UTC(*row.Revised)
		default:
			line += "not logged"
		}
		if row.DifferenceSeconds != nil {
			line += ", " + say.Against(*row.DifferenceSeconds)
		}
		lines = append(lines, line)
	}
	return lines
}

// sums are what a pilot gets by hand.
func sums(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, row := range s.Route {
		if row.CarriedOver != nil || row.ByRatio != nil {
			lines = append(lines, fmt.Sprintf("%-10s carried over %s, by ratio %s", row.Point, say.Or(row.CarriedOver, say.UTC), say.Or(row.ByRatio, say.UTC)))
		}
	}
	if s.Groundspeed.Sum != "" {
		lines = append(lines, s.Groundspeed.Sum)
	}
	return lines
}

func wind(s flight.Snapshot, _ []string) []string {
	w := s.Wind
	return []string{fmt.Sprintf("%s %s/%.0f ±%.1f, forecast %s/%.0f", w.Source, say.Degrees(w.FromTrue), w.SpeedKt, w.SigmaKt, say.Degrees(w.ForecastFrom), w.ForecastKt)}
}

func tanks(s flight.Snapshot, _ []string) []string {
	k := s.Tanks
	line := fmt.Sprintf("on %s,", k.Selected)
	for _, tank := range k.Tanks {
		line += fmt.Sprintf(" %s %.2f", tank.Name, tank.Quantity)
	}
	line += fmt.Sprintf(", imbalance %.2f", k.Imbalance)
	if k.HeavySide != "" {
		line += " " + k.HeavySide + " heavy"
	}
	line += fmt.Sprintf(", flow %.1f, endurance %s", k.FlowPerHour, say.Endurance(k.EnduranceMinutes, k.Endurance.At))
	lines := []string{line}
	for _, change := range k.Planned {
		line := fmt.Sprintf("change to %s %s, imbalance then %.1f", change.To, say.UTC(change.At), change.ImbalanceThen)
		if len(k.Pairs) > 1 && change.HeavyThen != "" {
			line += " " + change.HeavyThen + " heavy"
		}
		lines = append(lines, line)
	}
	if k.LimitAt != nil {
		lines = append(lines, "limit reached "+say.UTC(*k.LimitAt)+" if nothing is changed")
	}
	for _, text := range []string{k.GaugeDisagreement, k.ScheduleProblem} {
		if text != "" {
			lines = append(lines, text)
		}
	}
	return lines
}

func radioView(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, r := range s.Radio {
		if r.Tuned == nil && r.Next == nil {
			continue
		}
		line := r.Receiver + ":"
		if b := r.Tuned; b != nil {
			line += tuned(b)
			if !r.Identified {
				line += ", not identified"
			}
		}
		if r.Next != nil {
			line += fmt.Sprintf(" next %s %s", r.Next.Beacon, say.Or(r.Next.Due, say.UTC))
		}
		lines = append(lines, line)
	}
	return lines
}

func tuned(b *flight.BeaconNow) string {
	line := fmt.Sprintf(" %s %g %s", b.Beacon, b.Frequency, b.Morse)
	if b.Course != nil {
		line += fmt.Sprintf(", %s %s", flight.CourseWord(b.Held), say.DegreesOf(b.Course))
	}
	if b.Sense != nil && b.NeedleDeg != nil {
		line += fmt.Sprintf(" %v needle %+.0f", *b.Sense, *b.NeedleDeg)
	}
	if b.Radial != nil {
		line += ", radial " + say.DegreesOf(b.Radial)
	}
	if b.DME != nil {
		line += fmt.Sprintf(", DME %.1f", *b.DME)
	}
	if b.Relative != nil {
		line += fmt.Sprintf(", ADF %s, QDM %s", say.DegreesOf(b.Relative), say.DegreesOf(b.QDM))
	}
	if b.OverdueSeconds != nil {
		line += ", overhead overdue by " + say.Span(*b.OverdueSeconds)
	}
	if b.OverheadSeconds != nil {
		line += ", overhead in " + say.Span(*b.OverheadSeconds)
	}
	if !b.InRange {
		line += ", out of range"
	}
	return line
}

// prompts shows the queue; words restrict it to kinds or states. "detail" adds what belongs to each.
func prompts(s flight.Snapshot, words []string) []string {
	detail := slices.Contains(words, "detail")
	words = slices.DeleteFunc(slices.Clone(words), func(word string) bool { return word == "detail" })
	var lines []string
	for _, prompt := range s.Prompts {
		if len(words) > 0 && !slices.Contains(words, string(prompt.Kind)) && !slices.Contains(words, string(prompt.State)) {
			continue
		}
		line := fmt.Sprintf("%s %-7s %s", say.UTC(prompt.Due), prompt.State, prompt.Text)
		switch {
		case prompt.Answered != nil:
			line += ", " + say.UTC(*prompt.Answered)
		case prompt.Snoozed:
			line += ", snoozed"
		case prompt.Announce:
			line += ", announced"
		}
		lines = append(lines, line+"  ["+prompt.ID+"]")
		if detail {
			for _, text := range prompt.Detail {
				lines = append(lines, "  "+text)
			}
		}
	}
	if len(lines) == 0 {
		return []string{"none"}
	}
	return lines
}

func report(s flight.Snapshot, _ []string) []string {
	if s.Report == nil {
		return []string{"no report"}
	}
	return []string{s.Report.Text}
}

// cleared is the pad: what was told over the radio, and the VOR checks.
func cleared(s flight.Snapshot, _ []string) []string {
	lines := []string{}
	for _, told := range s.Cleared {
		lines = append(lines, say.UTC(told.At)+" "+told.Line)
	}
	for _, check := range s.VORChecks {
		lines = append(lines, fmt.Sprintf("%s VOR check %s %+.0f, limit %.0f", say.UTC(check.At), check.Receiver, check.ErrorDeg, check.LimitDeg))
	}
	if len(lines) == 0 {
		return []string{"nothing"}
	}
	return lines
}

// list is one of the lists to read, by its key.
func list(s flight.Snapshot, args []string) []string {
	for _, card := range s.Lists {
		if len(args) > 0 && card.Key == args[0] {
			return card.Lines()
		}
	}
	return []string{"none"}
}

func notices(s flight.Snapshot, _ []string) []string {
	if len(s.Notices) == 0 {
		return []string{"none"}
	}
	var lines []string
	for _, notice := range s.Notices {
		lines = append(lines, string(notice.Severity)+": "+notice.Text)
	}
	return lines
}

func entries(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, entry := range s.Entries {
		line := fmt.Sprintf("%d %s %s", entry.Event.N, say.UTC(entry.Event.T), entry.Text)
		if entry.Amended {
			line += " (amended)"
		}
		if entry.Late {
			line += " (entered later)"
		}
		if entry.Voided {
			line += " (void)"
		}
		lines = append(lines, line)
	}
	return lines
}

func alternates(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, a := range s.Alternates {
		line := fmt.Sprintf("%s %s, track %s, steer %s, %.0f min, %s, fuel %.1f", a.Point, say.Miles(a.DistanceNM), say.Degrees(a.TrackMagnetic),
			say.Degrees(a.HeadingMagnetic), a.Minutes, say.UTC(a.ETA), a.Fuel)
		if a.Problem != "" {
			line += ", " + a.Problem
		}
		lines = append(lines, line)
	}
	return lines
}

// out shows every way out, the quickest first.
func out(s flight.Snapshot, _ []string) []string {
	var lines []string
	if d := s.Diversion; d != nil {
		lines = append(lines, fmt.Sprintf("diverting to %s since %s, rejoins %v", d.To, say.UTC(d.Since), d.Rejoins))
	}
	for _, w := range s.WaysOut.All() {
		line := fmt.Sprintf("%s %s steer %s", w.Point, w.Kind, say.Degrees(w.HeadingMagnetic))
		if w.Turn != nil {
			line += fmt.Sprintf(", turn %+.0f", *w.Turn)
		}
		line += fmt.Sprintf(", %s, %s, %s, fuel %.1f", say.Miles(w.DistanceNM), say.Span(60*w.Minutes), say.UTC(w.ETA), w.Fuel)
		if w.Alternate {
			line += ", alternate"
		}
		if w.Rejoin != nil {
			line += fmt.Sprintf(", rejoins leg %d", *w.Rejoin)
		}
		if w.Problem != "" {
			line += ", " + w.Problem
		}
		lines = append(lines, line)
	}
	return lines
}

// offer shows the passing that a feed shows.
func offer(s flight.Snapshot, _ []string) []string {
	if s.Offer == nil {
		return []string{"none"}
	}
	if s.Offer.Act != flight.Passing {
		return []string{fmt.Sprintf("%s at %s", s.Offer.Act, say.UTC(s.Offer.At))}
	}
	return []string{fmt.Sprintf("%s passed at %s, %+.2f nm", s.Offer.Point, say.UTC(s.Offer.At), s.Offer.OffTrackNM)}
}

// cross shows the point to be crossed at a time or level, and the descent.
func cross(s flight.Snapshot, _ []string) []string {
	lines := []string{"nothing is to be crossed"}
	if c := s.Crossing; c != nil {
		lines[0] = fmt.Sprintf("%s as it stands %s", c.Point, say.UTC(c.ETA))
		if c.LoseSeconds != nil {
			lines[0] += fmt.Sprintf(", to cross %s: %+.0f s to lose", say.UTC(*c.Wanted), *c.LoseSeconds)
		}
		if v := c.Speed; v != nil {
			lines = append(lines, fmt.Sprintf("IAS %.0f, TAS %.0f, groundspeed %.0f, steer %s", v.IASKt, v.TASKt, v.GroundspeedKt, say.Degrees(v.HeadingMagnetic)))
		}
		if h := c.Hold; h != nil {
			lines = append(lines, fmt.Sprintf("hold %s %s, %s to %s, fuel %.1f", h.Point, say.Span(60*h.Minutes), say.UTC(h.Enter), say.UTC(h.Leave), h.Fuel))
		}
		if c.Problem != "" {
			lines = append(lines, c.Problem)
		}
	}
	if d := s.Descent; d != nil {
		line := fmt.Sprintf("down %.0f to %s at %s: leave %s, %s before (taught %.1f), %.0f ft/min, %s, %.1f to go", d.FromFt, say.Feet(d.ToFt), d.Point,
			say.UTC(d.LeaveAt), say.Miles(d.BeforeNM), d.TaughtNM, d.RateFtMin, say.Span(60*d.Minutes), d.ToGoNM)
		if d.NeededFtMin != nil {
			line += fmt.Sprintf(", needed %.0f ft/min", *d.NeededFtMin)
		}
		lines = append(lines, line)
	}
	return lines
}

func clocks(s flight.Snapshot, _ []string) []string {
	line := fmt.Sprintf("%s, leg %s, airborne %s, block %s, rate %g", s.Phase, say.Or(s.Clock.LegSeconds, say.Span), say.Or(s.Clock.AirborneSeconds, say.Span),
		say.Or(s.Clock.BlockSeconds, say.Span), s.Clock.Rate)
	if s.Clock.Paused {
		line += ", paused"
	}
	return []string{line}
}

func marks(s flight.Snapshot, _ []string) []string {
	var lines []string
	for _, mark := range s.Leg.Marks {
		line := fmt.Sprintf("%5.1f nm %s %s %s", mark.AfterNM, say.Or(mark.ETA, say.UTC), mark.Kind, mark.Name)
		if mark.Passed {
			line += ", behind"
		}
		lines = append(lines, strings.TrimRight(line, " "))
	}
	return lines
}

// back shows what leads back: to the track, and to the departure.
func back(s flight.Snapshot, _ []string) []string {
	var lines []string
	if o := s.OffTrack; o != nil {
		lines = append(lines, fmt.Sprintf("%s off: track error %.1f, closing %.1f, turn %+.0f by the rule, %+.1f exactly, steer %s", say.Miles(o.OffNM),
			o.TrackErrorRule, o.ClosingRule, o.TurnRule, o.TurnExact, say.DegreesOf(o.HeadingMagnetic)))
		if r := o.Regain; r != nil {
			lines = append(lines, fmt.Sprintf("on track again in %s: turn %+.0f by the rule, %+.1f exactly, steer %s, then %+.0f", say.Miles(r.WithinNM),
				r.TurnRule, r.TurnExact, say.DegreesOf(r.HeadingMagnetic), r.ThenTurnRule))
		}
	}
	for name, point := range map[string]*flight.CriticalPoint{"PET": s.Critical.EqualTime, "PNR": s.Critical.NoReturn} {
		if point != nil {
			lines = append(lines, fmt.Sprintf("%s: leg %d after %s, %s, %.0f min back to %s", name, point.Leg, say.Miles(point.AfterNM), say.UTC(point.ETA), point.Minutes, point.Back))
		}
	}
	slices.Sort(lines)
	if len(lines) == 0 {
		return []string{"nothing to say"}
	}
	return lines
}

// fuelView shows what is known of the fuel beyond the tanks: how long it lasts by every witness, what is left at the destination, the
// reserve, the alternates and what readings say over time.
func fuelView(s flight.Snapshot, _ []string) []string {
	k := s.Tanks
	line := fmt.Sprintf("usable %.1f, endurance %s by plan", k.TotalUsable, say.Endurance(k.Endurance.PlanMinutes, k.Endurance.At))
	if m := k.Endurance.MeterMinutes; m != nil {
		line += fmt.Sprintf(", %.0f by flow meter", *m)
	}
	if m := k.Endurance.GaugesMinutes; m != nil {
		line += fmt.Sprintf(", %.0f ±%.0f by gauges", *m, *k.Endurance.GaugesSigmaMinutes)
	}
	lines := []string{line + fmt.Sprintf("; %.0f by %s counts", k.EnduranceMinutes, k.Endurance.By)}
	if b := k.Burn; b != nil {
		line := fmt.Sprintf("burn by %d readings %.1f ±%.1f, calculated %.1f", b.Readings, b.FlowPerHour, b.SigmaPerHour, b.ReckonedPerHour)
		if !b.Counts {
			line += ", too uncertain to count"
		}
		lines = append(lines, line)
	}
	if d := s.Destination; d != nil {
		lines = append(lines, fmt.Sprintf("%.1f ±%.1f left at %s", d.Fuel, d.FuelSigma, d.Point))
	}
	if state := s.FuelState; state != nil {
		lines = append(lines, state.Name+": "+state.Why, "say: "+state.Say)
	}
	lines = append(lines, "only the reserve is left at "+say.Or(k.ReserveTouchedAt, say.UTC))
	for _, b := range k.LatestDivert {
		lines = append(lines, b.Text)
	}
	for _, trend := range k.Trends {
		lines = append(lines, string(trend.Severity)+": "+trend.Text)
	}
	return lines
}
