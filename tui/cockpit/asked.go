package cockpit

import (
	"fmt"
	"strings"
	"time"

	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// shownFor is how long the working of an answer stays, in flight time.
const shownFor = 5 * time.Minute

// asked is the open question with its figures or, without one, what became of the last.
func (d *drawing) asked(size screen.Size) []string {
	most := max(2, min(size.Height/3, 12))
	switch {
	case d.Seat.Question != nil:
		return d.questionRows(most)
	case d.Seat.Landing != "":
		return []string{"", d.title(d.width, "LAND", d.value("at "+frame.Clean(d.Seat.Landing)+", while you are near it: "), frame.Cell{Text: "space", Style: d.theme.Key}, d.value(" on landed"))}
	case d.Seat.Marked != nil:
		return d.markedRows(most)
	case !d.Seat.HandsOn:
		return []string{"", d.title(d.width, "HANDS OFF", d.value("the program flies and logs; "), frame.Cell{Text: "h", Style: d.theme.Key}, d.value(" takes over"))}
	default:
		return []string{
			"", d.title(d.width, "YOU FLY", d.value("arrows steer and climb, enter sets, p passing, t tank, space what is due")),
		}
	}
}

// points is the score so far.
func (d *drawing) points() string {
	if d.Seat.MostPoints == 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d points", d.Seat.Points, d.Seat.MostPoints)
}

func (d *drawing) questionRows(most int) []string {
	q := d.Seat.Question
	rows := []string{
		"",
		frame.Line(d.width, frame.Cell{Text: " ASKED ", Style: d.theme.Due}, frame.Cell{Text: " " + frame.Clean(q.Text), Style: d.theme.NextAct}),
	}
	given := make([]string, len(q.Given))
	for i, g := range q.Given {
		given[i] = g[0] + " " + g[1]
	}
	for _, line := range frame.Wrap(frame.Clean(strings.Join(given, " · ")), max(1, d.width-4)) {
		rows = append(rows, frame.Line(d.width, d.value("   "+line)))
	}
	if q.Quick {
		return append(rows[:min(len(rows), most-1)], d.quickRows()...)
	}
	keys := frame.Line(d.width, frame.Cell{Text: " enter", Style: d.theme.Key}, d.label(" answer, as "+frame.Clean(q.Example)+", or be shown   "), d.label(d.points()), d.label(waiting(q.Waiting)))
	return append(rows[:min(len(rows), most)], keys)
}

// quickRows are how the quick check goes: the answer before, and which figure of how many this is. The line that takes the answer lies over
// the last row.
func (d *drawing) quickRows() []string {
	check := d.Seat.Check
	count := fmt.Sprintf(" figure %d of %d", check.Asked+1, check.Count)
	before := frame.Line(d.width, d.label(count))
	if m := d.Seat.Marked; m != nil && m.Quick && check.Asked > 0 {
		cells := []frame.Cell{
			d.label(fmt.Sprintf("%s, %d right; before ", count, check.Right)),
			{Text: strings.ToUpper(m.Outcome), Style: d.outcomeRole(m.Outcome)},
			d.label(" in " + say.Span(m.Seconds)),
		}
		if len(m.Comment) > 0 {
			cells = append(cells, d.value(": "+frame.Clean(m.Comment[0])))
		}
		before = frame.Line(d.width, cells...)
	}
	keys := frame.Line(d.width, frame.Cell{Text: " enter", Style: d.theme.Key}, d.label(" answer, empty gives up   "),
		frame.Cell{Text: "k", Style: d.theme.Key}, d.label(" ends the check"))
	return []string{before, keys}
}

// checkRows sum up a quick check that is over.
func (d *drawing) checkRows() []string {
	c := d.Seat.Check
	return []string{"", d.title(d.width, "CHECK",
		d.value(fmt.Sprintf("%d of %d right in %s; the truth is told when the flight is over", c.Right, c.Asked, say.Span(c.Seconds))))}
}

func (d *drawing) outcomeRole(outcome string) theme.Role {
	switch outcome {
	case "right", "right, but slow":
		return d.theme.Good
	case "wrong":
		return d.theme.Warning
	}
	return d.theme.Caution
}

// waiting says that there is more to be asked.
func waiting(more int) string {
	if more == 0 {
		return ""
	}
	return fmt.Sprintf("   %d more waiting", more)
}

func (d *drawing) markedRows(most int) []string {
	m := d.Seat.Marked
	if m.Quick {
		return d.checkRows()
	}
	rows := []string{
		"",
		frame.Line(d.width, frame.Cell{Text: " " + strings.ToUpper(m.Outcome) + " ", Style: d.outcomeRole(m.Outcome)}, d.value(frame.Clean(m.Text)+"  "), d.label(d.points())),
	}
	if d.At.Sub(m.At) > shownFor {
		return rows
	}
	for _, text := range append(append([]string{}, m.Comment...), m.Steps...) {
		for _, line := range frame.Wrap(frame.Clean(text), max(1, d.width-4)) {
			rows = append(rows, frame.Line(d.width, d.value("   "+line)))
		}
	}
	return rows[:min(len(rows), most+1)]
}
