package cockpit

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Sizes of the parts.
const (
	twoColumns   = 76 // from this width on there are two
	leastWidth   = 40
	bigFromRows  = 30
	bigFromWidth = 70
	longestBar   = 40
	gapRows      = 2 // above window and panel
	fewestAbove  = 6
	usualAbove   = 10 // rows of the plan with all that it has
	fewestMiddle = 4  // of window and panel
	shortAsked   = 2
	mostAsked    = 12 // rows of what is asked, with its figures or its working
)

// Rows draws the screen: the clock and what is flown, window and plan, panel and tanks, and what is asked.
func (c *Screen) Rows(s flight.Snapshot, size screen.Size, t theme.Theme) []string {
	d := drawing{View: practice.View{Snapshot: s, Seat: *c.seat}, theme: t, glyphs: t.Glyphs(), width: size.Width}
	above := d.head(size)
	most := max(shortAsked, min(size.Height/3, mostAsked))
	rest := size.Height - len(above)
	if d.Seat.Trouble != "" {
		for _, line := range frame.Short(frame.Wrap(frame.Clean(d.Seat.Trouble), max(1, size.Width-1)), max(1, rest/3)) {
			above = append(above, d.theme.Late.Render(frame.Fit(" "+line, size.Width)))
		}
	}
	below := d.asked(most)
	if left := size.Height - len(above); d.Seat.Question != nil && d.width < twoColumns { // nothing that it takes to answer is cut for what is seen
		below = d.asked(max(most, left-fewestMiddle-1))
	}
	room := size.Height - len(above) - len(below)
	if room < fewestMiddle || size.Width < leastWidth {
		below = d.asked(max(most, size.Height-len(above)))[1:] // without what parts it from the rest
		return frame.Block(append(above, below...), size.Width, size.Height)
	}
	return frame.Block(append(append(above, d.middle(room, rest-shortAsked, rest-most-2)...), below...), size.Width, size.Height)
}

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	practice.View
	theme  theme.Theme
	glyphs frame.Glyphs
	width  int
}

func (d *drawing) label(text string) frame.Cell {
	return frame.Cell{Text: text, Style: d.theme.Label}
}

func (d *drawing) value(text string) frame.Cell {
	return frame.Cell{Text: text, Style: d.theme.Value}
}

func (d *drawing) title(width int, text string, more ...frame.Cell) string {
	return frame.Line(width, append([]frame.Cell{{Text: " " + text + " ", Style: d.theme.Title}}, more...)...)
}

// head is the leg clock, the heading and the altitude, in big digits where there is room.
func (d *drawing) head(size screen.Size) []string {
	figures := []struct{ label, figure, note string }{
		{"LEG " + frame.Clean(d.Leg.From+" to "+d.Leg.To), say.Elapsed(d.Clock.LegSeconds), "of " + say.Span(60*d.Leg.PlannedMinutes) + " planned"},
		{"COMPASS", say.Degrees(d.Seat.Panel.Compass), d.steering()},
		{"ALTITUDE", say.Whole(d.Seat.Panel.AltitudeFt), d.vertical()},
	}
	var rows []string
	if size.Height >= bigFromRows && size.Width >= bigFromWidth {
		column := size.Width / len(figures)
		blocks := make([][]string, len(figures))
		for i, f := range figures {
			block := []string{d.theme.Label.Render(frame.Fit(" "+f.label, column))}
			for _, row := range frame.Big(f.figure, frame.BigSmall, d.glyphs) {
				block = append(block, d.theme.Headline.Render(frame.Fit(" "+row, column)))
			}
			blocks[i] = append(block, d.theme.Value.Render(frame.Fit(" "+f.note, column)))
		}
		rows = append(frame.Beside(blocks...), "")
	} else {
		rows = append(rows, frame.Line(size.Width, d.inOneRow(figures[0].figure, figures[1].figure, figures[2].figure)...))
	}
	return rows
}

