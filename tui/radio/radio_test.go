package radio_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	beacons "example.com/legclock/internal/radio"
	"example.com/legclock/internal/say"
	"example.com/legclock/tui/keys"
	"example.com/legclock/tui/radio"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/theme"
)

func TestFrames(t *testing.T) { screentest.Golden(t, radio.New(), "../../testdata/frames/radio") }

func TestEveryRowIsExact(t *testing.T) { screentest.Exact(t, radio.New()) }

func TestRowsInASCII(t *testing.T) {
	for _, size := range []screen.Size{usual, {Width: 160, Height: 44}} {
		for _, moment := range screentest.Moments() {
			text := strings.Join(radio.New().Rows(moment.Snapshot, size, theme.Theme{ASCII: true}), "")
			require.NotRegexp(t, `[^\x00-\x7f±°·…]`, text, "no drawing characters")
		}
	}
}

var usual = screen.Size{Width: 80, Height: 20}

func frameOf(s *radio.Screen, snapshot flight.Snapshot, size screen.Size) string {
	return strings.Join(s.Rows(snapshot, size, theme.Theme{}), "\n")
}

func TestKeysWantWhatTheMarkedReceiverHasAUseFor(t *testing.T) {
	record := func(do flight.Act, receiver, beacon string) []screen.Intent {
		return []screen.Intent{screen.Record{Event: flight.Event{Act: do, Receiver: receiver, Beacon: beacon}}}
	}
	for _, row := range []struct {
		keys []string
		want []screen.Intent
	}{
		{[]string{":next"}, record(flight.Tuned, "NAV1", "GRN")},
		{[]string{":identified"}, nil}, // is identified
		{[]string{":fix"}, []screen.Intent{screen.Ask{Text: "fix KVN "}}},
		{[]string{":another"}, []screen.Intent{screen.Ask{Text: "tuned NAV1 "}}},
		{[]string{"down", ":identified"}, nil}, // nothing tuned
		{[]string{"down", ":next"}, nil},
		{[]string{"end", ":identified"}, record(flight.Identified, "ADF", "OBN")},
		{[]string{"end", "up", ":identified"}, record(flight.Identified, "DME", "KVN")},
		{[]string{"end", "down", "home", ":next"}, record(flight.Tuned, "NAV1", "GRN")},
	} {
		require.Equal(t, row.want, screentest.Press(radio.New(), screentest.Cruise(), row.keys...), "%v", row.keys)
	}
	require.Empty(t, screentest.Press(radio.New(), screentest.Empty(), "down", "end", ":next", ":identified", ":another", ":fix", ":bearing check"))
}

