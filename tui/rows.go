package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Heights from which a row of its own is given to what could be done without.
const (
	roomForLegend  = 22
	roomForOutside = 20
)

// Rows draws the header, the row that is kept for what is late or over a limit, the screen in front, what window and panel show, the line of words,
// and the keys. Where the kept row is too short for all that presses, the rest covers the lowest rows of the screen in front: nothing moves.
func (r *Root) Rows(width, height int) []string {
	below := append(r.mode.footer.Rows(r.snapshot, width, height, r.theme), r.outside(width, height)...)
	below = append(below, r.message(width))
	if height >= roomForLegend {
		below = append(below, r.legend(width))
	}
	const aboveBody = 2
	body := max(0, height-aboveBody-len(below))
	pressing := r.pressing(width, body)
	rest := pressing[1:]
	const figures = 12 // rows, with the leg clock in the last of them
	rows := []string{r.header(width, len(rest) > 0 && body-len(rest) < figures), pressing[0]}
	if front := r.screen(r.front); r.covered() {
		rows = append(rows, r.cover(width, body)...)
	} else if front != nil {
		rows = append(rows, front.Rows(r.snapshot, screen.Size{Width: width, Height: body}, r.theme)...)
	}
	for i, row := range rest {
		if at := aboveBody + body - len(rest) + i; at < len(rows) {
			rows[at] = row
		}
	}
	rows = frame.Block(append(rows, below...), width, height)
	rows = r.over(rows, width)
	if r.theme.ASCII {
		for i, row := range rows {
			rows[i] = inASCII.Replace(row)
		}
	}
	return r.theme.Page(rows)
}

// inASCII stands in for the signs whose width depends on the terminal's locale (Unicode Standard Annex 11, ambiguous), cell for cell: what is cut
// ends in ">", as where there is more to the right.
var inASCII = strings.NewReplacer("±", "~", "·", "/", "×", "x", "°", " ", "…", ">", "²", "2", "³", "3", "½", "~", "•", "*", "–", "-", "—", "-", "’", "'")

// pressing are the rows of what is late or over a limit, the worst first, each of them whole: the kept row, blank while all is well, and at most
// so many more. One that the kept row is too short for stands below once more; where that takes too many rows, they run on as one text.
func (r *Root) pressing(width, most int) []string {
	var all []string
	for _, text := range []string{r.notOnDisk(), r.trouble} {
		if text != "" {
			all = append(all, frame.Clean(text))
		}
	}
	for _, p := range r.snapshot.Pressing {
		text := frame.Clean(p.Text)
		if p.Late != nil {
			text = "LATE " + say.Duration(*p.Late) + " " + text
		}
		all = append(all, text)
	}
	if len(all) == 0 {
		return []string{frame.Fit("", width)}
	}
	room := max(1, width-1)
	lines := pressingLines(all, room)
	if state := r.snapshot.FuelState; state != nil {
		if said := pressingLines(append(slices.Clone(all), "SAY "+frame.Clean(state.Say)), room); len(said) <= 1+most {
			lines = said
		}
	}
	if len(lines) > 1+most {
		lines = frame.Short(frame.Wrap(strings.Join(all, "; "), room), 1+most)
	}
	for i, line := range lines {
		lines[i] = r.theme.Late.Render(frame.Fit(" "+line, width))
	}
	return lines
}

// pressingLines are texts in lines of a width, more than one beside each other where they fit; the first begins again where it takes two.
func pressingLines(all []string, room int) []string {
	const between = "  "
	var lines []string
	for i, text := range all {
		if n := len(lines); n > 0 && frame.Width(lines[n-1])+len(between)+frame.Width(text) <= room {
			lines[n-1] += between + text
			continue
		}
		whole := frame.Wrap(text, room)
		if i == 0 && len(whole) > 1 {
			lines = append(lines, whole[0])
		}
		lines = append(lines, whole...)
	}
	return lines
}

