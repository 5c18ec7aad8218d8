package tui_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/bubbles/key"
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

// The key table of the guide is the bindings' own words.
func TestTheKeyTableIsUpToDate(t *testing.T) {
	path := filepath.Join("..", "docs", "keys.md")
	want := "# Keys\n\nThis page is written by `go test ./tui -update`; the help screen (`?`) shows the same keys, those that can be used now.\n" +
		keys.Markdown(tui.AllKeys(screentest.Cruise()))
	if screentest.Updating() {
		require.NoError(t, os.WriteFile(path, []byte(want), 0o644))
	}
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, want, string(got), "run the test with -update")
}
