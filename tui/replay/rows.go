package replay

import (
	"fmt"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// when reads a time.
func when(line string, now time.Time) (time.Time, error) { return entry.When(line, now) }

// roomForTimes is the height from which the time-line has a row of times and one of its own for mistakes and remarks.
const roomForTimes = 30

// Rows draws what turned out, the time-line and the moment that was last. How many rows it takes depends on the size alone, so that the
// screen above stands still.
func (l *Line) Rows(s flight.Snapshot, width, height int, t theme.Theme) []string {
	tall := height >= roomForTimes
	rows := l.turnedRows(s, width, tall, t)
	if l.asking {
		rows = l.askRows(width, len(rows), t)
	}
	if tall {
		rows = append(rows, l.timesRow(width, t))
	}
	rows = append(rows, l.lineRow(s, width, tall, t))
	if tall {
		rows = append(rows, l.aboveRow(s, width, t))
	}
	return append(rows, l.lastRow(s, width, t))
}

// roomForAll is the width at which everything that turned out stands in one row.
const roomForAll = 160

// turnedRows say what turned out of the moment: in full, on two rows where one is too short, or on the one that there is in short.
func (l *Line) turnedRows(s flight.Snapshot, width int, tall bool, t theme.Theme) []string {
	const label = "AS IT TURNED OUT"
	turned := l.flight.Turned(s)
	texts := make([]string, len(turned))
	length := 1 + len(label) + 1
	for i, said := range turned {
		texts[i] = frame.Clean(said.Long)
		length += 2 + frame.Width(texts[i])
	}
	if !tall && length > width {
		for i, said := range turned {
			texts[i] = frame.Clean(said.Short)
		}
	}
	strips := []*frame.Strip{frame.NewStrip(width)}
	if tall && width < roomForAll {
		strips = append(strips, frame.NewStrip(width))
	}
	strips[0].Put(1, label, t.Label)
	if len(texts) == 0 {
		strips[0].Put(1+len(label)+2, "nothing more of this moment", t.Muted)
	}
	row, x := 0, 1+len(label)+2
	for _, text := range texts {
		if x+frame.Width(text) > width && row+1 < len(strips) {
			row, x = row+1, 1+len(label)+2
		}
		if strips[row].Put(x, text, t.Value) {
			x += frame.Width(text) + 2
		}
	}
	rows := make([]string, len(strips))
	for i, one := range strips {
		rows[i] = one.Row()
	}
	return rows
}

// column is where a time stands on a time-line of a width.
func (l *Line) column(at time.Time, width int) int {
	from, to := l.flight.Ends()
	length := to.Sub(from)
	if length <= 0 || width <= 1 {
		return 0
	}
	share := float64(at.Sub(from)) / float64(length)
	return max(0, min(int(share*float64(width-1)+0.5), width-1))
}

const margin = 1

// timesRow names round times above the line.
func (l *Line) timesRow(width int, t theme.Theme) string {
	row := frame.NewStrip(width)
	from, to := l.flight.Ends()
	step := 5 * time.Minute
	for _, longer := range []time.Duration{5, 10, 15, 30, 60, 120, 240, 480, 1440} {
		step = longer * time.Minute
		if l.column(from.Add(step), width-2*margin) >= 9 {
			break
		}
	}
	for at, n := from.Truncate(step).Add(step), 0; !at.After(to) && n < 200; at, n = at.Add(step), n+1 {
		row.Centre(margin+l.column(at, width-2*margin), say.Minute(at), t.Label)
	}
	return row.Row()
}

// lineRow is the whole flight with its entries; where there is one row only, mistakes and remarks stand among them.
func (l *Line) lineRow(s flight.Snapshot, width int, tall bool, t theme.Theme) string {
	row := frame.NewStrip(width)
	inner := max(width-2*margin, 0)
	now := margin + l.column(s.At, inner)
	row.Fill(margin, min(now, margin+inner), t.Glyphs().Horizontal, t.Value)
	row.Fill(now, margin+inner, t.Glyphs().Horizontal, t.Frame)
	row.Put(now, "#", t.Headline)
	moments := l.flight.Moments()
	if !tall {
		l.raise(row, s, width, t)
	}
	for _, kind := range []Kind{Passing, Entry} {
		for _, m := range moments {
			if m.Kind == kind && !l.hides(m, s) {
				row.Put(margin+l.column(m.At, inner), m.Mark, l.roleOf(m, s, t))
			}
		}
	}
	return row.Row()
}

func (l *Line) roleOf(m Moment, s flight.Snapshot, t theme.Theme) theme.Role {
	switch {
	case m.At.After(s.At):
		return t.Muted
	case m.Kind == Passing:
		return t.Title
	}
	return t.Value
}

// hides reports whether a moment is not to be seen while it is asked what to do: what is yet to come, and what was a mistake.
func (l *Line) hides(m Moment, s flight.Snapshot) bool {
	return l.asking && (m.At.After(s.At) || m.Kind == Mistake || m.Kind == Lesson)
}

// raised is the sign of what stands apart from the entries.
func raised(kind Kind, t theme.Theme) (sign string, role theme.Role) {
	switch kind {
	case Mistake:
		return "!", t.Warning
	case Remark:
		return "*", t.NextAct
	}
	return "", role
}

// aboveRow has the mistakes and the remarks.
func (l *Line) aboveRow(s flight.Snapshot, width int, t theme.Theme) string {
	row := frame.NewStrip(width)
	l.raise(row, s, width, t)
	return row.Row()
}

// raise puts the signs of what stands apart: remarks first, for somebody took the trouble.
func (l *Line) raise(row *frame.Strip, s flight.Snapshot, width int, t theme.Theme) {
	for _, kind := range []Kind{Remark, Mistake} {
		for _, m := range l.flight.Moments() {
			if sign, role := raised(m.Kind, t); m.Kind == kind && !l.hides(m, s) {
				row.Put(margin+l.column(m.At, width-2*margin), sign, role)
			}
		}
	}
}

// lastRow names the view and the moment that was last: a remark before all others.
func (l *Line) lastRow(s flight.Snapshot, width int, t theme.Theme) string {
	row := frame.NewStrip(width)
	view, role := "AS KNOWN THEN", t.Good
	if l.flight.Hindsight() {
		view, role = "HINDSIGHT", t.Caution
	}
	row.Put(1, view, role)
	var last *Moment
	entries, total := 0, 0
	for i, m := range l.flight.Moments() {
		if m.Kind == Entry || m.Kind == Passing {
			total++
		}
		if m.At.After(s.At) {
			continue
		}
		if m.Kind == Entry || m.Kind == Passing {
			entries++
		}
		if l.hides(m, s) {
			continue
		}
		const remembered = 30 * time.Second // how long a remark stands
		if m.Kind == Prompt || m.Kind == Lesson || last != nil && last.Kind == Remark && m.At.Sub(last.At) < remembered && s.At.Sub(last.At) < remembered {
			continue
		}
		last = &l.flight.Moments()[i]
	}
	count := fmt.Sprintf("%d of %d", entries, total)
	row.Put(16, count, t.Label)
	x := 16 + len(count) + 2
	if l.by > 0 {
		chosen := "by " + steps[l.by].name
		row.Put(x, chosen, t.Label)
		x += len(chosen) + 2
	}
	if last != nil {
		sign, marked := raised(last.Kind, t)
		if sign == "" {
			sign, marked = last.Mark, t.Value
		}
		text := say.Time(last.At) + " " + sign + " " + frame.Clean(last.Text)
		row.Put(x, frame.Shorten(text, max(width-x-1, 0)), marked)
	}
	return row.Row()
}
