package cli_test

import (
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cli"
	"example.com/legclock/internal/testkit"
)

// A folder of logs of three hours: the figure is the time of one log.
func BenchmarkDebriefFolder(b *testing.B) {
	folder := b.TempDir()
	const count = 32
	require.NoError(b, testkit.WriteLogs(folder, count, 8))
	env := cli.Process()
	env.Args, env.Stdout, env.Stderr = []string{"debrief", folder}, io.Discard, io.Discard
	logs := 0
	b.ReportAllocs()
	start := time.Now()
	for b.Loop() {
		require.Zero(b, cli.Main(env))
		logs += count
	}
	b.ReportMetric(float64(time.Since(start).Milliseconds())/float64(logs), "ms/log")
}

// A class, each pilot with flights of their own through winds that differ, debriefed into pages: one of the class, one for each pilot, one for each
// flight, and every link leads to one of them. Thirty pilots of ten flights, kept in a folder to be looked at:
//
//	LEGCLOCK_CLASS=/some/folder go test ./internal/cli -run TestAClassHasItsPages
func TestAClassHasItsPages(t *testing.T) {
	pilots, flights, folder := 3, 2, t.TempDir()
	if kept := os.Getenv("LEGCLOCK_CLASS"); kept != "" {
		pilots, flights, folder = 30, 10, kept
	}
	for pilot := range pilots {
		p, err := testkit.DemoPlan()
		require.NoError(t, err)
		p.Pilot = fmt.Sprintf("K%02d", pilot+1)
		for n := range flights {
			path := filepath.Join(folder, fmt.Sprintf("%s-%02d.jsonl", p.Pilot, n+1))
			require.NoError(t, testkit.WriteJournal(path, p, uint64(pilot*flights+n)))
		}
	}
	pages := filepath.Join(folder, "pages")
	env := cli.Process()
	env.Args, env.Stdout, env.Stderr = []string{"debrief", folder, "--format", "html", "--out", pages}, io.Discard, io.Discard
	require.Zero(t, cli.Main(env))
	made, err := filepath.Glob(filepath.Join(pages, "*.html"))
	require.NoError(t, err)
	require.Len(t, made, 1+pilots+pilots*flights)
	leads := regexp.MustCompile(`href="\./([^"]+)"`)
	for _, page := range made {
		text, err := os.ReadFile(page)
		require.NoError(t, err)
		for _, link := range leads.FindAllSubmatch(text, -1) {
			name, err := url.PathUnescape(string(link[1]))
			require.NoError(t, err)
			require.FileExists(t, filepath.Join(pages, name), "on %s", page)
		}
	}
}
