package entry

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/cursor"
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// longest is the longest line that is taken, in characters.
const longest = 400

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
	l.input.CharLimit = longest
	l.input.Cursor.SetMode(cursor.CursorStatic)
	l.input.KeyMap.Paste = key.NewBinding() // the terminal's own paste comes as text
	l.input.SetValue(ask.Text)
	l.input.CursorEnd()
	l.input.Focus()
	l.letters = ask.Text == "" && ask.Parse == nil
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
	if !l.letter(msg) {
		l.input, _ = l.input.Update(msg)
	}
	return Typing, nil
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
		var rows []string
		for _, line := range frame.Wrap(frame.Clean(l.fault), max(width-2, 1)) {
			rows = append(rows, t.Caution.Render(frame.Fit(" "+line, width)))
		}
		return rows[:min(len(rows), max(height, 0))]
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
	for _, suggestion := range Suggest(l.input.Value(), s) {
		if suggestion.Does == "" {
			names = append(names, frame.Clean(suggestion.Show))
			continue
		}
		const verbs = 34
		rows = append(rows, frame.Line(width, frame.Cell{Text: " "},
			frame.Cell{Text: suggestion.Show, Width: min(verbs, width/2), Style: t.Key},
			frame.Cell{Text: " " + frame.Clean(suggestion.Does), Style: t.Muted}))
	}
	if len(names) > 0 {
		rows = append([]string{frame.Line(width, frame.Cell{Text: " " + strings.Join(names, "  "), Style: t.Key})}, rows...)
	}
	if over := len(rows) - height; over > 0 && height > 0 {
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
	for frame.Width(before) > max(room-1, 0) && len(before) > 0 {
		before = string([]rune(before)[1:])
	}
	under := "_"
	if after != "" {
		under, after = string(text[at]), string(text[at+1:])
	}
	return frame.Line(width, frame.Cell{Text: label, Style: t.Label}, frame.Cell{Text: before, Style: t.Entry},
		frame.Cell{Text: under, Style: t.Selected}, frame.Cell{Text: after, Style: t.Entry})
}
