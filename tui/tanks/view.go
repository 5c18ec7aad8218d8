package tanks

import (
	"slices"
	"strings"

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
	tanks  []flight.TankNow // from left to right
	marked int              // of them
	moved  bool             // the pilot put the mark there
}

// Rows and cells from which a part has room.
const (
	besideWidth  = 110 // the facts stand beside the figure
	figureWidth  = 58  // of the figure with what belongs to it
	roomForLarge = 22  // rows left over for the plot, from which the figure is large and each tank two rows high
)

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	tanks := inOrder(snapshot.Tanks.Tanks)
	if len(tanks) == 0 {
		return frame.Notice("There are no tanks.", size.Width, size.Height)
	}
	d := drawing{Snapshot: snapshot, theme: t, width: size.Width, tanks: tanks, marked: s.index(snapshot, tanks), moved: s.mark != ""}
	height := size.Height
	rows := d.loud(max(0, height-1))
	if room := height - len(rows) - 2; s.overTime && room >= leastPlotRows {
		rows = append(append(append(rows, d.figure(d.width, 1, false)...), ""), d.overTime(size.Width, room)...)
	} else {
		rows = append(rows, d.stacked(height-len(rows))...)
	}
	return frame.Block(rows, size.Width, height)
}

// stacked sets the parts one below the other: what must be there first, then what room is left for, the large figure before gaps, gaps before the
// plot.
func (d *drawing) stacked(rows int) []string {
	const leastBeside = 14
	factsWidth, beside := d.width, d.width >= besideWidth && rows >= leastBeside
	if beside {
		factsWidth -= figureWidth
	}
	bars, scales, facts, changes := d.bars(1), d.scales(), d.facts(factsWidth), d.changes()
	left := rows - 1 - len(bars)
	take := func(wanted int) int {
		got := max(0, min(wanted, left))
		left -= got
		return got
	}
	scaleRows, figureRows, factRows := take(len(scales)), 1, 0
	if beside {
		figureRows += take(max(frame.BigSmall, len(facts)-1))
	} else {
		factRows = take(len(facts))
	}
	changeRows := take(len(changes))
	if !beside && left >= frame.BigSmall {
		figureRows += take(frame.BigSmall)
	}
	gaps := take(4)
	large := left >= roomForLarge
	if large {
		bars = d.bars(2)
		take(len(d.tanks))
		figureRows += take(1 + frame.BigLarge - figureRows)
	}
	gap := func() []string {
		gaps--
		return make([]string, max(0, min(1, gaps+1)))
	}
	var figure []string
	if beside {
		figure = frame.Beside(frame.Block(d.figure(figureWidth, figureRows, large), figureWidth, figureRows), frame.Block(d.within(facts, figureRows), factsWidth, figureRows))
	} else {
		figure = d.figure(d.width, figureRows, large)
	}
	drawn := slices.Concat(figure, gap(), bars, gap(), d.within(scales, scaleRows), gap(), d.within(facts, factRows))
	if !beside {
		drawn = append(drawn, gap()...)
	}
	drawn = append(drawn, d.within(changes, changeRows)...)
	if left > leastPlotRows {
		drawn = append(append(drawn, ""), d.overTime(d.width, left-1)...)
	}
	return drawn
}

// within is as many rows as there is room for; where not all are, the last says how many more there are.
func (d *drawing) within(rows []string, room int) []string {
	if len(rows) <= room || room <= 0 {
		return rows[:max(0, min(room, len(rows)))]
	}
	cut := append([]string{}, rows[:room-1]...)
	return append(cut, d.theme.Muted.Render(strings.Repeat(" ", factLabel)+say.Counted(len(rows)-room+1, "more row", "more rows")))
}

// loud is what must not be overlooked and stands in no row above every screen, in full.
func (d *drawing) loud(most int) []string {
	var rows []string
	texts := []said{}
	for _, trend := range d.Tanks.Trends {
		texts = append(texts, said{trend.Text, d.theme.Caution})
		if trend.Severity == flight.Alarm {
			texts[len(texts)-1].role = d.theme.Warning
		}
	}
	for _, s := range append(texts, said{d.Tanks.ScheduleProblem, d.theme.Caution}, said{d.Tanks.GaugeDisagreement, d.theme.Caution}) {
		if s.text == "" {
			continue
		}
		for i, line := range frame.Wrap(frame.Clean(s.text), max(1, d.width-4)) {
			sign := "! "
			if i > 0 {
				sign = "  "
			}
			rows = append(rows, s.role.Render(" "+sign+strings.TrimRight(line, " ")+" "))
		}
	}
	return d.within(rows, most)
}
