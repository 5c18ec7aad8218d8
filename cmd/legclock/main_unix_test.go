//go:build unix

package main_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/testkit"
	"example.com/legclock/plans"
)

// program is the built binary, as it is released. It has the race detector where the tests have.
var (
	program string
	raced   bool
)

func TestMain(m *testing.M) {
	folder, err := os.MkdirTemp("", "legclock")
	if err != nil {
		panic(err)
	}
	program = filepath.Join(folder, "legclock")
	build := exec.Command("go", "build", "-race="+strconv.FormatBool(raced), "-ldflags=-s -w", "-o", program, ".")
	build.Stderr = os.Stderr
	if !raced {
		build.Env = append(os.Environ(), "CGO_ENABLED=0")
	}
	if err := build.Run(); err != nil {
		panic(err)
	}
	code := m.Run()
	_ = os.RemoveAll(folder)
	os.Exit(code)
}

// world is a person's machine: an empty state folder and a demo plan.
type world struct {
	t     *testing.T
	state string
}

func newWorld(t *testing.T) world { return world{t, t.TempDir()} }

func (w world) command(args ...string) *exec.Cmd {
	command := exec.Command(program, args...)
	command.Dir = w.state
	command.Env = append(os.Environ(), "XDG_STATE_HOME="+w.state, "TERM=xterm-256color", "NO_COLOR=", "LC_ALL=C.UTF-8")
	return command
}

// run runs a command without a terminal and returns what it printed.
func (w world) run(args ...string) string {
	w.t.Helper()
	command := w.command(args...)
	command.Stderr = os.Stderr
	out, err := command.Output()
	require.NoError(w.t, err, "legclock %s", strings.Join(args, " "))
	return string(out)
}

// log is the one journal in the state folder.
func (w world) log() string {
	w.t.Helper()
	logs, err := filepath.Glob(filepath.Join(w.state, "legclock", "*.jsonl"))
	require.NoError(w.t, err)
	require.Len(w.t, logs, 1)
	return logs[0]
}

func (w world) events() []flight.Event {
	w.t.Helper()
	contents, err := journal.Load(w.log())
	require.NoError(w.t, err)
	return contents.Events
}

// count is how many entries of a kind the journal holds.
func (w world) count(do flight.Act) int {
	n := 0
	for _, event := range w.events() {
		if event.Act == do {
			n++
		}
	}
	return n
}

// lastAct is the flight time of the latest act: any entry but those of the clock.
func (w world) lastAct() time.Time {
	var last time.Time
	for _, event := range w.events() {
		if event.Act != flight.Clock && event.T.After(last) {
			last = event.T
		}
	}
	return last
}

// answer gives the act that is offered first, again where that has only just come first, until the screen says so.
func answer(s *testkit.Session, says string) {
	s.Type(" ")
	s.Await("«"+says+"»", func(screen string) bool {
		if strings.Contains(screen, says) {
			return true
		}
		if strings.Contains(screen, "press again") {
			s.Type(" ")
		}
		if strings.Contains(screen, "Is it done already?") {
			s.Type("y")
		}
		return false
	})
}

