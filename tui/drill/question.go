package drill

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/drill"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// measure is the widest that a question is set: longer lines are harder to read.
const measure = 84

// sheet builds rows of text in the middle of the screen. One that is not airy has no blank rows.
type sheet struct {
	rows   []string
	width  int // of the text
	margin string
	airy   bool
}

func newSheet(width int, airy bool) *sheet {
	text := min(measure, max(width-4, 0))
	return &sheet{width: text, margin: strings.Repeat(" ", max((width-text)/2, 0)), airy: airy}
}

// add adds a row that is already dressed.
func (s *sheet) add(row string) { s.rows = append(s.rows, s.margin+row) }

func (s *sheet) space() {
	if s.airy {
		s.rows = append(s.rows, "")
	}
}

// text adds a text in one look, wrapped; rows after the first are indented.
func (s *sheet) text(text string, role theme.Role, indent string) {
	for i, line := range frame.Wrap(text, max(s.width-len(indent), 1)) {
		if i > 0 {
			line = indent + line
		}
		s.add(role.Render(line))
	}
}

// question is what is given and asked, with the answer line or with the verdict. What is too much for so many rows is read by moving up and down,
// from where the answer stands; it reports whether it is.
func (m *Model) question(width, height int) (rows []string, moves bool) {
	rows, home := m.composed(width, height)
	last := len(rows) - height
	switch {
	case last <= 0:
		return rows, false
	case height < fewestMoving:
		return rows[last:], false
	}
	first := max(0, min(home+m.scroll, last))
	rows = rows[first : first+height]
	if first > 0 {
		rows[0] = m.theme.Muted.Render(frame.Fit(fmt.Sprintf("  … %d more above", first+1), width))
	}
	if first < last {
		rows[height-1] = m.theme.Muted.Render(frame.Fit(fmt.Sprintf("  … %d more below", last-first+1), width))
	}
	return rows, true
}

// composed is a question with air where there is room, without it and then without the box where there is not, and the row that it is read from:
// the one before the verdict, so that it tells of what stands above, or the one from which on there is room for all.
func (m *Model) composed(width, height int) (rows []string, home int) {
	for _, air := range []struct{ around, inside, wide, allowed, boxed bool }{
		{true, true, height > 30, true, true},
		{around: true, inside: true, allowed: true, boxed: true},
		{around: true, allowed: true, boxed: true},
		{allowed: true, boxed: true},
		{boxed: true},
		{},
	} {
		s := newSheet(width, air.around)
		s.space()
		m.asked(s, air.inside, air.wide, air.boxed)
		s.space()
		home = len(s.rows) - 1
		if m.mode == asking {
			m.answerRow(s)
			home = len(s.rows) - height
		} else {
			m.verdictRows(s, air.allowed)
		}
		if rows = s.rows; len(rows) <= height {
			break
		}
	}
	return rows, home
}

// readOn moves through a question that has no room.
func (m *Model) readOn(by int) {
	height := m.size.Height - aroundFront
	rows, home := m.composed(m.size.Width, height)
	m.scroll = max(-home, min(m.scroll+by, len(rows)-height-home))
}

// aroundFront is how many rows stand around what is in front.
const aroundFront = 3

// fewestMoving is the height from which what has no room can be moved through.
const fewestMoving = 4

// asked sets what is given and the question, in a box with the tool in its edge where there is room for one.
func (m *Model) asked(s *sheet, airy, wide, boxed bool) {
	inside := &sheet{width: max(s.width-4, 0), margin: " ", airy: airy}
	if !boxed {
		inside.width, inside.margin = s.width, ""
	}
	inside.space()
	m.givenRows(inside, wide)
	inside.space()
	inside.text(m.exercise.Question, m.theme.Headline, "")
	inside.space()
	rows := inside.rows
	if boxed {
		rows = frame.Box(string(m.exercise.Tool), rows, s.width, len(rows)+2, m.theme.Border())
	}
	for _, row := range rows {
		s.add(row)
	}
}

