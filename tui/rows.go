package tui

import (
	"fmt"
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

// drawn is what the root drew last, in one theme and size, and from what: most rows are the same for many seconds.
type drawn struct {
	theme         theme.Theme
	width, height int

	tabs    frame.Kept[screen.Name, []tab]
	message frame.Kept[phrase, string]
	legend  frame.Kept[legendShown, string]
	page    frame.KeptRows[string]
	strip   frame.Strip
	calm    string // the kept row while nothing presses
}

// phrase is a text in its role.
type phrase struct {
	role theme.Role
	text string
}

// Rows draws the header, the row that is kept for what is late or over a limit, the screen in front, what window and panel show, the line of words,
// and the keys. Where the kept row is too short for all that presses, the rest covers the lowest rows of the screen in front, for as long as these
// are blank or it is to be read: nothing moves.
func (r *Root) Rows(width, height int) []string {
	if r.drawn == nil || r.drawn.theme != r.theme || r.drawn.width != width || r.drawn.height != height {
		r.drawn = &drawn{theme: r.theme, width: width, height: height}
	}
	var room [8]string
	below := append(append(room[:0], r.mode.footer.Rows(r.snapshot, width, height, r.theme)...), r.outside(width, height)...)
	message := r.message(width, mostOver(height))
	below = append(below, message[len(message)-1])
	if height >= roomForLegend {
		below = append(below, r.legend(width))
	}
	const aboveBody = 2
	body := max(0, height-aboveBody-len(below))
	var front []string
	if shown := r.screen(r.front); r.covered() {
		front = r.cover(width, body)
	} else if shown != nil {
		front = shown.Rows(r.snapshot, screen.Size{Width: width, Height: body}, r.theme)
	}
	kept, rest := r.pressing(width, front)
	const figures = 12 // rows, with the leg clock in the last of them
	rows := make([]string, 0, max(height, aboveBody+body+len(below)))
	rows = append(rows, r.header(width, len(rest) > 0 && body-len(rest) < figures), kept)
	rows = append(rows, front[:len(front)-len(rest)]...)
	rows = append(rows, rest...)
	rows = append(rows, below...)
	rows = append(rows[:min(len(rows), max(height, 0))], make([]string, max(0, height-len(rows)))...)
	for i, row := range r.over(rows, message, width) {
		rows[i] = r.drawn.page.Of(i, row, r.drawn.finish)
	}
	return rows
}

// finish is a row at its full width, on the page.
func (d *drawn) finish(row string) string {
	return d.theme.Page([]string{frame.Fit(row, d.width)})[0]
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

// message is what was said last and what the feed offers, or what stands until something else is said: the last row at its place, and above it what
// has no room there, in so many rows at most, for as long as it is to be read.
func (r *Root) message(width, most int) []string {
	var rows []string
	if r.said != "" {
		rows = []string{r.drawn.message.Of(phrase{r.theme.Value, r.said}, r.drawn.line)}
	}
	offered, read := r.snapshot.Offer != nil && r.mode.records, r.clock.Wall().Before(r.saying.until)
	if text := frame.Clean(r.said); read && frame.Width(text) >= width {
		rows = frame.Short(frame.Wrap(text, max(1, width-1)), most)
		for i, line := range rows {
			rows[i] = r.drawn.line(phrase{r.theme.Value, line})
		}
	}
	switch {
	case offered && read:
		return append(rows[:min(len(rows), most-1)], r.offer(width))
	case offered:
		return []string{r.offer(width)}
	case len(rows) > 0:
		return rows
	case r.earlier != nil:
		return []string{r.theme.Caution.Render(frame.Fit(" the next key counts from "+say.Time(*r.earlier)+" (esc: from now)", width))}
	case !r.started:
		caution := frame.Fitting(max(0, width-1), say.ShortCaution, say.ShortestCaution)
		return []string{r.drawn.message.Of(phrase{r.theme.Muted, caution}, r.drawn.line)}
	default:
		return []string{frame.Fit("", width)}
	}
}

// offer is what the feed shows, at such length that what answers it is seen too.
func (r *Root) offer(width int) string {
	yes, no := keys.First(r.global.Yes), keys.First(r.global.No)
	answers := []frame.Cell{
		{Text: " " + yes, Style: r.theme.Key},
		{Text: " records it  ", Style: r.theme.Muted},
		{Text: no, Style: r.theme.Key},
		{Text: " refuses", Style: r.theme.Muted},
	}
	room := width - len("  ")
	for _, cell := range answers {
		room -= frame.Width(cell.Text)
	}
	wordings := offered(*r.snapshot.Offer)
	if whole := wordings[min(1, len(wordings)-1)]; frame.Width(whole) > room {
		yesNo := " " + yes + " / " + no
		answers = []frame.Cell{{Text: yesNo, Style: r.theme.Key}}
		room = width - len("  ") - frame.Width(yesNo)
	}
	text := frame.Fitting(max(1, room), wordings...)
	return frame.Line(width, append([]frame.Cell{{Text: " " + text + " ", Style: r.theme.Coming}}, answers...)...)
}

// line is a phrase in a row.
func (d *drawn) line(p phrase) string {
	return p.role.Render(frame.Fit(" "+frame.Clean(p.text), d.width))
}

// offered says what the feed shows, at length and then ever shorter, with what may be cut last.
func offered(o flight.PassingOffer) []string {
	at := say.Time(o.At)
	if o.Act == flight.Airborne {
		return []string{"the feed shows you airborne since " + at + ":", "feed " + at + ": airborne"}
	}
	point := frame.Clean(o.Point)
	return []string{
		fmt.Sprintf("the feed passed %s at %s, %s:", point, at, say.OffTrack(o.OffTrackNM)),
		fmt.Sprintf("feed %s: %s, %s", at, point, say.OffTrack(o.OffTrackNM)),
		fmt.Sprintf("feed %s: %s, %s", at, point, say.MilesAside(o.OffTrackNM)),
		fmt.Sprintf("feed %s: %s", at, point),
	}
}

// mostOver is how many rows may lie over the screen in front: the leg clock stays.
func mostOver(height int) int {
	const most = 8
	return max(1, min(most, belowAll(height)/3))
}

// belowAll is the row below which there are but the keys.
func belowAll(height int) int {
	if height >= roomForLegend {
		return height - 1
	}
	return height
}

// over lays a question, the entry line, or the choices, else what of the message has no room in its row, over the last rows.
func (r *Root) over(rows, message []string, width int) []string {
	bottom, room := belowAll(len(rows)), mostOver(len(rows))
	open := r.asked != nil || r.line != nil || r.menu != nil
	said := open && r.gone.line != "" && strings.HasSuffix(r.said, r.gone.line) // what is drawn stands where that is said
	if said {
		room = max(1, room-1)
	}
	drawn := message
	switch {
	case r.asked != nil:
		drawn = r.asked.rows(width, room, r.theme)
	case r.line != nil:
		drawn = r.line.Rows(r.snapshot, width, room, r.theme)
	case r.menu != nil:
		drawn = r.menu.rows(width, room, r.theme)
	}
	if said {
		drawn = append(r.message(width, 1), drawn...)
	}
	for i, row := range drawn {
		if at := bottom - len(drawn) + i; at >= 0 {
			rows[at] = frame.Fit(row, width)
		}
	}
	return rows
}

// rows are the question in as many rows as it needs and has room for, with its answers behind it.
func (a *asked) rows(width, room int, t theme.Theme) []string {
	const yesNo = " y / n"
	rows := frame.Short(frame.Wrap(frame.Clean(a.text), max(1, width-len("  ")-len(yesNo))), room)
	last := len(rows) - 1
	for i, text := range rows[:last] {
		rows[i] = t.Due.Render(frame.Fit(" "+text, width))
	}
	rows[last] = frame.Line(width, frame.Cell{Text: " " + rows[last] + " ", Style: t.Due}, frame.Cell{Text: yesNo, Style: t.Key})
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

// legendShown is what the row of keys is made of.
type legendShown struct {
	front    screen.Name
	handsOff bool
	open     bool // the key for the choices is named
	usable   usable
	done     flight.Wording // what is to be done first, or is marked
	does     bool           // that is answered by saying that it is done
	passing  string         // the point that is meant
	tank     string         // as its key is named
	choices  string         // what the key for the choices would open
}

// legend names the keys that matter now, with what they would record: those of what the screen in front is about first.
func (r *Root) legend(width int) string {
	switch {
	case r.asked != nil:
		return frame.Keys(r.question.All(), width, r.theme.Key, r.theme.Muted)
	case r.line != nil:
		return frame.Keys(r.line.Keys(), width, r.theme.Key, r.theme.Muted)
	case r.menu != nil:
		m := r.menu.keys
		return frame.Keys([]key.Binding{m.Accept, key.NewBinding(key.WithKeys("up", "down"), key.WithHelp("up down", "choose")), m.Cancel}, width, r.theme.Key, r.theme.Muted)
	}
	shown := legendShown{front: r.front, handsOff: r.handsOff, tank: r.tankWords()}
	switch r.front {
	case screen.Help, screen.Papers:
	case screen.Flying:
		shown.open = r.marked().Row
	default:
		shown.open = true
	}
	shown.usable = r.usable(shown.open)
	if shown.open {
		shown.choices = r.choiceWords(width / 2)
	}
	p, _ := r.prompt()
	shown.done, shown.does = p.Wording(), p.Answer.Act == flight.Done
	shown.passing, _ = r.meant()
	if below := r.mode.footer.Keys(r.snapshot); len(below) > 0 {
		return r.drawLegend(shown, below)
	}
	return r.drawn.legend.Of(shown, func(shown legendShown) string { return r.drawLegend(shown, nil) })
}

// drawLegend is the row of keys, with those of what stands below the screens first.
func (r *Root) drawLegend(s legendShown, named []key.Binding) string {
	g, width := r.usableKeys(s.usable, named), r.drawn.width
	passing, tank, open := keys.As(g.Passing, "passing "+frame.Clean(s.passing)), keys.As(g.Tank, s.tank), keys.As(g.Choices, s.choices)
	done := keys.As(g.Done, doneWords(s, width-frame.Width(passing.Help().Desc)))
	undo, enter, help, quit := keys.As(g.Undo, "undo"), keys.As(g.Entry, "enter"), keys.As(g.Help, "keys"), keys.As(g.Quit, "quit")
	rest := []key.Binding{keys.As(g.Earlier, "earlier"), keys.As(g.Divert, "divert"), keys.As(g.Papers, "papers"), quit, keys.As(g.Slower, "slower"), keys.As(g.Faster, "faster")}
	switch s.front {
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
		if s.handsOff {
			named = append(named, keys.As(g.Hands, "take over"))
		}
		if s.open {
			named = append(named, open)
		}
		named = append(named, tank, undo, enter, help)
	}
	return frame.Keys(append(named, rest...), width, r.theme.Key, r.theme.Muted)
}

// doneWords are what the key for the first act, or the marked one, would say, in a row of which so many cells are left beside what is passed.
func doneWords(s legendShown, left int) string {
	const least, most, others = 12, 32, len(" space    p    t tank   u undo   e enter   ? keys")
	if s.done.Text == "" {
		return "done"
	}
	texts := s.done.Texts()
	for i, text := range texts {
		if texts[i] = frame.Clean(text); s.does {
			texts[i] = "done: " + texts[i]
		}
	}
	return frame.Fitting(max(least, min(most, left-others)), texts...)
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