// A bearing check begins with the beacon on the wing tip and ends where it says; the frames show it running and done.
func TestABearingCheckIsTwoPressesOfOneKey(t *testing.T) {
	bearing := func(relative float64) []screen.Intent {
		return []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Bearing, Beacon: "OBN", Relative: &relative}}}
	}
	snapshot := screentest.Cruise()
	require.Equal(t, bearing(270), screentest.Press(radio.New(), snapshot, "end", ":bearing check"))
	require.Equal(t, []screen.Intent{screen.Ask{Text: "bearing OBN "}}, screentest.Press(radio.New(), snapshot, "end", ":another bearing"))
	require.Empty(t, screentest.Press(radio.New(), snapshot, "down", ":bearing check"), "nothing tuned")

	snapshot.Bearing = &flight.BearingCheckNow{
		Beacon: "OBN", Name: "Obanmuir", StartedAt: screentest.Clock("09:40:43"), Seconds: 47, FirstRelative: 270, StopRelative: 260,
		ExpectedSeconds: new(71.0), ReckonedNM: 12.4,
	}
	s := radio.New()
	require.Equal(t, bearing(260), screentest.Press(s, snapshot, "end", ":bearing check"))
	for range snapshot.Radio { // its end is the first choice wherever the mark stands
		screentest.Press(s, snapshot, "up")
		require.Equal(t, bearing(260), s.Choices(snapshot)[0].Does())
	}
	screentest.Press(s, snapshot, "end")
	require.Equal(t, []screen.Intent{screen.Record{Event: flight.Event{Act: flight.Bearing, Beacon: "KVN", Relative: new(90.0)}}},
		screentest.Press(radio.New(), snapshot, "home", ":another check"), "another beacon, another check")
	screentest.RequireFrame(t, "../../testdata/frames/radio/check-running-80x20.txt", screentest.Bare(s.Rows(snapshot, screen.Size{Width: 80, Height: 20}, theme.Theme{})))

	snapshot.Bearing.Done, snapshot.Bearing.Seconds, snapshot.Bearing.SecondRelative = true, 75, new(260.0)
	snapshot.Bearing.Result = &flight.ToBeacon{
		Sum: "75 s / 10° = 7.5 min", MinutesRule: new(7.5), DistanceRuleNM: new(15.0), MinutesExact: 7.198, DistanceExactNM: 14.397, TASKt: 120,
		MinutesInWind: new(6.9), DistanceInWindNM: new(13.1), HeadingMagnetic: new(352.0),
	}
	screentest.RequireFrame(t, "../../testdata/frames/radio/check-done-80x20.txt", screentest.Bare(s.Rows(snapshot, screen.Size{Width: 80, Height: 20}, theme.Theme{})))
	screentest.RequireFrame(t, "../../testdata/frames/radio/check-done-200x56.txt", screentest.Bare(s.Rows(snapshot, screen.Size{Width: 200, Height: 56}, theme.Theme{})))
	require.Equal(t, bearing(270), screentest.Press(s, snapshot, ":bearing check"), "then a new one begins")
}

func TestTheMarkFollowsWhatIsToBeDoneFirst(t *testing.T) {
	s, snapshot := radio.New(), screentest.Cruise()
	require.Contains(t, frameOf(s, snapshot, usual), "\n>NAV1")
	snapshot.Prompts = snapshot.Prompts[1:]
	require.Contains(t, frameOf(s, snapshot, usual), "\n>ADF")
	screentest.Press(s, snapshot, "up")
	require.Contains(t, frameOf(s, snapshot, usual), "\n>DME")
	snapshot.Prompts = screentest.Cruise().Prompts
	require.Contains(t, frameOf(s, snapshot, usual), "\n>DME", "it stays where it was put")
}

func TestTheMarkedReceiverIsInView(t *testing.T) {
	snapshot := screentest.Cruise()
	snapshot.Radio = append(snapshot.Radio, snapshot.Radio[0], snapshot.Radio[0])
	snapshot.Radio[4].Receiver, snapshot.Radio[5].Receiver = "NAV3", "NAV4"
	s := radio.New()
	for _, receiver := range []string{"NAV1", "NAV2", "DME", "ADF", "NAV3", "NAV4"} {
		for height := 1; height <= 60; height++ {
			for _, width := range []int{40, 80, 120, 160} {
				require.Regexp(t, `>( )?`+receiver, frameOf(s, snapshot, screen.Size{Width: width, Height: height}), "%d×%d", width, height)
			}
		}
		screentest.Press(s, snapshot, "down")
	}
}

func TestWhatANeedleShowsIsSaidInWords(t *testing.T) {
	tuned := func(b flight.BeaconNow) flight.Snapshot {
		s := screentest.Cruise()
		s.Radio = []flight.ReceiverNow{{Receiver: "NAV1", Tuned: &b}}
		return s
	}
	to, off := beacons.To, beacons.Off
	for want, beacon := range map[string]flight.BeaconNow{
		"flag TO  needle centred":                     {Sense: &to, NeedleDeg: new(0.3)},
		"needle 7 right":                              {Sense: &to, NeedleDeg: new(7.2)},
		"needle full left █─":                         {Sense: &to, NeedleDeg: new(-31.0)},
		"needle full right":                           {Sense: &to, NeedleDeg: new(10.0)},
		"flag OFF ":                                   {Sense: &off, NeedleDeg: new(0.0)},
		"QDM 360  relative 360, on the nose":          {Relative: new(0.2), QDM: new(359.9)},
		"relative 318, 42 left of the nose":           {Relative: new(318.0)},
		"relative 180, on the tail":                   {Relative: new(180.0)},
		"relative 090, 90 right of the nose":          {Relative: new(90.0)},
		"overhead in 3:20":                            {OverheadSeconds: new(200.0)},
		"K -.-  V ...-  N -.":                         {Beacon: "KVN", Morse: "-.- ...- -."},
		"-.-  ...-":                                   {Beacon: "KVN", Morse: "-.- ...-"},
		"NOT IDENTIFIED  OUT OF RANGE":                {},
		"NOT IDENTIFIED  in range":                    {InRange: true},
		"course 024  flag TO  radial 202  DME 24.4  ": {Course: new(24.0), Sense: &to, Radial: new(202.0), DME: new(24.4), NeedleDeg: new(1.0)},
	} {
		require.Contains(t, frameOf(radio.New(), tuned(beacon), usual), want)
	}
	require.NotContains(t, frameOf(radio.New(), tuned(flight.BeaconNow{Sense: &off, NeedleDeg: new(0.0)}), usual), "needle", "no needle without a flag")
}

