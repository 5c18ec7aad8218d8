package journal_test

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/journal"
)

// writesEndlessly makes this test binary a process that appends to the named journal and acknowledges on standard output what is stored, until
// it is killed: the number of the last entry and the file. With writesOnFaults, a number to draw from, its disk fails now and then; it then waits
// for a byte before each entry, and says too what is not stored.
const (
	writesEndlessly = "JOURNAL_TEST_WRITES_ENDLESSLY"
	writesOnFaults  = "JOURNAL_TEST_WRITES_ON_FAULTS"
)

func TestMain(m *testing.M) {
	if path := os.Getenv(writesEndlessly); path != "" {
		fmt.Fprintln(os.Stderr, writeEndlessly(path, os.Getenv(writesOnFaults)))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

func writeEndlessly(path, faulty string) error {
	faults := faultsOf()
	w, err := journal.CreateOn(faults, path, journal.Header{Mode: "live"}, somePlan(), wall)
	if err != nil {
		return err
	}
	seed, _ := strconv.ParseUint(faulty, 10, 64)
	draw := rand.New(rand.NewPCG(seed, seed))
	operations := []string{"create", "open", "stat", "write", "sync", "truncate"}
	for one := make([]byte, 1); ; {
		if faulty != "" {
			if _, err := os.Stdin.Read(one); err != nil {
				return err
			}
		}
		if faulty != "" && draw.IntN(3) == 0 {
			faults.Short = draw.IntN(2) == 0
			faults.Fault = faultsOf(operations[draw.IntN(len(operations))], operations[draw.IntN(len(operations))]).Fault
			if draw.IntN(2) == 0 {
				faults.Fault = faultsOf().Fault
			}
		}
		event := passing("KVN")
		event.Text = strings.Repeat("a long remark ", 50)
		if event, err = w.Append(event); err != nil {
			return err
		}
		if now := w.Storage(); now.Trouble == nil {
			fmt.Println(event.N, now.Path)
		} else if faulty != "" {
			fmt.Println(0, now.Path)
		}
	}
}

// acknowledgement is what a writer said to be stored; no entries where it said that the last is not.
type acknowledgement struct {
	entries int
	path    string
}

// startWriter starts a process that writes endlessly. Next waits for its next acknowledgement; false when it has ended.
func startWriter(t *testing.T, path string, environment ...string) (process *exec.Cmd, turn io.Writer, next func() (acknowledgement, bool)) {
	t.Helper()
	process = exec.Command(os.Args[0])
	process.Env = append(os.Environ(), append(environment, writesEndlessly+"="+path)...)
	output, err := process.StdoutPipe()
	require.NoError(t, err)
	turn, err = process.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, process.Start())
	t.Cleanup(func() { _ = process.Process.Kill() })
	lines := bufio.NewScanner(output)
	return process, turn, func() (a acknowledgement, more bool) {
		if !lines.Scan() {
			return a, false
		}
		number, path, _ := strings.Cut(lines.Text(), " ")
		a.entries, err = strconv.Atoi(number)
		require.NoError(t, err)
		a.path = path
		return a, true
	}
}

func TestEveryAcknowledgedEntryOutlivesTheProcess(t *testing.T) {
	for _, after := range []int{1, 2, 57} {
		path := filepath.Join(t.TempDir(), "flight.jsonl")
		process, _, next := startWriter(t, path)
		acknowledged := 0
		for a, more := next(); more; a, more = next() {
			acknowledged = a.entries
			if acknowledged == after {
				_, _, _, err := journal.Resume(path, nil, wall)
				require.ErrorContains(t, err, fmt.Sprintf("process %d ", process.Process.Pid))
				require.NoError(t, process.Process.Kill())
			}
		}
		require.Error(t, process.Wait(), "it was killed")
		require.GreaterOrEqual(t, acknowledged, after)

		w, contents, _, err := journal.Resume(path, nil, wall)
		require.NoError(t, err, "the lock goes with the process")
		require.GreaterOrEqual(t, len(contents.Events), acknowledged)
		require.LessOrEqual(t, len(contents.Events), acknowledged+1, "at most the one that was being written")
		add(t, w, passing("GRN"))
		require.NoError(t, w.Close())
		contents, err = journal.Load(path)
		require.NoError(t, err)
		require.Equal(t, "GRN", contents.Events[len(contents.Events)-1].Point)
	}
}

// kills is how many writers TestEveryAcknowledgedEntryOutlivesFaultsAndKills kills.
var kills = flag.Int("kills", 8, "how many writers are killed while their disk fails")

// A disk that fails now and then at any operation, another program that renames, deletes, cuts and replaces the file, and a kill at any moment:
// every entry that was acknowledged is in the file that was named.
func TestEveryAcknowledgedEntryOutlivesFaultsAndKills(t *testing.T) {
	harms := []func(path string) error{
		func(path string) error { return os.Rename(path, path+"~") },
		os.Remove,
		func(path string) error { return os.Truncate(path, 700) },
		func(path string) error {
			if err := os.WriteFile(path+".tmp", []byte("other\n"), 0o644); err != nil {
				return err
			}
			return os.Rename(path+".tmp", path)
		},
	}
	total := 0
	for seed := range uint64(*kills) {
		draw := rand.New(rand.NewPCG(seed, 1))
		process, turn, next := startWriter(t, filepath.Join(t.TempDir(), "flight.jsonl"), fmt.Sprintf("%s=%d", writesOnFaults, seed))
		var last acknowledgement
		enter := func() bool {
			_, err := turn.Write([]byte{0})
			require.NoError(t, err)
			a, more := next()
			require.True(t, more, "seed %d: the writer ended by itself", seed)
			if a.entries > 0 {
				last = a
			}
			return a.entries > 0
		}
		for n := 1 + draw.IntN(40); n > 0 || last.entries == 0; n-- {
			if enter() && draw.IntN(10) == 0 {
				require.NoError(t, harms[draw.IntN(len(harms))](last.path))
				for !enter() { // before it has stored again, what is lost is not the writer's doing
				}
			}
		}
		_, err := turn.Write(make([]byte, draw.IntN(4)))
		require.NoError(t, err)
		time.Sleep(time.Duration(draw.IntN(3000)) * time.Microsecond)
		require.NoError(t, process.Process.Kill())
		for a, more := next(); more; a, more = next() {
			if a.entries > 0 {
				last = a
			}
		}
		require.Error(t, process.Wait())
		contents, err := journal.Load(last.path)
		require.NoError(t, err, "seed %d", seed)
		require.Empty(t, contents.Damages, "seed %d", seed)
		require.GreaterOrEqual(t, len(contents.Events), last.entries, "seed %d", seed)
		total += last.entries
	}
	t.Logf("%d kills, %d acknowledged entries, none lost", *kills, total)
}
