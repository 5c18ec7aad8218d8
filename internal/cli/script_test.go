package cli_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"

	"example.com/legclock/internal/cli"
	"example.com/legclock/internal/testkit"
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
			demo, err := testkit.DemoPlan()
			if err != nil {
				return err
			}
			if err := testkit.WriteJournalByHand(filepath.Join(env.WorkDir, "byhand.jsonl"), demo); err != nil {
				return err
			}
			return testkit.WriteJournal(filepath.Join(env.WorkDir, "flight.jsonl"), demo, 7)
		},
	})
}

func TestEveryCommandShowsAnExample(t *testing.T) {
	for _, command := range cli.Commands() {
		require.NotEmpty(t, command.Example, command.CommandPath())
		require.NotEmpty(t, command.Short, command.CommandPath())
		require.NotEmpty(t, command.Long, command.CommandPath())
	}
}