// inOneRow is the leg clock, the heading and the altitude, with what belongs to each where there is room for it: what is steered first, then what
// becomes of the altitude.
func (d *drawing) inOneRow(leg, compass, altitude string) []frame.Cell {
	labels := [3]string{" LEG ", "  COMPASS ", "  ALTITUDE "}
	notes := [3]string{"of " + say.Span(60*d.Leg.PlannedMinutes), d.steering(), d.vertical()}
	left := d.width
	for i, figure := range [3]string{leg, compass, altitude} {
		left -= frame.Width(labels[i]) + frame.Width(figure)
	}
	for _, i := range [3]int{1, 2, 0} {
		if notes[i] == "" {
			continue
		}
		if needs := 1 + frame.Width(notes[i]); needs <= left {
			left -= needs
			notes[i] = " " + notes[i]
		} else {
			notes[i] = ""
		}
	}
	var cells []frame.Cell
	for i, figure := range [3]string{leg, compass, altitude} {
		cells = append(cells, d.label(labels[i]), frame.Cell{Text: figure, Style: d.theme.Headline}, d.value(notes[i]))
	}
	return cells
}

// steering is what the compass is held on or turned to.
func (d *drawing) steering() string {
	if d.Seat.Panel.Steering == nil {
		return ""
	}
	return "steering " + say.Degrees(*d.Seat.Panel.Steering)
}

// vertical is what becomes of the altitude.
func (d *drawing) vertical() string {
	p := d.Seat.Panel
	to := ""
	if p.ToAltitudeFt != nil {
		to = fmt.Sprintf(" to %.0f", *p.ToAltitudeFt)
	}
	switch {
	case p.OnGround:
		return "on the ground"
	case p.VerticalFtMin > 0:
		return "climbing" + to
	case p.VerticalFtMin < 0:
		return "descending" + to
	default:
		return "level" + to
	}
}

// middle is window, plan, panel and tanks: in two columns where there is room. Of so many rows there are most while nothing is asked, and
// least while much is asked and the engine troubles. Where the panel stands hangs on these two, so on the size of the screen, and not on what is seen
// or to be done: only what is asked moves it up, where it needs more than is left below.
func (d *drawing) middle(rows, most, least int) []string {
	if d.width < twoColumns {
		return d.oneColumn(rows)
	}
	left := d.width * 14 / 25
	right := d.width - left
	panel, tanks := d.panel(left), d.tanks(right)
	plan := d.plan(right)
	if least-usualAbove-gapRows >= 2*max(len(panel), len(tanks)) {
		panel, tanks = airy(panel), airy(tanks)
	}
	lower := max(len(panel), len(tanks))
	gaps := 0
	if rows-lower >= gapRows+fewestAbove {
		gaps = 1
	}
	upper := max(0, min(max(usualAbove, (most-lower-2*gaps)*2/3), rows-lower-2*gaps))
	parts := make([]string, gaps, rows)
	parts = append(parts, frame.Beside(frame.Block(d.window(left, upper), left, upper), frame.Block(plan, right, upper))...)
	parts = append(parts, make([]string, gaps)...)
	return frame.Block(append(parts, frame.Beside(frame.Block(panel, left, lower), frame.Block(tanks, right, lower))...), d.width, rows)
}

// airy puts a blank row between rows.
func airy(rows []string) []string {
	wide := make([]string, 0, 2*len(rows))
	for i, row := range rows {
		if i > 0 {
			wide = append(wide, "")
		}
		wide = append(wide, row)
	}
	return wide
}

func (d *drawing) oneColumn(rows int) []string {
	panel := append(d.panel(d.width), d.tanks(d.width)...)
	above := max(2, rows-len(panel))
	return frame.Block(append(frame.Block(d.window(d.width, above), d.width, above), panel...), d.width, rows)
}

