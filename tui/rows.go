package tui

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/legend"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/strip"
	"example.com/legclock/tui/words"
)

// Heights from which a row of its own is given to what could be done without.
const (
	roomForLegend  = 22
	roomForOutside = 20
)

// Rows draws the header, the alarm banner, the screen in front, what window and panel show, the line of words, and the keys.
func (r *Root) Rows(width, height int) []string {
	above := append([]string{r.header(width)}, r.banner(width)...)
	var below []string
	if r.Below != nil {
		below = r.Below.Rows(r.snapshot, width, height, r.theme)
	}
	below = append(below, r.outside(width, height)...)
	below = append(below, r.message(width))
	if height >= roomForLegend {
		below = append(below, r.legend(width))
	}
	body := max(0, height-len(above)-len(below))
	rows := above
	if front := r.screen(r.front); front != nil {
		rows = append(rows, front.Rows(r.snapshot, screen.Size{Width: width, Height: body}, r.theme)...)
	}
	rows = frame.Block(append(rows, below...), width, height)
	rows = r.withLine(rows, width)
	if r.ASCII {
		for i, row := range rows {
			rows[i] = inASCII.Replace(row)
		}
	}
	return r.theme.Page(rows)
}

// inASCII stands in for the signs whose width depends on the terminal's locale (Unicode Standard Annex 11, ambiguous), cell
// for cell.
var inASCII = strings.NewReplacer("±", "~", "·", ".", "×", "x", "°", " ", "…", ".", "²", "2", "½", "~")

// header names the screens and shows the flight's time; away from the flying screen the leg clock too.
func (r *Root) header(width int) string {
	t := r.theme
	s := strip.New(width)
	right := width
	put := func(text string, role func(*strip.Strip, int, string) bool) {
		if x := right - frame.Width(text) - 1; role(s, x, text) {
			right = x
		}
	}
	put(words.Time(r.snapshot.At), func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Headline) })
	clock := r.snapshot.Clock
	switch {
	case clock.Paused:
		put("PAUSED", func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Warning) })
	case clock.Rate != 1 && clock.Rate != 0:
		put(fmt.Sprintf("×%g", clock.Rate), func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Caution) })
	}
	if r.front != screen.Flying {
		put("LEG "+words.Elapsed(clock.LegSeconds), func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Headline) })
	}
	if d := r.snapshot.Diversion; d != nil {
		put(diverting(*d), func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Caution) })
	}
	mode := r.mode()
	if mode != "" && width >= 80 {
		put(mode, func(s *strip.Strip, x int, text string) bool { return s.Put(x, text, t.Label) })
	}
	r.tabs(s, right)
	return s.Row()
}

// diverting says where the flight has turned to.
func diverting(d flight.DiversionNow) string {
	if d.Rejoins {
		return "DIRECT " + words.Cut(frame.Clean(d.To), 8)
	}
	return "DIVERTING " + words.Cut(frame.Clean(d.To), 8)
}

// mode says what kind of flight this is, where it is not the plain one.
func (r *Root) mode() string {
	switch {
	case r.Recorder == nil:
		return "only shown"
	case r.Pilot != nil && r.HandsOff:
		return "practice, hands off"
	case r.Pilot != nil:
		return "practice"
	default:
		return ""
	}
}

// tabs names the screens with their keys, the one in front in capitals; where there is no room for all, that one alone.
func (r *Root) tabs(s *strip.Strip, room int) {
	type tab struct {
		key  key.Binding
		name screen.Name
	}
	var all []tab
	for i, name := range screen.Names() {
		if r.screen(name) != nil {
			all = append(all, tab{r.global.Screens[i], name})
		}
	}
	if r.front == screen.Divert {
		all = append(all, tab{r.global.Divert, screen.Divert})
	}
	all = append(all, tab{r.global.Help, screen.Help})
	x, needs := 1, 1
	for _, tab := range all {
		needs += len(tab.name) + 4
	}
	for _, tab := range all {
		if tab.name != r.front && needs > room {
			continue
		}
		name, role := string(tab.name), r.theme.Muted
		if tab.name == r.front {
			name, role = strings.ToUpper(name), r.theme.Title
		}
		engraved := strings.SplitN(tab.key.Help().Key, " ", 2)[0]
		if s.Put(x, engraved, r.theme.Key) {
			s.Put(x+2, name, role)
		}
		x += len(name) + 4
	}
}

