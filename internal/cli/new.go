package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/plan"
)

func newNew(env Env) *cobra.Command {
	return &cobra.Command{
		Use:     "new FILE",
		Short:   "Write a commented plan and aircraft to start from",
		Long:    "new writes a commented starter plan to FILE and its aircraft beside it. It never overwrites a file.",
		Example: "  legclock new round.yaml && legclock check round.yaml",
		Args:    onePlan,
		RunE: func(_ *cobra.Command, args []string) error {
			planFile := args[0]
			aircraftFile := filepath.Join(filepath.Dir(planFile), plan.StarterAircraftFile)
			planYAML, aircraftYAML := plan.Starter()
			if err := writeNew(planFile, planYAML); err != nil {
				return err
			}
			if err := writeNew(aircraftFile, aircraftYAML); err != nil {
				return errors.Join(err, os.Remove(planFile))
			}
			_, err := fmt.Fprintf(env.Stdout, "%s\n%s\n", planFile, aircraftFile)
			return err
		},
	}
}

// writeNew writes a file that must not exist yet.
func writeNew(name string, content []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return usage("choose another name or another folder", "%s exists and is not overwritten", name)
	}
	if err != nil {
		return usage("", "writing %s: %v", name, errors.Unwrap(err))
	}
	_, err = file.Write(content)
	return errors.Join(err, file.Close())
}