// outside is what window and panel show in a practice flight.
func (r *Root) outside(width, height int) []string {
	if !r.mode.practised || height < roomForOutside || r.front == screen.Cockpit {
		return nil
	}
	return []string{frame.Line(width, frame.Cell{Text: " OUTSIDE ", Style: r.theme.Label},
		frame.Cell{Text: " " + frame.Clean(r.mode.pilot.Outside(r.snapshot.At)), Style: r.theme.Value})}
}

// covered reports whether a question is open whose answer the screen in front would give away.
func (r *Root) covered() bool {
	return r.seat.Question != nil && r.front != screen.Cockpit && r.front != screen.Entries && r.front != screen.Help
}

// cover stands in for a screen that would give an answer away.
func (r *Root) cover(width, height int) []string {
	return frame.Notice("LEG "+say.Elapsed(r.snapshot.Clock.LegSeconds)+". A question is open, and this screen knows the answer. "+
		"Answer it in the cockpit (6), or give it up there.", width, height)
}

// message is a question, or what was said last, or what stands until something else does.
func (r *Root) message(width int) string {
	switch {
	case r.asked != nil:
		const yesNo = " y / n"
		question := frame.Shorten(" "+frame.Clean(r.asked.text)+" ", max(0, width-len(yesNo)))
		return frame.Line(width, frame.Cell{Text: question, Style: r.theme.Due}, frame.Cell{Text: yesNo, Style: r.theme.Key})
	case r.snapshot.Offer != nil && r.mode.records:
		const records, refuses = " records it  ", " refuses"
		yes, no := keys.First(r.global.Yes), keys.First(r.global.No)
		offer := frame.Shorten(" "+frame.Clean(offered(*r.snapshot.Offer))+" ", max(0, width-frame.Width(" "+yes+records+no+refuses)))
		return frame.Line(width, frame.Cell{Text: offer, Style: r.theme.Coming},
			frame.Cell{Text: " " + yes, Style: r.theme.Key}, frame.Cell{Text: records, Style: r.theme.Muted},
			frame.Cell{Text: no, Style: r.theme.Key}, frame.Cell{Text: refuses, Style: r.theme.Muted})
	case r.said != "":
		return r.theme.Value.Render(frame.Fit(" "+frame.Clean(r.said), width))
	case r.earlier != nil:
		return r.theme.Caution.Render(frame.Fit(" the next key counts from "+say.Time(*r.earlier)+" (esc: from now)", width))
	case !r.started:
		return r.theme.Muted.Render(frame.Fit(" "+say.ShortCaution, width))
	default:
		return frame.Fit("", width)
	}
}

// offered says what passing the feed shows.
func offered(o flight.PassingOffer) string {
	if o.Act == flight.Airborne {
		return fmt.Sprintf("the feed shows that you fly since %s:", say.Time(o.At))
	}
	return fmt.Sprintf("the feed passed %s at %s, %s:", o.Point, say.Time(o.At), say.OffTrack(o.OffTrackNM))
}

// over lays the entry line, or the choices, over the last rows; the leg clock stays.
func (r *Root) over(rows []string, width int) []string {
	if r.asked != nil || r.line == nil && r.menu == nil {
		return rows
	}
	bottom := len(rows)
	if bottom >= roomForLegend {
		bottom-- // the keys
	}
	const most = 8
	room := max(1, min(most, bottom/3))
	var drawn []string
	if r.line != nil {
		drawn = r.line.Rows(r.snapshot, width, room, r.theme)
	} else {
		drawn = r.menu.rows(width, room, r.theme)
	}
	for i, row := range drawn {
		if at := bottom - len(drawn) + i; at >= 0 {
			rows[at] = frame.Fit(row, width)
		}
	}
	return rows
}

