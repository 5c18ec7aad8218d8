package flying

import (
	"math"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
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
	all := []struct {
		figure
		share int // of 80 columns
	}{{d.steer(), 15}, {d.legClock(), 22}, {d.nextPoint(), 22}, {d.tankClock(), 21}}
	blocks := make([][]string, len(all))
	used := 0
	for i, f := range all {
		width := d.width * f.share / 80
		if i == len(all)-1 {
			width = d.width - used
		}
		used += width
		blocks[i] = d.figure(f.figure, width, rows)
	}
	return frame.Beside(blocks...)
}

func (d *drawing) figure(f figure, width, rows int) []string {
	const margin = 1
	inner := width - 2*margin
	drawn := []string{f.labelRole.Render(words.Cut(f.label, inner))}
	drawn = append(drawn, d.bigValue(f, inner, rows)...)
	for _, note := range f.notes {
		drawn = append(drawn, d.theme.Value.Render(words.Cut(note, inner)))
	}
	return frame.Block(indent(frame.Block(drawn, inner+margin, rows), margin), width, rows)
}

// bigValue draws the value as big as there is room, in the middle row as text where even the small digits are too wide.
func (d *drawing) bigValue(f figure, width, rows int) []string {
	const label, note = 1, 1
	for _, height := range []int{frame.BigLarge, frame.BigSmall} {
		for _, value := range []string{f.value, f.short} {
			if value != "" && height+label+note <= rows && frame.BigWidth(value, height) <= width {
				return dress(frame.Big(value, height, d.glyphs), f.role)
			}
		}
	}
	return []string{"", f.role.Render(words.Cut(f.value, width)), ""}
}

func (d *drawing) steer() figure {
	f := figure{label: "STEER °M", labelRole: d.theme.Label, value: "---", role: d.theme.Headline}
	if d.Steer.HeadingMagnetic == nil {
		f.notes = []string{"none now"}
		return f
	}
	f.value = words.Degrees(*d.Steer.HeadingMagnetic)
	if d.Steer.Drift != nil {
		f.notes = append(f.notes, "drift "+words.Side(*d.Steer.Drift, 0))
	}
	const worthSaying = 2.5
	if own := d.Steer.Steering; own != nil && math.Abs(turnBetween(*own, *d.Steer.HeadingMagnetic)) > worthSaying {
		f.notes = []string{"you steer " + words.Degrees(*own)}
	}
	f.notes = append(f.notes, "track "+words.DegreesOf(d.Steer.TrackMagnetic))
	if d.Steer.NextHeading != nil {
		f.notes = append(f.notes, "then "+words.Degrees(*d.Steer.NextHeading))
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
	planned := words.Span(d.Leg.PlannedMinutes*60) + " planned"
	if d.Phase == flight.Arrived {
		f.label, f.value, f.notes = "AIRBORNE", words.Elapsed(d.Clock.AirborneSeconds), []string{"blocks " + words.Elapsed(d.Clock.BlockSeconds)}
		if len(f.value) > len("07:20") {
			f.short = f.value[:len(f.value)-len(":20")]
		}
		return f
	}
	if d.Clock.LegSeconds == nil {
		f.notes = []string{planned}
		return f
	}
	f.value = words.Elapsed(d.Clock.LegSeconds)
	f.notes = []string{"of " + planned}
	if d.Leg.StartedAt != nil {
		f.notes = append(f.notes, "since "+words.Time(*d.Leg.StartedAt))
	}
	if d.Clock.AirborneSeconds != nil {
		f.notes = append(f.notes, "airborne "+words.Elapsed(d.Clock.AirborneSeconds))
	}
	return f
}

func (d *drawing) nextPoint() figure {
	f := figure{label: "NEXT POINT", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	if to := d.Destination; d.Phase == flight.Arrived && to != nil {
		f.label, f.value, f.short = "OVERHEAD "+frame.Clean(to.Point), to.ETA.UTC().Format("15:04:05"), to.ETA.UTC().Format("15:04")
		f.notes = []string{words.Against(to.ETA.Sub(to.Planned).Seconds())}
		return f
	}
	if d.Next == nil {
		f.notes = []string{"none ahead"}
		return f
	}
	f.label = "ETA " + frame.Clean(words.Named(d.Next.Point, d.Next.Name))
	if d.Clock.LegSeconds == nil {
		f.label += ", planned"
	}
	f.value, f.short = d.Next.ETA.UTC().Format("15:04:05"), d.Next.ETA.UTC().Format("15:04")
	f.notes = []string{
		words.In(d.At, d.Next.ETA) + " " + words.PlusMinus(d.Next.ETASigmaSeconds) + " " + words.Signed(d.Next.DifferenceSeconds),
		words.Against(d.Next.DifferenceSeconds) + ", " + words.Miles(d.Next.ToGoNM) + " to go",
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
		onIt = "on it " + words.Between(*d.Tanks.SelectedSince, d.At)
	}
	change := d.Tanks.NextChange
	if change == nil {
		f.notes = []string{"no change to come", onIt}
		return f
	}
	f.value = words.Between(d.At, change.At)
	f.notes = []string{"to " + frame.Clean(change.To) + " " + words.Time(change.At), onIt, "imbalance then " + words.Quantity(change.ImbalanceThen)}
	if change.At.Before(d.At) {
		f.value, f.label, f.labelRole = "+"+f.value, f.label+" LATE", d.theme.Late
	}
	return f
}
