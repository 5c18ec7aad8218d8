package tanks

import (
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/theme"
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
	loud := d.loud()
	picture := size.Width
	if size.Width >= allWidth && size.Height >= allHeight {
		picture -= size.Width / 2
	}
	beam := d.beam(picture)
	l := layoutOf(size, s.view, len(loud), len(beam), max(1, len(snapshot.Tanks.Made)+len(snapshot.Tanks.Planned)))

	var rows []string
	if l.head {
		rows = append(rows, d.head(l.facts == 0 && l.beside == 0))
	}
	rows = append(rows, loud[:l.loud]...)
	switch {
	case l.beside > 0:
		rows = append(rows, d.everything(l, beam)...)
	case l.picture > 0:
		rows = append(rows, d.tanksView(l, beam)...)
	default:
		rows = append(rows, d.overTime(size.Width, l.overTime)...)
		rows = append(rows, d.figures(size.Width, l.figure)...)
		rows = append(rows, frame.Block(d.changes(size.Width, l.changes), size.Width, l.changes)...)
	}
	rows = frame.Block(rows, size.Width, size.Height)
	if l.legend {
		live := s.live(snapshot, hung)
		live.View.SetEnabled(l.beside == 0)
		rows[size.Height-1] = legend.Row(live.named(hung[d.marked].Name, s.view.next()), size.Width, t)
	}
	return rows
}

// tanksView is the picture with the facts beside it, the beam, and the changes.
func (d *drawing) tanksView(l layout, beam []string) []string {
	rows := d.pictured(l)
	if l.beam > 0 {
		rows = append(rows, frame.Block(nil, d.width, l.gap)...)
		rows = append(rows, beam...)
	}
	rows = append(rows, frame.Block(nil, d.width, l.gap)...)
	rows = append(rows, frame.Block(d.changes(d.width, l.changes), d.width, l.changes)...)
	return append(rows, d.overTime(d.width, l.overTime)...)
}

// pictured is the picture with the facts beside it.
func (d *drawing) pictured(l layout) []string {
	if l.facts == 0 {
		return d.picture(d.width, l.picture)
	}
	const gap = 2
	left := d.width - l.facts
	return frame.Beside(frame.Block(d.picture(left-gap, l.picture), left, l.picture), d.facts(l.facts, l.picture))
}

// everything is all views at once.
func (d *drawing) everything(l layout, beam []string) []string {
	left := d.width - l.beside
	above := append(frame.Block(d.picture(left-1, l.picture), left, l.picture), frame.Block(nil, left, l.gap)...)
	above = append(above, frame.Block(beam, left, l.beam)...)
	rows := frame.Beside(above, d.overTime(l.beside, len(above)))
	rows = append(rows, frame.Block(nil, d.width, l.gap)...)
	facts, changes := max(leastFacts, d.width/5), max(widestChanges, d.width*2/5)
	witnesses := d.width - facts - changes
	below := frame.Beside(
		indented(d.facts(facts-1, l.changes), facts, l.changes),
		frame.Block(d.witnesses(witnesses-1), witnesses, l.changes),
		frame.Block(d.changes(changes, l.changes), changes, l.changes),
	)
	return append(rows, below...)
}

// indented puts a blank before rows that are one cell narrower than the width.
func indented(rows []string, width, height int) []string {
	return frame.Beside(frame.Block(nil, 1, height), frame.Block(rows, width-1, height))
}

// figures are the facts and the witnesses, side by side where they have room.
func (d *drawing) figures(width, rows int) []string {
	if rows <= 0 {
		return nil
	}
	const least = 72
	if width < least {
		return indented(append(d.facts(width-1, min(rows, 9)), d.witnesses(width-1)...), width, rows)
	}
	left := factsWidth + 6
	return frame.Beside(indented(d.facts(left-1, rows), left, rows), frame.Block(d.witnesses(width-left), width-left, rows))
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
		s.Put(2+frame.Width(" "+frame.Clean(d.Tanks.Selected)+" FEEDS "), "since "+say.Time(*since)+", "+say.Between(*since, d.At), d.theme.Value)
	}
	return s.Row()
}

// bannered reports whether a text stands in full at the top of every screen.
func (d *drawing) bannered(text string) bool {
	const label = 8 // " ALARM  "
	return len(d.Notices) > 0 && d.Notices[0].Text == text && frame.Width(text)+label < d.width
}

// loud is what must not be overlooked, in full.
func (d *drawing) loud() []string {
	var rows []string
	texts := make([]string, 0, len(d.Tanks.Trends)+2)
	for _, trend := range d.Tanks.Trends {
		texts = append(texts, trend.Text)
	}
	for _, text := range append(texts, d.Tanks.ScheduleProblem, d.Tanks.GaugeDisagreement) {
		if text == "" || d.bannered(text) {
			continue
		}
		for _, line := range frame.Wrap("! "+frame.Clean(text), max(1, d.width-2)) {
			rows = append(rows, d.theme.Warning.Render(frame.Fit(" "+line, d.width)))
		}
	}
	return rows
}
