package flying

import (
	"math"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// figure is one of the four great values: a label, the value in big digits, and what belongs to it.
type figure struct {
	label     string
	labelRole theme.Role
	value     string // in characters that frame.Big can draw
	short     string // in place of the value where that is too wide; empty: none
	role      theme.Role
	notes     []string
}

// figures draws heading, leg clock, next point and tank clock side by side.
func (d *drawing) figures(rows int) []string {
	const margin = 1
	all := [...]struct {
		figure
		share int // of 80 columns
		lines []phrase
		width int
	}{{figure: d.steer(), share: 15}, {figure: d.legClock(), share: 22}, {figure: d.nextPoint(), share: 22}, {figure: d.tankClock(), share: 21}}
	left := d.width
	for i := range all {
		f := &all[i]
		f.width = d.width * f.share / 80
		if i == len(all)-1 {
			f.width = left
		}
		left -= f.width
		f.lines = d.figure(f.figure, f.width-2*margin, rows)
	}
	drawn := make([]string, rows)
	for n := range drawn {
		var row frame.Row
		row.Grow(2 * d.width)
		for i := range all {
			f := &all[i]
			row.Pad(margin)
			cells := 0
			if n < len(f.lines) {
				var text string
				text, cells = frame.Cut(f.lines[n].text, f.width-2*margin)
				row.Add(text, f.lines[n].role)
			}
			row.Pad(f.width - margin - cells)
		}
		drawn[n] = row.String()
	}
	return drawn
}

// figure is a label, the value, and the notes below it.
func (d *drawing) figure(f figure, width, rows int) []phrase {
	lines := make([]phrase, 0, rows+len(f.notes))
	lines = append(lines, phrase{f.labelRole, f.label})
	lines = d.bigValue(lines, f, width, rows)
	for _, note := range f.notes {
		lines = append(lines, phrase{d.theme.Value, note})
	}
	return lines
}

// bigValue adds the value as big as there is room, in the middle row as text where even the small digits are too wide.
func (d *drawing) bigValue(lines []phrase, f figure, width, rows int) []phrase {
	const label, note = 1, 1
	for _, height := range [...]int{frame.BigLarge, frame.BigSmall} {
		for _, value := range [...]string{f.value, f.short} {
			if value == "" || height+label+note > rows || frame.BigWidth(value, height) > width {
				continue
			}
			for _, digits := range frame.Big(value, height, d.glyphs) {
				lines = append(lines, phrase{f.role, digits})
			}
			return lines
		}
	}
	return append(lines, phrase{}, phrase{f.role, f.value}, phrase{})
}

func (d *drawing) steer() figure {
	f := figure{label: "STEER °M", labelRole: d.theme.Label, value: "---", role: d.theme.Headline}
	if d.Steer.HeadingMagnetic == nil {
		f.notes = []string{"none now"}
		return f
	}
	f.value = say.Degrees(*d.Steer.HeadingMagnetic)
	if d.Steer.Drift != nil {
		f.notes = append(f.notes, "drift "+say.Side(*d.Steer.Drift, 0))
	}
	const worthSaying = 2.5
	if own := d.Steer.Steering; own != nil && math.Abs(turnBetween(*own, *d.Steer.HeadingMagnetic)) > worthSaying {
		f.notes = []string{"you steer " + say.Degrees(*own)}
	}
	f.notes = append(f.notes, "track "+say.DegreesOf(d.Steer.TrackMagnetic))
	if d.Steer.NextHeading != nil {
		f.notes = append(f.notes, "then "+say.Degrees(*d.Steer.NextHeading))
	}
	return f
}

// turnBetween is the smaller way from one direction to another, right positive.
func turnBetween(from, to float64) float64 { return math.Remainder(to-from, 360) }

func (d *drawing) legClock() figure {
	label := "LEG CLOCK"
	if d.Leg.To != "" {
		label = "LEG " + frame.Clean(d.Leg.From) + " to " + frame.Clean(d.Leg.To)
	}
	f := figure{label: label, labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	planned := say.Span(d.Leg.PlannedMinutes*60) + " planned"
	if d.Phase == flight.Arrived {
		f.label, f.value, f.notes = "AIRBORNE", say.Elapsed(d.Clock.AirborneSeconds), []string{"blocks " + say.Elapsed(d.Clock.BlockSeconds)}
		if len(f.value) > len("07:20") {
			f.short = f.value[:len(f.value)-len(":20")]
		}
		return f
	}
	if d.Clock.LegSeconds == nil {
		f.notes = []string{planned}
		return f
	}
	f.value = say.Elapsed(d.Clock.LegSeconds)
	f.notes = []string{"of " + planned}
	if d.Leg.StartedAt != nil {
		f.notes = append(f.notes, "since "+say.Time(*d.Leg.StartedAt))
	}
	if d.Clock.AirborneSeconds != nil {
		f.notes = append(f.notes, "airborne "+say.Elapsed(d.Clock.AirborneSeconds))
	}
	return f
}

func (d *drawing) nextPoint() figure {
	f := figure{label: "NEXT POINT", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	if to := d.Destination; d.Phase == flight.Arrived && to != nil {
		f.label, f.value, f.short = "OVERHEAD "+frame.Clean(to.Point), to.ETA.UTC().Format("15:04:05"), to.ETA.UTC().Format("15:04")
		f.notes = []string{say.Against(to.ETA.Sub(to.Planned).Seconds())}
		return f
	}
	if d.Next == nil {
		f.notes = []string{"none ahead"}
		return f
	}
	f.label = "ETA " + frame.Clean(say.Named(d.Next.Point, d.Next.Name))
	if d.Clock.LegSeconds == nil {
		f.label += ", planned"
	}
	f.value, f.short = d.Next.ETA.UTC().Format("15:04:05"), d.Next.ETA.UTC().Format("15:04")
	if overdue := d.At.Sub(d.Next.ETA); overdue > time.Minute && d.Clock.LegSeconds != nil {
		f.notes = []string{"OVERDUE by " + say.Span(overdue.Seconds()) + " " + say.PlusMinus(d.Next.ETASigmaSeconds), "passed? p logs it"}
		return f
	}
	f.notes = []string{
		say.In(d.At, d.Next.ETA) + " " + say.PlusMinus(d.Next.ETASigmaSeconds) + " " + say.Signed(d.Next.DifferenceSeconds),
		say.Against(d.Next.DifferenceSeconds) + ", " + say.Miles(d.Next.ToGoNM) + " to go",
	}
	return f
}

func (d *drawing) tankClock() figure {
	f := figure{label: "TANK " + frame.Clean(d.Tanks.Selected), labelRole: d.theme.Tank, value: "--:--", role: d.theme.Headline}
	if d.Tanks.Selected == "" {
		f.label = "TANK none selected"
	}
	onIt := ""
	if d.Tanks.SelectedSince != nil {
		onIt = "on it " + say.Between(*d.Tanks.SelectedSince, d.At)
	}
	change := d.Tanks.NextChange
	if change == nil {
		f.notes = []string{"no change to come", onIt}
		return f
	}
	f.value = say.Between(d.At, change.At)
	f.notes = []string{"to " + frame.Clean(change.To) + " " + say.Time(change.At), onIt, "imbalance then " + say.Amount(change.ImbalanceThen)}
	if change.At.Before(d.At) {
		f.value, f.label, f.labelRole = "+"+f.value, f.label+" LATE", d.theme.Late
	}
	return f
}
