package tui_test

import (
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/clock"
	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/flight/flighttest"
	"example.com/legclock/tui"
	"example.com/legclock/tui/frame"
	"example.com/legclock/tui/screen"
	"example.com/legclock/tui/screentest"
	"example.com/legclock/tui/terminal"
)

func stillRoot(t testing.TB, s flight.Snapshot, theme string, profile termenv.Profile) *rig {
	r := &rig{clock: clock.Fixed(s.At)}
	root, err := tui.New(tui.Options{Flight: screentest.Still{Snapshot: s}, Mode: tui.Practice(r, nil, pilot{}, false), Clock: r.clock, Theme: theme, Profile: profile})
	require.NoError(t, err)
	r.Root = root
	return r
}

// goldenSizes are the smallest screen that is meant for flying, a usual one and a large one.
var goldenSizes = []screen.Size{{Width: 80, Height: 24}, {Width: 120, Height: 36}, {Width: 200, Height: 60}}

// Golden frames of the whole screen: how it is drawn, whatever the sums say.
func TestGoldenFrames(t *testing.T) {
	for _, moment := range screentest.Moments() {
		for _, size := range goldenSizes {
			name := fmt.Sprintf("%s-%dx%d.txt", moment.Name, size.Width, size.Height)
			t.Run(name, func(t *testing.T) {
				rows := stillRoot(t, moment.Snapshot, "plain", termenv.Ascii).Rows(size.Width, size.Height)
				screentest.RequireFrame(t, "../testdata/frames/flying/"+name, screentest.Bare(rows))
			})
		}
	}
	t.Run("colour", func(t *testing.T) {
		rows := stillRoot(t, screentest.TankLate(), "dusk", termenv.ANSI).Rows(80, 24)
		screentest.RequireFrame(t, "../testdata/frames/flying/tank-late-80x24-dusk-16.txt", rows)
	})
}

// Moments of a flight of the demo plan, reckoned by the program: what a pilot sees of it. The themes that have colours show the same text, and each
// has its looks beside it.
func TestGoldenDemo(t *testing.T) {
	others := map[string]map[string]string{ // screens but flying, by the moment and their names
		"written-down": {"papers": "r"}, "turn-late": {"route": "2", "tanks": "4"}, "cruise": {"radio": "3", "entries": "5", "divert": "d"},
	}
	for _, moment := range screentest.Demo(t) {
		keys := map[string]string{moment.Name: ""}
		for name, key := range others[moment.Name] {
			keys[moment.Name+"-"+name] = key
		}
		for name, key := range keys {
			for _, size := range goldenSizes {
				file := fmt.Sprintf("%s-%dx%d", name, size.Width, size.Height)
				t.Run(file, func(t *testing.T) {
					frame := func(theme string, profile termenv.Profile) []string {
						r := stillRoot(t, moment.Snapshot, theme, profile)
						r.keys(key)
						return r.Rows(size.Width, size.Height)
					}
					text := screentest.Bare(frame("plain", termenv.Ascii))
					screentest.RequireFrame(t, "../testdata/frames/demo/"+file+".txt", text)
					var looks []string
					for _, theme := range []string{"terminal", "day", "dusk"} {
						rows := frame(theme, termenv.ANSI)
						require.Equal(t, text, screentest.Bare(rows), theme)
						looks = append(append(looks, "# "+theme), screentest.Looks(rows)...)
					}
					screentest.RequireFrame(t, "../testdata/frames/demo/"+file+".looks", looks)
				})
			}
		}
	}
}

// Flights that go wrong, as the flight scripts have them: each up to the first step of a time.
func TestGoldenFlightsThatGoWrong(t *testing.T) {
	for _, c := range []struct{ name, script, at string }{
		{"low-fuel-diversion", "11-fuel-states", "10:26"},
		{"late-start", "late-start", "14:02"},
		{"forgotten-tank", "tank-overdue", "10:00"},
		{"missed-offer", "17-missed-offers", "09:44"},
	} {
		text, err := os.ReadFile("../testdata/flights/" + c.script + ".txt")
		require.NoError(t, err)
		before, _, found := strings.Cut(string(text), "\nat "+c.at+" ")
		require.True(t, found, c.script)
		flown, err := flighttest.Fly(before, flighttest.SheetsIn("../testdata/flights/plans"))
		require.NoError(t, err)
		at, err := time.Parse(time.DateOnly+" 15:04", flown.Sheet.Plan.OffBlocks.Format(time.DateOnly)+" "+c.at)
		require.NoError(t, err)
		for _, size := range append(goldenSizes[:2:2], screen.Size{Width: 40, Height: 10}) {
			name := fmt.Sprintf("%s-%dx%d.txt", c.name, size.Width, size.Height)
			t.Run(name, func(t *testing.T) {
				s := flown.State.At(at)
				rows := screentest.Bare(stillRoot(t, s, "plain", termenv.Ascii).Rows(size.Width, size.Height))
				screentest.RequireFrame(t, "../testdata/frames/demo/"+name, rows)
				all := strings.Join(strings.Fields(strings.Join(rows, " ")), " ")
				for _, pressing := range s.Pressing {
					require.Contains(t, all, pressing.Text, "whole")
				}
			})
		}
	}
}