// window is what was seen and what can be seen.
func (d *drawing) window(width, rows int) []string {
	lines := []string{d.title(width, "WINDOW", d.label(fmt.Sprintf("you see about %g nm  seed %d", d.Seat.VisibilityNM, d.Seat.Seed)))}
	passed, view := d.Seat.Passed, d.Seat.InView
	room := rows - 2
	most := max(1, room-min(len(view), room/2))
	for i, p := range passed {
		added := d.passed(width, p)
		if i > 0 && len(lines)-1+len(added) > most {
			break
		}
		lines = append(lines, added...)
	}
	if len(view) == 0 {
		return append(lines, d.theme.Muted.Render(frame.Fit(" in view: nothing that the plan names", width)))
	}
	if len(lines)+1+len(view) > rows { // beside each other
		all := make([]string, len(view))
		for i, text := range view {
			all[i] = frame.Clean(text)
		}
		label := " in view "
		return append(lines, frame.Line(width, d.label(label), d.value(frame.Clauses(strings.Join(all, ", "), max(0, width-len(label))))))
	}
	lines = append(lines, d.theme.Label.Render(frame.Fit(" in view", width)))
	const before, goesOn = "   ", "  "
	for i, text := range view {
		text = frame.Clean(text)
		room := max(0, width-len(before)-1)
		wrapped := frame.Wrap(text, max(1, room-len(goesOn)))
		if frame.Width(text) <= room || len(lines)+len(wrapped)+len(view)-i-1 > rows {
			wrapped = []string{frame.Clauses(text, room)}
		}
		for n, line := range wrapped {
			if n > 0 {
				line = goesOn + line
			}
			lines = append(lines, frame.Line(width, d.value(before+line)))
		}
	}
	return lines
}

// passed is what went by and when, in as many rows as it takes.
func (d *drawing) passed(width int, p practice.Passed) []string {
	role := d.theme.Value
	if d.At.Sub(p.At).Minutes() < 1 {
		role = d.theme.Headline
	}
	at := " " + say.Time(p.At) + " "
	var rows []string
	for _, text := range frame.Wrap(frame.Clean(p.Text), max(1, width-frame.Width(at)-1)) {
		rows = append(rows, frame.Line(width, d.label(at), frame.Cell{Text: text, Style: role}))
		at = strings.Repeat(" ", frame.Width(at))
	}
	return rows
}

// plan is what the pilot prepared for this leg.
func (d *drawing) plan(width int) []string {
	leg := d.Leg
	lines := []string{
		d.title(width, "PLAN", d.label("by the forecast")),
		frame.Line(width, d.value(fmt.Sprintf(" to %s  %s  track %s", frame.Clean(leg.To), say.Miles(leg.DistanceNM), say.Degrees(leg.TrackMagnetic)))),
		frame.Line(width, d.label(" heading "), d.value(say.DegreesOf(d.Steer.PlannedHeading)), d.value(" at "+say.Feet(leg.AltitudeFt)),
			d.value("  "+say.Knots(d.Groundspeed.PlannedKt))),
	}
	if d.Next != nil {
		lines = append(lines, frame.Line(width, d.label(" next "), d.value(say.Named(frame.Clean(d.Next.Point), frame.Clean(d.Next.Name)))))
		text := "planned " + say.Time(d.Next.Planned)
		if after, minutes, ok := d.nextAfter(); ok {
			text = fmt.Sprintf("after %s, %s from %s", say.Miles(after), minutes, frame.Clean(leg.From))
		}
		lines = append(lines, frame.Line(width, d.value("   "+text)))
		if d.Seat.NextLies != "" {
			lines = append(lines, frame.Line(width, d.value("   "+d.Seat.NextLies)))
		}
	}
	return append(lines, d.toDo(width)...)
}

// mostToDo is how many prompts stand in the plan's column.
const mostToDo = 3

// toDo is what is due, late or announced, the first with what is needed for it. Of a turn onto a heading only that it is due: the heading is
// the pilot's to work out.
func (d *drawing) toDo(width int) []string {
	var lines []string
	count := 0
	for _, p := range d.Prompts {
		role, word := d.theme.Due, "NOW  "
		switch {
		case p.State == flight.Late:
			role, word = d.theme.Late, "LATE "
		case p.State == flight.Coming && p.Announce:
			role, word = d.theme.NextAct, "SOON "
		case p.State != flight.Due:
			continue
		}
		text := frame.Clean(p.Text)
		if p.Kind == flight.PromptTurn && p.Number != nil {
			text = "turn at " + frame.Clean(p.Answer.Point)
		}
		lines = append(lines, frame.Line(width, frame.Cell{Text: " " + word + text, Style: role}))
		if count == 0 && len(p.Detail) > 0 && p.Kind != flight.PromptTurn {
			lines = append(lines, frame.Line(width, d.label("   "+frame.Clean(p.Detail[0]))))
		}
		if count++; count == mostToDo {
			break
		}
	}
	return lines
}

