package cli_test

import (
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cli"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/testkit"
)

// threeHours is the demo with its round of beacons flown twice, and out to the first once more: some three hours from blocks to blocks.
func threeHours(t require.TestingT) *plan.Plan {
	p, err := testkit.DemoPlan()
	require.NoError(t, err)
	out, round, home := p.Route.Legs[0], p.Route.Legs[1:4], p.Route.Legs[4]
	back, direct := out, round[2]
	back.Checkpoints, back.Radio = nil, out.Radio[:1]
	direct.Checkpoints, direct.Radio = nil, direct.Radio[:1]
	legs := slices.Concat([]plan.Leg{out}, round, []plan.Leg{back}, round, []plan.Leg{back, direct, home})
	p.Title, p.Route.Legs = "Two rounds of the four beacons", legs
	for i := range p.Aircraft.Fuel.Tanks {
		p.Aircraft.Fuel.Tanks[i].Capacity = 80
	}
	p.Fuel.OnBoard = map[string]float64{"left": 74, "right": 78}
	return p
}

// manyLogs fills a folder with logs of three hours: flights through the winds of some seeds, each many times over.
func manyLogs(t require.TestingT, folder string, count, seeds int) {
	var written []string
	for seed := range seeds {
		path := filepath.Join(folder, fmt.Sprintf("flight-%04d.jsonl", seed))
		require.NoError(t, testkit.WriteJournal(path, threeHours(t), uint64(seed)))
		written = append(written, path)
	}
	for i := seeds; i < count; i++ {
		data, err := os.ReadFile(written[i%seeds])
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("flight-%04d.jsonl", i)), data, 0o644))
	}
}

// A folder of logs of three hours: the figure is the time of one log.
func BenchmarkDebriefFolder(b *testing.B) {
	folder := b.TempDir()
	const count = 32
	manyLogs(b, folder, count, 8)
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
