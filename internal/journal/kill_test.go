package journal_test

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/journal"
)

// writesEndlessly makes this test binary a process that appends to the named journal and acknowledges every entry on
// standard output, until it is killed.
const writesEndlessly = "JOURNAL_TEST_WRITES_ENDLESSLY"

func TestMain(m *testing.M) {
	if path := os.Getenv(writesEndlessly); path != "" {
		w, err := journal.Create(path, journal.Header{Mode: "live"}, somePlan(), wall)
		for err == nil {
			event := passing("KVN")
			event.Text = strings.Repeat("a long remark ", 50)
			if event, err = w.Append(event); err == nil {
				fmt.Println(event.N)
			}
		}
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

func TestEveryAcknowledgedEntryOutlivesTheProcess(t *testing.T) {
	for _, after := range []int{1, 2, 57} {
		path := filepath.Join(t.TempDir(), "flight.jsonl")
		writer := exec.Command(os.Args[0])
		writer.Env = append(os.Environ(), writesEndlessly+"="+path)
		output, err := writer.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, writer.Start())
		acknowledged := 0
		lines := bufio.NewScanner(output)
		for lines.Scan() {
			n, err := strconv.Atoi(lines.Text())
			require.NoError(t, err)
			acknowledged = n
			if n == after {
				_, _, _, err := journal.Resume(path, nil, wall)
				require.ErrorContains(t, err, fmt.Sprintf("process %d ", writer.Process.Pid))
				require.NoError(t, writer.Process.Kill())
			}
		}
		require.Error(t, writer.Wait(), "it was killed")
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
