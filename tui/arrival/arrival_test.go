package arrival_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/tui/arrival"
	"example.com/legclock/tui/flying"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func text(s flight.Snapshot, size screen.Size) string {
	return strings.Join(arrival.Over(flying.New(), "round.jsonl").Rows(s, size, theme.Theme{}), "\n")
}

func TestEveryRowIsExact(t *testing.T) {
	for _, snapshot := range []flight.Snapshot{screentest.Arrived(), screentest.Harsh(), screentest.Empty()} {
		snapshot.Flown = &flight.FlownNow{Mattered: &flight.LegFlown{From: snapshot.Leg.From, To: snapshot.Leg.To}, AnsweredPrompts: 7, LatePrompts: 3, Latest: snapshot.Title}
		for width := 1; width <= 200; width += 3 {
			for height := 1; height <= 60; height += 4 {
				size := screen.Size{Width: width, Height: height}
				screentest.RequireExact(t, arrival.Over(flying.New(), "round.jsonl").Rows(snapshot, size, theme.Plain()), size)
			}
		}
	}
}

// Once arrived, the flight's figures stand where its clocks stood; before that the flying screen is what it is.
func TestWhatTheFlightWas(t *testing.T) {
	demo := screentest.Demo(t)
	arrived := demo[len(demo)-1].Snapshot
	usual := screen.Size{Width: 80, Height: 20}
	shown := text(arrived, usual)
	for _, digits := range frame.Big("1:28:28", frame.BigSmall, frame.Drawn()) {
		require.Contains(t, shown, strings.TrimRight(digits, " "), "off blocks 08:25:10, on blocks 09:53:38")
	}
	for _, want := range []string{
		"ARRIVED PLM Pellmoor, overhead 09:44:38Z", "block 1:28:28, airborne 1:19:38, 1 landing", "L used", "2 changes, highest imbalance",
		"prompts answered, 4 late, at worst ", "round.jsonl", "legclock debrief round.jsonl",
	} {
		require.Contains(t, shown, want)
	}
	flown := *arrived.Flown
	arrived.Flown, flown.Mattered = &flown, &flight.LegFlown{To: "SHB", DifferenceSeconds: 50, GroundspeedKt: 90}
	require.Contains(t, text(arrived, usual), "the diversion to SHB took 0:50 longer than planned, at 90 kt")
	cruise := screentest.Cruise()
	require.Equal(t, strings.Join(flying.New().Rows(cruise, usual, theme.Theme{}), "\n"), text(cruise, usual))
}
