package radio

import (
	"fmt"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	width  int
	marked int
}

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	if len(snapshot.Radio) == 0 {
		return frame.Notice("There are no receivers.", size.Width, size.Height)
	}
	d := drawing{Snapshot: snapshot, theme: t, width: size.Width, marked: s.index(snapshot)}
	height := size.Height
	var rows []string
	if height >= 6 {
		rows = append(rows, d.title())
	}
	rows = append(rows, d.check(height)...)
	if grid, ok := gridOf(screen.Size{Width: size.Width, Height: height - len(rows)}, len(snapshot.Radio)); ok {
		rows = append(rows, d.cards(grid)...)
	} else {
		rows = append(rows, d.lines(height-len(rows)-min(leastSteps, height/3))...)
	}
	return frame.Block(append(rows, d.stepRows(height-len(rows))...), size.Width, height)
}

// title says what the readings below are.
func (d *drawing) title() string {
	l := newLine(d.width, 1)
	l.add("RECEIVERS", d.theme.Title)
	text := " and what they should show"
	if d.Position != nil && d.Leg.From != "" {
		text = fmt.Sprintf(" and what they should show here, %s from %s", say.Miles(d.Position.AfterNM), frame.Clean(d.Leg.From))
	}
	l.add(text, d.theme.Label)
	l.x--
	if tuned := d.Radio[d.marked].Tuned; tuned != nil && tuned.WingTip != nil && tuned.WingTip.InSeconds != nil {
		shown := say.Degrees(tuned.WingTip.Relative)
		if tuned.WingTip.Radial != nil {
			shown = "radial " + say.Degrees(*tuned.WingTip.Radial)
		}
		l.add(", "+frame.Clean(tuned.Beacon)+" abeam, "+shown+", in "+say.Span(*tuned.WingTip.InSeconds), d.theme.Estimate)
	}
	return l.Row()
}

// Cells and rows of a card.
const (
	leastCardWidth  = 54
	leastCardHeight = 12
	largeCardWidth  = 76
	largeCardHeight = 17
	leastSteps      = 5
)

// grid is how cards are arranged.
type grid struct {
	columns, rows, height int
	large                 bool // with five-row digits
}

// gridOf arranges cards as evenly as they go; ok is false where they have no room beside the list of steps.
func gridOf(size screen.Size, cards int) (grid, bool) {
	columns := min(size.Width/leastCardWidth, cards)
	if columns < 2 {
		return grid{}, false
	}
	g := grid{rows: (cards + columns - 1) / columns}
	g.columns = (cards + g.rows - 1) / g.rows
	room := (size.Height - leastSteps) / g.rows
	g.large = room >= largeCardHeight && size.Width/g.columns >= largeCardWidth
	g.height = min(leastCardHeight+1, room)
	if g.large {
		g.height = largeCardHeight
	}
	return g, room >= leastCardHeight
}

// lines are the receivers one below the other in at most so many rows, those around the mark if not all fit.
func (d *drawing) lines(rows int) []string {
	var all []string
	marked, end := 0, 0
	for i, r := range d.Radio {
		if i == d.marked {
			marked = len(all)
		}
		all = append(all, d.receiver(r, i == d.marked)...)
		if i == d.marked {
			end = len(all) - 1
		}
	}
	if aired := d.aired(); len(aired) <= rows {
		return aired
	}
	first := frame.Window(len(all), rows, (marked+end)/2)
	first = min(first, marked)
	return all[first:min(first+max(rows, 0), len(all))]
}

// aired are the lines of all receivers with a blank row after each.
func (d *drawing) aired() []string {
	var rows []string
	for i, r := range d.Radio {
		rows = append(append(rows, d.receiver(r, i == d.marked)...), "")
	}
	return rows
}

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
			"enter twice, at " + shown + ", ends it", "began at " + say.Degrees(c.FirstRelative) + ", " + say.Time(c.StartedAt), expected,
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
