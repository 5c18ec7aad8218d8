package flying

import (
	"fmt"

	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// phrase is a piece of a line in its role; a line drops those at its end that have no room.
type phrase struct {
	role theme.Role
	text string
}

func (d *drawing) line(phrases ...phrase) string {
	s := strip.New(d.width - 1)
	x := 1
	for _, p := range phrases {
		if p.text == "" {
			continue
		}
		if !s.Put(x, p.text, p.role) {
			break
		}
		x += frame.Width(p.text) + 1
	}
	return s.Row()
}

// lines are speed and wind, the arrival, and what is to be minded.
func (d *drawing) lines(rows int) []string {
	all := []string{d.speedLine(), d.arrivalLine(), d.mindLine()}
	return all[:min(rows, len(all))]
}

func (d *drawing) speedLine() string {
	t, g, w := d.theme, d.Groundspeed, d.Wind
	speed := words.Knots(g.UsedKt)
	sum := "no passing yet"
	if g.Sum != "" {
		sum = frame.Clean(g.Sum)
	}
	wind := fmt.Sprintf("%s ±%.0f %s", words.Wind(w.FromTrue, w.SpeedKt), w.SigmaKt, frame.Clean(w.Source))
	forecast := ""
	if w.Source != "forecast" {
		forecast = "forecast " + words.Wind(w.ForecastFr, w.ForecastKt)
	}
	return d.line(phrase{t.Label, "SPEED"}, phrase{t.Value, speed}, phrase{t.Muted, "planned " + words.Knots(g.PlannedKt)},
		phrase{t.Value, " " + sum}, phrase{t.Label, " WIND"}, phrase{t.Estimate, wind}, phrase{t.Muted, forecast})
}

func (d *drawing) arrivalLine() string {
	t, to := d.theme, d.Destination
	if to == nil {
		return d.line(phrase{t.Label, "ARRIVAL"}, phrase{t.Muted, "not reckoned"})
	}
	reserve, role := "reserve "+words.Long(to.ReserveHeldMinutes)+" of "+words.Long(to.ReserveMinutes), t.Good
	if to.ReserveHeldMinutes < to.ReserveMinutes {
		reserve, role = "RESERVE SHORT: "+words.Long(to.ReserveHeldMinutes)+" of "+words.Long(to.ReserveMinutes), t.Warning
	}
	return d.line(phrase{t.Label, "ARRIVAL"}, phrase{t.Value, frame.Clean(to.Point) + " " + words.Time(to.ETA)},
		phrase{t.Estimate, words.PlusMinus(to.ETASigmaSeconds)}, phrase{t.Value, words.Against(to.ETA.Sub(to.Planned).Seconds())},
		phrase{t.Label, " FUEL"}, phrase{t.Value, words.Quantity(to.Fuel) + " " + words.Unit(d.Tanks.Unit)}, phrase{role, reserve})
}

// mindLine is the first caution, else daylight and altimeter.
func (d *drawing) mindLine() string {
	for _, notice := range d.Notices {
		if notice.Severity == "caution" {
			return d.line(phrase{d.theme.Caution, cut("CAUTION "+frame.Clean(notice.Text), d.width-3)})
		}
	}
	phrases := append(d.daylight(), phrase{d.theme.Label, " QNH"}, phrase{d.theme.Value, fmt.Sprintf("%.0f", d.Altimetry.QNH)},
		phrase{d.theme.Label, " TANKS"})
	for _, tank := range d.Tanks.Tanks {
		phrases = append(phrases, phrase{d.theme.Value, frame.Clean(tank.Name) + " " + words.Quantity(tank.Quantity)})
	}
	if d.Tanks.MaxImbalance != nil {
		phrases = append(phrases, phrase{d.theme.Muted, "apart " + words.Quantity(d.Tanks.Imbalance) + " of " + words.Quantity(*d.Tanks.MaxImbalance)})
	}
	return d.line(phrases...)
}

func (d *drawing) daylight() []phrase {
	t := d.theme
	label := phrase{t.Label, "DARK"}
	if d.Destination == nil || d.Destination.BeforeDarkMinutes == nil {
		return []phrase{label, {t.Muted, words.Unknown}}
	}
	if dark := *d.Destination.BeforeDarkMinutes; dark < 0 {
		return []phrase{label, {t.Warning, words.Long(-dark) + " BEFORE ARRIVAL"}}
	}
	if sunset := d.Destination.BeforeSunsetMinutes; sunset != nil && *sunset < 0 {
		return []phrase{{t.Label, "SUNSET"}, {t.Caution, words.Long(-*sunset) + " before arrival"}}
	}
	return []phrase{label, {t.Good, words.Long(*d.Destination.BeforeDarkMinutes) + " after arrival"}}
}

func ofCount(n, of int) string { return fmt.Sprintf("%d of %d", n, of) }