// TestDemoIsFlownKilledResumedAndLanded flies the demo at its highest rate, by keys and by the program's hands.
func TestDemoIsFlownKilledResumedAndLanded(t *testing.T) {
	w := newWorld(t)

	s := testkit.Start(t, w.command("practice", "--watch", "--seed", "7", "--rate", "16"), 120, 36)
	s.AwaitText("recorded identified") // the program's hands have begun
	s.Type("h")                        // the person's own, from here
	s.AwaitText("recorded hands on")
	answer(s, "recorded airborne")
	s.Type("p") // the first checkpoint
	s.Await("a passing or a question about it", func(screen string) bool {
		return strings.Contains(screen, "recorded passing") || strings.Contains(screen, "Record it all the same")
	})
	if strings.Contains(s.Text(), "Record it all the same") {
		s.Type("y")
		s.AwaitText("recorded passing")
	}
	s.Type("u")
	s.AwaitText("undone: ")
	acknowledged := len(w.events())

	require.NoError(t, s.Command.Process.Kill())
	s.Wait()
	require.Len(t, w.events(), acknowledged, "every entry that was echoed is on disk, and none twice")

	s = testkit.Start(t, w.command("practice", "--rate", "16"), 120, 36)
	s.AwaitText("Go on with it?")
	s.Type("y\r")
	s.AwaitText("taken up again")
	s.Type("h") // the program's hands fly it home
	s.Await("hands off", func(screen string) bool { return strings.Contains(screen, "hands off") })
	for at := time.Date(2026, 6, 20, 8, 40, 0, 0, time.UTC); w.count(flight.OnBlocks) == 0; at = at.Add(5 * time.Minute) {
		require.Less(t, at.Hour(), 11, "the flight does not end; the screen:\n%s", s.Text())
		s.Type("c" + at.Format("15:04") + "\r") // the person turns the flight clock on; the hands keep up
		s.AwaitText(at.Format(" 15:04:"))
		s.Await("the hands' next look", func(string) bool {
			return w.count(flight.OnBlocks) > 0 || w.lastAct().After(at.Add(-10*time.Minute))
		})
	}
	s.Type("q")
	s.AwaitText("y")
	s.Type("y")
	assert.Zero(t, s.Wait())

	events := w.events()
	for i, event := range events {
		require.Equal(t, i+1, event.N, "numbers without a gap")
	}
	assert.GreaterOrEqual(t, w.count(flight.TankChange), 2)
	assert.GreaterOrEqual(t, w.count(flight.Identified), 4)

	var status struct {
		Phase string `json:"phase"`
		Route []struct {
			Point  string     `json:"point"`
			Actual *time.Time `json:"actual"`
		} `json:"route"`
		Tanks struct {
			Imbalance    float64 `json:"imbalance"`
			MaxImbalance float64 `json:"max_imbalance"`
		} `json:"tanks"`
	}
	require.NoError(t, json.Unmarshal([]byte(w.run("status", w.log(), "--json")), &status))
	assert.Equal(t, "arrived", status.Phase)
	const byHand = 3 // the departure and what went by on the first leg while the person flew
	for _, point := range status.Route[byHand:] {
		assert.NotNil(t, point.Actual, "%s was passed", point.Point)
	}
	assert.LessOrEqual(t, status.Tanks.Imbalance, status.Tanks.MaxImbalance)
}

// query is anything that asks the terminal for an answer: colours, attributes, the cursor's place, modes.
var query = regexp.MustCompile(`\x1b\](1[0-9]|4);[^\x07\x1b]*\?|\x1b\[[>=?]?[0-9;]*[cn]|\x1b\[[?>]?[0-9;]*\$p|\x1bP[+$]q`)

// TestNoTerminalQueryBeforeTheFirstFrame runs every subcommand in a terminal that never answers: a query there would stall
// the start for seconds.
func TestNoTerminalQueryBeforeTheFirstFrame(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	for _, args := range [][]string{
		{"--version"},
		{"--help"},
		{"check", "round.yaml"},
		{"sheet", "round.yaml"},
		{"status", "nowhere.jsonl"},
		{"new", "again.yaml"},
		{"man"},
		{"completion", "bash"},
	} {
		s := testkit.Start(t, w.command(args...), 80, 24)
		s.Wait()
		assert.NotRegexp(t, query, s.Raw(), "legclock %v", args)
	}
	for _, args := range [][]string{{}, {"practice", "round.yaml"}, {"fly", "round.yaml"}} {
		s := testkit.Start(t, w.command(args...), 80, 24)
		s.AwaitText("LEG") // the leg clock, on whatever screen it opens with
		assert.NotRegexp(t, query, s.Raw(), "legclock %v", args)
	}
}