func TestStepsToCome(t *testing.T) {
	snapshot := screentest.TankLate() // GRN is due, and no prompt asks for it any more
	text := frameOf(radio.New(), snapshot, usual)
	require.Regexp(t, `DUE +09:41:10 +late by 5:55 +tune NAV1 GRN`, text)
	require.Regexp(t, `  09:50:30 +in 3:25 +tune ADF OBN`, text)
	require.Less(t, strings.Index(text, "tune NAV1 GRN"), strings.Index(text, "tune ADF OBN"), "soonest first")

	snapshot.Radio[0].Next.Due = nil
	text = frameOf(radio.New(), snapshot, usual)
	require.Contains(t, text, "leg 2, 14.0 nm", "where, as long as nobody knows when")
	require.Greater(t, strings.LastIndex(text, "tune NAV1 GRN"), strings.Index(text, "tune ADF OBN"))

	for range 30 {
		snapshot.Radio = append(snapshot.Radio, flight.ReceiverNow{Receiver: "NAV2", Next: &flight.BeaconNext{Beacon: "KVN"}})
	}
	require.Regexp(t, `… \d+ more`, frameOf(radio.New(), snapshot, usual), "what has no room is counted")
}

func TestNoKeyIsTheRoots(t *testing.T) {
	seen := map[string]string{}
	for _, binding := range append(keys.NewGlobal().All(), radio.New().Keys(screentest.Cruise())...) {
		for _, name := range binding.Keys() {
			require.NotContains(t, seen, name, "%s and %s", seen[name], binding.Help().Desc)
			seen[name] = binding.Help().Desc
		}
	}
}

func BenchmarkFrame(b *testing.B) {
	s, snapshot, t := radio.New(), screentest.Cruise(), theme.Day(termenv.TrueColor)
	for b.Loop() {
		s.Rows(snapshot, screen.Size{Width: 160, Height: 44}, t)
	}
}

// In a small window too the frequency that is tuned and the first thing to be done are seen whole.
func TestWhatIsTunedAndToBeTunedIsSeenInASmallWindow(t *testing.T) {
	for _, moment := range screentest.Demo(t) {
		for width := 40; width <= 80; width++ {
			rows := radio.New().Rows(moment.Snapshot, screen.Size{Width: width, Height: 7}, theme.Theme{})
			all := strings.Join(rows, "\n")
			if tuned := moment.Snapshot.Radio[0].Tuned; tuned != nil {
				require.Contains(t, all, say.Frequency(tuned.Frequency), "%s, %d columns", moment.Name, width)
			}
			for i := range moment.Snapshot.Prompts {
				p := &moment.Snapshot.Prompts[i]
				if p.Open() && p.Kind == flight.PromptTune {
					whole := slices.ContainsFunc(p.Wording().Texts(), func(text string) bool { return strings.Contains(all, text) })
					require.True(t, whole, "%s, %d columns: %s\n%s", moment.Name, width, p.Text, all)
					break
				} else if p.Open() && p.Kind == flight.PromptIdentify {
					break // which is said before
				}
			}
		}
	}
}
