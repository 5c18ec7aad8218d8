package entry

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/charmbracelet/bubbles/cursor"
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/terminal/nosearch"
	"example.com/legclock/tui/theme"
)

func init() { nosearch.Over() } // the line editor's packages have been initialised

// longest is the longest line that can be typed, in characters: a page of remarks.
const longest = 2000

// Line is an open entry line. It holds what is typed until the root closes it, so that nothing is lost to a fault.
type Line struct {
	ask   screen.Ask
	keys  keys.Line
	input textinput.Model
	fault string // what was wrong with the line as it stands

	// A first letter that keys.Letters has stands for its verb, and what follows for what the verb wants, unless it goes on as a verb does.
	letters bool   // the next key can be such a letter, or go on after it
	verb    string // that the letter stands for
	typed   string // the letter and what has been typed since
}

// NewLine opens a line.
func NewLine(ask screen.Ask) *Line {
	l := &Line{ask: ask, keys: keys.NewLine(), input: textinput.New()}
	if l.ask.Label == "" {
		l.ask.Label = "enter"
	}
	l.input.Cursor.SetMode(cursor.CursorStatic)
	l.input.KeyMap.Paste = key.NewBinding() // the terminal's own paste comes as text
	l.input.SetValue(ask.Text)
	l.input.CursorEnd()
	l.input.Focus()
	l.letters = ask.Text == "" && ask.Parse == nil
	if ask.Accept != "" {
		l.keys.Accept, l.keys.Cancel = keys.As(l.keys.Accept, ask.Accept), keys.As(l.keys.Cancel, "close")
		l.keys.Complete.SetEnabled(false)
	}
	return l
}

// Outcome is what became of a key.
type Outcome int

// The outcomes.
const (
	Typing   Outcome = iota // the line stays open
	Accepted                // the intents are the line's; the root closes it when they have been carried out
	Closed                  // nothing is wanted
)

// Press takes a key.
func (l *Line) Press(msg tea.KeyMsg, s flight.Snapshot) (Outcome, []screen.Intent) {
	switch {
	case key.Matches(msg, l.keys.Cancel):
		return Closed, nil
	case key.Matches(msg, l.keys.Complete):
		l.letters = false
		l.replace(Complete(l.input.Value(), s))
		return Typing, nil
	case key.Matches(msg, l.keys.Accept):
		intents, err := l.read(s)
		if err != nil {
			l.Fault(err.Error())
			return Typing, nil
		}
		return Accepted, intents
	}
	l.fault = ""
	if has := utf8.RuneCountInString(l.input.Value()); len(msg.Runes) > 0 && has+len(msg.Runes) > longest {
		l.fault = l.full(has, len(msg.Runes))
		return Typing, nil
	}
	if !l.letter(msg) {
		l.input, _ = l.input.Update(msg)
	}
	return Typing, nil
}

// full says why so many characters are not taken by a line that has so many. What is there stays as it is.
func (l *Line) full(has, more int) string {
	if more == 1 {
		return fmt.Sprintf("the line is full: it has %d characters. Record it, and go on in another", has)
	}
	return fmt.Sprintf("not pasted: the %d characters would make %d, and a line has room for %d", more, has+more, longest)
}

// letter takes a key while a first letter may stand for a verb, and reports whether that was all there is to it.
func (l *Line) letter(msg tea.KeyMsg) bool {
	if !l.letters {
		return false
	}
	l.letters = false
	switch {
	case msg.Type == tea.KeyBackspace && len(l.typed) == 1:
		l.replace("")
		l.letters, l.verb, l.typed = true, "", ""
		return true
	case msg.Paste || len(msg.Runes) != 1:
		return false
	case l.typed == "":
		for _, letter := range keys.Letters() {
			if letter.Letter == msg.Runes[0] {
				l.letters, l.verb, l.typed = true, letter.Verb, string(letter.Letter)
				l.replace(l.verb + " ")
			}
		}
		return l.letters
	case msg.Runes[0] == ' ' && len(l.typed) == 1: // the blank stands there already
		return true
	case msg.Runes[0] == ' ':
		return false
	}
	l.typed += string(msg.Runes)
	l.letters = beginsVerb(l.typed)
	if l.letters {
		l.replace(l.typed)
	} else {
		l.replace(l.verb + " " + l.typed[1:])
	}
	return true
}