// Whatever is open or alarming, at every size there are exactly as many rows as the terminal has, each exactly as wide.
func TestRowsFillEverySize(t *testing.T) {
	states := map[string]func(r *rig){
		"plain":    func(*rig) {},
		"line":     func(r *rig) { r.keys("epassing ") },
		"fault":    func(r *rig) { r.keys("epassing<enter>") },
		"question": func(r *rig) { r.keys("q") },
		"earlier":  func(r *rig) { r.keys("b2 min ago<enter>") },
		"entries":  func(r *rig) { r.keys("5") },
		"help":     func(r *rig) { r.keys("?") },
	}
	for name, prepare := range states {
		t.Run(name, func(t *testing.T) {
			var roots []*rig
			for _, s := range []flight.Snapshot{screentest.TankLate(), screentest.Harsh(), screentest.Empty()} {
				r := stillRoot(t, s, "dusk", termenv.TrueColor)
				prepare(r)
				roots = append(roots, r)
			}
			for width := 1; width <= 200; width += 2 {
				for height := 1 + width%5; height <= 60; height += 5 {
					rows := roots[(width+height)%len(roots)].Rows(width, height)
					screentest.RequireExact(t, rows, screen.Size{Width: width, Height: height})
				}
			}
		})
	}
}

// In ASCII the program's own signs are ASCII, on every screen.
func TestASCII(t *testing.T) {
	r := &rig{clock: clock.Fixed(screentest.Cruise().At)}
	root, err := tui.New(tui.Options{Flight: screentest.Still{Snapshot: screentest.Cruise()}, Mode: tui.Live(r, nil), Clock: r.clock, Theme: "plain", ASCII: true})
	require.NoError(t, err)
	r.Root = root
	for _, keys := range []string{"1", "2", "3", "4", "5", "?", "1e", "0"} {
		r.keys(keys)
		rows := screentest.Bare(r.Rows(160, 48))
		screentest.RequireExact(t, rows, screen.Size{Width: 160, Height: 48})
		require.NotRegexp(t, `[^\x00-\x7f]`, strings.Join(rows, ""), keys)
	}
}

// Nothing hides the leg clock: whatever is open, at any size that has room for it.
func TestTheLegClockIsAlwaysThere(t *testing.T) {
	s := screentest.TankLate()
	s.Clock.LegSeconds = new(775.0)
	for _, keys := range []string{"", "e", "epassing<enter>", "q", "5", "?", "2", "3", "4"} {
		r := stillRoot(t, s, "plain", termenv.Ascii)
		r.keys(keys)
		for _, size := range []screen.Size{{Width: 40, Height: 10}, {Width: 60, Height: 15}, {Width: 79, Height: 23}} {
			require.Contains(t, strings.Join(screentest.Bare(r.Rows(size.Width, size.Height)), "\n"), shownLegClock(r, size), "%q at %v", keys, size)
		}
	}
}

// shownLegClock is the leg clock as text, or in the first row of its big digits.
func shownLegClock(r *rig, size screen.Size) string {
	rows := strings.Join(screentest.Bare(r.Rows(size.Width, size.Height)), "\n")
	if big := frame.Big("12:55", frame.BigSmall, frame.Drawn())[0]; strings.Contains(rows, big) {
		return big
	}
	if strings.Contains(rows, "LEG 12:55") {
		return "LEG 12:55"
	}
	return " 12:55 "
}

// The screens know no files, no journal and no machine clock.
func TestImports(t *testing.T) {
	forbidden := []string{"os", "example.com/legclock/internal/journal", "example.com/legclock/internal/cli", "example.com/legclock/internal/feed"}
	require.NoError(t, filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == "terminal" || entry.Name() == "screentest") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range file.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			require.NotContains(t, forbidden, imported, path)
		}
		return nil
	}))
}

func BenchmarkFrame(b *testing.B) {
	r := stillRoot(b, screentest.Cruise(), "day", termenv.TrueColor)
	b.ReportAllocs()
	for b.Loop() {
		r.Rows(120, 36)
	}
}

// seconds are Snapshots of one flight of the demo plan in cruise, a second apart, and the flight that they are of.
type seconds []flight.Snapshot

func newSeconds(t testing.TB, n int) seconds {
	state := screentest.DemoCruise(t)
	taken := make(seconds, n)
	for i := range taken {
		taken[i] = state.At(day("08:46:10").Add(time.Duration(i) * time.Second))
	}
	return taken
}

// Check, Apply, Undoable and Setting are those of a flight in which nothing is recorded.
func (seconds) Check(flight.Event) error { return nil }
func (seconds) Apply(flight.Event) error { return nil }
func (seconds) Undoable() *flight.Event  { return nil }
func (s seconds) Setting() clock.Setting { return clock.Setting{Rate: 1} }

// At is the Snapshot of a second.
func (s seconds) At(t time.Time) flight.Snapshot { return s[int(t.Sub(s[0].At)/time.Second)%len(s)] }

// A frame when one second has passed, in cruise, while nothing happens.
func BenchmarkFrameSecond(b *testing.B) {
	next := secondBySecond(b)
	b.ReportAllocs()
	for b.Loop() {
		next()
	}
}

// When one second has passed, in cruise, and nothing has happened, a frame makes the rows in which something counts, and hardly anything else.
func TestFrameOfTheNextSecondIsMadeOfLittle(t *testing.T) {
	const most = 40 // allocations
	next := secondBySecond(t)
	require.LessOrEqual(t, testing.AllocsPerRun(240, next), float64(most))
}

// secondBySecond lets a second pass in cruise and draws the frame of it.
func secondBySecond(t testing.TB) func() {
	taken := newSeconds(t, 120)
	hand := clock.NewHand(taken[0].At)
	now := clock.New(clock.Real(taken[0].At), hand.Wall)
	root, err := tui.New(tui.Options{Flight: taken, Mode: tui.Live(&rig{}, nil), Clock: now, Theme: "day", Profile: termenv.TrueColor})
	require.NoError(t, err)
	return func() {
		hand.Move(time.Second)
		root.Update(terminal.Tick{At: hand.Wall()})
		root.Rows(120, 36)
	}
}
