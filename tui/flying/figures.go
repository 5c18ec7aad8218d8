package flying

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// Cells of the three columns of figures. They hold five digits five rows high.
const (
	margin      = 1
	columnWidth = 25
	columnStep  = columnWidth + 1
	figuresEnd  = margin + 3*columnStep
)

// phrase is a piece of a line in its role.
type phrase struct {
	role theme.Role
	text string
}

// column is what stands in one column of a row: a phrase, or of one in big digits so high this line.
type column struct {
	phrase
	height, line int
}

// figure is one of the six: what it is, the value in big digits or else in words, and what belongs to it.
type figure struct {
	label     string
	labelRole theme.Role
	value     string // in characters that frame.Big can draw; empty: words
	short     string // in place of the value where there is no room for all of it; empty: none
	words     string // in place of the value
	role      theme.Role
	note      phrase
	more      string // what goes on in the row below the note
}

// figures adds the six to rows, in as many as they take of a height: with notes and big digits, with digits as text, as much as there is room for.
func (d *drawing) figures(rows []string, height int) []string {
	if height < 4 {
		return append(rows, d.inWords()[:max(0, min(height, 2))]...)
	}
	digits := 1
	switch {
	case height >= roomForLarge && d.width >= figuresEnd:
		digits = frame.BigLarge
	case height >= roomForDigits && d.width >= figuresEnd:
		digits = frame.BigSmall
	}
	upper := [3]figure{d.steer(), d.next(), d.when()}
	lower := [3]figure{d.legClock(), d.nextPoint(), d.tankClock()}
	rows = d.row(rows, upper, digits, d.words[:3])
	if digits > 1 || height >= 7 {
		rows = d.notes(rows, upper)
	}
	if digits > 1 {
		rows = append(rows, d.mores.Of(upper[1].more, d.drawMore), "")
	}
	rows = d.row(rows, lower, digits, d.words[3:])
	if digits > 1 || height >= 6 {
		rows = d.notes(rows, lower)
	}
	rows = rows[:min(len(rows), height)]
	clear(d.columns[len(rows):])
	return rows
}

// inWords is the figures where there is no room for labels above them.
func (d *drawing) inWords() []string {
	next, when := d.next(), d.when()
	what := strings.TrimSpace(strings.TrimPrefix(next.label, "NEXT") + " " + next.words + next.value)
	const gaps = 5 // before, between and within the two
	what = frame.Shorten(what, d.width-gaps-frame.Width(when.label)-frame.Width(when.value))
	return []string{
		d.line([]phrase{{d.theme.Label, "LEG"}, {d.theme.Headline, d.legClock().value}}, []phrase{{d.theme.Label, "STEER"}, {d.theme.Headline, d.steer().value}},
			[]phrase{{d.theme.Label, "ETA"}, {d.theme.Headline, d.nextPoint().value}}, []phrase{{d.theme.Label, "TANK"}, {d.theme.Headline, d.tankClock().value}}),
		d.line([]phrase{{when.labelRole, when.label}, {d.theme.Headline, when.value}}, []phrase{{next.labelRole, what}}),
	}
}

// column is where a figure begins and how wide it is.
func (p *page) column(i int) (x, width int) {
	if p.width >= figuresEnd {
		return margin + i*columnStep, columnWidth
	}
	step := (p.width - margin) / 3
	return margin + i*step, max(0, step-1)
}

// row adds three figures beside each other to rows: their labels and their values.
func (d *drawing) row(rows []string, figures [3]figure, digits int, kept []frame.Kept[wordsShown, []string]) []string {
	var lines [1 + frame.BigLarge][3]column
	for i := range figures {
		f := &figures[i]
		_, width := d.column(i)
		lines[0][i].phrase = phrase{f.labelRole, f.label}
		value, height := f.fit(width, digits)
		switch {
		case f.value == "":
			for n, line := range kept[i].Of(wordsShown{f.words, width, digits}, drawWords) {
				lines[1+n][i].phrase = phrase{f.role, line}
			}
		case height == 0:
			lines[1][i].phrase = phrase{f.role, value}
		}
		for n := range height {
			lines[1+n][i] = column{phrase{f.role, value}, height, n}
		}
	}
	for i := range 1 + digits {
		rows = d.add(rows, lines[i])
	}
	return rows
}

