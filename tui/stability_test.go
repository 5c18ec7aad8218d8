package tui_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
)

// labels are the words of the flying screen that a pilot finds by their place.
var labels = regexp.MustCompile(`STEER|NEXT|\bIN\b|LATE BY|\bLEG\b|\bETA\b|\bTANK\b|AHEAD|\bGS\b|WIND|LANDING|FUEL|TANKS|RADIO|REPORT|\bLOG\b|CLEARED|DIVERT|\bQNH\b|\bMSA\b`)

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