// givenRows set the figures in two columns, the names at the right edge of theirs.
func (m *Model) givenRows(s *sheet, wide bool) {
	names := 0
	for _, given := range m.exercise.Given {
		names = max(names, frame.Width(given.Name))
	}
	names = min(names, s.width*2/3)
	for i, given := range m.exercise.Given {
		if i > 0 && wide {
			s.space()
		}
		const gap = 3
		name := given.Name
		for _, line := range frame.Wrap(given.Text, max(1, s.width-names-gap)) {
			s.add(frame.Line(s.width, frame.Cell{Text: name, Width: names, Right: true, Style: m.theme.Label},
				frame.Cell{Width: gap}, frame.Cell{Text: line, Style: m.theme.Headline}))
			name = ""
		}
	}
}

func (m *Model) answerRow(s *sheet) {
	const label = "answer  "
	typed, example := frame.Clean(m.typed)+"_", "  such as "+m.exercise.Form.Example()
	field := max(frame.Width(typed), min(longestAnswer+2, s.width-len(label)-frame.Width(example)))
	s.add(frame.Line(s.width, frame.Cell{Text: label, Style: m.theme.Label},
		frame.Cell{Text: frame.Fit(typed, field), Style: m.theme.Entry}, frame.Cell{Text: example, Style: m.theme.Muted}))
}

// stamp is the outcome as a word in a look of its own.
func (m *Model) stamp() string {
	switch m.verdict.Outcome {
	case drill.Right:
		return m.theme.NextAct.Render("  RIGHT  ")
	case drill.Wrong:
		return m.theme.Late.Render("  WRONG  ")
	}
	return m.theme.Due.Render("  THE ANSWER  ")
}

func (m *Model) verdictRows(s *sheet, allowed bool) {
	s.add(m.stamp())
	s.space()
	comment := m.exercise.Comment(m.verdict)
	s.text(comment[0], m.theme.Headline, "")
	for _, line := range comment[1:] {
		s.text(line, m.theme.Caution, "")
	}
	s.space()
	for i, step := range m.exercise.Steps {
		s.text(fmt.Sprintf("%2d  %s", i+1, step), m.theme.Value, "    ")
	}
	if text := m.exercise.Allowed(); allowed && text != "" {
		s.space()
		s.text(text, m.theme.Muted, "")
	}
}

// choice is a row of the chooser: any topic, one topic, or the live check.
type choice struct {
	topic drill.Topic
	live  bool
	title string
}

func choices() []choice {
	all := []choice{{title: "what is due, from all topics"}, {live: true, title: "live: time a needle past the wing tip"}}
	for _, topic := range drill.Topics() {
		all = append(all, choice{topic: topic, title: topic.Title()})
	}
	return all
}

// rowOf is the row of a topic.
func rowOf(topic drill.Topic) int {
	for i, c := range choices() {
		if c.topic == topic && !c.live {
			return i
		}
	}
	return 0
}

// chooser is the list of topics, how firm they are, and the level that is wished for.
func (m *Model) chooser(width, height int) []string {
	t := m.theme
	columns := []frame.Column[choice]{{
		Head: "TOPIC", Width: 40, Grow: 6,
		Cell: func(c choice) frame.Cell { return frame.Cell{Text: c.title, Style: t.Value} },
	}}
	for i, level := range drill.Levels() {
		columns = append(columns, frame.Column[choice]{
			Head: fmt.Sprintf("LEVEL %d", level), Width: 11, Rank: i + 1,
			Cell: func(c choice) frame.Cell { return m.firmCell(c, level) },
		})
	}
	fitted := frame.FitTable(columns, max(width-2, 0))
	all := choices()
	const around = 3 // the head, what comes next and the level
	var rows []string
	if height > len(all)+around {
		rows = append(rows, "")
	}
	rows = append(rows, " "+fitted.Head(t.Title, t.Label))
	room := max(height-around, 0)
	first := frame.Window(len(all), room, m.choice)
	for i := first; i < min(first+room, len(all)); i++ {
		row := " " + fitted.Row(all[i])
		if i == m.choice {
			row = t.Key.Render(">") + fitted.Marked(all[i], t.Selected)
		}
		rows = append(rows, row)
	}
	for len(rows) < height-2 {
		rows = append(rows, "")
	}
	return append(rows, m.nextRow(width), m.levelRow(width))
}