// beginsVerb reports whether a verb begins so.
func beginsVerb(text string) bool {
	return slices.ContainsFunc(Forms(), func(f Form) bool {
		return hasPrefixFold(f.Verb, text) || slices.ContainsFunc(f.also, func(verb string) bool { return hasPrefixFold(verb, text) })
	})
}

func (l *Line) replace(text string) {
	l.input.SetValue(text)
	l.input.CursorEnd()
}

func (l *Line) read(s flight.Snapshot) ([]screen.Intent, error) {
	if l.ask.Parse != nil {
		return l.ask.Parse(l.input.Value(), s)
	}
	event, err := Parse(l.input.Value(), s)
	if err != nil {
		return nil, err
	}
	return []screen.Intent{screen.Record{Event: event}}, nil
}

// Fault shows what is wrong with the line until the next key.
func (l *Line) Fault(text string) { l.fault = text }

// Keys are those that the line takes before it takes letters.
func (l *Line) Keys() []key.Binding { return l.keys.All() }

// Text is what is typed.
func (l *Line) Text() string { return l.input.Value() }

// Rows draws the line in the last of at most height rows, above it what is wrong with it or how to go on.
func (l *Line) Rows(s flight.Snapshot, width, height int, t theme.Theme) []string {
	if height <= 0 {
		return nil
	}
	rows := append(l.above(s, width, height-1, t), l.row(width, t))
	return rows[max(0, len(rows)-height):]
}

func (l *Line) above(s flight.Snapshot, width, height int, t theme.Theme) []string {
	if l.fault != "" {
		rows := frame.Short(frame.Wrap(frame.Clean(l.fault), max(width-2, 1)), max(height, 0))
		for i, line := range rows {
			rows[i] = t.Caution.Render(frame.Fit(" "+line, width))
		}
		return rows
	}
	if l.ask.Parse != nil {
		return nil
	}
	var names []string
	var rows []string
	if l.letters && l.input.Value() == "" {
		for _, letter := range keys.Letters() {
			names = append(names, string(letter.Letter)+" "+letter.Verb)
		}
	}
	var forms []Suggestion
	for _, suggestion := range Suggest(l.input.Value(), s) {
		if suggestion.Does == "" {
			names = append(names, frame.Clean(suggestion.Show))
			continue
		}
		forms = append(forms, suggestion)
	}
	const verbs = 34
	for _, form := range forms {
		does, column := " "+frame.Clean(form.Does), min(verbs, width/2)
		if len(forms) == 1 && (frame.Width(form.Show) > column || 1+column+frame.Width(does) > width) { // each in rows of its own, the example first
			rows = append(rows, t.Muted.Render(frame.Fit(does, width)))
			for _, line := range frame.Wrap(form.Show, max(1, width-1)) {
				rows = append(rows, t.Key.Render(frame.Fit(" "+line, width)))
			}
			break
		}
		rows = append(rows, frame.Line(width, frame.Cell{Text: " "}, frame.Cell{Text: form.Show, Width: column, Style: t.Key}, frame.Cell{Text: does, Style: t.Muted}))
	}
	if len(names) > 0 {
		rows = append([]string{frame.Line(width, frame.Cell{Text: " " + strings.Join(names, "  "), Style: t.Key})}, rows...)
	}
	if over := len(rows) - height; over > 0 && height > 0 && len(forms) > 1 {
		rows[height-1] = t.Muted.Render(frame.Fit(fmt.Sprintf(" … %d more: type on, or see help", over+1), width))
	}
	return rows[:min(len(rows), max(height, 0))]
}