// rows are as many choices as there is room for, the marked one among them.
func (m *menu) rows(width, room int, t theme.Theme) []string {
	first := frame.Window(len(m.choices), room, m.at)
	var rows []string
	for i := first; i < min(len(m.choices), first+room); i++ {
		text, style := "   "+m.choices[i].Text, t.Value
		if i == m.at {
			text, style = " > "+m.choices[i].Text, t.Selected
		}
		if more := len(m.choices) - first - room; more > 0 && i == first+room-1 {
			text += fmt.Sprintf("   (%d more)", more)
		}
		rows = append(rows, style.Render(frame.Fit(frame.Clean(text), width)))
	}
	return rows
}

// legend names the keys that matter now, with what they would record: those of what the screen in front is about first.
func (r *Root) legend(width int) string {
	switch {
	case r.asked != nil:
		return frame.Keys(r.question.All(), width, r.theme.Key, r.theme.Muted)
	case r.line != nil:
		return frame.Keys(keys.NewLine().All(), width, r.theme.Key, r.theme.Muted)
	case r.menu != nil:
		m := r.menu.keys
		return frame.Keys([]key.Binding{m.Accept, key.NewBinding(key.WithKeys("up", "down"), key.WithHelp("up down", "choose")), m.Cancel}, width, r.theme.Key, r.theme.Muted)
	}
	g := r.live()
	const least, most, others = 12, 32, len(" space    p    t tank   u undo   e enter   ? keys")
	passing, tank := keys.As(g.Passing, r.passingWords()), keys.As(g.Tank, r.tankWords())
	done := keys.As(g.Done, r.doneWords(max(least, min(most, width-others-frame.Width(passing.Help().Desc)))))
	open := keys.As(g.Choices, r.choiceWords(width/2))
	undo, enter, help, quit := keys.As(g.Undo, "undo"), keys.As(g.Entry, "enter"), keys.As(g.Help, "keys"), keys.As(g.Quit, "quit")
	rest := []key.Binding{keys.As(g.Earlier, "earlier"), keys.As(g.Divert, "divert"), keys.As(g.Papers, "papers"), quit, keys.As(g.Slower, "slower"), keys.As(g.Faster, "faster")}
	named := r.mode.footer.Keys(r.snapshot)
	switch r.front {
	case screen.Route:
		named = append(named, passing, open, undo, help, done, enter)
	case screen.Tanks:
		named = append(named, tank, open, undo, help, done, enter)
	case screen.Radio, screen.Entries, screen.Divert:
		named = append(named, open, undo, help, done, enter)
	case screen.Help, screen.Papers:
		named = append(named, keys.As(g.Close, "back"))
	default:
		named = append(named, done, passing)
		if r.handsOff {
			named = append(named, keys.As(g.Hands, "take over"))
		}
		if r.marked().Row || r.front == screen.Cockpit {
			named = append(named, open)
		}
		named = append(named, tank, undo, enter, help)
	}
	return frame.Keys(append(named, rest...), width, r.theme.Key, r.theme.Muted)
}

// doneWords are what the key for the first act, or the marked one, would say.
func (r *Root) doneWords(most int) string {
	p, _ := r.prompt()
	text := frame.Clean(p.Text)
	if text != "" && p.Answer.Act == flight.Done {
		text = "done: " + text
	}
	return frame.Shorten(cmp.Or(text, "done"), most)
}

func (r *Root) passingWords() string {
	point, _ := r.meant()
	return "passing " + frame.Clean(point)
}

func (r *Root) tankWords() string {
	marked := r.marked().Tank
	if r.front != screen.Tanks || marked == "" {
		return "tank"
	}
	return frame.Clean(marked) + " is selected"
}

// choiceWords are what enter would open, in short.
func (r *Root) choiceWords(most int) string {
	var short []string
	for _, c := range r.choices() {
		if c.Short != "" {
			short = append(short, frame.Clean(c.Short))
		}
	}
	return frame.Shorten(strings.Join(short, ", "), most)
}
