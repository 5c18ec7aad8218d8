package tanks

import (
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	flight.Snapshot
	theme  theme.Theme
	width  int
	hung   []flight.TankNow // from left to right
	marked int              // of them
}

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	hung := hanging(snapshot.Tanks.Tanks)
	if len(hung) == 0 {
		return frame.Notice("There are no tanks.", size.Width, size.Height)
	}
	d := drawing{Snapshot: snapshot, theme: t, width: size.Width, hung: hung, marked: s.index(snapshot, hung)}
	loud, beam := d.loud(), d.beam(size.Width)
	l := layoutOf(size, len(loud), len(beam), max(1, len(snapshot.Tanks.Made)+len(snapshot.Tanks.Planned)))

	var rows []string
	if l.head {
		rows = append(rows, d.head(l.facts == 0))
	}
	rows = append(rows, loud[:l.loud]...)
	rows = append(rows, d.upper(l)...)
	if l.beam > 0 {
		rows = append(rows, frame.Block(nil, size.Width, l.gap)...)
		rows = append(rows, beam...)
	}
	rows = append(rows, frame.Block(nil, size.Width, l.gap)...)
	rows = append(rows, frame.Block(d.changes(size.Width, l.changes), size.Width, l.changes)...)
	rows = frame.Block(rows, size.Width, size.Height)
	if l.legend {
		rows[size.Height-1] = legend.Row(s.live(snapshot, hung).named(hung[d.marked].Name), size.Width, t)
	}
	return rows
}

// upper is the picture with the facts beside it.
func (d *drawing) upper(l layout) []string {
	if l.facts == 0 {
		return d.picture(d.width, l.picture)
	}
	const gap = 2
	left := d.width - l.facts
	return frame.Beside(frame.Block(d.picture(left-gap, l.picture), left, l.picture), d.facts(l.facts, l.picture))
}

// head says which tank feeds and for how long, and, where nothing else does, when to change.
func (d *drawing) head(withChange bool) string {
	s := strip.New(d.width)
	if d.Tanks.Selected == "" {
		s.Put(1, " NO TANK IS SELECTED ", d.theme.Due)
	} else {
		s.Put(1, " "+strings.ToUpper(frame.Clean(d.Tanks.Selected))+" FEEDS ", d.theme.Tank)
	}
	if change := d.Tanks.NextChange; withChange && change != nil {
		state, role, left := d.change()
		text := frame.Clean(change.To) + " " + state + " " + left
		s.Put(d.width-1-frame.Width(text), text, role)
	}
	if since := d.Tanks.SelectedSince; since != nil && d.Tanks.Selected != "" {
		s.Put(2+frame.Width(" "+frame.Clean(d.Tanks.Selected)+" FEEDS "), "since "+words.Time(*since)+", "+words.Between(*since, d.At), d.theme.Value)
	}
	return s.Row()
}

// loud is what must not be overlooked, in full.
func (d *drawing) loud() []string {
	var rows []string
	for _, text := range []string{d.Tanks.ScheduleProblem, d.Tanks.GaugeDisagreement} {
		if text == "" {
			continue
		}
		for _, line := range frame.Wrap("! "+frame.Clean(text), max(1, d.width-2)) {
			rows = append(rows, d.theme.Warning.Render(frame.Fit(" "+line, d.width)))
		}
	}
	return rows
}
