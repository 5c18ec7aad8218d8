package entries

import (
	"fmt"
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// Screen is the list. It holds which entry the cursor is on, by number, so that a new one doesn't move it; 0 is the newest.
type Screen struct {
	list   keys.List
	amend  key.Binding
	time   key.Binding
	void   key.Binding
	note   key.Binding
	cursor int
}

// New returns the screen with the cursor on the newest entry.
func New() *Screen {
	return &Screen{
		list:  keys.NewList(),
		amend: keys.New("amend the values", "a"),
		time:  keys.New("amend the time", "w"),
		void:  keys.New("void it", "v", "delete"),
		note:  keys.New("note", "n"),
	}
}

// Name is screen.Entries.
func (*Screen) Name() screen.Name { return screen.Entries }

// Keys are the acts on the entry under the cursor.
func (s *Screen) Keys(snapshot flight.Snapshot) []key.Binding {
	amend, when, void := s.amend, s.time, s.void
	e, there := s.current(snapshot)
	can := there && !e.Voided && e.Event.Act != flight.Void && e.Event.Act != flight.Amend
	_, typed := entry.Write(*e.Event)
	amend.SetEnabled(can && typed && e.Event.Act != flight.Clock)
	when.SetEnabled(can && e.Event.Act != flight.Clock)
	void.SetEnabled(there && !e.Voided && e.Event.Act != flight.Clock)
	return append([]key.Binding{amend, when, void, s.note}, s.list.All()...)
}

// Press moves the cursor, or voids, amends or remarks.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	bindings := s.Keys(snapshot)
	amend, when, void := bindings[0], bindings[1], bindings[2]
	e, _ := s.current(snapshot)
	switch {
	case key.Matches(msg, amend):
		line, _ := entry.Write(*e.Event)
		return ask(*e.Event, line)
	case key.Matches(msg, when):
		return ask(*e.Event, say.UTC(e.Event.T))
	case key.Matches(msg, void):
		return []screen.Intent{screen.Void(e.Event.N)}
	case key.Matches(msg, s.note):
		return []screen.Intent{screen.Ask{Text: "note "}}
	default:
		s.move(msg, snapshot)
		return nil
	}
}

// ask opens the entry line on an entry as it is.
func ask(old flight.Event, line string) []screen.Intent {
	return []screen.Intent{screen.Ask{
		Label: fmt.Sprintf("amend %d", old.N), Text: line,
		Parse: func(line string, s flight.Snapshot) ([]screen.Intent, error) {
			event, err := entry.Amend(line, old, s)
			if err != nil {
				return nil, err
			}
			return []screen.Intent{screen.Record{Event: event}}, nil
		},
	}}
}

func (s *Screen) move(msg tea.KeyMsg, snapshot flight.Snapshot) {
	const page = 12
	at, moved := s.list.Move(msg, s.index(snapshot.Entries), len(snapshot.Entries)-1, page)
	if !moved {
		return
	}
	s.cursor = 0
	if at > 0 {
		s.cursor = row(snapshot.Entries, at).Event.N
	}
}

// row is an entry by its place in the list, the newest first. A Snapshot has them in the order of their numbers.
func row(entries []flight.Entry, at int) flight.Entry { return entries[len(entries)-1-at] }

// index is where the cursor stands in the list.
func (s *Screen) index(entries []flight.Entry) int {
	if s.cursor == 0 {
		return 0
	}
	after, _ := slices.BinarySearchFunc(entries, s.cursor+1, func(e flight.Entry, n int) int { return e.Event.N - n })
	return min(len(entries)-after, max(0, len(entries)-1))
}

func (s *Screen) current(snapshot flight.Snapshot) (flight.Entry, bool) {
	if len(snapshot.Entries) == 0 {
		return flight.Entry{Event: &flight.Event{}}, false
	}
	return row(snapshot.Entries, s.index(snapshot.Entries)), true
}
