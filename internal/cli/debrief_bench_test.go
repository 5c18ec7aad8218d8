package cli_test

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
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
