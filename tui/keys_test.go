package tui_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/screentest"
)

// scopes are the keys that can meet: the question's, the line's, and every screen's together with the global ones.
func scopes(sections []keys.Section) map[string][]key.Binding {
	global := keys.NewGlobal().All()
	scopes := map[string][]key.Binding{
		"question": keys.NewQuestion().All(),
		"line":     keys.NewLine().All(),
		"menu":     keys.NewMenu().All(),
		"replay":   keys.NewReplay().All(),
		"global":   global,
	}
	for _, section := range sections {
		if strings.HasPrefix(section.Title, tui.ScreenTitle) {
			scopes[section.Title] = append(append([]key.Binding{}, global...), section.Keys...)
		}
	}
	return scopes
}

// Within a scope no key means two things, even if it is one key now and another later.
func TestNoTwoBindingsShareAKey(t *testing.T) {
	for _, moment := range append(screentest.Moments(), screentest.Moment{Name: "empty", Snapshot: flight.Snapshot{}}) {
		for name, bindings := range scopes(tui.AllKeys(moment.Snapshot)) {
			seen := map[string]string{}
			for _, binding := range bindings {
				require.NotEmpty(t, binding.Help().Key, "%s: %v", name, binding.Keys())
				require.NotEmpty(t, binding.Help().Desc, "%s: %v", name, binding.Keys())
				for _, pressed := range binding.Keys() {
					require.Empty(t, seen[pressed], "%s: %q is also %q", name, pressed, binding.Help().Desc)
					require.NotContains(t, pressed, "alt+", name)
					seen[pressed] = binding.Help().Desc
				}
			}
		}
	}
}

// No letter is a screen's own: what a letter means, it means on all of them. A replay has the three that its package documents.
func TestNoLetterIsAScreensOwn(t *testing.T) {
	for _, section := range tui.AllKeys(screentest.Cruise()) {
		if !strings.HasPrefix(section.Title, tui.ScreenTitle) {
			continue
		}
		for _, binding := range section.Keys {
			for _, pressed := range binding.Keys() {
				require.NotRegexp(t, `^[A-Za-z]$`, pressed, section.Title)
			}
		}
	}
}

// Every key of the table that can be used on a screen changes what is shown, records, or ends the program there.
func TestEveryKeyDoesSomethingWhereItCanBeUsed(t *testing.T) {
	named := map[string]tea.KeyMsg{
		" ": {Type: tea.KeySpace}, "enter": {Type: tea.KeyEnter}, "esc": {Type: tea.KeyEsc}, "tab": {Type: tea.KeyTab}, "shift+tab": {Type: tea.KeyShiftTab},
		"up": {Type: tea.KeyUp}, "down": {Type: tea.KeyDown}, "left": {Type: tea.KeyLeft}, "right": {Type: tea.KeyRight}, "home": {Type: tea.KeyHome},
		"end": {Type: tea.KeyEnd}, "pgup": {Type: tea.KeyPgUp}, "pgdown": {Type: tea.KeyPgDown}, "f1": {Type: tea.KeyF1}, "ctrl+c": {Type: tea.KeyCtrlC},
	}
	press := func(r *rig, pressed string) (command tea.Cmd) {
		msg, special := named[pressed]
		if !special {
			msg = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(pressed)}
		}
		return r.Update(msg).Command
	}
	rigs := map[string]func() *rig{
		"live": func() *rig { return airborne(t, nil) },
		"practice": func() *rig {
			r := practiceRig(t)
			r.pass(8 * time.Minute)
			r.keys("h")
			return r
		},
	}
	for mode, make := range rigs {
		for _, front := range []string{"1", "2", "3", "4", "5", "6", "d", "?"} {
			bindings := func() []key.Binding {
				r := make()
				r.keys(front)
				return r.Keys()
			}()
			for _, binding := range bindings {
				if !binding.Enabled() {
					continue
				}
				does := false
				for _, before := range []string{"", "down", "end"} { // a mark at its end can't go on
					if does {
						break
					}
					r := make()
					r.keys(front)
					if before != "" {
						press(r, before)
					}
					r.pass(2 * time.Second)
					shown, recorded := strings.Join(r.Rows(120, 36), "\n"), len(r.recorded)
					ends := press(r, binding.Keys()[0]) != nil
					after := strings.Join(r.Rows(120, 36), "\n")
					if before == "" { // another mark may leave nothing to do
						require.NotContains(t, after, "can't be used now", "%s, screen %s: %s", mode, front, binding.Help().Key)
					}
					does = does || ends || len(r.recorded) > recorded || after != shown
				}
				own := binding.Help().Desc == "close, drop the mark, back" || binding.Keys()[0] == front
				require.True(t, does || own, "%s, screen %s: %s (%s)", mode, front, binding.Help().Key, binding.Help().Desc)
			}
		}
	}
}

// The key table of the guide is the bindings' own words.
func TestTheKeyTableIsUpToDate(t *testing.T) {
	path := filepath.Join("..", "docs", "keys.md")
	want := "# Keys\n\nThis page is written by `go test ./tui -update`; the help screen (`?`) shows the same keys, those that can be used now.\n" +
		tui.KeyTable(screentest.Cruise())
	if screentest.Updating() {
		require.NoError(t, os.WriteFile(path, []byte(want), 0o644))
	}
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, want, string(got), "run the test with -update")
}
