package cli_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cli"
	"example.com/legclock/internal/journal"
	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/practice"
	"example.com/legclock/internal/sheet"
	"example.com/legclock/plans"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"legclock": func() { os.Exit(cli.Main(cli.Process())) }})
}

// TestScripts runs the real program on the scripts of testdata/script. Every script finds the demo plan and a whole flight of it,
// flight.jsonl, in its folder.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_STATE_HOME", filepath.Join(env.WorkDir, "state"))
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			if err := os.CopyFS(env.WorkDir, plans.FS); err != nil {
				return err
			}
			p, _ := plan.Load(plans.DemoFile, plans.FS.ReadFile)
			return writeFlight(p, filepath.Join(env.WorkDir, "flight.jsonl"), 7)
		},
	})
}

// writeFlight records a plan, flown by the practice flight's own hands through the wind of a seed.
func writeFlight(p *plan.Plan, path string, seed uint64) (err error) {
	s, _ := sheet.Compute(p)
	events, err := practice.Whole(s, seed)
	if err != nil {
		return err
	}
	header := journal.Header{Mode: "practice", Seed: &seed, Opened: p.OffBlocks}
	writer, err := journal.Create(path, header, p, func() time.Time { return p.OffBlocks })
	if err != nil {
		return err
	}
	for _, event := range events {
		if _, err := writer.Append(event); err != nil {
			return errors.Join(err, writer.Close())
		}
	}
	return writer.Close()
}

func TestEveryCommandShowsAnExample(t *testing.T) {
	for _, command := range cli.Commands() {
		require.NotEmpty(t, command.Example, command.CommandPath())
		require.NotEmpty(t, command.Short, command.CommandPath())
		require.NotEmpty(t, command.Long, command.CommandPath())
	}
}