// nextRow says what comes next, of all topics, and how many tasks are firm, shaky and new.
func (m *Model) nextRow(width int) string {
	sums := m.Progress.Sums()
	text := fmt.Sprintf("  %d firm, %d shaky, %d new", sums[drill.Firm], sums[drill.Shaky], sums[drill.New])
	next := m.Progress.Said(m.Progress.Next(drill.Wish{}, m.now))
	const label = " NEXT  "
	room := max(0, width-len(label)-frame.Width(text)-1)
	if frame.Width(next) > room && width < narrow {
		text, room = "", max(0, width-len(label)-1)
	}
	return frame.Line(width, frame.Cell{Text: label, Style: m.theme.Label},
		frame.Cell{Text: frame.Shorten(next, room), Width: room, Style: m.theme.Headline}, frame.Cell{Text: text, Style: m.theme.Value})
}

// narrow is the width below which what comes next is said without how many tasks there are.
const narrow = 60

// firmCell shows how firm a topic is at a level: a sign for each task.
func (m *Model) firmCell(c choice, level drill.Level) frame.Cell {
	if c.topic == "" {
		return frame.Cell{}
	}
	s := m.Progress.Of(drill.Card{Topic: c.topic, Level: level})
	text := m.Progress.Map(s.Card)
	switch {
	case s.Tries == 0:
		return frame.Cell{Text: text, Style: m.theme.Muted}
	case !s.IsFirm():
		return frame.Cell{Text: fmt.Sprintf("%s %.0f%%", text, 100**s.Accuracy), Style: m.theme.Caution}
	}
	return frame.Cell{Text: fmt.Sprintf("%s %.0f%%", text, 100**s.Accuracy), Style: m.theme.Good}
}

// levelRow names the level that is wished for.
func (m *Model) levelRow(width int) string {
	level := "what is open to you"
	if m.Wish.Level != 0 {
		level = fmt.Sprintf("%d, %s", m.Wish.Level, m.Wish.Level)
	}
	return frame.Line(width, frame.Cell{Text: " LEVEL ", Style: m.theme.Label},
		frame.Cell{Text: "< ", Style: m.theme.Key}, frame.Cell{Text: level, Style: m.theme.Headline},
		frame.Cell{Text: " >", Style: m.theme.Key}, frame.Cell{Text: "   " + drill.MapKey, Style: m.theme.Muted})
}

// Rows draws the header, what is in front, the line of words and the keys.
func (m *Model) Rows(width, height int) []string {
	if width <= 0 || height <= 0 {
		return frame.Block(nil, width, height)
	}
	rows := []string{m.header(width)}
	body := max(height-aroundFront, 0)
	var front []string
	moves, shown := false, m.shown()
	switch m.mode {
	case choosing:
		front = m.chooser(width, body)
	case asking, marked:
		if front, moves = m.question(width, body); moves {
			shown = slices.Insert(shown, 1, said(m.keys.list.Up, "up down", "read on"))
		}
	case standing:
		front = m.standingRows(width, body)
	case timing:
		front = m.liveRows(width, body)
	}
	rows = append(rows, frame.Block(front, width, body)...)
	rows = append(rows, m.theme.Caution.Render(frame.Fit(" "+frame.Clean(m.said), width)), frame.Keys(shown, width, m.theme.Key, m.theme.Muted))
	return m.theme.Page(frame.Block(rows, width, height))
}

// header says where one is, at what level, and how it goes.
func (m *Model) header(width int) string {
	t := m.theme
	s := frame.NewStrip(width)
	right := width
	put := func(text string, place func(x int) bool) {
		if x := right - frame.Width(text) - 1; place(x) {
			right = x - 1
		}
	}
	if m.mode == asking || m.mode == marked {
		took := m.at - m.askedAt
		if m.mode == marked {
			took = m.verdict.Took
		}
		text := say.Span(took.Truncate(1e9).Seconds())
		put(text, func(x int) bool { return s.Put(x, text, t.Headline) })
	}
	if m.tally.Asked > 0 {
		text := m.tally.String()
		put(text, func(x int) bool { return s.Put(x, text, t.Value) })
	}
	s.Put(1, "DRILL", t.Title)
	s.Put(8, frame.Shorten(m.heading(), max(right-9, 0)), t.Value)
	return s.Row()
}

