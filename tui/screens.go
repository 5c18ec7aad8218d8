package tui

import (
	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/entries"
	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/help"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screen"
)

// newScreens makes every screen; they live as long as the root, so that cursors and scrolling survive being hidden.
func newScreens(glyphs frame.Glyphs, sections func(flight.Snapshot) []keys.Section) []screen.Screen {
	return []screen.Screen{
		flying.New(glyphs),
		entries.New(),
		help.New(sections),
	}
}

// sections are all keys that there are now: the root's, then each screen's.
func (r *Root) sections(s flight.Snapshot) []keys.Section {
	sections := keys.Sections(r.live())
	for _, screen := range r.screens {
		sections = append(sections, keys.Section{Title: "On the screen " + string(screen.Name()), Keys: screen.Keys(s)})
	}
	return sections
}