// nextAfter is how far along the leg the next point lies and how long after its start it was planned.
func (d *drawing) nextAfter() (nm float64, minutes string, ok bool) {
	var next, end *flight.RoutePoint
	for i := range d.Route {
		row := &d.Route[i]
		if row.Leg != d.Leg.Index {
			continue
		}
		if !row.Checkpoint {
			end = row
		}
		if row.Point == d.Next.Point && row.Checkpoint == d.Next.IsCheckpoint {
			next = row
		}
	}
	if next == nil || end == nil {
		return 0, "", false
	}
	before := end.Planned.Sub(next.Planned).Seconds()
	return next.AfterNM, say.Span(60*d.Leg.PlannedMinutes - before), true
}

// panel is one line to a receiver.
func (d *drawing) panel(width int) []string {
	p := d.Seat.Panel
	lines := []string{d.title(width, "PANEL", d.label("airspeed "), d.value(say.Knots(p.AirspeedKt)), d.label("  engine "), d.engine())}
	for _, r := range p.Receivers {
		lines = append(lines, d.receiver(width, r))
	}
	return lines
}

func (d *drawing) engine() frame.Cell {
	role := d.theme.Good
	switch d.Seat.Panel.Engine {
	case practice.EngineFalters:
		role = d.theme.Caution
	case practice.EngineStopped:
		role = d.theme.Warning
	}
	return frame.Cell{Text: strings.ToUpper(string(d.Seat.Panel.Engine)), Style: role}
}

// receiver is what a receiver shows, in words, figures and a bar.
func (d *drawing) receiver(width int, r practice.PanelReceiver) string {
	if r.Beacon == "" {
		return frame.Line(width, d.label(frame.Fit(" "+r.Receiver, 6)), frame.Cell{Text: "nothing tuned", Style: d.theme.Muted})
	}
	cells := []frame.Cell{
		d.label(frame.Fit(" "+r.Receiver, 6)), {Text: frame.Fit(r.Beacon+" "+say.Frequency(r.Frequency), 11), Style: d.theme.Value},
	}
	if r.Morse == "" {
		return frame.Line(width, append(cells, frame.Cell{Text: "no ident, flag OFF", Style: d.theme.Caution})...)
	}
	switch {
	case r.Course != nil:
		cells = append(cells, d.label("course "), d.value(say.Degrees(*r.Course)+" "))
		if r.Sense == nil || r.NeedleDeg == nil || *r.Sense == radio.Off {
			return frame.Line(width, append(cells, frame.Cell{Text: "flag OFF", Style: d.theme.Caution})...)
		}
		cells = append(cells, frame.Cell{Text: frame.Fit(r.Sense.String(), 4) + " ", Style: d.theme.Headline},
			frame.Cell{Text: needleText(*r.NeedleDeg) + " ", Style: d.theme.Value})
		used := 0
		for _, cell := range cells {
			used += frame.Width(cell.Text)
		}
		if room := width - used - 1; room >= 11 {
			room = min(room, longestBar+1)
			line := frame.Line(used, cells...)
			return frame.Fit(line+frame.Beam(room, *r.NeedleDeg/radio.FullScaleDeg, d.glyphs, d.theme.Frame, d.theme.Headline), width)
		}
	case r.DME != nil:
		cells = append(cells, frame.Cell{Text: say.Miles(*r.DME), Style: d.theme.Headline})
	case r.Relative != nil:
		cells = append(cells, d.label("needle "), frame.Cell{Text: fmt.Sprintf("%03.0f", wrapped(*r.Relative)), Style: d.theme.Headline},
			d.label(", "+sideOf(*r.Relative)))
	}
	return frame.Line(width, cells...)
}

// needleText is a needle in words: it stands where the course is.
func needleText(needleDeg float64) string {
	whole := math.Round(math.Abs(needleDeg))
	switch {
	case whole < 1:
		return "centred  "
	case whole >= radio.FullScaleDeg && needleDeg < 0:
		return "full left"
	case whole >= radio.FullScaleDeg:
		return "full right"
	}
	return frame.Fit(say.Side(math.Copysign(whole, needleDeg), 0), len("full left"))
}

