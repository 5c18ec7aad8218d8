package flying

import (
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
	"example.com/legclock/tui/words"
)

// open lists the prompts that are not answered, soonest first.
func (d *drawing) open() []flight.Prompt {
	for i, p := range d.Prompts {
		if !p.Open() {
			return d.Prompts[:i]
		}
	}
	return d.Prompts
}

func (d *drawing) first() (p *flight.Prompt, ok bool) {
	prompts := d.open()
	if len(prompts) == 0 {
		return nil, false
	}
	return &prompts[0], true
}

// stateWord says in one word how a prompt stands.
func (d *drawing) stateWord(p *flight.Prompt) string {
	switch {
	case p.State == flight.Late:
		return "LATE"
	case p.State == flight.Due:
		return "DUE"
	case p.Announce:
		return "SOON"
	default:
		return "NEXT"
	}
}

func (d *drawing) stateRole(p *flight.Prompt) theme.Role {
	switch {
	case p.State == flight.Late:
		return d.theme.Late
	case p.State == flight.Due:
		return d.theme.Due
	case p.Announce:
		return d.theme.NextAct
	default:
		return d.theme.Coming
	}
}

// next is the one thing to do: a bar with what and when, below it how, beside it how long there is in big digits.
func (d *drawing) next(rows int) []string {
	p, ok := d.first()
	if !ok {
		return d.nothingDue(rows)
	}
	when := "at " + say.Time(p.Due)
	if p.Snoozed {
		when = "snoozed to " + say.Time(p.Due)
	} else if p.State != flight.Coming {
		when = "since " + say.Time(p.Due)
	}
	what := frame.Clean(p.Text)
	bar := d.bar(d.barRole(p), " "+d.stateWord(p)+"  "+words.Mark(p.Kind)+" "+what, when+" ")
	digits := d.bigSpan(p.Due.Sub(d.At).Seconds(), rows-1)
	beside := frame.Width(digits[0])
	const margin, gap = 1, 2
	width := d.width - beside - margin - gap
	drawn := append(make([]string, 0, rows), bar)
	detail := d.nextDetail(p, width, rows-1)
	for n := range rows - 1 {
		var row frame.Row
		row.Grow(2 * d.width)
		row.Pad(margin)
		text := ""
		if n < len(detail) {
			text = detail[n]
		}
		row.Fit(text, width)
		if n < len(digits) {
			row.Add(digits[n], d.theme.Headline)
		} else {
			row.Pad(beside)
		}
		row.Pad(gap)
		drawn = append(drawn, row.String())
	}
	return drawn
}

// barRole makes the bar the largest patch of the screen whatever the state.
func (d *drawing) barRole(p *flight.Prompt) theme.Role {
	if role := d.stateRole(p); role != d.theme.Coming {
		return role
	}
	return d.theme.NextAct
}

// bar is one row in one role: a text at each end, the left one cut first.
func (d *drawing) bar(role theme.Role, left, right string) string {
	room := max(0, d.width-frame.Width(right))
	return role.Render(frame.Fit(frame.Fit(left, room)+right, d.width))
}

// nextDetail is how to do it and, in the rows that are left, at least one, what comes after.
func (d *drawing) nextDetail(p *flight.Prompt, width, rows int) []string {
	var detail []string
	for _, line := range p.Detail {
		detail = append(detail, frame.Clean(line))
	}
	if len(detail) > rows-1 {
		detail = frame.Wrap(strings.Join(detail, " · "), width)
	}
	detail = detail[:min(len(detail), rows-1)]
	for i := range detail {
		detail[i] = d.theme.Value.Render(words.Cut(detail[i], width))
	}
	after := d.open()[1:]
	if len(detail) == rows-1 {
		return append(detail, d.alsoDue(after, width))
	}
	for i := range after {
		if len(detail) >= rows {
			break
		}
		detail = append(detail, d.then(&after[i], i == 0, width))
	}
	return detail
}

// then is one prompt that comes after the first.
func (d *drawing) then(p *flight.Prompt, first bool, width int) string {
	lead := "     "
	if first {
		lead = "then "
	}
	cells := []frame.Cell{{Text: lead, Style: d.theme.Label}}
	if p.State != flight.Coming || p.Announce {
		cells = append(cells, frame.Cell{Text: d.stateWord(p), Style: d.stateRole(p)}, frame.Cell{Text: " "})
	}
	cells = append(cells, frame.Cell{Text: words.Mark(p.Kind) + " " + words.Cut(frame.Clean(p.Text), max(8, width-30))},
		frame.Cell{Text: "  " + say.Time(p.Due), Style: d.theme.Label})
	return frame.Line(width, cells...)
}

// alsoDue is one row: all else that is due, or what comes first after.
func (d *drawing) alsoDue(after []flight.Prompt, width int) string {
	if len(after) == 0 {
		return ""
	}
	if after[0].State == flight.Coming {
		return d.then(&after[0], true, width)
	}
	var groups [][]phrase
	for i := range after {
		p := &after[i]
		if p.State == flight.Coming {
			break
		}
		group := []phrase{{d.stateRole(p), d.stateWord(p)}, {d.theme.Value, words.Mark(p.Kind) + " " + words.Cut(frame.Clean(p.Text), 26)}}
		if i == 0 {
			group = slices.Insert(group, 0, phrase{d.theme.Label, "then"})
		}
		groups = append(groups, group)
	}
	return d.line(width+1, groups...)[1:]
}

// nothingDue is what stands in place of the next thing when there is none.
func (d *drawing) nothingDue(rows int) []string {
	if d.Phase != flight.Arrived {
		return []string{d.bar(d.theme.Done, " NOTHING IS DUE", "")}
	}
	bar := d.bar(d.theme.Done, " ARRIVED  "+frame.Clean(say.Named(d.Leg.To, d.Leg.ToName)), say.Time(d.At)+" ")
	detail := []string{
		bar,
		" airborne " + say.Elapsed(d.Clock.AirborneSeconds) + ", from block to block " + say.Elapsed(d.Clock.BlockSeconds),
		" fuel left " + say.Amount(d.Tanks.TotalUsable) + " " + say.Unit(d.Tanks.Unit) + " usable, " + say.Long(d.Tanks.EnduranceMinutes),
	}
	for i := range detail[1:] {
		detail[1+i] = frame.Fit(detail[1+i], d.width)
	}
	return detail[:min(rows, len(detail))]
}

// bigSpan is a span in digits as high as there is room; what is past is marked with a plus.
func (d *drawing) bigSpan(seconds float64, rows int) []string {
	text := say.Span(seconds)
	if seconds < -0.5 {
		text = "+" + text
	}
	return d.big(text, rows)
}

func (d *drawing) big(text string, rows int) []string {
	height := frame.BigSmall
	if rows >= frame.BigLarge {
		height = frame.BigLarge
	}
	return frame.Big(text, height, d.glyphs)
}

func indent(rows []string, by int) []string {
	for i := range rows {
		rows[i] = strings.Repeat(" ", by) + rows[i]
	}
	return rows
}