// add adds a row of three columns to rows, the first of the screen.
func (d *drawing) add(rows []string, columns [3]column) []string {
	d.columns[len(rows)] = columns
	return append(rows, "")
}

// fit is the value as it fits a width, and in how many rows of big digits; 0: as text.
func (f *figure) fit(width, digits int) (value string, height int) {
	for height := digits; height >= frame.BigSmall; height -= frame.BigLarge - frame.BigSmall {
		for _, value := range [...]string{f.value, f.short} {
			if value != "" && frame.BigWidth(value, height) <= width {
				return value, height
			}
		}
	}
	if frame.Width(f.value) > width && f.short != "" {
		return f.short, 0
	}
	return f.value, 0
}

// drawColumns sets three columns in a row, behind which so many bytes follow.
func (p *page) drawColumns(row *frame.Row, columns [3]column, behind int) {
	p.strip.Clear(p.width)
	for i, three := range columns {
		x, width := p.column(i)
		if three.height == 0 {
			put(&p.strip, x, width, three.phrase)
			continue
		}
		for n, digit := range three.text {
			if n > 0 {
				p.strip.Put(x, " ", three.role)
				x++
			}
			drawn := p.digit(digit, three.height)[three.line]
			p.strip.Put(x, drawn, three.role)
			x += frame.Width(drawn)
		}
	}
	p.strip.AddTo(row, behind)
}

// digit is a character in rows of that height.
func (p *page) digit(character rune, height int) []string {
	if p.digits == nil {
		p.digits = map[digit][]string{}
	}
	of := digit{character, height}
	drawn, ok := p.digits[of]
	if !ok {
		drawn = frame.Big(string(character), height, p.glyphs)
		p.digits[of] = drawn
	}
	return drawn
}

// digit is a character so high.
type digit struct {
	character rune
	height    int
}

// wordsShown are words in place of a value, and the room that they have.
type wordsShown struct {
	words         string
	width, digits int
}

func drawWords(w wordsShown) []string { return frame.Short(frame.Wrap(w.words, w.width), w.digits) }

// put places a phrase in a strip, as much of it as there is room for.
func put(s *frame.Strip, x, width int, p phrase) {
	text := frame.Shorten(p.text, width)
	s.Put(x, text, p.role)
}

func (d *drawing) notes(rows []string, figures [3]figure) []string {
	var notes [3]column
	for i := range figures {
		note := figures[i].note
		if _, width := d.column(i); frame.Width(note.text) > width {
			note.text = frame.Clauses(note.text, width)
		}
		notes[i].phrase = note
	}
	return d.add(rows, notes)
}

// first is the prompt that is answered next; nil where there is none.
func (d *drawing) first() *flight.Prompt {
	if len(d.Prompts) == 0 || !d.Prompts[0].Open() {
		return nil
	}
	return &d.Prompts[0]
}

// turning is the turn at the leg's end once it is due, with its heading; nil before.
func (d *drawing) turning() *flight.Prompt {
	for i := range d.Prompts {
		if p := &d.Prompts[i]; p.Open() && p.Kind == flight.PromptTurn && p.State != flight.Coming && p.Number != nil && p.Answer.Point == d.Leg.To {
			return p
		}
	}
	return nil
}

// stateRole is how a prompt stands as a colour; words say it beside.
func (p *page) stateRole(state flight.PromptState, usual theme.Role) theme.Role {
	switch state {
	case flight.Late:
		return p.theme.Late
	case flight.Due:
		return p.theme.Due
	}
	return usual
}

// figure is one with its label and nothing known of it yet.
func (p *page) figure(label, value string) figure {
	return figure{label: label, labelRole: p.theme.Label, value: value, role: p.theme.Headline}
}

func (p *page) note(text string) phrase { return phrase{p.theme.Value, text} }

