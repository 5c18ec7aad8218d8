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
