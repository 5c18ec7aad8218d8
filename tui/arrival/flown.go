package arrival

import (
	"fmt"
	"math"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Screen is the flying screen: as it is until the flight has arrived, then what the flight was in place of clocks that stand.
type Screen struct {
	screen.Screen
	log string
}

// Over puts what the flight was over the flying screen once it has arrived; log is the file that the flight is in, empty where there is none.
func Over(flying screen.Screen, log string) *Screen { return &Screen{flying, log} }

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	if snapshot.Flown == nil {
		return s.Screen.Rows(snapshot, size, t)
	}
	d := drawing{snapshot, t, size.Width}
	rows := []string{d.title()}
	facts := d.facts(s.log)
	if left := size.Height - len(rows) - len(facts); left >= frame.BigSmall+3 {
		height := frame.BigSmall
		if left >= frame.BigLarge+3 && size.Width >= columns*largeColumn {
			height = frame.BigLarge
		}
		rows = append(append(append(rows, ""), d.figures(height)...), "")
	}
	return frame.Block(append(rows, facts...), size.Width, size.Height)
}

type drawing struct {
	flight.Snapshot
	theme theme.Theme
	width int
}

// title says where the flight arrived, when, and what is still to be recorded.
func (d *drawing) title() string {
	text := "ARRIVED"
	if to := d.Destination; to != nil {
		overhead := ", overhead " + say.Time(to.ETA)
		point := frame.Clean(to.Point)
		named := text + " " + say.Named(point, frame.Clean(to.Name)) + overhead
		text = frame.Fitting(max(0, d.width-1), named+", "+say.Against(say.Apart(to.Planned, to.ETA).Seconds()), named, text+" "+point+overhead)
	}
	return frame.Line(d.width, frame.Cell{Text: " " + text, Style: d.theme.Title})
}

// The figures stand where those of the flight stood.
const (
	columns     = 3
	smallColumn = 25
	largeColumn = 44
)

// figures are the block time, the airborne time and the fuel used, in big digits.
func (d *drawing) figures(height int) []string {
	column := smallColumn
	if height == frame.BigLarge {
		column = largeColumn
	}
	used := say.Or(d.Flown.FuelUsed, say.Amount)
	shown := []struct{ label, figure string }{
		{"BLOCK", say.Elapsed(d.Clock.BlockSeconds)},
		{"AIRBORNE", say.Elapsed(d.Clock.AirborneSeconds)},
		{"FUEL USED, " + say.Unit(d.Tanks.Unit), used},
	}
	rows := make([][]frame.Cell, height+1)
	for _, s := range shown {
		rows[0] = append(rows[0], frame.Cell{Text: " " + s.label, Width: column, Style: d.theme.Label})
		figure := make([]string, height)
		if s.figure != say.Unknown {
			figure = frame.Big(s.figure, height, d.theme.Glyphs())
		}
		for i, row := range figure {
			rows[i+1] = append(rows[i+1], frame.Cell{Text: " " + row, Width: column, Style: d.theme.Headline})
		}
	}
	drawn := make([]string, len(rows))
	for i, cells := range rows {
		drawn[i] = frame.Line(d.width, cells...)
	}
	return drawn
}

// facts are what the flight was, what mattered most, and where it can be looked at again.
func (d *drawing) facts(log string) []string {
	const labelWidth = 11
	var rows []string
	add := func(label, text string) {
		if text == "" {
			return
		}
		for _, line := range frame.Wrap(frame.Clean(text), max(1, d.width-labelWidth-1)) {
			rows = append(rows, frame.Line(d.width, frame.Cell{Text: " " + label, Width: labelWidth, Style: d.theme.Label}, frame.Cell{Text: line, Style: d.theme.Value}))
			label = ""
		}
	}
	add("TIMES", fmt.Sprintf("block %s, airborne %s, %s", say.Elapsed(d.Clock.BlockSeconds), say.Elapsed(d.Clock.AirborneSeconds),
		say.Counted(d.Flown.Landings, "landing", "landings")))
	unit := " " + say.Unit(d.Tanks.Unit)
	usable := d.Tanks.TotalUsable
	if to := d.Destination; to != nil && to.Passed {
		usable = to.Fuel // by gauges it may be less
	}
	fuel := say.Amount(usable) + unit + " usable left, endurance " + say.Endurance(d.Tanks.EnduranceMinutes, d.Tanks.Endurance.At)
	if used := d.Flown.FuelUsed; used != nil {
		fuel = say.Amount(*used) + unit + " used, " + fuel
	}
	add("FUEL", fuel)
	add("LEG", d.most())
	add("TANKS", d.tanks())
	add("PROMPTS", d.late())
	if log != "" {
		add("LOG", log)
		add("DEBRIEF", "legclock debrief "+log)
	}
	return rows
}

// most is the leg whose time differed most from the planned.
func (d *drawing) most() string {
	leg := d.Flown.Mattered
	if leg == nil {
		return ""
	}
	than := "longer"
	switch {
	case leg.DifferenceSeconds == 0:
		return "every leg took as long as planned"
	case leg.DifferenceSeconds < 0:
		than = "less"
	}
	from := leg.From + " to "
	if leg.From == "" {
		from = "the diversion to "
	}
	return fmt.Sprintf("%s%s took %s %s than planned, at %s", from, leg.To, say.Span(math.Abs(leg.DifferenceSeconds)), than, say.Knots(leg.GroundspeedKt))
}

// tanks are how often the tank was changed, and the highest imbalance.
func (d *drawing) tanks() string {
	highest := d.Flown.HighestImbalance
	if highest == nil {
		return ""
	}
	text := say.Counted(len(d.Tanks.Made), "change", "changes") + ", highest imbalance " + say.Amount(*highest)
	if limit := d.Tanks.MaxImbalance; limit != nil {
		text += " of " + strings.TrimSuffix(say.Amount(*limit), ".0")
		if *highest > *limit {
			text += ": OVER THE LIMIT"
		}
	}
	return text
}

// late are the prompts that were answered, and the latest of them; which were never answered is for the debrief to say.
func (d *drawing) late() string {
	answered := say.Counted(d.Flown.AnsweredPrompts, "prompt", "prompts") + " answered"
	switch n := d.Flown.LatePrompts; {
	case d.Flown.AnsweredPrompts == 0:
		return "no prompt was answered"
	case n == 0:
		return answered + ", none late"
	default:
		return fmt.Sprintf("%s, %d late, at worst %s, by %s", answered, n, d.Flown.Latest, say.Span(d.Flown.LatestSeconds))
	}
}