type steerShown struct {
	turn            *flight.Prompt // that is due; nil: none is
	over            string         // its point, once it is late: not logged
	lost            bool           // by so much that nobody knows what is to be steered
	now, drift, was known
	own             known  // what is steered, where that is another heading
	manner          string // what it is the heading of, where that is not level flight
}

// manner says that the heading is that of a climb, before the take-off too, or of a descent.
func (d *drawing) manner() string {
	switch {
	case d.Phase == flight.Climbing, (d.Phase == flight.BeforeStart || d.Phase == flight.Taxi) && d.Clock.LegSeconds == nil:
		return "climb: "
	case d.Phase == flight.Descending:
		return "descent: "
	}
	return ""
}

// steer is the heading to steer now, before and in a climb and in a descent that of its airspeed and winds, which the note says: it is not the
// level's, which the nav log has. Once a turn is due it is the heading to turn onto.
func (d *drawing) steer() figure {
	shown := steerShown{
		turn: d.turning(), now: knownOf(d.Steer.HeadingMagnetic), drift: knownOf(d.Steer.Drift), was: knownOf(d.Steer.WasMagnetic), lost: d.Steer.NotKnown,
		manner: d.manner(),
	}
	if shown.turn != nil && shown.turn.State == flight.Late {
		shown.over = d.Leg.To
	}
	const worthSaying = 2.5
	if own := d.Steer.Steering; own != nil && shown.now.is && math.Abs(math.Remainder(shown.now.value-*own, 360)) > worthSaying {
		shown.own = knownOf(own)
	}
	return d.steers.Of(shown, d.drawSteer)
}

func (p *page) drawSteer(s steerShown) figure {
	f := p.figure("STEER", "---")
	if s.turn != nil {
		f.value, f.labelRole = s.turn.Number.String(), p.stateRole(s.turn.State, p.theme.Label)
		f.note = p.note("from " + say.DegreesOf(s.now.pointer()))
		if s.over != "" {
			f.note = phrase{p.theme.Caution, f.note.text + ", " + frame.Clean(s.over) + " not logged"}
		}
		if s.lost {
			f.value = "---"
		}
		return f
	}
	if !s.now.is {
		return f
	}
	f.value = say.Degrees(s.now.value)
	_, width := p.column(0)
	if s.drift.is {
		drift := "drift " + say.Side(s.drift.value, 0)
		f.note = p.note(frame.Fitting(width, s.manner+drift, drift))
	}
	if s.was.is {
		f.note = p.note(frame.Fitting(width, "leg heading "+say.Degrees(s.was.value), "leg HDG "+say.Degrees(s.was.value)))
	}
	if s.own.is {
		f.note = phrase{p.theme.Caution, frame.Fitting(width, "you steer "+say.Degrees(s.own.value), "steering "+say.Degrees(s.own.value))}
	}
	return f
}

type nextShown struct {
	prompt     *flight.Prompt // nil: there is none
	text, with string         // without the place beside it; what else is to be done at its moment, in lines
	covered    bool
	phase      flight.FlightPhase
	to, toName string
}

// next is what is to be done next: its number, else its words.
func (d *drawing) next() figure {
	shown := nextShown{prompt: d.first(), covered: d.Covered, phase: d.Phase, to: d.Leg.To, toName: d.Leg.ToName}
	if shown.prompt != nil {
		shown.text, shown.with = d.textOf(shown.prompt), d.with(shown.prompt)
	}
	return d.nexts.Of(shown, d.drawNext)
}

func (p *page) drawNext(s nextShown) figure {
	f := p.figure("NEXT", "")
	if s.prompt == nil {
		f.words = "nothing is due"
		if s.covered {
			f.words = "what now?"
		}
		if s.phase == flight.Arrived {
			f.words = "arrived at " + frame.Clean(say.Named(s.to, s.toName))
		}
		return f
	}
	text := frame.Clean(s.text)
	f.labelRole = p.stateRole(s.prompt.State, p.theme.Label)
	if s.prompt.Number == nil {
		f.words = p.nextWords(s.prompt, text)
	} else if i := strings.LastIndex(text, s.prompt.Number.String()); i < 0 {
		f.words = text
	} else {
		f.label, f.value = p.nextLabel(s.prompt, text), s.prompt.Number.String()
	}
	note, more := p.detailLines(s)
	f.note, f.more = p.note(note), more
	return f
}

