package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/practice"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/cockpit"
	"example.com/legclock/tui/divert"
	"example.com/legclock/tui/entries"
	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/help"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/radio"
	"example.com/legclock/tui/route"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/tanks"
)

// newScreens makes every screen; they live as long as the root, so that cursors and scrolling survive being hidden.
// There is a cockpit where there is a seat to see a hidden world from.
func newScreens(seat *practice.Seat, log string, sections func(flight.Snapshot) []keys.Section) []screen.Screen {
	screens := []screen.Screen{
		arrival.Over(flying.New(), log),
		route.New(),
		radio.New(),
		tanks.New(),
		entries.New(),
	}
	if seat != nil {
		screens = append(screens, cockpit.New(seat))
	}
	return append(screens, divert.New(), help.NewPapers(), help.New(sections))
}

// replayTitle is that of a replay's section of keys.
const replayTitle = "In a replay, before all other keys"

// ScreenTitle begins the title of each screen's section of keys.
const ScreenTitle = "On the screen "

// sections are all keys that there are now: the root's, then each screen's.
func (r *Root) sections(s flight.Snapshot) []keys.Section {
	screens := screenSections(r.screens, s)
	at := slices.IndexFunc(screens, func(section keys.Section) bool { return section.Title == ScreenTitle+string(r.behind) })
	sections := keys.Sections(r.live())
	if at >= 0 { // this screen's come first
		sections = append([]keys.Section{screens[at]}, sections...)
		screens = slices.Delete(screens, at, at+1)
	}
	sections = append(sections, screens...)
	if below := r.mode.footer.Keys(s); len(below) > 0 {
		sections = append([]keys.Section{{Title: replayTitle, Keys: below}}, sections...)
	}
	return sections
}

func screenSections(screens []screen.Screen, s flight.Snapshot) []keys.Section {
	var sections []keys.Section
	for _, one := range screens {
		sections = append(sections, keys.Section{Title: ScreenTitle + string(one.Name()), Keys: one.Keys(s)})
	}
	return sections
}

// AllKeys are the keys of the root and of every screen, live or not.
func AllKeys(s flight.Snapshot) []keys.Section {
	sections := append(keys.Sections(keys.NewGlobal()), screenSections(newScreens(&practice.Seat{}, "", nil), s)...)
	return append(sections, keys.Section{Title: replayTitle, Keys: keys.NewReplay().All()})
}

// KeyTable is all keys, live or not, as Markdown, with what enter opens on each screen in the flight at hand.
func KeyTable(s flight.Snapshot) string {
	sections := append(keys.Sections(keys.NewGlobal()),
		keys.Section{Title: "Arrows: what they mark, or the page they turn", Keys: keys.NewList().All()},
		keys.Section{Title: "In the cockpit of a practice flight", Keys: keys.NewFly().All()},
		keys.Section{Title: replayTitle, Keys: keys.NewReplay().All()})
	var b strings.Builder
	b.WriteString(keys.Markdown(sections))
	b.WriteString("\n## What enter opens, in a flight like this\n\n| screen | what is marked | enter opens |\n|---|---|---|\n")
	screens := newScreens(&practice.Seat{}, "", nil)
	marks := map[screen.Name]string{
		screen.Flying: "a prompt or a point ahead, else the first prompt", screen.Route: "a point, an alternate", screen.Radio: "a receiver", screen.Tanks: "a tank",
		screen.Entries: "an entry", screen.Cockpit: "nothing: the arrows fly; enter answers what is asked and sets a heading, an altitude, a course", screen.Divert: "an aerodrome, a point",
	}
	for _, one := range screens {
		var texts []string
		for _, choice := range one.Choices(s) {
			texts = append(texts, choice.Text)
		}
		if mark, has := marks[one.Name()]; has {
			fmt.Fprintf(&b, "| %s | %s | %s |\n", one.Name(), mark, strings.Join(texts, "; "))
		}
	}
	return b.String()
}
