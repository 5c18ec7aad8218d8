package help

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Screen is text to be read, in pages. It holds which page is in view.
type Screen struct {
	name   screen.Name
	lines  func(s flight.Snapshot, width int, t theme.Theme) []string
	column int // cells of a column of text: the least that is read with ease
	list   keys.List
	page   int
	pages  int // when it was drawn last
}

// New returns the screen over the keys that the root and the screens have at a Snapshot, those of the screen it was called from first.
func New(sections func(flight.Snapshot) []keys.Section) *Screen {
	lines := func(s flight.Snapshot, width int, t theme.Theme) []string { return keyLines(sections(s), s, width, t) }
	return &Screen{name: screen.Help, lines: lines, column: 38, list: keys.NewList()}
}

// Name is which of the two it is, screen.Help or screen.Papers.
func (s *Screen) Name() screen.Name { return s.name }

// Keys turn the pages.
func (s *Screen) Keys(flight.Snapshot) []key.Binding { return keys.Usable(s.pages > 1, s.list.All()) }

// Marked is nothing.
func (*Screen) Marked(flight.Snapshot) screen.Marked { return screen.Marked{} }

// Unmark goes back to the first page.
func (s *Screen) Unmark() { s.page = 0 }

// Choices are none.
func (*Screen) Choices(flight.Snapshot) []screen.Choice { return nil }

// Press turns the pages.
func (s *Screen) Press(msg tea.KeyMsg, _ flight.Snapshot) []screen.Intent {
	s.page, _ = s.list.Move(msg, s.page, max(0, s.pages-1), 1)
	return nil
}

// keyWidth is how many cells the key of a line has.
const keyWidth = 7

// Rows draws a page in as many columns as have room, in its last row how much more there is.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	columns := max(1, min(3, size.Width/s.column))
	width, height := size.Width/columns, size.Height-1
	if height < 1 {
		return frame.Block(nil, size.Width, size.Height)
	}
	lines := s.lines(snapshot, width-1, t)
	perPage := columns * height
	s.pages = (len(lines) + perPage - 1) / perPage
	page := max(0, min(s.page, s.pages-1))
	var blocks [][]string
	for column := range columns {
		from := min(len(lines), page*perPage+column*height)
		to := min(len(lines), from+height)
		blocks = append(blocks, frame.Block(lines[from:to], width, height))
	}
	foot := ""
	if s.pages > 1 {
		foot = fmt.Sprintf(" page %d of %d", page+1, s.pages)
		if more := len(lines) - (page+1)*perPage; more > 0 {
			foot += ", page down: " + say.Counted(more, "more line", "more lines")
		}
	}
	rows := frame.Block(frame.Beside(blocks...), size.Width, height)
	return append(rows, t.Muted.Render(frame.Fit(foot, size.Width)))
}

// titled adds a title to lines, below an empty one.
func titled(lines []string, title string, width int, t theme.Theme) []string {
	if len(lines) > 0 {
		lines = append(lines, "")
	}
	for _, line := range frame.Wrap(title, max(1, width-1)) {
		lines = append(lines, " "+t.Title.Render(line))
	}
	return lines
}

// keyLines are all keys that can be used now and all acts that can be typed, in lines of a width.
func keyLines(sections []keys.Section, snapshot flight.Snapshot, width int, t theme.Theme) (lines []string) {
	for i, section := range sections {
		section = gathered(section.Live())
		if len(section.Keys) == 0 || i > 0 && len(section.Keys) == 1 && section.Keys[0].Help().Key == arrows { // other screens move their marks alike
			continue
		}
		lines = titled(lines, section.Title, width, t)
		for _, binding := range section.Keys {
			lines = append(lines, pair(binding.Help().Key, binding.Help().Desc, width, t)...)
		}
	}
	lines = titled(lines, "What can be typed, as in these examples", width, t)
	for _, form := range entry.Forms() {
		lines = append(lines, pair(form.ExampleIn(snapshot), form.Does, width, t)...)
	}
	lines = titled(lines, "When it was, at the end of the line", width, t)
	return append(lines, pair("10:42", "or 10:42:30, 2 min ago, 90 s ago", width, t)...)
}

// pair is a key or an example with what it does behind it, two blanks apart where it is long, set in where it goes on below.
func pair(name, does string, width int, t theme.Theme) []string {
	name = frame.Clean(name)
	var lines []string
	if frame.Width(name) > width-1 {
		for _, line := range frame.Wrap(name, max(1, width-1)) {
			lines = append(lines, " "+t.Key.Render(line))
		}
		name = ""
	}
	begin, left := " "+t.Key.Render(name), width-1-frame.Width(name)
	gap := max(keyWidth-frame.Width(name), 1)
	begin, left = begin+strings.Repeat(" ", gap), left-gap
	text := ""
	for _, word := range strings.Fields(does) {
		if frame.Width(text)+1+frame.Width(word) > left && (text != "" || left < width-1-keyWidth) {
			lines = append(lines, begin+t.Value.Render(text))
			begin, left, text = strings.Repeat(" ", keyWidth+1), width-1-keyWidth, ""
		}
		text += " " + word
	}
	return append(lines, begin+t.Value.Render(text))
}

const arrows = "arrows"

// gathered is a section with what belongs together in one line: the keys of the screens, and those that move a mark.
func gathered(section keys.Section) keys.Section {
	list := keys.NewList()
	moving := map[string]bool{}
	for _, binding := range list.All() {
		moving[binding.Help().Key+binding.Help().Desc] = true
	}
	out := keys.Section{Title: section.Title}
	var digits, names, moves []string
	flush := func() {
		if len(digits) > 0 {
			out.Keys = append(out.Keys, key.NewBinding(key.WithKeys(digits...), key.WithHelp(digits[0]+" to "+digits[len(digits)-1], strings.Join(names, ", "))))
		}
		digits, names = nil, nil
	}
	for _, binding := range section.Keys {
		help := binding.Help()
		switch {
		case len(help.Key) == 1 && help.Key >= "1" && help.Key <= "9":
			digits, names = append(digits, help.Key), append(names, help.Desc)
			continue
		case moving[help.Key+help.Desc]:
			moves = append(moves, keys.First(binding))
			continue
		}
		flush()
		out.Keys = append(out.Keys, binding)
	}
	flush()
	if len(moves) > 0 {
		does := "move"
		if len(moves) > 2 {
			does += ", also " + strings.Join(moves[2:], ", ")
		}
		out.Keys = append(out.Keys, key.NewBinding(key.WithKeys(moves...), key.WithHelp(arrows, does)))
	}
	return out
}
