package flying

import (
	"fmt"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// phrase is a piece of a line in its role.
type phrase struct {
	role theme.Role
	text string
}

// line sets groups of phrases one after the other; a group that has no room is left out whole.
func (d *drawing) line(width int, groups ...[]phrase) string {
	var row frame.Row
	left := max(width, 0)
	row.Grow(2 * left)
	for _, group := range groups {
		needs := 0
		for i := range group {
			needs += frame.Width(group[i].text) + 1
		}
		if needs > left {
			continue
		}
		for i := range group {
			row.Pad(1)
			row.Add(group[i].text, group[i].role)
		}
		left -= needs
		if left > 0 {
			row.Pad(1)
			left--
		}
	}
	row.Pad(left)
	return row.String()
}

// lines are speed and wind, the arrival, and what is to be minded.
func (d *drawing) lines(rows int) []string {
	all := []string{d.speedLine(), d.arrivalLine(), d.mindLine()}
	return all[:min(rows, len(all))]
}

func (d *drawing) speedLine() string {
	t, g, w := d.theme, d.Groundspeed, d.Wind
	sum := phrase{t.Value, "last " + frame.Clean(g.Sum)}
	if g.Sum == "" {
		sum = phrase{t.Muted, "no passing yet"}
	}
	var forecast []phrase
	if w.Source != "forecast" {
		forecast = []phrase{{t.Muted, "forecast " + say.Wind(w.ForecastFrom, w.ForecastKt)}}
	}
	wind := fmt.Sprintf("%s ±%.0f %s", say.Wind(w.FromTrue, w.SpeedKt), w.SigmaKt, frame.Clean(w.Source))
	return d.line(d.width, []phrase{{t.Label, "SPEED"}, {t.Value, say.Knots(g.UsedKt)}}, []phrase{sum},
		[]phrase{{t.Label, "WIND"}, {t.Estimate, wind}}, []phrase{{t.Muted, "planned " + say.Knots(g.PlannedKt)}}, forecast)
}

func (d *drawing) arrivalLine() string {
	t, to := d.theme, d.Destination
	if to == nil {
		return d.line(d.width, []phrase{{t.Label, "ARRIVAL"}, {t.Muted, "not reckoned"}})
	}
	held := say.Long(to.ReserveHeldMinutes) + " of " + say.Long(to.ReserveMinutes)
	reserve := phrase{t.Good, "reserve " + held}
	if to.ReserveHeldMinutes < to.ReserveMinutes {
		reserve = phrase{t.Warning, "RESERVE SHORT: " + held}
	}
	return d.line(d.width,
		[]phrase{
			{t.Label, "ARRIVAL"},
			{t.Value, frame.Clean(to.Point) + " " + say.Time(to.ETA)},
			{t.Estimate, say.PlusMinus(to.ETASigmaSeconds)},
			{t.Value, say.Against(to.ETA.Sub(to.Planned).Seconds())},
		},
		[]phrase{reserve, {t.Value, "with " + say.Amount(to.Fuel) + " " + say.Unit(d.Tanks.Unit)}})
}

// mindLine is a hold, else the first caution, else daylight, altimeter and tanks.
func (d *drawing) mindLine() string {
	if d.Holding != nil {
		hold := say.Named("HOLDING", frame.Clean(d.Holding.Point)) + " for " + say.Between(d.Holding.Since, d.At)
		var leave, by []phrase
		if at := d.Holding.Leave; at != nil {
			leave = []phrase{{d.theme.Value, "leave " + say.Time(*at)}}
		}
		if at := d.Holding.LeaveBy; at != nil {
			by = []phrase{{d.theme.Muted, "for the reserve by " + say.Minute(*at)}}
		}
		return d.line(d.width, []phrase{{d.theme.Caution, hold}}, leave, by, []phrase{{d.theme.Muted, "unhold ends it"}})
	}
	if c := d.Bearing; c != nil && !c.Done && c.Problem == "" {
		return d.line(d.width, []phrase{{d.theme.Label, "BEARING CHECK"}, {d.theme.Headline, frame.Clean(c.Beacon) + " " + say.Span(c.Seconds)}},
			[]phrase{{d.theme.Value, "stop at " + say.Degrees(c.StopRelative) + " on the radio screen"}})
	}
	for _, notice := range d.Notices {
		if notice.Severity == "caution" {
			return d.line(d.width, []phrase{{d.theme.Caution, words.Cut("CAUTION "+frame.Clean(notice.Text), d.width-3)}})
		}
	}
	if c := d.Crossing; c != nil {
		return d.line(d.width, []phrase{{d.theme.Value, words.Cut(frame.Clean(words.Wanted(c, d.Descent)), d.width-3)}})
	}
	tanks := []phrase{{d.theme.Label, "TANKS"}}
	for _, tank := range d.Tanks.Tanks {
		tanks = append(tanks, phrase{d.theme.Value, frame.Clean(tank.Name) + " " + say.Amount(tank.Quantity)})
	}
	var apart []phrase
	if d.Tanks.MaxImbalance != nil {
		apart = []phrase{{d.theme.Muted, "apart " + say.Amount(d.Tanks.Imbalance) + " of " + say.Amount(*d.Tanks.MaxImbalance)}}
	}
	return d.line(d.width, d.daylight(), []phrase{{d.theme.Label, "QNH"}, {d.theme.Value, fmt.Sprintf("%.0f", d.Altimetry.QNH)}}, tanks, apart)
}

func (d *drawing) daylight() []phrase {
	t := d.theme
	label := phrase{t.Label, "DARK"}
	if d.Destination == nil || d.Destination.BeforeDarkMinutes == nil {
		return []phrase{label, {t.Muted, say.Unknown}}
	}
	if dark := *d.Destination.BeforeDarkMinutes; dark < 0 {
		return []phrase{label, {t.Warning, say.Long(-dark) + " BEFORE ARRIVAL"}}
	}
	if sunset := d.Destination.BeforeSunsetMinutes; sunset != nil && *sunset < 0 {
		return []phrase{{t.Label, "SUNSET"}, {t.Caution, say.Long(-*sunset) + " before arrival"}}
	}
	return []phrase{label, {t.Good, say.Long(*d.Destination.BeforeDarkMinutes) + " after arrival"}}
}

func ofCount(n, of int) string { return fmt.Sprintf("%d of %d", n, of) }