// nextWords is what a prompt asks for, where it has one row in a wording that has room.
func (p *page) nextWords(prompt *flight.Prompt, text string) string {
	_, width := p.column(1)
	if p.width >= figuresEnd {
		return text
	}
	return frame.Fitting(width, (&flight.AheadItem{Text: text, Prompt: prompt}).Wording().Texts()...)
}

// nextLabel is what a prompt asks for up to its number, in a wording that has room.
func (p *page) nextLabel(prompt *flight.Prompt, text string) string {
	_, width := p.column(1)
	var labels []string
	for _, wording := range (&flight.AheadItem{Text: text, Prompt: prompt}).Wording().Texts() {
		if i := strings.LastIndex(wording, prompt.Number.String()); i >= 0 {
			labels = append(labels, "NEXT "+strings.TrimSpace(wording[:i]))
		}
	}
	return frame.Fitting(width, labels...)
}

// textOf is what a prompt asks for, without the place that stands beside it.
func (d *drawing) textOf(p *flight.Prompt) string {
	for i := range d.Ahead {
		if d.Ahead[i].Prompt != nil && d.Ahead[i].Prompt.ID == p.ID {
			return d.Ahead[i].Text
		}
	}
	return p.Text
}

// detailLines are how to do what is asked: as many phrases as the note below NEXT holds, and the rest, with what is to be done at the same moment.
func (p *page) detailLines(s nextShown) (note, more string) {
	var phrases []string
	for _, line := range s.prompt.Detail {
		for _, part := range strings.Split(frame.Clean(line), " · ") {
			phrases = append(phrases, strings.Split(part, ", ")...)
		}
	}
	_, width := p.column(1)
	fill := func(width int) string {
		text := ""
		for len(phrases) > 0 {
			longer := phrases[0]
			if text != "" {
				longer = text + ", " + phrases[0]
			}
			if text != "" && frame.Width(longer) > width {
				break
			}
			text, phrases = longer, phrases[1:]
		}
		return text
	}
	if p.width >= figuresEnd && len(phrases) > 0 { // one that is too long for the note goes on below it
		phrases = append(broken(phrases[0], width), phrases[1:]...)
	}
	note = fill(width)
	if s.with != "" {
		phrases = append(phrases, strings.Split("with it "+s.with, "\n")...)
	}
	rest := slices.Clone(phrases)
	const twoColumns = 2*columnStep - 1
	more = fill(twoColumns)
	if len(phrases) > 0 {
		phrases = rest
		more = fill(twoColumns - len(", 10 more"))
		more += fmt.Sprintf(", %d more", len(phrases))
	}
	return note, more
}

// broken is a phrase in two where it is longer than a width, the first as long as that has room for.
func broken(phrase string, width int) []string {
	lines := frame.Wrap(phrase, width)
	if len(lines) < 2 {
		return []string{phrase}
	}
	return []string{lines[0], strings.TrimSpace(strings.TrimPrefix(phrase, lines[0]))}
}

// with is what else is to be done at the moment of the first prompt, in lines.
func (d *drawing) with(p *flight.Prompt) (texts string) {
	for i := range d.Ahead {
		if item := &d.Ahead[i]; item.Prompt != nil && item.At.Equal(p.Due) && item.Prompt.ID != p.ID {
			if texts != "" {
				texts += "\n"
			}
			texts += frame.Clean(item.Text)
		}
	}
	return texts
}

// drawMore is the second row of notes below NEXT, as wide as two columns.
func (p *page) drawMore(text string) string {
	if text == "" {
		return ""
	}
	p.strip.Clear(p.width)
	x, _ := p.column(1)
	put(&p.strip, x, p.width-x, p.note(text))
	return p.strip.Row()
}