// TestEndingsLeaveTheTerminalAndTheJournalWhole ends a flight in every way that a terminal knows.
func TestEndingsLeaveTheTerminalAndTheJournalWhole(t *testing.T) {
	for name, end := range map[string]struct {
		by   func(*testkit.Session)
		code int
	}{
		"terminated":  {func(s *testkit.Session) { _ = s.Command.Process.Signal(syscall.SIGTERM) }, 128 + 15},
		"interrupted": {func(s *testkit.Session) { _ = s.Command.Process.Signal(syscall.SIGINT) }, 128 + 2},
		"hung up":     {func(s *testkit.Session) { s.HangUp() }, 128 + 1},
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(t)
			w.run("new", "round.yaml")
			s := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05"), 100, 30)
			s.AwaitText("ARRIVAL")
			answer(s, "recorded off blocks")
			end.by(s)
			assert.Equal(t, end.code, s.Wait())
			if name != "hung up" {
				assert.False(t, s.Alternate(), "the alternate screen was left")
			}
			assert.Equal(t, 1, w.count(flight.OffBlocks))

			resumed := testkit.Start(t, w.command("fly", "round.yaml", "--resume"), 100, 30)
			resumed.AwaitText("taken up again") // the lock went with the process
		})
	}
}

// TestSeveralKeysInOneReadAreSeveralActs types faster than the program reads.
func TestSeveralKeysInOneReadAreSeveralActs(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	s := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05"), 100, 30)
	s.AwaitText("ARRIVAL")
	s.Type("++-") // 2, 4, 2
	s.Await("the rate", func(screen string) bool { return strings.Contains(screen, "×2") })
	rates := 0
	for _, event := range w.events() {
		if event.Act == flight.Clock && event.Rate != nil {
			rates++
		}
	}
	assert.Equal(t, 4, rates, "the start and three keys")

	s.Resize(20, 5)
	s.AwaitText("LEG --") // whatever the size
	s.Resize(100, 30)
	s.AwaitText("ARRIVAL")
}

// TestOneWriterAtATime opens the same journal twice.
func TestOneWriterAtATime(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	first := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05", "--log", "a.jsonl"), 100, 30)
	first.AwaitText("ARRIVAL")
	second := testkit.Start(t, w.command("fly", "round.yaml", "--resume", "--log", "a.jsonl"), 100, 30)
	assert.Equal(t, 2, second.Wait())
	assert.Contains(t, second.Text(), "is being written by process")
}

// A finished flight is opened again where that is asked for, to undo what was wrong in it, and is not overwritten.
func TestAFinishedFlightIsOpenedAgain(t *testing.T) {
	w := newWorld(t)
	w.run("new", "round.yaml")
	first := testkit.Start(t, w.command("fly", "round.yaml", "--start", "13:05", "--log", "a.jsonl"), 100, 30)
	first.AwaitText("ARRIVAL")
	first.Type("eon-blocks\r")
	first.AwaitText("recorded on blocks")
	first.Type("qy")
	first.Wait()
	refused := testkit.Start(t, w.command("fly", "round.yaml", "--log", "a.jsonl"), 100, 30)
	assert.Equal(t, 2, refused.Wait())
	assert.Contains(t, refused.Text(), "holds a finished flight")
	again := testkit.Start(t, w.command("fly", "round.yaml", "--resume", "--log", "a.jsonl"), 100, 30)
	again.AwaitText("a finished flight: u undoes its last entry")
	again.Type("u")
	again.AwaitText("undone: on blocks")
}

// A terminal that can't place its cursor gets a reason, and no flight is begun for it.
func TestDumbTerminal(t *testing.T) {
	for _, args := range [][]string{{}, {"fly", plans.DemoFile}, {"practice"}} {
		w := newWorld(t)
		require.NoError(t, os.CopyFS(w.state, plans.FS))
		command := w.command(args...)
		command.Env = append(command.Env, "TERM=dumb")
		s := testkit.Start(t, command, 100, 30)
		s.AwaitText("TERM=dumb says")
		require.Equal(t, 2, s.Wait(), "%v", args)
		require.NoDirExists(t, filepath.Join(w.state, "legclock"))
	}
}

// Where the locale has no UTF-8 the screen is drawn in ASCII unasked.
func TestLocaleWithoutUTF8(t *testing.T) {
	w := newWorld(t)
	command := w.command("practice", "--watch")
	command.Env = append(command.Env, "LC_ALL=C")
	s := testkit.Start(t, command, 100, 30)
	s.AwaitText("LEG")
	require.NotRegexp(t, `[^\x00-\x7f]`, s.Text())
}
