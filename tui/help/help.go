// Package help is the screen that names every key and every act that can be typed, made from the bindings and the forms
// themselves: the keys of the screen it was called from first, in as many columns as have room, page by page. A key that can't be used now is not
// there. In the same pages it shows the papers: what was written down, the remarks of the plan, the list before departure, the cards.
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
	blocks func(s flight.Snapshot, width int, t theme.Theme) []block
	column int // cells of a column of text: the least that is read with ease
	list   keys.List
	page   int
	pages  int // when it was drawn last
}

// New returns the screen over the keys that the root and the screens have at a Snapshot, those of the screen it was called from first.
func New(sections func(flight.Snapshot) []keys.Section) *Screen {
	blocks := func(s flight.Snapshot, width int, t theme.Theme) []block { return keyBlocks(sections(s), s, width, t) }
	return &Screen{name: screen.Help, blocks: blocks, column: 38, list: keys.NewList()}
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

// Rows draws a page in as many columns as have room, in its last row what else there is.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	columns := max(1, min(3, size.Width/s.column))
	width, height := size.Width/columns, size.Height-1
	if height < 1 {
		return frame.Block(nil, size.Width, size.Height)
	}
	filled := fill(s.blocks(snapshot, width-1, t), height)
	s.pages = (len(filled) + columns - 1) / columns
	page := max(0, min(s.page, s.pages-1))
	var beside [][]string
	var ahead column
	for i, column := range filled {
		switch {
		case i/columns == page:
			beside = append(beside, frame.Block(column.lines, width, height))
		case i/columns > page:
			ahead.lines, ahead.titles = append(ahead.lines, column.lines...), append(ahead.titles, column.titles...)
		}
	}
	for len(beside) < columns {
		beside = append(beside, frame.Block(nil, width, height))
	}
	foot := ""
	if s.pages > 1 {
		foot = fmt.Sprintf(" page %d of %d", page+1, s.pages)
		if len(ahead.lines) > 0 {
			foot += ", page down: "
			foot += ahead.named(size.Width - frame.Width(foot))
		}
	}
	rows := frame.Block(frame.Beside(beside...), size.Width, height)
	return append(rows, t.Muted.Render(frame.Fit(foot, size.Width)))
}

// block is lines that are read together, with the title that they begin with.
type block struct {
	title string
	lines []string
}

// column is a column of a page, and the titles in it.
type column struct {
	titles, lines []string
}

// fill puts blocks into columns of a height. A block stands in one column if it fits into any, a titled one below an empty line.
func fill(blocks []block, height int) []column {
	columns := []column{{}}
	for _, b := range blocks {
		at := &columns[len(columns)-1]
		apart := 0
		if b.title != "" && len(at.lines) > 0 {
			apart = 1
		}
		if len(at.lines) > 0 && len(at.lines)+apart+len(b.lines) > height && (len(b.lines) <= height || len(at.lines)+apart+1 >= height) {
			columns, apart = append(columns, column{}), 0
			at = &columns[len(columns)-1]
		}
		if apart > 0 {
			at.lines = append(at.lines, "")
		}
		if b.title != "" {
			at.titles = append(at.titles, b.title)
		}
		for _, line := range b.lines {
			if len(at.lines) == height {
				columns = append(columns, column{})
				at = &columns[len(columns)-1]
			}
			at.lines = append(at.lines, line)
		}
	}
	return columns
}

// named is what stands in what lies ahead, in so many cells: the titles, or, where none begins there, how many lines.
func (c column) named(cells int) string {
	more := say.Counted(len(c.lines), "more line", "more lines")
	for n := len(c.titles); n > 0; n-- {
		text := strings.Join(c.titles[:n], ", ")
		if n < len(c.titles) {
			text += fmt.Sprintf(", %d more", len(c.titles)-n)
		}
		if frame.Width(text) <= cells {
			return text
		}
	}
	return more
}

// titled is a block of lines below their title.
func titled(title string, width int, t theme.Theme, lines ...string) block {
	b := block{title: title}
	for _, line := range frame.Wrap(title, max(1, width-1)) {
		b.lines = append(b.lines, " "+t.Title.Render(line))
	}
	b.lines = append(b.lines, lines...)
	return b
}

// keyBlocks are all keys that can be used now, a block for each scope, and all acts that can be typed, in lines of a width.
func keyBlocks(sections []keys.Section, snapshot flight.Snapshot, width int, t theme.Theme) (blocks []block) {
	for i, section := range sections {
		section = gathered(section.Live())
		if len(section.Keys) == 0 || i > 0 && len(section.Keys) == 1 && section.Keys[0].Help().Key == arrows { // other screens move their marks alike
			continue
		}
		var lines []string
		for _, binding := range section.Keys {
			lines = append(lines, pair(binding.Help().Key, binding.Help().Desc, width, t)...)
		}
		blocks = append(blocks, titled(section.Title, width, t, lines...))
	}
	blocks = append(blocks, titled("When it was, after what is typed", width, t, pair("10:42", "10:42:30, 2 min ago, 90 s ago", width, t)...))
	for i, form := range entry.Forms() {
		lines := pair(form.ExampleIn(snapshot), form.Does, width, t)
		if i == 0 {
			blocks = append(blocks, titled("What can be typed, for example", width, t, lines...))
			continue
		}
		blocks = append(blocks, block{lines: lines})
	}
	return blocks
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

// alike are keys that have one line, where both can be used.
var alike = map[[2]string]string{
	{"-", "+"}:        "clock slower, faster",
	{"0", "c"}:        "pause or run, set the clock",
	{"l", "m"}:        "light; bell on or off",
	{"l m", "h"}:      "light; bell, hands on or off",
	{"left", "right"}: "5° to the left, right",
	{",", "."}:        "1° to the left, right",
	{"up", "down"}:    "500 ft up, down",
}

// gathered is a section with what belongs together in one line: the keys of the screens, and those that move a mark.
func gathered(section keys.Section) keys.Section {
	list := keys.NewList()
	moving := map[string]bool{}
	for _, binding := range list.All() {
		moving[binding.Help().Key+binding.Help().Desc] = true
	}
	out := keys.Section{Title: section.Title}
	var digits, moves []string
	flush := func() {
		if len(digits) > 0 {
			out.Keys = append(out.Keys, key.NewBinding(key.WithKeys(digits...), key.WithHelp(digits[0]+" to "+digits[len(digits)-1], "the screens named at the top")))
		}
		digits = nil
	}
	for _, binding := range section.Keys {
		help := binding.Help()
		switch {
		case len(help.Key) == 1 && help.Key >= "1" && help.Key <= "9":
			digits = append(digits, help.Key)
			continue
		case moving[help.Key+help.Desc]:
			moves = append(moves, keys.First(binding))
			continue
		}
		flush()
		if n := len(out.Keys) - 1; n >= 0 {
			first, _, _ := strings.Cut(out.Keys[n].Help().Key, " / ")
			second, _, _ := strings.Cut(help.Key, " / ")
			if both, ok := alike[[2]string{first, second}]; ok {
				out.Keys[n] = key.NewBinding(key.WithKeys(binding.Keys()...), key.WithHelp(first+" "+second, both))
				continue
			}
		}
		out.Keys = append(out.Keys, binding)
	}
	flush()
	if len(moves) > 0 {
		does := "move"
		if len(moves) > 2 {
			does = "move; page up, down, home, end"
		}
		out.Keys = append(out.Keys, key.NewBinding(key.WithKeys(moves...), key.WithHelp(arrows, does)))
	}
	return out
}