// banner is one row as long as there is an alarm: the first of them, and how many more.
func (r *Root) banner(width int) []string {
	var alarms []string
	if r.trouble != "" {
		alarms = append(alarms, r.trouble)
	}
	for _, notice := range r.snapshot.Notices {
		if notice.Severity == alarm {
			alarms = append(alarms, notice.Text)
		}
	}
	if len(alarms) == 0 {
		return nil
	}
	more := ""
	if len(alarms) > 1 {
		more = fmt.Sprintf("  and %d more", len(alarms)-1)
	}
	room := max(0, width-frame.Width(more))
	return []string{r.theme.Late.Render(frame.Fit(frame.Fit(" ALARM  "+frame.Clean(alarms[0]), room)+more, width))}
}

// outside is what window and panel show in a practice flight.
func (r *Root) outside(width, height int) []string {
	if r.Pilot == nil || height < roomForOutside {
		return nil
	}
	return []string{frame.Line(width, frame.Cell{Text: " OUTSIDE ", Style: r.theme.Label},
		frame.Cell{Text: " " + frame.Clean(r.Pilot.Outside(r.snapshot.At)), Style: r.theme.Value})}
}

// message is a question, or what was said last, or what stands until something else does.
func (r *Root) message(width int) string {
	switch {
	case r.asked != nil:
		return frame.Line(width, frame.Cell{Text: " " + frame.Clean(r.asked.text) + " ", Style: r.theme.Due},
			frame.Cell{Text: " y / n", Style: r.theme.Key})
	case r.said != "":
		return r.theme.Value.Render(frame.Fit(" "+frame.Clean(r.said), width))
	case r.earlier != nil:
		return r.theme.Caution.Render(frame.Fit(" "+earlierText(*r.earlier), width))
	case !r.started:
		return r.theme.Muted.Render(frame.Fit(" "+Caution, width))
	default:
		return frame.Fit("", width)
	}
}

// withLine lays the entry line over the last rows; the leg clock stays.
func (r *Root) withLine(rows []string, width int) []string {
	if r.line == nil || r.asked != nil {
		return rows
	}
	bottom := len(rows)
	if bottom >= roomForLegend {
		bottom-- // the keys
	}
	const most = 7
	drawn := r.line.Rows(r.snapshot, width, max(1, min(most, bottom/3)), r.theme)
	for i, row := range drawn {
		if at := bottom - len(drawn) + i; at >= 0 {
			rows[at] = frame.Fit(row, width)
		}
	}
	return rows
}

// legend names the keys that matter now, with what they would record.
func (r *Root) legend(width int) string {
	if r.line != nil {
		return legend.Row(keys.NewLine().All(), width, r.theme)
	}
	g := r.live()
	if r.Below != nil {
		return legend.Row(append(r.Below.Keys(r.snapshot), g.Slower, g.Faster, g.Help, g.Quit), width, r.theme)
	}
	say := func(binding key.Binding, does string) key.Binding {
		binding.SetHelp(strings.SplitN(binding.Help().Key, " ", 2)[0], does)
		return binding
	}
	first, _ := r.first()
	passing := ""
	if r.snapshot.Next != nil {
		passing = frame.Clean(r.snapshot.Next.Point)
	}
	return legend.Row([]key.Binding{
		say(g.Done, doneWords(first)), say(g.Passing, "passing "+passing), say(g.Tank, "tank"), say(g.Undo, "undo"),
		say(g.Earlier, "earlier"), say(g.Enter, "enter"), say(g.Divert, "divert"), say(g.Help, "help"), say(g.Quit, "quit"),
	}, width, r.theme)
}

// doneWords are what the done key would say.
func doneWords(p flight.Prompt) string {
	if p.Answer.Do == flight.Done || p.Text == "" {
		return "done"
	}
	return words.Cut(frame.Clean(p.Text), 18)
}