type whenShown struct {
	prompt *flight.Prompt // nil: there is none
	past   bool
	sigma  known // of passing the point that it is to be done over, seconds
}

// when is how long there is until the first prompt is due, or how long ago it was.
func (d *drawing) when() figure {
	p := d.first()
	if p == nil {
		return d.figure("IN", "--:--")
	}
	shown := whenShown{prompt: p, past: d.At.Sub(p.Due) >= time.Second}
	if next := d.Next; next != nil && p.Kind == flight.PromptTurn && p.Answer.Point == next.Point {
		shown.sigma = knownOf(&next.ETASigmaSeconds)
	}
	f := d.whens.Of(shown, d.drawWhen)
	f.value = say.Between(d.At, p.Due)
	return f
}

func (p *page) drawWhen(s whenShown) figure {
	prompt, over := s.prompt, ""
	if prompt.Kind == flight.PromptTurn {
		over = "OVER " + frame.Clean(prompt.Answer.Point) + " "
	}
	if _, width := p.column(2); frame.Width(over+"LATE BY") > width {
		over = ""
	}
	f := p.figure(over+"IN", "")
	f.labelRole = p.stateRole(prompt.State, p.theme.Label)
	if s.past {
		f.label = over + "LATE BY"
		f.note = p.note("due " + say.Time(prompt.Due))
		return f
	}
	f.note = p.note(say.Time(prompt.Due))
	if prompt.Snoozed {
		f.note.text = "again " + say.Time(prompt.Due)
	}
	if _, width := p.column(2); s.sigma.is {
		f.note.text = frame.Fitting(width, f.note.text+" "+say.PlusMinus(s.sigma.value), f.note.text)
	}
	return f
}

type legClockShown struct {
	index, count   int
	to             string // in place of the numbers, where the legs are not those of the plan
	plannedMinutes float64
	started        bool
	arrived        bool
	block          known // seconds, once arrived
}

func (d *drawing) legClock() figure {
	shown := legClockShown{index: d.Leg.Index, count: d.Leg.Count, plannedMinutes: d.Leg.PlannedMinutes, started: d.Clock.LegSeconds != nil}
	counts := d.Clock.LegSeconds
	if d.OffPlan() {
		shown.to = d.Leg.To
	}
	if d.Phase == flight.Arrived {
		shown.arrived, shown.block = true, knownOf(d.Clock.BlockSeconds)
		counts = d.Clock.AirborneSeconds
	}
	f := d.clocks.Of(shown, d.drawLegClock)
	if shown.arrived || shown.started {
		f.setClock(counts)
	}
	return f
}

func (p *page) drawLegClock(s legClockShown) figure {
	f := p.figure("LEG", "--:--")
	switch {
	case s.to != "":
		f.label = "LEG to " + frame.Clean(s.to)
	case s.count > 0:
		f.label = fmt.Sprintf("LEG %d of %d", s.index+1, s.count)
	}
	planned := say.Span(s.plannedMinutes * 60)
	switch {
	case s.arrived:
		f.label = "AIRBORNE"
		f.note = p.note("block time " + say.Elapsed(s.block.pointer()))
	case !s.started:
		_, width := p.column(0)
		f.note = p.note(frame.Fitting(width, "planned "+planned, "of "+planned))
	default:
		f.note = p.note("of " + planned)
	}
	return f
}

// setClock shows a clock that counts up; from an hour on there may be room for hours and minutes alone.
func (f *figure) setClock(seconds *float64) {
	f.value = say.Elapsed(seconds)
	if seconds != nil && *seconds >= 3600 {
		f.short = say.Long(*seconds / 60)
	}
}

type nextPointShown struct {
	there       bool // something is ahead
	point, name string
	eta         time.Time
	against     float64  // seconds
	overdue     *float64 // seconds; nil: it is not
	arrived     bool
}

