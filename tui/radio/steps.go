package radio

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/theme"
)

// step is something to be tuned or identified.
type step struct {
	due                       *time.Time // nil: not known
	state, when, what, detail string
	wordings                  []string // what, at length and then ever shorter
	role                      theme.Role
}

// steps lists what is to be tuned and identified, soonest first: the prompts, and each receiver's next beacon where no prompt
// asks for it yet.
func (d *drawing) steps() []*step {
	var steps []*step
	asked := map[[2]string]bool{}
	for _, p := range d.Prompts {
		if p.Open() && (p.Kind == flight.PromptTune || p.Kind == flight.PromptIdentify) {
			steps = append(steps, d.promptStep(p))
			asked[[2]string{p.Answer.Receiver, p.Answer.Beacon}] = true
		}
	}
	for _, r := range d.Radio {
		if r.Next != nil && !asked[[2]string{r.Receiver, r.Next.Beacon}] {
			steps = append(steps, d.nextStep(r.Receiver, *r.Next))
		}
	}
	slices.SortStableFunc(steps, byDue)
	return steps
}

// byDue sorts by time, what has none last.
func byDue(a, b *step) int {
	switch {
	case a.due == nil && b.due == nil:
		return 0
	case a.due == nil:
		return 1
	case b.due == nil:
		return -1
	default:
		return a.due.Compare(*b.due)
	}
}

func (d *drawing) promptStep(p flight.Prompt) *step {
	detail := make([]string, len(p.Detail))
	for i, line := range p.Detail {
		detail[i] = frame.Clean(line)
	}
	when := d.when(p.Due)
	if p.Over != "" && p.State == flight.Coming && p.Due.Sub(d.At) < time.Second { // that is overdue
		when = "over " + frame.Clean(p.Over)
	}
	wordings := p.Wording().Texts()
	for i, text := range wordings {
		wordings[i] = frame.Clean(text)
	}
	s := &step{due: &p.Due, when: when, what: wordings[0], wordings: wordings, detail: strings.Join(detail, ", "), role: d.theme.Value}
	switch {
	case p.State == flight.Late:
		s.state, s.role = "LATE", d.theme.Late
	case p.State == flight.Due:
		s.state, s.role = "DUE", d.theme.Due
	case p.Announce:
		s.state, s.role = "SOON", d.theme.Coming
	}
	return s
}

func (d *drawing) nextStep(receiver string, n flight.BeaconNext) *step {
	on, short := frame.Clean(receiver)+" "+station(n.Beacon, n.Name, n.Frequency), frame.Clean(receiver)+" "+station(n.Beacon, "", n.Frequency)
	s := &step{
		due: n.Due, when: d.nextWhen(n), what: "tune " + on, wordings: []string{on, short},
		detail: "ident " + spelled(n.Beacon, n.Morse), role: d.theme.Value,
	}
	if n.Course != nil {
		s.detail += ", " + flight.CourseWord(n.Held) + " " + say.Degrees(*n.Course)
	}
	if n.Due != nil && !d.At.Before(*n.Due) {
		s.state, s.role = "DUE", d.theme.Due
	}
	return s
}

// nextWhen is how long until a beacon is due, or by how long it is late, or where if the time is not known.
func (d *drawing) nextWhen(n flight.BeaconNext) string {
	if n.Due == nil {
		return fmt.Sprintf("leg %d, %s", n.Leg+1, say.Miles(n.AfterNM))
	}
	return d.when(*n.Due)
}

// when is how long there is to go until a time, or how long it was since.
func (d *drawing) when(due time.Time) string {
	if due.After(d.At) {
		return say.In(d.At, due)
	}
	return "late by " + say.Between(due, d.At)
}

// howWidth is the width from which how a step is done stands beside it; below it has rows of its own, where there are.
const howWidth = 150

func (d *drawing) stepColumns() []frame.Column[*step] {
	cell := func(text func(*step) string, role theme.Role) func(*step) frame.Cell {
		return func(s *step) frame.Cell { return frame.Cell{Text: text(s), Style: role} }
	}
	columns := []frame.Column[*step]{
		{Head: "TO DO", Width: 5, Cell: func(s *step) frame.Cell { return frame.Cell{Text: s.state, Style: s.role} }},
		{Head: "UTC", Width: 8, Rank: 1, Cell: cell(func(s *step) string { return say.Or(s.due, say.UTC) }, d.theme.Value)},
		{Width: 15, Cell: cell(func(s *step) string { return s.when }, d.theme.Value)},
		{
			Head: "what", Width: 24, Grow: 12, Cell: cell(func(s *step) string { return s.what }, d.theme.Value),
			Wordings: func(s *step) []string { return s.wordings },
		},
	}
	if d.width >= howWidth {
		columns = append(columns, frame.Column[*step]{Head: "how", Width: 20, Grow: 90, Cell: cell(func(s *step) string { return s.detail }, d.theme.Muted)})
	}
	return columns
}

// stepRows is a head and as many steps as fit; where not all do, the last row says how many more. Where there is hardly room the first stands alone.
func (d *drawing) stepRows(rows int) []string {
	if rows <= 0 {
		return nil
	}
	steps := d.steps()
	fitted := frame.FitTable(d.stepColumns(), d.width-1)
	drawn := []string{" " + fitted.Head(d.theme.Title, d.theme.Label)}
	if len(steps) == 0 {
		return append(drawn, d.theme.Muted.Render(" nothing is to be tuned"))
	}
	shown, spare := len(steps), rows-1-len(steps)
	switch {
	case spare < 0 && rows < 3:
		drawn, shown = nil, 1
	case spare < 0:
		shown = rows - 2 // and one for how many more
	}
	for _, s := range steps[:shown] {
		drawn = append(drawn, " "+fitted.Row(s))
		if d.width < howWidth && spare > len(s.detail)/max(1, d.width-textColumn-1) && s.detail != "" {
			for _, line := range frame.Wrap(s.detail, max(1, d.width-textColumn-1)) {
				drawn = append(drawn, d.theme.Muted.Render(frame.Fit(strings.Repeat(" ", textColumn)+line, d.width)))
				spare--
			}
		}
	}
	if shown < len(steps) && len(drawn) < rows {
		drawn = append(drawn, d.theme.Muted.Render(fmt.Sprintf(" … %d more", len(steps)-shown)))
	}
	return drawn
}
