// Package flying is the screen that a flight is flown by. Its six figures stand in the same cells at every size: above what to do, STEER now,
// NEXT and in how long; below the clocks of the leg, of the next point and of the tanks. A larger window only adds: what lies ahead as one list, the
// leg as a way, how fast, the arrival, tanks, receivers, what was cleared, alternates.
//
// It computes nothing of the flight. Its arithmetic is that of cells: what fits where.
package flying

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entry"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/theme"
)

// Screen is the flying screen. It holds which item of what lies ahead is marked, and what it drew last.
type Screen struct {
	list keys.List
	mark itemID // zero: none is
	page *page  // as it was drawn last; nil: never

	snapshot flight.Snapshot // that is being drawn
}

// itemID tells what lies ahead apart, so that the mark stays on its item when others come or go.
type itemID struct {
	prompt  string
	point   string
	leg     int
	afterNM float64
}

func idOf(item *flight.AheadItem) itemID {
	switch {
	case item.Prompt != nil:
		return itemID{prompt: item.Prompt.ID}
	case item.Place != nil:
		return itemID{point: item.Place.Point, leg: item.Place.Leg, afterNM: item.Place.AfterNM}
	}
	return itemID{}
}

// New returns the screen with nothing marked.
func New() *Screen { return &Screen{list: keys.NewList()} }

// Name is screen.Flying.
func (*Screen) Name() screen.Name { return screen.Flying }

// Keys move the mark.
func (s *Screen) Keys(flight.Snapshot) []key.Binding { return s.list.All() }

// Marked is the item ahead that the pilot marked.
func (s *Screen) Marked(snapshot flight.Snapshot) screen.Marked {
	if s.mark == (itemID{}) || s.index(markable(&snapshot)) < 0 {
		return screen.Marked{}
	}
	return screen.Marked{Row: true, Prompt: s.mark.prompt, Point: s.mark.point}
}

// Unmark marks nothing.
func (s *Screen) Unmark() { s.mark = itemID{} }

// Choices are what can be done with the marked item, else with the first act, else with the next point.
func (s *Screen) Choices(snapshot flight.Snapshot) []screen.Choice {
	d := drawing{Snapshot: &snapshot}
	items := markable(&snapshot)
	switch at := s.index(items); {
	case at >= 0 && items[at].Prompt != nil:
		return entry.OfPrompt(*items[at].Prompt)
	case at >= 0:
		return entry.OfPoint(snapshot, items[at].Place.Point)
	case d.first() != nil:
		return entry.OfPrompt(*d.first())
	case snapshot.Next != nil:
		return entry.OfPoint(snapshot, snapshot.Next.Point)
	}
	return nil
}

// Press moves the mark; above the first item nothing is marked.
func (s *Screen) Press(msg tea.KeyMsg, snapshot flight.Snapshot) []screen.Intent {
	const page = 8
	items := markable(&snapshot)
	to, moved := s.list.Move(msg, s.index(items)+1, len(items), page)
	if !moved {
		return nil
	}
	s.Unmark()
	if to == 0 {
		return []screen.Intent{screen.Say{Text: "nothing is marked"}}
	}
	s.mark = idOf(items[to-1])
	return []screen.Intent{screen.Say{Text: "marked: " + items[to-1].Text}}
}

// markable is what lies ahead and can be marked: all but what the keys mean without a mark.
func markable(snapshot *flight.Snapshot) []*flight.AheadItem {
	d := drawing{Snapshot: snapshot}
	return slices.DeleteFunc(d.beyondNext(), func(item *flight.AheadItem) bool { return idOf(item) == itemID{} })
}

// index is where the mark stands among items; -1 where nothing is marked.
func (s *Screen) index(items []*flight.AheadItem) int {
	if s.mark == (itemID{}) {
		return -1
	}
	return slices.IndexFunc(items, func(item *flight.AheadItem) bool { return idOf(item) == s.mark })
}

// drawing is what the parts of one frame are drawn from.
type drawing struct {
	*flight.Snapshot
	*page
	mark itemID // of what lies ahead
	at   int    // the row of the list ahead that it stands in; 0: none
}

// Sizes from which there is more.
const (
	roomForDigits = 12              // rows, for digits three rows high
	roomForLarge  = 44              // rows, for digits five rows high
	besideFrom    = figuresEnd + 32 // columns, for the list ahead beside the figures
	thirdFrom     = 190             // columns, for a third part beside both
	aheadWidth    = 74              // of the list ahead where there is a third part
)

// Rows draws the screen.
func (s *Screen) Rows(snapshot flight.Snapshot, size screen.Size, t theme.Theme) []string {
	d := drawing{page: s.at(t, size), mark: s.mark}
	s.snapshot = snapshot
	d.Snapshot = &s.snapshot
	d.columns = [len(d.columns)][3]column{}
	var ahead, third []string
	aheadWidth, thirdWidth := d.rest()
	if aheadWidth > 0 {
		ahead = d.listAhead(aheadWidth-gutter, size.Height)
	}
	if thirdWidth > 0 {
		third = d.stack(d.third[:0], size.Height, thirdPart, d.panelsBeside(d.page.panels[3:3], thirdWidth-gutter))
		d.third = third
	}
	left := d.left(size.Height, thirdWidth == 0)
	columns := func(i int) [3]column {
		if i < len(d.columns) {
			return d.columns[i]
		}
		return [3]column{}
	}
	at := func(rows []string, i int) string {
		if i < len(rows) {
			return rows[i]
		}
		return ""
	}
	d.rows = d.rows[:0]
	for i := range max(size.Height, 0) {
		d.rows = append(d.rows, d.joined.Of(i, joint{columns(i), at(left, i), at(ahead, i), at(third, i), i > 0 && i == d.at}, d.join))
	}
	return d.rows
}

// gutter is what parts two parts beside each other.
const gutter = 3

// left is the figures and what stands below them. The figures come first; of the rest each part comes as long as there are rows, in the order of
// what a pilot misses most, and is then set in the order of the screen.
func (d *drawing) left(height int, allPanels bool) []string {
	rows, aheadBeside := d.figures(d.page.left[:0], height), d.beside()
	left := height - len(rows)
	take := func(rows int) int {
		rows = max(0, min(rows, left))
		left -= rows
		return rows
	}
	ahead := 0
	if !aheadBeside {
		ahead = take(2)
	}
	leg := take(1)
	lines := take(2)
	if left >= 2 {
		leg += take(2)
	}
	gap := 0
	if height >= roomForDigits {
		gap = take(1)
	}
	more := 0
	if left >= 3 {
		more = take(1)
		lines += take(2)
	}
	if !aheadBeside && left > 1 {
		const most = 12
		ahead += take(min(most, left))
	}
	rows = append(rows, blankRows[:gap]...)
	rows = d.leg(rows, leg)
	if ahead > 0 {
		rows = append(rows, d.gridAhead(ahead)...)
	}
	rows = append(rows, blankRows[:more]...)
	rows = d.lines(rows, lines)
	panels := d.panelsBelow(d.page.panels[:0], d.width)
	if allPanels {
		panels = d.panelsBeside(panels, d.width)
	}
	d.page.left = d.stack(rows, height, firstPart, panels)
	return d.page.left
}

// blankRows are more than are ever left blank between two parts.
var blankRows [2]string
