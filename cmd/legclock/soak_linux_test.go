package main_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/flight"
	"example.com/legclock/internal/testkit"
)

// soak is how long the soak flies, by the wall clock: at sixteen times, 225 s are an hour of flight.
var soak = flag.Duration("soak", 12*time.Second, "how long TestSoak flies, at sixteen times")

// holding is what a process holds.
type holding struct {
	resident    int // KiB
	descriptors int
}

func holdingOf(t *testing.T, pid int) (h holding) {
	t.Helper()
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(t, err)
	for line := range strings.Lines(string(status)) {
		if kib, found := strings.CutPrefix(line, "VmRSS:"); found {
			h.resident, err = strconv.Atoi(strings.Fields(kib)[0])
			require.NoError(t, err)
		}
	}
	open, err := os.ReadDir(fmt.Sprintf("/proc/%d/fd", pid))
	require.NoError(t, err)
	h.descriptors = len(open)
	return h
}

// TestSoak flies the demo while somebody goes through all screens, types, undoes and changes the size of the terminal: what the program holds
// at the end is what it held after the first third, but for the entries.
func TestSoak(t *testing.T) {
	w := newWorld(t)
	s := testkit.Start(t, w.command("practice", "--watch", "--seed", "7", "--rate", "16", "--log", "soak.jsonl"), 120, 36)
	s.AwaitText("LEG")
	keys := rand.New(rand.NewPCG(17, 17))
	begin, pid := time.Now(), s.Command.Process.Pid
	var early, late []holding
	notes := 0
	for time.Since(begin) < *soak {
		notes++
		s.Type(fmt.Sprintf("ennote %d\r", notes))
		s.AwaitText(fmt.Sprintf("note: note %d", notes))
		for range 8 {
			s.Type([]string{"1", "2", "3", "4", "5", "6", "?", "?", "\x1b[A", "\x1b[B", "\t", "enpart\x1b", "u"}[keys.IntN(13)])
			time.Sleep(20 * time.Millisecond)
		}
		s.Type("\x1b\x1b1")
		s.Resize(uint16(80+keys.IntN(120)), uint16(24+keys.IntN(36)))
		time.Sleep(100 * time.Millisecond)
		if h := holdingOf(t, pid); time.Since(begin) < *soak/3 {
			early = append(early, h)
		} else {
			late = append(late, h)
		}
	}
	require.NoError(t, s.Command.Process.Kill())
	s.Wait()
	require.NotEmpty(t, early)
	require.NotEmpty(t, late)
	highest := func(of []holding) (h holding) {
		for _, one := range of {
			h.resident, h.descriptors = max(h.resident, one.resident), max(h.descriptors, one.descriptors)
		}
		return h
	}
	first, last := highest(early), highest(late)
	info, err := os.Stat(filepath.Join(w.state, "soak.jsonl"))
	require.NoError(t, err)
	t.Logf("%v at sixteen times, %d notes, journal of %d KiB: first third at most %+v, afterwards at most %+v", *soak, notes, info.Size()>>10, first, last)
	require.Contains(t, w.acts("soak.jsonl"), flight.NoteText)
	require.Equal(t, first.descriptors, last.descriptors)
	const slack = 4 << 10 // what the collector may leave lying about
	const copies = 8      // in which the program may hold an entry
	require.LessOrEqual(t, last.resident, first.resident+slack+copies*int(info.Size()>>10))
}
