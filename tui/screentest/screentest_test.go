package screentest_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/tui/screentest"
)

// What the screens are drawn from keeps the promises of the Snapshot that screens rely on.
func TestMomentsKeepThePromisesOfASnapshot(t *testing.T) {
	for _, moment := range screentest.Moments() {
		t.Run(moment.Name, func(t *testing.T) {
			s := moment.Snapshot
			_, err := json.Marshal(s)
			require.NoError(t, err)
			for i := 1; i < len(s.Leg.Marks); i++ {
				require.GreaterOrEqual(t, s.Leg.Marks[i].AfterNM, s.Leg.Marks[i-1].AfterNM, "marks by distance")
			}
			answered := false
			for i, p := range s.Prompts {
				done := !p.Open()
				require.False(t, answered && !done, "open prompts come first")
				if i > 0 && !done {
					require.False(t, p.Due.Before(s.Prompts[i-1].Due), "open prompts soonest first: %s", p.ID)
				}
				answered = done
			}
		})
	}
}

// The look of each run, its ground and its place are in the picture, and what XML would read is escaped.
func TestPictureDrawsLooks(t *testing.T) {
	rows := []string{"\x1b[38;2;0;0;0;48;2;255;255;255mab \x1b[1;38;2;156;0;24;48;2;255;244;176m<c>\x1b[22;38;2;0;0;0;48;2;255;255;255m d\x1b[m"}
	svg := screentest.Picture(t, rows, "#000000", "#ffffff")
	require.Contains(t, svg, `viewBox="0 0 64 17"`)
	require.Contains(t, svg, `<rect x="24" y="0" width="24" height="17" fill="#fff4b0"/>`)
	require.Contains(t, svg, `<text x="24" y="13" textLength="24" lengthAdjust="spacingAndGlyphs" fill="#9c0018" font-weight="bold">&lt;c&gt;</text>`)
	require.Contains(t, svg, `<text x="56" y="13" textLength="8" lengthAdjust="spacingAndGlyphs">d</text>`)
}