func wrapped(relative float64) float64 { return math.Mod(math.Round(relative), 360) }

// sideOf says where an ADF needle points.
func sideOf(relative float64) string {
	switch r := wrapped(relative); {
	case r <= 5 || r >= 355:
		return "on the nose"
	case r >= 175 && r <= 185:
		return "on the tail"
	case r < 90:
		return "ahead right"
	case r < 180:
		return "behind right"
	case r > 270:
		return "ahead left"
	default:
		return "behind left"
	}
}

// tanks are the gauges as bars.
func (d *drawing) tanks(width int) []string {
	p := d.Seat.Panel
	lines := []string{d.title(width, "GAUGES", d.label("in "+say.Unit(p.Unit)+", as they show"))}
	names := 0
	for _, g := range p.Gauges {
		names = max(names, frame.Width(g.Tank))
	}
	names = min(names, width/3)
	bar := max(4, min(width-names-14, longestBar))
	for _, g := range p.Gauges {
		share := 0.0
		if g.Capacity > 0 {
			share = g.Reading / g.Capacity
		}
		role, feeds := d.theme.Value, ""
		if g.Selected {
			role, feeds = d.theme.Tank, " feeds"
		}
		line := frame.Line(names+2, d.label(" "+frame.Fit(frame.Clean(g.Tank), names)+" ")) +
			frame.Bar(bar, share, d.glyphs, role, d.theme.Frame) +
			frame.Line(max(0, width-names-2-bar), frame.Cell{Text: fmt.Sprintf(" %3.0f", g.Reading), Style: d.theme.Value}, frame.Cell{Text: feeds, Style: role})
		lines = append(lines, frame.Fit(line, width))
	}
	return lines
}

// shownFor is how long the working of an answer stays, in flight time.
const shownFor = 5 * time.Minute

// asked is the open question with its figures or, without one, what became of the last.
func (d *drawing) asked(most int) []string {
	switch {
	case d.Seat.Question != nil:
		return d.questionRows(most)
	case d.Seat.Landing != "":
		return []string{"", d.title(d.width, "LAND", d.value("at "+frame.Clean(d.Seat.Landing)+", while you are near it: "), frame.Cell{Text: "space", Style: d.theme.Key}, d.value(" on landed"))}
	case d.Seat.Marked != nil:
		return d.markedRows(most)
	case !d.Seat.HandsOn:
		return []string{"", d.title(d.width, "HANDS OFF", d.value(frame.Fitting(max(0, d.width-len(" HANDS OFF h takes over")), "the program flies and logs; ", "")), frame.Cell{Text: "h", Style: d.theme.Key}, d.value(" takes over"))}
	default:
		const flies = "YOU FLY"
		keys := frame.Clauses("arrows steer and climb, enter sets, p passing, t tank, space done", max(0, d.width-len(flies)-2))
		return []string{"", d.title(d.width, flies, d.value(keys))}
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
	rows := []string{""}
	const asked = " ASKED "
	label := frame.Cell{Text: asked, Style: d.theme.Due}
	for _, line := range frame.Wrap(frame.Clean(q.Text), max(1, d.width-len(asked)-1)) {
		rows = append(rows, frame.Line(d.width, label, frame.Cell{Text: " " + line, Style: d.theme.NextAct}))
		label = frame.Cell{Text: "       "}
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
			{Text: strings.ToUpper(string(m.Outcome)), Style: d.outcomeRole(m.Outcome)},
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
		d.value(fmt.Sprintf("%d of %d right in %s; the truth is shown when the flight is over", c.Right, c.Asked, say.Span(c.Seconds))))}
}

func (d *drawing) outcomeRole(outcome drill.Outcome) theme.Role {
	switch outcome {
	case drill.Right, practice.Slow:
		return d.theme.Good
	case drill.Wrong:
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
		frame.Line(d.width, frame.Cell{Text: " " + strings.ToUpper(string(m.Outcome)) + " ", Style: d.outcomeRole(m.Outcome)}, d.value(frame.Clean(m.Text)+"  "), d.label(d.points())),
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