func (d *drawing) nextPoint() figure {
	var shown nextPointShown
	if to := d.Destination; d.Phase == flight.Arrived && to != nil {
		shown.there, shown.arrived = true, true
		shown.point, shown.eta, shown.against = to.Point, to.ETA, say.Apart(to.Planned, to.ETA).Seconds()
	} else if next := d.Next; next != nil {
		shown.there = true
		shown.point, shown.name, shown.eta, shown.against, shown.overdue = next.Point, next.Name, next.ETA, next.DifferenceSeconds, next.OverdueSeconds
	}
	return d.points.Of(shown, d.drawNextPoint)
}

func (p *page) drawNextPoint(s nextPointShown) figure {
	f := p.figure("ETA", "--:--")
	if !s.there {
		f.note = p.note("nothing ahead")
		return f
	}
	f.value = say.ColumnMinute(s.eta) // the note below has its seconds
	stands := (&flight.NextPoint{DifferenceSeconds: s.against, OverdueSeconds: s.overdue}).Stands()
	_, width := p.column(1)
	f.note = p.note(say.Time(s.eta) + ", " + stands)
	if s.arrived {
		f.label = "OVERHEAD " + frame.Clean(s.point)
		return f
	}
	f.label = frame.Fitting(width, "ETA "+frame.Clean(say.Named(s.point, s.name)), "ETA "+frame.Clean(s.point))
	switch {
	case s.overdue == nil:
	case *s.overdue > 60:
		f.note = phrase{p.theme.Caution, frame.Fitting(width, stands+": passed?", stands)}
	default:
		f.note.text = frame.Fitting(width, f.note.text, stands)
	}
	return f
}

type tankChangeShown struct {
	selected      string
	to            string // empty: no change is ahead
	at            time.Time
	late          bool
	state         flight.PromptState // of the prompt for it; empty: there is none
	imbalance, of known              // where it is near its limit
}

func (d *drawing) tankClock() figure {
	k := &d.Tanks
	shown := tankChangeShown{selected: k.Selected}
	if k.NextChange == nil {
		return d.changes.Of(shown, d.drawTankChange)
	}
	shown.to, shown.at = k.NextChange.To, k.NextChange.At
	const near = 0.75
	if k.MaxImbalance != nil && k.Imbalance >= near**k.MaxImbalance {
		shown.imbalance, shown.of = known{say.Tenths(k.Imbalance), true}, knownOf(k.MaxImbalance)
	}
	if shown.late = shown.at.Before(d.At); shown.late {
		if p := d.tankPrompt(); p != nil {
			shown.state = p.State
		}
	}
	f := d.changes.Of(shown, d.drawTankChange)
	f.value = say.Between(d.At, shown.at)
	return f
}

func (p *page) drawTankChange(s tankChangeShown) figure {
	f := p.figure("TANK", "--:--")
	feeds := "none selected"
	if s.selected != "" {
		feeds = frame.Clean(s.selected) + " feeds"
	}
	if s.to == "" {
		f.note = p.note(feeds)
		return f
	}
	_, width := p.column(2)
	label := func(then string) string {
		to := "TO " + strings.ToUpper(frame.Clean(s.to)) + " " + then
		return frame.Fitting(width, "TANK "+to, to)
	}
	f.label = label("IN")
	f.note = p.note(feeds + ", by " + say.Time(s.at))
	if frame.Width(f.note.text) > width {
		f.note.text = "by " + say.Time(s.at)
	}
	if s.imbalance.is {
		of := say.Amount(s.imbalance.value) + " of " + say.Amount(s.of.value)
		f.note = phrase{p.theme.Caution, frame.Fitting(width, "imbalance "+of, of)}
	}
	if s.late {
		f.label, f.labelRole = label("LATE"), p.theme.Late
		if s.state != "" {
			f.labelRole = p.stateRole(s.state, p.theme.Label)
		}
	}
	return f
}

// tankPrompt is the open prompt of a change of tank.
func (d *drawing) tankPrompt() *flight.Prompt {
	for i := range d.Prompts {
		if p := &d.Prompts[i]; p.Open() && p.Kind == flight.PromptTank {
			return p
		}
	}
	return nil
}
