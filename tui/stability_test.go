package tui_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
)

// labels are the words of the flying screen that a pilot finds by their place.
var labels = regexp.MustCompile(`STEER|NEXT|\bIN\b|LATE BY|\bLEG\b|\bETA\b|\bTANK\b|AHEAD|\bGS\b|WIND|ARRIVAL|FUEL|TANKS|RADIO|REPORT|\bLOG\b|CLEARED|DIVERT|\bQNH\b|\bMSA\b`)

// placed are the places of the labels in a frame: row, column, word. IN and LATE BY are two words of one label.
func placed(rows []string) [][3]any {
	var found [][3]any
	for y, row := range rows[:len(rows)-2] { // but for what was said last, and the keys
		if y < 2 {
			continue // the header, and the row that is kept for what is late
		}
		for _, at := range labels.FindAllStringIndex(row, -1) {
			word := row[at[0]:at[1]]
			if word == "LATE BY" {
				word = "IN"
			}
			found = append(found, [3]any{y, len([]rune(row[:at[0]])), word})
		}
	}
	return found
}

// Over a minute of ordinary flight, second by second, no label moves and no row changes its place, at any of the sizes; nor when a change of tank
// becomes late.
func TestLabelsStandStill(t *testing.T) {
	for _, size := range append(goldenSizes, screen.Size{Width: 40, Height: 10}) {
		r := airborne(t, nil)
		r.keys("eidentified DME LKM<enter>eidentified NAV1 LKM<enter>")
		before := placed(screentest.Bare(r.Rows(size.Width, size.Height)))
		require.GreaterOrEqual(t, len(before), 5, "%v: %v", size, before)
		for second := range 60 {
			r.pass(time.Second)
			require.Equal(t, before, placed(screentest.Bare(r.Rows(size.Width, size.Height))), "%v, second %d", size, second)
		}
	}
}

// Nothing moves when the kept row fills, and whatever is late or over a limit stands there whole, in the smallest window that is meant for flying too.
func TestWhatPressesIsShownWholeAndMovesNothing(t *testing.T) {
	calm, pressed := screentest.TankLate(), screentest.TankLate()
	calm.Pressing = nil
	pressed.Pressing = []flight.Pressing{
		{Text: "imbalance 9.8 of 8 L: left is heavy"},
		{Late: new(3*time.Minute + 15*time.Second), Text: "tank to left"},
		{Late: new(2 * time.Minute), Text: "turn right over GRN onto 146"},
	}
	for _, size := range append(goldenSizes, screen.Size{Width: 40, Height: 10}) {
		before := screentest.Bare(stillRoot(t, calm, "plain", 0).Rows(size.Width, size.Height))
		rows := screentest.Bare(stillRoot(t, pressed, "plain", 0).Rows(size.Width, size.Height))
		require.Empty(t, strings.TrimSpace(before[1]), "%v: kept free", size)
		all := strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
		for _, text := range []string{"imbalance 9.8 of 8 L: left is heavy", "LATE 3:15 tank to left", "LATE 2:00 turn right over GRN onto 146"} {
			require.Contains(t, all, text, "%v", size)
		}
		for y := 2; y < 5; y++ { // the upper figures
			require.Equal(t, before[y], rows[y], "%v", size)
		}
	}
}

// What presses and is too long for the kept row covers figures only while it is to be read: when it begins to press, and after a key.
func TestWhatPressesCoversNoFigureForLong(t *testing.T) {
	r := airborne(t, nil)
	plain := regexp.MustCompile(`\d+`)
	rows := func(height int) string {
		return plain.ReplaceAllString(strings.Join(screentest.Bare(r.Rows(80, height)), "\n"), "#")
	}
	figures := func() bool { return strings.Contains(rows(24), "\n GS ") && strings.Contains(rows(24), "\n ARRIVAL ") }
	require.True(t, figures())
	for figures() || !strings.Contains(rows(24), "LATE #:# turn right over LKM onto #") {
		require.True(t, r.clock.Now().Before(day("09:00:00")), "what begins to press is shown whole")
		r.pass(10 * time.Second)
	}
	whole := strings.Count(rows(24), "LATE")
	require.Greater(t, whole, 3)
	for range 20 {
		r.pass(time.Second)
	}
	require.True(t, figures())
	require.Regexp(t, `\n LATE #:# turn right over LKM onto #.*  w # more *\n`, rows(24))
	r.keys("w")
	require.False(t, figures())
	require.Equal(t, whole, strings.Count(rows(24), "LATE"))
	require.NotContains(t, rows(24), "w # more")
	r.keys("<esc>")
	require.True(t, figures())
	r.keys("ww")
	require.True(t, figures())
	r.keys("5") // where nothing else is called late
	require.Equal(t, whole-1, strings.Count(rows(40), "LATE"), "blank rows are free for it")
}

// What is kept from frame to frame is never shown where it is no longer so: whatever is flown, pressed and shown, in whatever size and theme, a frame
// that keeps what it can is the frame drawn from nothing.
func TestWhatIsKeptIsAsDrawnFromNothing(t *testing.T) {
	sizes := append([]screen.Size{{Width: 40, Height: 10}, {Width: 100, Height: 13}, {Width: 160, Height: 48}}, goldenSizes...)
	presses := []string{" ", "p", "t", "x", "z", "u", "y", "n", "m", "l", "<up>", "<down>", "<down>", "<enter>", "<esc>", "1", "1", "2", "3", "4", "5", "d", "r", "?", "+", "-", "0"}
	typed := []string{"", "airborne", "level", "steer 131", "qnh 1009", "off-track 1.2 left", "off-track 0", "gauges left 31 right 30", "hold", "unhold", "cross CHM at 3000 ft", "note so", "descend", "landed"}
	rapid.Check(t, func(rt *rapid.T) {
		start := rapid.SampledFrom([]string{"08:20:00", "08:24:00"}).Draw(rt, "start")
		profile := rapid.SampledFrom([]termenv.Profile{termenv.Ascii, termenv.ANSI, termenv.TrueColor}).Draw(rt, "profile")
		ascii := rapid.Bool().Draw(rt, "ascii")
		var both [2]*rig
		for i := range both {
			both[i] = newRig(t, start, func(o *tui.Options, _ *rig) { o.Theme, o.Profile, o.ASCII = "terminal", profile, ascii })
			both[i].keys(" ")
		}
		size := sizes[len(sizes)-2]
		for range rapid.IntRange(10, 60).Draw(rt, "steps") {
			var step func(r *rig)
			switch rapid.IntRange(0, 9).Draw(rt, "what") {
			case 0, 1, 2, 3:
				by := time.Duration(rapid.SampledFrom([]int{1, 1, 2, 30, 61, 300, 1500}).Draw(rt, "seconds")) * time.Second
				step = func(r *rig) { r.pass(by) }
			case 4:
				line := rapid.SampledFrom(typed).Draw(rt, "typed")
				step = func(r *rig) { r.keys("<esc>e" + line + "<enter>") }
			case 5:
				size = rapid.SampledFrom(sizes).Draw(rt, "size")
				step = func(*rig) {}
			default:
				press := rapid.SampledFrom(presses).Draw(rt, "press")
				step = func(r *rig) { r.keys(press) }
			}
			step(both[0])
			step(both[1])
			both[1].Rows(size.Width+1, size.Height+1) // forgets what was drawn
			require.Equal(rt, both[1].Rows(size.Width, size.Height), both[0].Rows(size.Width, size.Height))
		}
	})
}