// row shows the label and that part of the text that holds the cursor, which is a cell of its own.
func (l *Line) row(width int, t theme.Theme) string {
	label := frame.Clean(l.ask.Label) + " > "
	room := width - frame.Width(label) - 1
	if room < 8 {
		label, room = "", width-1
	}
	text := []rune(l.input.Value())
	at := min(l.input.Position(), len(text))
	before, after := string(text[:at]), string(text[at:])
	if room := max(room-1, 0); frame.Width(before) > room {
		last := text[max(0, at-2*room):at] // marks take no cell, but few letters have one
		for len(last) > 0 && frame.Width(string(last)) > room-1 {
			last = last[1:]
		}
		before = frame.Shorten("…"+string(last), room)
	}
	under := "_"
	if after != "" {
		under, after = string(text[at]), string(text[at+1:])
	}
	return frame.Line(width, frame.Cell{Text: label, Style: t.Label}, frame.Cell{Text: before, Style: t.Entry},
		frame.Cell{Text: under, Style: t.Selected}, frame.Cell{Text: after, Style: t.Entry})
}

// Begun opens the entry line with the beginning of an act; the names that are still to come are left off.
func Begun(e flight.Event) screen.Intent {
	line, _ := Write(e)
	return screen.Ask{Text: strings.TrimSpace(strings.TrimSuffix(line, `""`)) + " "}
}

// OfPoint are what can be done with a point of the route that is still ahead, or was not logged.
func OfPoint(s flight.Snapshot, point string) []screen.Choice {
	name := frame.Clean(point)
	choices := []screen.Choice{
		screen.Wants("passing "+name+" now", "passing", screen.Passing(point)),
		screen.Wants("passing "+name+" off track", "off track", Begun(flight.Event{Act: flight.Passing, Point: point})),
		screen.Wants("cross "+name+" at a time or level", "cross at", Begun(flight.Event{Act: flight.Cross, Point: point})),
		screen.Wants("hold at "+name, "hold", Begun(flight.Event{Act: flight.Hold, Point: point})),
	}
	ways := s.WaysOut.All()
	i := slices.IndexFunc(ways, func(way flight.AlternateNow) bool { return way.Point == point })
	if i < 0 {
		return choices
	}
	return append(choices, OfWay(ways[i])...)
}

// OfWay are what can be done with a place that can be flown to.
func OfWay(way flight.AlternateNow) (choices []screen.Choice) {
	if way.Turn == nil {
		return nil
	}
	heading := ""
	if way.DistanceNM >= flight.NearNM {
		heading = ", heading " + say.Degrees(way.HeadingMagnetic)
	}
	name, flying := frame.Clean(way.Point), screen.Open{Name: screen.Flying}
	if way.Aerodrome() {
		choices = append(choices, screen.Wants("divert to "+name+heading, "divert to "+name,
			screen.Record{Event: flight.Event{Act: flight.Divert, To: way.Point}}, flying))
	}
	if way.Rejoin != nil {
		choices = append(choices, screen.Wants("direct to "+name+heading+", then on as planned", "direct",
			screen.Record{Event: flight.Event{Act: flight.Divert, To: way.Point, Rejoin: way.Rejoin}}, flying))
	}
	return choices
}

// OfPrompt are what can be done with what is asked for.
func OfPrompt(p flight.Prompt) []screen.Choice {
	text := frame.Clean(p.Text)
	return []screen.Choice{
		screen.Wants(text+": done", "done", screen.Answered{Prompt: p}),
		screen.Wants(text+": skip it", "skip", screen.Skip(p)),
		screen.Wants(text+": again in 2 minutes", "later", screen.Snooze(p, SnoozeMinutes)),
	}
}

// Suggestion is a way to go on with a half-typed line.
type Suggestion struct {
	Line string // what the line would become
	Show string // the word, or the verb with its usage
	Does string
}

