// Package entries is the list of what was recorded, the newest first, where an entry is voided, amended or remarked upon.
//
// A void entry keeps its place and says so in a word; nothing is ever taken off the list.
package entries

import (
	"fmt"
	"slices"
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

// Screen is the list. It holds which entry the mark is on, by number, so that a new one doesn't move it; 0 is the newest.
type Screen struct {
	list keys.List
	mark int
}

// New returns the screen with the mark on the newest entry.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Entries.
func (*Screen) Name() screen.Name { return screen.Entries }

// Keys move the mark.
func (s *Screen) Keys(flight.Snapshot) []key.Binding { return s.list.All() }

// Marked says whether the pilot marked an entry.
func (s *Screen) Marked(flight.Snapshot) screen.Marked { return screen.Marked{Row: s.mark != 0} }

// Unmark puts the mark back on the newest entry.
func (s *Screen) Unmark() { s.mark = 0 }

// Choices are to amend or void the marked entry.
func (s *Screen) Choices(snapshot flight.Snapshot) (choices []screen.Choice) {
	e, there := s.current(snapshot)
	if !there || e.Voided || e.Event.Act == flight.Clock {
		return nil
	}
	this := fmt.Sprintf("entry %d", e.Event.N)
	if e.Event.Act != flight.Void && e.Event.Act != flight.Amend {
		if line, typed := entry.Write(*e.Event); typed {
			choices = append(choices, screen.Wants("amend "+this, "amend", ask(*e.Event, line)))
		}
		choices = append(choices, screen.Wants("amend the time of "+this, "its time", ask(*e.Event, say.UTC(e.Event.T))))
	}
	return append(choices, screen.Wants("void "+this, "void", screen.Void(e.Event.N)))
}

// ask opens the entry line on an entry as it is.
func ask(old flight.Event, line string) screen.Intent {
	return screen.Ask{
		Label: fmt.Sprintf("amend %d", old.N), Text: line,
		Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
			event, err := entry.Amend(line, old, s)
			if err != nil {
				return nil, err
			}
			return []screen.Intent{screen.Record{Event: event}}, nil
		},
	}
}

// Press moves the mark.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	const page = 12
	at, moved := s.list.Move(msg, s.index(snapshot.Entries), len(snapshot.Entries)-1, page)
	if !moved {
		return nil
	}
	s.mark = 0
	if at > 0 {
		s.mark = row(snapshot.Entries, at).Event.N
	}
	return nil
}

// row is an entry by its place in the list, the newest first. A Snapshot has them in the order of their numbers.
func row(entries []flight.Entry, at int) flight.Entry { return entries[len(entries)-1-at] }

// index is where the mark stands in the list.
func (s *Screen) index(entries []flight.Entry) int {
	if s.mark == 0 {
		return 0
	}
	after, _ := slices.BinarySearchFunc(entries, s.mark+1, func(e flight.Entry, n int) int { return e.Event.N - n })
	return min(len(entries)-after, max(0, len(entries)-1))
}

func (s *Screen) current(snapshot flight.Snapshot) (flight.Entry, bool) {
	if len(snapshot.Entries) == 0 {
		return flight.Entry{Event: &flight.Event{}}, false
	}
	return row(snapshot.Entries, s.index(snapshot.Entries)), true
}

// Rows draws a head and the list, and below it the marked entry where its row is too short for it.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	all := snapshot.Entries
	if len(all) == 0 {
		return frame.Notice("nothing is recorded yet", size.Width, size.Height)
	}
	at := s.index(all)
	const margin, head = 1, 1
	fitted := frame.FitTable(columns(t, true), size.Width-2*margin)
	if !fitted.Shows(stateHead) {
		fitted = frame.FitTable(columns(t, false), size.Width-2*margin)
	}
	rows := []string{" " + fitted.Head(t.Title, t.Label)}
	marked := whole(row(all, at), fitted, size, t)
	height := size.Height - head - len(marked)
	first := frame.Window(len(all), height, at)
	for i := first; i < min(len(all), first+height); i++ {
		if i == at {
			rows = append(rows, t.Selected.Render(">"+fitted.Marked(row(all, i), frame.Style{})+" "))
		} else {
			rows = append(rows, " "+fitted.Row(row(all, i)))
		}
	}
	const leastForMore = 4
	if below := len(all) - first - height; below > 0 && height >= leastForMore && at < first+height-1 {
		rows[len(rows)-1] = t.Muted.Render(frame.Fit(fmt.Sprintf("   … %d more below", below+1), size.Width))
	}
	if first > 0 && height >= leastForMore && at > first {
		rows[head] = t.Muted.Render(frame.Fit(fmt.Sprintf("   … %d more above", first+1), size.Width))
	}
	return frame.Block(append(frame.Block(rows, size.Width, size.Height-len(marked)), marked...), size.Width, size.Height)
}

// whole is an entry in rows of its own, where it is cut in the list.
func whole(e flight.Entry, list frame.Table[flight.Entry], size screen.Size, t theme.Theme) []string {
	const cut = "…"
	if text := frame.Clean(e.Text); strings.Contains(text, cut) || !strings.Contains(list.Row(e), cut) {
		return nil
	}
	rows := frame.Short(frame.Wrap(fmt.Sprintf("%d: %s", e.Event.N, frame.Clean(e.Text)), max(1, size.Width-2)), max(0, size.Height/3))
	for i, line := range rows {
		rows[i] = t.Value.Render(frame.Fit(" "+line, size.Width))
	}
	return rows
}

// stateHead names the column that says what became of an entry. Where it has no room, that an entry is void stands before what it was.
const stateHead = "state"

func columns(t theme.Theme, withState bool) []frame.Column[flight.Entry] {
	role := func(e flight.Entry) theme.Role {
		if e.Voided {
			return t.Done
		}
		return t.Value
	}
	cell := func(text func(flight.Entry) string) func(flight.Entry) frame.Cell {
		return func(e flight.Entry) frame.Cell { return frame.Cell{Text: text(e), Style: role(e)} }
	}
	return []frame.Column[flight.Entry]{
		{Head: "entry", Width: 6, Right: true, Cell: cell(func(e flight.Entry) string { return fmt.Sprint(e.Event.N) })},
		{Head: "UTC", Width: 8, Cell: cell(func(e flight.Entry) string { return say.UTC(e.Event.T) })},
		{Head: stateHead, Width: 8, Rank: 1, Cell: func(e flight.Entry) frame.Cell {
			switch {
			case e.Voided:
				return frame.Cell{Text: "VOID", Style: t.Caution}
			case e.Amended:
				return frame.Cell{Text: "amended", Style: t.Value}
			case e.Late:
				return frame.Cell{Text: "later", Style: t.Value} // entered some time after the fact
			default:
				return frame.Cell{}
			}
		}},
		{Head: "what", Width: 34, Grow: 200, Spill: true, Cell: cell(func(e flight.Entry) string {
			if e.Voided && !withState {
				return "VOID " + frame.Clean(e.Text)
			}
			return frame.Clean(e.Text)
		})},
		{Head: "by", Width: 8, Rank: 3, Cell: cell(func(e flight.Entry) string { return frame.Clean(e.Event.By) })},
	}
}
