package tui_test

import (
	"slices"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/screentest"
)

// The pictures of the documentation are frames of the demo flight in both themes that have colours of their own, so they
// cannot show what the program no longer does.
func TestPictures(t *testing.T) {
	demo := screentest.Demo(t)
	pages := map[string]struct{ fore, back string }{"day": {"#000000", "#ffffff"}, "dusk": {"#c8702e", "#000000"}}
	for _, picture := range []struct {
		name, moment, keys string
		offer              *flight.PassingOffer
		storage            tui.Storage
	}{
		{name: "flying", moment: "cruise"},
		{name: "route", moment: "cruise", keys: "2"},
		{name: "radio", moment: "cruise", keys: "3"},
		{name: "tanks", moment: "cruise", keys: "4"},
		{name: "entries", moment: "cruise", keys: "5"},
		{name: "divert", moment: "cruise", keys: "d"},
		{name: "help", moment: "cruise", keys: "?"},
		{name: "plan", moment: "before-start", keys: "2"},
		{name: "arrived", moment: "arrived"},
		{name: "feed", moment: "climb", offer: &flight.PassingOffer{Act: flight.Passing, Point: "JNC", Name: "railway junction", OffTrackNM: 0.4}},
		{name: "clock", moment: "cruise", keys: "c"},
		{name: "disk", moment: "cruise", keys: "p", storage: tui.Storage{Kept: 1, Trouble: "no space left on device"}},
		{name: "late", moment: "tank-late"},
	} {
		for theme, page := range pages {
			t.Run(picture.name+"-"+theme, func(t *testing.T) {
				i := slices.IndexFunc(demo, func(m screentest.Moment) bool { return m.Name == picture.moment })
				require.GreaterOrEqual(t, i, 0, picture.moment)
				s := demo[i].Snapshot
				if picture.offer != nil {
					picture.offer.At = s.At
					s.Offer = picture.offer
				}
				r := stillRoot(t, s, theme, termenv.TrueColor)
				r.storage = picture.storage
				r.keys(picture.keys)
				path := "../docs/pictures/" + picture.name + "-" + theme + ".svg"
				screentest.RequirePicture(t, path, r.Rows(100, 30), page.fore, page.back)
			})
		}
	}
}