// Suggest lists what a half-typed line may become: the acts that begin so, then the names that its act takes next, and always
// how the act is written.
func Suggest(line string, s flight.Snapshot) []Suggestion {
	verb, rest, begun := strings.Cut(strings.TrimLeft(line, " "), " ")
	if !begun {
		return suggestVerbs(verb)
	}
	form, err := formOf(verb)
	if err != nil {
		return nil
	}
	return append(form.suggestNames(verb+" "+rest, rest, namesOf(s)), Suggestion{Line: line, Show: form.usage(), Does: "as in: " + form.ExampleIn(s)})
}

func suggestVerbs(typed string) []Suggestion {
	var found []Suggestion
	for _, form := range Forms() {
		if !hasPrefixFold(form.Verb, typed) {
			continue
		}
		line := form.Verb
		if form.Usage != "" {
			line += " "
		}
		found = append(found, Suggestion{Line: line, Show: form.usage(), Does: form.Does})
	}
	return found
}

func (f Form) usage() string { return strings.TrimSpace(f.Verb + " " + f.Usage) }

// suggestNames completes the word that the line ends in.
func (f Form) suggestNames(line, rest string, n names) []Suggestion {
	begun := tokenise(rest)
	typed := ""
	if len(begun) > 0 && !strings.HasSuffix(rest, " ") && !strings.HasSuffix(rest, `"`) {
		typed = begun[len(begun)-1].text
		begun = begun[:len(begun)-1]
	}
	if len(begun) >= len(f.names) || f.names[len(begun)] == nil {
		return nil
	}
	before := strings.TrimSuffix(strings.TrimSuffix(line, typed), `"`)
	var found []Suggestion
	for _, name := range f.names[len(begun)](n) {
		if hasPrefixFold(name, typed) && !strings.EqualFold(name, typed) {
			found = append(found, Suggestion{Line: before + quote(name) + " ", Show: name})
		}
	}
	return found
}

// Complete finishes the word that a line ends in, as far as all suggestions agree.
func Complete(line string, s flight.Snapshot) string {
	common := ""
	for _, suggestion := range Suggest(line, s) {
		switch {
		case suggestion.Line == line:
		case common == "":
			common = suggestion.Line
		default:
			common = commonPrefix(common, suggestion.Line)
		}
	}
	unquoted := func(text string) string { return strings.ReplaceAll(text, `"`, "") }
	if !hasPrefixFold(unquoted(common), unquoted(strings.TrimLeft(line, " "))) {
		return line
	}
	return common
}

func commonPrefix(a, b string) string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return strings.ToValidUTF8(a[:n], "")
}

// ExampleIn is how the act is typed, with the names of the flight at hand: its next point, where it would divert to, its beacons, receivers and tanks.
func (f Form) ExampleIn(s flight.Snapshot) string {
	n, own := namesOf(s), map[string]string{}
	set := func(name string, samples ...string) {
		for _, sample := range samples {
			if name != "" {
				own[sample] = quote(name)
			}
		}
	}
	set(s.Leg.To, "KVN", "GRN")
	if s.Destination != nil {
		set(s.Destination.Point, "STR")
	}
	set(s.SuggestedDiversion, "STR")
	if f.Verb == "fix" && len(n.beacons) == 0 {
		return "fix at 56.1234,-4.5678"
	}
	if f.Verb == "fix" || f.Verb == "bearing" || f.Verb == "tuned" || f.Verb == "identified" {
		set(first(n.beacons, 0), "KVN", "GRN", "OBN")
	}
	set(first(n.receivers, 0), "NAV1")
	if f.Verb == "tank" || f.Verb == "gauges" {
		set(first(n.tanks, 0), "left")
		set(first(n.tanks, 1), "right")
	}
	words := strings.Split(f.Example, " ")
	for i, word := range words {
		if name, known := own[word]; known {
			words[i] = name
		}
	}
	if f.Verb == "gauges" && len(n.tanks) == 1 {
		words = words[:3]
	}
	return strings.Join(words, " ")
}

func first(names []string, at int) string {
	if at < len(names) {
		return names[at]
	}
	return ""
}
