package main_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/testkit"
)

// TestIdle reads what a flight costs while nobody presses a key, for as long as LEGCLOCK_IDLE says: processor time by the kernel's account of each
// thread, and resident memory at the end. It asserts nothing of either.
func TestIdle(t *testing.T) {
	length, err := time.ParseDuration(os.Getenv("LEGCLOCK_IDLE"))
	if err != nil {
		t.Skip("LEGCLOCK_IDLE=60s measures")
	}
	w := newWorld(t)
	w.run("new", "round.yaml")
	s := w.begin("idle.jsonl")
	time.Sleep(10 * time.Second) // starting is over
	process := fmt.Sprintf("/proc/%d", s.Command.Process.Pid)
	used := func() (total time.Duration) {
		threads, err := filepath.Glob(process + "/task/*/schedstat")
		require.NoError(t, err)
		for _, thread := range threads {
			text, err := os.ReadFile(thread)
			require.NoError(t, err)
			nanoseconds, err := strconv.ParseInt(strings.Fields(string(text))[0], 10, 64)
			require.NoError(t, err)
			total += time.Duration(nanoseconds)
		}
		return total
	}
	before, began := used(), time.Now()
	time.Sleep(length)
	each := (used() - before).Seconds() / time.Since(began).Seconds()
	t.Logf("%.2f ms of processor a second, %d kB resident", 1000*each, holdingOf(t, s.Command.Process.Pid).resident)
}

// TestCost reads what starting and large logs cost, where LEGCLOCK_COST is set: how long it takes from the start of the process to a first frame, and
// what is resident then; and the same of a folder of logs debriefed to its end. It asserts nothing of either.
func TestCost(t *testing.T) {
	if os.Getenv("LEGCLOCK_COST") == "" {
		t.Skip("LEGCLOCK_COST=1 measures")
	}
	w := newWorld(t)
	w.run("new", "round.yaml")
	first := func(args ...string) (took time.Duration, resident int) {
		began := time.Now()
		s := testkit.Start(t, w.command(args...), 120, 36)
		s.AwaitFor(time.Minute, "a frame", func(screen string) bool { return strings.Contains(screen, "LEG") })
		took = time.Since(began)
		time.Sleep(5 * time.Second) // and what starting took is handed back
		resident = holdingOf(t, s.Command.Process.Pid).resident
		require.NoError(t, s.Command.Process.Kill())
		s.Wait()
		return took, resident
	}
	for i := range 5 {
		took, resident := first("fly", "round.yaml", "--log", fmt.Sprintf("first-%d.jsonl", i))
		t.Logf("a flight: first frame after %.1f ms, %d kB resident", 1000*took.Seconds(), resident)
	}
	for _, entries := range []int{10_000, 50_000} {
		log := filepath.Join(w.state, fmt.Sprintf("long-%d.jsonl", entries))
		require.NoError(t, testkit.WriteLongJournal(log, entries))
		for _, command := range []string{"replay", "watch"} {
			took, resident := first(command, log)
			t.Logf("%s of %d entries: first frame after %.0f ms, %d kB resident", command, entries, 1000*took.Seconds(), resident)
		}
	}
	for _, logs := range []int{100, 1_000} {
		folder := filepath.Join(w.state, fmt.Sprint(logs))
		require.NoError(t, os.Mkdir(folder, 0o755))
		require.NoError(t, testkit.WriteLogs(folder, logs, 8))
		began, command := time.Now(), w.command("debrief", folder)
		require.NoError(t, command.Start())
		ended, most := make(chan error, 1), 0
		go func() { ended <- command.Wait() }()
		for running := true; running; {
			select {
			case err := <-ended:
				require.NoError(t, err)
				running = false
			case <-time.After(50 * time.Millisecond):
				most = max(most, holdingOf(t, command.Process.Pid).resident)
			}
		}
		t.Logf("%d logs of three hours: %.1f s, at most %d kB resident", logs, time.Since(began).Seconds(), most)
	}
}
