package tui

import (
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

// header names the screens and shows the flight's time; away from the flying screen, or with its clocks covered, the leg clock too. Where there is
// not room for all, the kind of flight is said in short, then the screens stand closer; then it is not said at all, and the screens behind are named by
// their keys alone. How to get help and to quit is said last.
func (r *Root) header(width int, covered bool) string {
	s := &r.drawn.strip
	s.Clear(width)
	right := width
	put := func(text string, role theme.Role) {
		if x := right - frame.Width(text) - 1; s.Put(x, text, role) {
			right = x
		}
	}
	t, clock := r.theme, r.snapshot.Clock
	put(say.Time(r.snapshot.At), t.Headline)
	switch {
	case clock.Paused:
		put("PAUSED", t.Warning)
	case clock.Rate != 1 && clock.Rate != 0:
		put(fmt.Sprintf("×%g", clock.Rate), t.Caution)
	}
	if r.front != screen.Flying || covered {
		put("LEG "+say.Elapsed(clock.LegSeconds), t.Headline)
	}
	if d := r.snapshot.Diversion; d != nil {
		put(diverting(*d), t.Caution)
	}
	tabs := r.drawn.tabs.Of(r.front, r.tabs)
	needed, modes := tabs[:len(tabs)-1], r.modes() // how to quit is said where there is room
	named := widthOf(needed, true, tabGap) < right
	mode, gap := modeAt(modes, right, func(gap int) int { return widthOf(needed, named, gap) })
	if mode != "" {
		put(mode, t.Label)
	}
	r.putTabs(s, tabs, widthOf(needed, true, gap) < right, gap, right)
	return s.Row()
}

// modeAt is what is said of the kind of flight left of a place, and the gap between the tabs beside it, which are so wide with a gap.
func modeAt(modes []string, right int, tabs func(gap int) int) (mode string, gap int) {
	for _, gap := range []int{tabGap, closeTabGap} {
		for _, mode := range modes {
			if mode != "" && tabs(gap)+1+frame.Width(mode) < right {
				return mode, gap
			}
		}
	}
	if len(modes) == 0 {
		return "", tabGap
	}
	return modes[len(modes)-1], tabGap
}

// diverting says where the flight has turned to.
func diverting(d flight.DiversionNow) string {
	if d.Rejoins {
		return "DIRECT " + frame.Shorten(frame.Clean(d.To), 8)
	}
	return "DIVERTING " + frame.Shorten(frame.Clean(d.To), 8)
}

// modes say what kind of flight this is, where it is not the plain one: at length, in short, and what stands there whatever the room.
func (r *Root) modes() []string {
	switch {
	case r.mode.practised && r.handsOff:
		return []string{"practice, hands off", "hands off", "watching", ""}
	case len(r.mode.words) > 0:
		return r.mode.words
	case r.feed == nil:
		return nil
	case r.feed.Positions:
		return []string{"feed", ""}
	default:
		return []string{"NO FEED"}
	}
}

// tab is a screen's name with its key.
type tab struct {
	key      string
	name     string
	capitals string
	front    bool
}

// tabs are the screens while one is in front, then how to quit.
func (r *Root) tabs(front screen.Name) []tab {
	var tabs []tab
	add := func(binding key.Binding, name screen.Name) {
		tabs = append(tabs, tab{keys.First(binding), string(name), strings.ToUpper(string(name)), name == front})
	}
	for i, name := range screen.Names() {
		if r.screen(name) != nil {
			add(r.global.Screens[i], name)
		}
	}
	switch front {
	case screen.Divert:
		add(r.global.Divert, screen.Divert)
	case screen.Papers:
		add(r.global.Papers, screen.Papers)
	}
	add(r.global.Help, screen.Help)
	return append(tabs, tab{key: keys.First(r.global.Quit), name: "quit"})
}

// What parts two tabs.
const (
	tabGap      = 2
	closeTabGap = 1
)

// named reports whether a tab is, where all are or only those that have to be: the one in front, help and quit.
func (t tab) named(all bool) bool { return all || t.front || t.key < "0" || t.key > "9" }

// widthOf is how many cells tabs need, all named or only those that have to be, with a margin.
func widthOf(tabs []tab, named bool, gap int) int {
	cells := 1 - gap
	for _, tab := range tabs {
		cells += frame.Width(tab.key) + gap
		if tab.named(named) {
			cells += 1 + len(tab.name)
		}
	}
	return cells
}

// putTabs names all screens, or only those that have to be beside the keys of the others. The one in front is in capitals; where there is not room
// for those before it, they are left out, the first of them first.
func (r *Root) putTabs(s *frame.Strip, tabs []tab, named bool, gap, room int) {
	x := 1
	for front := slices.IndexFunc(tabs, func(t tab) bool { return t.front }); front > 0 && x+widthOf(tabs[:front+1], named, gap) > room; front-- {
		tabs = tabs[1:]
	}
	for i, tab := range tabs {
		if x+widthOf(tabs[i:i+1], named, gap) > room {
			return
		}
		s.Put(x, tab.key, r.theme.Key)
		x += frame.Width(tab.key)
		switch {
		case tab.front:
			s.Put(x+1, tab.capitals, r.theme.Title)
			x += 1 + len(tab.name)
		case tab.named(named):
			s.Put(x+1, tab.name, r.theme.Muted)
			x += 1 + len(tab.name)
		}
		x += gap
	}
}
