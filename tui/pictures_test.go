package tui_test

import (
	"slices"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/screentest"
)

// The pictures of the documentation are frames of the demo flight in both themes that have colours of their own, so they
// cannot show what the program no longer does.
func TestPictures(t *testing.T) {
	demo := screentest.Demo(t)
	pages := map[string]struct{ fore, back string }{"day": {"#000000", "#ffffff"}, "dusk": {"#c8702e", "#000000"}}
	for _, picture := range []struct {
		name, moment, keys string
	}{
		{"flying", "cruise", ""},
		{"route", "cruise", "2"},
		{"radio", "cruise", "3"},
		{"tanks", "cruise", "4"},
		{"entries", "cruise", "5"},
		{"divert", "cruise", "d"},
		{"help", "cruise", "?"},
		{"plan", "before-start", "2"},
		{"arrived", "arrived", ""},
	} {
		for theme, page := range pages {
			t.Run(picture.name+"-"+theme, func(t *testing.T) {
				i := slices.IndexFunc(demo, func(m screentest.Moment) bool { return m.Name == picture.moment })
				require.GreaterOrEqual(t, i, 0, picture.moment)
				r := stillRoot(t, demo[i].Snapshot, theme, termenv.TrueColor)
				r.keys(picture.keys)
				path := "../docs/pictures/" + picture.name + "-" + theme + ".svg"
				screentest.RequirePicture(t, path, r.Rows(100, 30), page.fore, page.back)
			})
		}
	}
}