// heading says what is in front.
func (m *Model) heading() string {
	switch m.mode {
	case asking, marked:
		return fmt.Sprintf("%s, level %d", m.exercise.Topic.Title(), m.exercise.Level)
	case standing:
		return "how you stand"
	case timing:
		return fmt.Sprintf("time and distance to the station, live, level %d", m.live.Level)
	}
	return "choose"
}

// tried lists the cards that were tried, the weakest first.
func (m *Model) tried() []drill.Standing {
	all := slices.DeleteFunc(m.Progress.Standings(), func(s drill.Standing) bool { return s.Tries == 0 })
	slices.SortStableFunc(all, func(a, b drill.Standing) int {
		return cmp.Or(cmp.Compare(a.Firm*b.Tasks, b.Firm*a.Tasks), cmp.Compare(*a.Accuracy, *b.Accuracy))
	})
	return all
}

// standingRows is how the student stands.
func (m *Model) standingRows(width, height int) []string {
	all := m.tried()
	if len(all) == 0 {
		return frame.Notice("Nothing answered yet. What you answer is kept on this machine only, and what is weak comes back sooner.", width, height)
	}
	fitted := frame.FitTable(m.standingColumns(), max(width-2, 0))
	rows := []string{"", " " + fitted.Head(m.theme.Title, m.theme.Label)}
	room := max(height-4, 0)
	for _, s := range all[min(m.scroll, max(len(all)-room, 0)):] {
		if len(rows) == room+2 {
			break
		}
		rows = append(rows, " "+fitted.Row(s))
	}
	for len(rows) < height-1 {
		rows = append(rows, "")
	}
	return append(rows, m.theme.Muted.Render(frame.Fit(" "+frame.Clauses(m.totals(all), max(0, width-1)), width)))
}

// totals sums all cards up.
func (m *Model) totals(all []drill.Standing) string {
	total := drill.Tally{}
	due := 0
	for _, s := range all {
		total.Asked, total.Right = total.Asked+s.Tries, total.Right+s.Right
		if s.IsDue(m.now) {
			due++
		}
	}
	return fmt.Sprintf("%s in all, %d due now, %d of %d topics and levels not tried yet", total, due,
		len(m.Progress.Standings())-len(all), len(m.Progress.Standings()))
}

func (m *Model) standingColumns() []frame.Column[drill.Standing] {
	t := m.theme
	now := m.now
	return []frame.Column[drill.Standing]{
		{Head: "TOPIC", Width: 20, Grow: 22, Spill: true, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: s.Topic.Title(), Style: t.Value}
		}},
		{Head: "LEVEL", Width: 5, Right: true, Rank: 1, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%d", s.Level), Style: t.Value}
		}},
		{Head: "FIRM", Width: 6, Rank: 2, Cell: func(s drill.Standing) frame.Cell {
			role := t.Good
			if !s.IsFirm() {
				role = t.Caution
			}
			return frame.Cell{Text: fmt.Sprintf("%d of %d", s.Firm, s.Tasks), Style: role}
		}},
		{Head: "RIGHT", Width: 7, Right: true, Rank: 3, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%d/%d", s.Right, s.Tries), Style: t.Value}
		}},
		{Head: "", Width: 4, Right: true, Rank: 4, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: fmt.Sprintf("%.0f%%", 100**s.Accuracy), Style: t.Value}
		}},
		{Head: "TIME", Width: 6, Right: true, Rank: 5, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: say.Span(*s.MeanSeconds), Style: t.Value}
		}},
		{Head: "DUE", Width: 9, Rank: 6, Cell: func(s drill.Standing) frame.Cell {
			role := t.Muted
			if s.IsDue(now) {
				role = t.Coming
			}
			return frame.Cell{Text: s.Away(now), Style: role}
		}},
		{Head: "MOST OFTEN WRONG BY", Width: 19, Rank: 7, Cell: func(s drill.Standing) frame.Cell {
			return frame.Cell{Text: string(s.MostOften()), Style: t.Caution}
		}},
	}
}
