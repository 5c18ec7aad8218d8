package radio

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
)

// Rows of the bearing check: with its stopwatch in big digits, and where there is little room.
const (
	checkRows      = 1 + frame.BigSmall
	roomForCheck   = 15
	roomForShorter = 8
)

// check is the bearing check that is being made, or the last one of this leg: its stopwatch, then what it says.
func (d *drawing) check(height int) []string {
	c := d.Bearing
	if c == nil || height < roomForShorter {
		return nil
	}
	head, lines := d.checkWords(c)
	l := newLine(d.width, 1)
	l.add("BEARING CHECK", d.theme.Title)
	l.add(say.Named(frame.Clean(c.Beacon), frame.Clean(c.Name)), d.theme.Headline)
	l.add(" "+head, d.theme.Value)
	rows := []string{l.Row()}
	if height < roomForCheck {
		return append(rows, d.theme.Value.Render(frame.Fit("  "+say.Span(c.Seconds)+"  "+lines[0], d.width)))
	}
	for i, digits := range frame.Big(say.Span(c.Seconds), frame.BigSmall, d.theme.Glyphs()) {
		cells := []frame.Cell{{Text: "  "}, {Text: digits, Style: d.theme.Headline}, {Text: "   "}}
		if i < len(lines) {
			role := d.theme.Value
			if i == len(lines)-1 {
				role = d.theme.Muted
			}
			cells = append(cells, frame.Cell{Text: lines[i], Style: role})
		}
		rows = append(rows, frame.Line(d.width, cells...))
	}
	return rows
}

// checkWords are what is said behind a check's name and beside its stopwatch: three lines, the most important first.
func (d *drawing) checkWords(c *flight.BearingCheckNow) (head string, lines []string) {
	shown := say.Degrees(c.StopRelative)
	if c.StopRadial != nil {
		shown = "radial " + say.Degrees(*c.StopRadial) + ", relative " + shown
	}
	switch {
	case c.Problem != "":
		return "", []string{frame.Clean(c.Problem)}
	case !c.Done:
		expected := fmt.Sprintf("calculated %s away", say.Miles(c.ReckonedNM))
		if c.ExpectedSeconds != nil {
			expected += ": about " + say.Span(*c.ExpectedSeconds)
		}
		return "hold heading and airspeed", []string{
			"enter, at " + shown + ", ends it", "began at " + say.Degrees(c.FirstRelative) + ", " + say.Time(c.StartedAt), expected,
		}
	case c.Result == nil:
		return "", []string{say.Unknown}
	}
	r := c.Result
	first := fmt.Sprintf("exactly %s, %s, in still air", say.Span(60*r.MinutesExact), say.Miles(r.DistanceExactNM))
	if r.MinutesRule != nil {
		first = fmt.Sprintf("by the rule %s, %s; %s", say.Span(60**r.MinutesRule), say.Miles(*r.DistanceRuleNM), first)
	}
	wind := "the wind in use makes no sense of it"
	if r.DistanceInWindNM != nil {
		wind = "by the wind in use " + say.Miles(*r.DistanceInWindNM)
		if r.MinutesInWind != nil {
			wind += fmt.Sprintf(", %s, steer %s", say.Span(60**r.MinutesInWind), say.DegreesOf(r.HeadingMagnetic))
		}
	}
	last := fmt.Sprintf("calculated %s when it began; a degree misread makes a difference", say.Miles(c.ReckonedNM))
	if len(c.Notes) > 0 {
		last = frame.Clean(c.Notes[0])
	}
	return frame.Clean(r.Sum), []string{first, wind, last}
}
