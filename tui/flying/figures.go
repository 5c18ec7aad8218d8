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

// figures draws the six in as many rows as they take of a height: with notes and big digits, with digits as text, as much as there is room for.
func (d *drawing) figures(height int) []string {
	if height < 4 {
		return d.inWords()[:max(0, min(height, 2))]
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
	rows := d.row(upper, digits)
	if digits > 1 || height >= 7 {
		rows = append(rows, d.notes(upper))
	}
	if digits > 1 {
		rows = append(rows, d.more(upper[1]), "")
	}
	rows = append(rows, d.row(lower, digits)...)
	if digits > 1 || height >= 6 {
		rows = append(rows, d.notes(lower))
	}
	return rows[:min(len(rows), height)]
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
func (d *drawing) column(i int) (x, width int) {
	if d.width >= figuresEnd {
		return margin + i*columnStep, columnWidth
	}
	step := (d.width - margin) / 3
	return margin + i*step, max(0, step-1)
}

// row is three figures beside each other: their labels and their values.
func (d *drawing) row(figures [3]figure, digits int) []string {
	strips := make([]*frame.Strip, 1+digits)
	for i := range strips {
		strips[i] = frame.NewStrip(d.width)
	}
	for i, f := range figures {
		x, width := d.column(i)
		d.put(strips[0], x, width, phrase{f.labelRole, f.label})
		for n, line := range d.value(f, width, digits) {
			d.put(strips[1+n], x, width, phrase{f.role, line})
		}
	}
	rows := make([]string, len(strips))
	for i, s := range strips {
		rows[i] = s.Row()
	}
	return rows
}

// value is the value as big as there is room, in rows of at most so many digits' height.
func (d *drawing) value(f figure, width, digits int) []string {
	if f.value == "" {
		return frame.Short(frame.Wrap(f.words, width), digits)
	}
	for height := digits; height >= frame.BigSmall; height -= frame.BigLarge - frame.BigSmall {
		for _, value := range []string{f.value, f.short} {
			if value != "" && frame.BigWidth(value, height) <= width {
				return frame.Big(value, height, d.glyphs)
			}
		}
	}
	if frame.Width(f.value) > width && f.short != "" {
		return []string{f.short}
	}
	return []string{f.value}
}

func (d *drawing) put(s *frame.Strip, x, width int, p phrase) {
	text := frame.Shorten(p.text, width)
	s.Put(x, text, p.role)
}

func (d *drawing) notes(figures [3]figure) string {
	s := frame.NewStrip(d.width)
	for i, f := range figures {
		x, width := d.column(i)
		d.put(s, x, width, f.note)
	}
	return s.Row()
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
func (d *drawing) stateRole(p *flight.Prompt, usual theme.Role) theme.Role {
	switch p.State {
	case flight.Late:
		return d.theme.Late
	case flight.Due:
		return d.theme.Due
	}
	return usual
}

// steer is the heading to steer now. Once a turn is due it is the heading to turn onto.
func (d *drawing) steer() figure {
	f := figure{label: "STEER", labelRole: d.theme.Label, value: "---", role: d.theme.Headline}
	now := d.Steer.HeadingMagnetic
	if p := d.turning(); p != nil {
		f.value, f.labelRole = p.Number.String(), d.stateRole(p, d.theme.Label)
		f.note = phrase{d.theme.Value, "was " + say.DegreesOf(now)}
		return f
	}
	if now == nil {
		return f
	}
	f.value = say.Degrees(*now)
	if drift := d.Steer.Drift; drift != nil {
		f.note = phrase{d.theme.Value, "drift " + say.Side(*drift, 0)}
	}
	if was := d.Steer.WasMagnetic; was != nil {
		f.note = phrase{d.theme.Value, "was " + say.Degrees(*was)}
	}
	const worthSaying = 2.5
	if own := d.Steer.Steering; own != nil && math.Abs(math.Remainder(*now-*own, 360)) > worthSaying {
		f.note = phrase{d.theme.Caution, "you steer " + say.Degrees(*own)}
	}
	return f
}

// next is what is to be done next: its number, else its words.
func (d *drawing) next() figure {
	f := figure{label: "NEXT", labelRole: d.theme.Label, role: d.theme.Headline}
	p := d.first()
	if p == nil {
		f.words = "nothing is due"
		if d.Covered {
			f.words = "what now?"
		}
		if d.Phase == flight.Arrived {
			f.words = "arrived at " + frame.Clean(say.Named(d.Leg.To, d.Leg.ToName))
		}
		return f
	}
	text := frame.Clean(d.textOf(p))
	f.labelRole = d.stateRole(p, d.theme.Label)
	if p.Number == nil {
		f.words = text
	} else if i := strings.LastIndex(text, p.Number.String()); i < 0 {
		f.words = text
	} else {
		f.label, f.value = "NEXT "+strings.TrimSpace(text[:i]), p.Number.String()
	}
	note, more := d.detailLines(p)
	f.note, f.more = phrase{d.theme.Value, note}, more
	return f
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
func (d *drawing) detailLines(p *flight.Prompt) (note, more string) {
	var phrases []string
	for _, line := range p.Detail {
		for _, part := range strings.Split(frame.Clean(line), " · ") {
			phrases = append(phrases, strings.Split(part, ", ")...)
		}
	}
	_, width := d.column(1)
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
	note = fill(width)
	with := d.with(p)
	if len(with) > 0 {
		phrases = append(phrases, "with it "+with[0])
		phrases = append(phrases, with[1:]...)
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

// with is what else is to be done at the moment of the first prompt.
func (d *drawing) with(p *flight.Prompt) []string {
	var texts []string
	for i := range d.Ahead {
		if item := &d.Ahead[i]; item.Prompt != nil && item.Prompt.ID != p.ID && item.At.Equal(p.Due) {
			texts = append(texts, frame.Clean(item.Text))
		}
	}
	return texts
}

// more is the second row of notes below NEXT, as wide as two columns.
func (d *drawing) more(next figure) string {
	if next.more == "" {
		return ""
	}
	s := frame.NewStrip(d.width)
	x, _ := d.column(1)
	d.put(s, x, d.width-x, phrase{d.theme.Value, next.more})
	return s.Row()
}

// when is how long there is until the first prompt is due, or how long ago it was.
func (d *drawing) when() figure {
	f := figure{label: "IN", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	p := d.first()
	if p == nil {
		return f
	}
	f.value = say.Between(d.At, p.Due)
	over := ""
	if p.Kind == flight.PromptTurn {
		over = "OVER " + frame.Clean(p.Answer.Point) + " "
	}
	if d.At.Sub(p.Due) >= time.Second {
		f.label, f.labelRole = over+"LATE BY", d.stateRole(p, d.theme.Label)
		f.note = phrase{d.theme.Value, "due " + say.Time(p.Due)}
		return f
	}
	f.label, f.labelRole = over+"IN", d.stateRole(p, d.theme.Label)
	f.note = phrase{d.theme.Value, say.Time(p.Due)}
	if p.Snoozed {
		f.note.text = "again " + say.Time(p.Due)
	}
	if next := d.Next; next != nil && p.Kind == flight.PromptTurn && p.Answer.Point == next.Point {
		f.note.text += " " + say.PlusMinus(next.ETASigmaSeconds)
	}
	return f
}

func (d *drawing) legClock() figure {
	f := figure{label: "LEG", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	if d.Leg.Count > 0 {
		f.label = fmt.Sprintf("LEG %d of %d", d.Leg.Index+1, d.Leg.Count)
	}
	planned := say.Span(d.Leg.PlannedMinutes * 60)
	if d.Phase == flight.Arrived {
		f.label = "AIRBORNE"
		f.setClock(d.Clock.AirborneSeconds)
		f.note = phrase{d.theme.Value, "block time " + say.Elapsed(d.Clock.BlockSeconds)}
		return f
	}
	if d.Clock.LegSeconds == nil {
		f.note = phrase{d.theme.Value, "planned " + planned}
		return f
	}
	f.setClock(d.Clock.LegSeconds)
	f.note = phrase{d.theme.Value, "of " + planned}
	return f
}

// setClock shows a clock that counts up; from an hour on there may be room for hours and minutes alone.
func (f *figure) setClock(seconds *float64) {
	f.value = say.Elapsed(seconds)
	if seconds != nil && *seconds >= 3600 {
		f.short = say.Long(*seconds / 60)
	}
}

func (d *drawing) nextPoint() figure {
	f := figure{label: "ETA", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	if to := d.Destination; d.Phase == flight.Arrived && to != nil {
		f.label, f.value = "OVERHEAD "+frame.Clean(to.Point), clockMinute(to.ETA)
		f.note = phrase{d.theme.Value, say.Time(to.ETA) + ", " + say.Against(to.ETA.Sub(to.Planned).Seconds())}
		return f
	}
	next := d.Next
	if next == nil {
		f.note = phrase{d.theme.Value, "nothing ahead"}
		return f
	}
	f.label, f.value = "ETA "+frame.Clean(say.Named(next.Point, next.Name)), clockMinute(next.ETA)
	f.note = phrase{d.theme.Value, say.Time(next.ETA) + ", " + say.Against(next.DifferenceSeconds)}
	if overdue := d.At.Sub(next.ETA); overdue > time.Minute {
		f.note = phrase{d.theme.Caution, "overdue " + say.Span(overdue.Seconds()) + ": passed?"}
	}
	return f
}

// clockMinute is a time in the characters of big digits; the note below has its seconds.
func clockMinute(t time.Time) string { return say.ColumnMinute(t) }

func (d *drawing) tankClock() figure {
	f := figure{label: "TANK", labelRole: d.theme.Label, value: "--:--", role: d.theme.Headline}
	k := d.Tanks
	feeds := "none selected"
	if k.Selected != "" {
		feeds = frame.Clean(k.Selected) + " feeds"
	}
	change := k.NextChange
	if change == nil {
		f.note = phrase{d.theme.Value, feeds}
		return f
	}
	f.label, f.value = "TANK TO "+strings.ToUpper(frame.Clean(change.To))+" IN", say.Between(d.At, change.At)
	f.note = phrase{d.theme.Value, feeds + ", by " + say.Time(change.At)}
	if frame.Width(f.note.text) > columnWidth {
		f.note.text = "by " + say.Time(change.At)
	}
	const near = 0.75
	if k.MaxImbalance != nil && k.Imbalance >= near**k.MaxImbalance {
		f.note = phrase{d.theme.Caution, "imbalance " + say.Amount(k.Imbalance) + " of " + say.Amount(*k.MaxImbalance)}
	}
	if change.At.Before(d.At) {
		f.label, f.labelRole = "TANK TO "+strings.ToUpper(frame.Clean(change.To))+" LATE", d.theme.Late
		if p := d.tankPrompt(); p != nil {
			f.labelRole = d.stateRole(p, d.theme.Label)
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
