package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/plan"
)

func newNew(env Env) *cobra.Command {
	aircraft := ""
	command := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a commented plan and aircraft to start from",
		Long: "new writes a commented starter plan to FILE, and its aircraft beside it unless there is an aircraft.yaml already, which the plan then\n" +
			"uses; --aircraft names one elsewhere. Tanks, receivers and radio steps of the plan are to be made to fit such an aircraft: check says\n" +
			"where. It never overwrites a file.",
		Example: "  legclock new round.yaml && legclock check round.yaml",
		Args:    onePlan,
		RunE: func(_ *cobra.Command, args []string) error {
			return writeStarter(env, args[0], aircraft)
		},
	}
	command.Flags().StringVar(&aircraft, "aircraft", "", "an aircraft file that is there: the plan uses it")
	return command
}

// writeStarter writes a plan and, where there is none that it can use, an aircraft.
func writeStarter(env Env, planFile, aircraftFile string) error {
	planYAML, aircraftYAML := plan.Starter()
	beside := filepath.Join(filepath.Dir(planFile), plan.StarterAircraftFile)
	if aircraftFile != "" {
		switch info, err := os.Stat(aircraftFile); {
		case err != nil:
			return usage("name an aircraft file that is there, or leave out --aircraft: then one is written too", "reading %s: %v", aircraftFile, errors.Unwrap(err))
		case info.IsDir():
			return usage("name the aircraft file in it", "%s is a folder", aircraftFile)
		}
		named, err := filepath.Rel(filepath.Dir(planFile), aircraftFile)
		if err != nil || filepath.IsAbs(aircraftFile) {
			named = aircraftFile
		}
		quoted := "'" + strings.ReplaceAll(filepath.ToSlash(named), "'", "''") + "'"
		planYAML = bytes.Replace(planYAML, []byte("aircraft: "+plan.StarterAircraftFile), []byte("aircraft: "+quoted), 1)
	} else if _, err := os.Stat(beside); err == nil {
		aircraftFile = beside
	}
	if err := writeNew(planFile, planYAML); err != nil {
		return err
	}
	if aircraftFile != "" {
		_, err := fmt.Fprintf(env.Stdout, "%s\nit uses %s\n", planFile, aircraftFile)
		return err
	}
	if err := writeNew(beside, aircraftYAML); err != nil {
		return errors.Join(err, os.Remove(planFile))
	}
	_, err := fmt.Fprintf(env.Stdout, "%s\n%s\n", planFile, beside)
	return err
}

// writeNew writes a file that must not exist yet.
func writeNew(name string, content []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return usage("choose another name or another folder", "%s exists and is not overwritten", name)
	}
	if err != nil {
		return usage("choose a folder that is there and that you may write to", "writing %s: %v", name, errors.Unwrap(err))
	}
	_, err = file.Write(content)
	return errors.Join(err, file.Close())
}
