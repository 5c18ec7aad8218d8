package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/plan"
	"example.com/legclock/internal/sheet"
)

func newCheck(env Env) *cobra.Command {
	var asJSON bool
	command := &cobra.Command{
		Use:     "check PLAN",
		Short:   "Say what is wrong with a plan, with file and line",
		Long:    "check reads a plan and its aircraft, computes the sheet and prints every problem: errors keep the plan from being\nflown, cautions are the pilot's to judge, notes say what was assumed. It ends with 1 when there is an error.",
		Example: "  legclock check round.yaml",
		Args:    onePlan,
		RunE: func(_ *cobra.Command, args []string) error {
			l, err := loadPlan(env, args[0])
			if err != nil {
				return err
			}
			if asJSON {
				err = printJSON(env, map[string]any{"plan": args[0], "problems": nonNil(l.problems)})
			} else {
				err = printProblems(env, args[0], l.problems)
			}
			if err == nil && plan.HasErrors(l.problems) {
				return errFound
			}
			return err
		},
	}
	command.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return command
}

func printProblems(env Env, name string, problems []plan.Problem) error {
	count := map[plan.Severity]int{}
	for _, problem := range plan.InOrder(slices.Clone(problems)) {
		count[problem.Severity]++
		fmt.Fprintln(env.Stdout, problem)
	}
	verdict := "the plan is complete"
	if count[plan.Error] > 0 {
		verdict = "the plan is not complete"
	}
	_, err := fmt.Fprintf(env.Stdout, "%s: %s: %s, %s, %s\n", name, verdict, counted(count[plan.Error], "error"),
		counted(count[plan.Caution], "caution"), counted(count[plan.Note], "note"))
	return err
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func printJSON(env Env, value any) error {
	encoder := json.NewEncoder(env.Stdout)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(value)
}

// onePlan asks for exactly one plan.
func onePlan(command *cobra.Command, args []string) error {
	if len(args) == 1 {
		return nil
	}
	return usage(command.Root().Name()+" "+command.Use+", for example:"+"\n"+command.Example, "%s needs one plan file, not %d", command.CommandPath(), len(args))
}

func newSheet(env Env) *cobra.Command {
	format := "text"
	command := &cobra.Command{
		Use:     "sheet PLAN",
		Short:   "Print the computed nav log",
		Long:    "sheet computes the nav log of a plan: headings, times, fuel, beacons, tanks, daylight.",
		Example: "  legclock sheet round.yaml\n  legclock sheet round.yaml --format html > round.html",
		Args:    onePlan,
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(sheet.Formats(), format) {
				return usage("formats are "+strings.Join(sheet.Formats(), ", "), "--format %q is not known", format)
			}
			l, err := loadPlan(env, args[0])
			if err != nil {
				return err
			}
			if err := l.flyable(env, args[0]); err != nil {
				return err
			}
			return l.sheet.Write(env.Stdout, format)
		},
	}
	command.Flags().StringVar(&format, "format", format, strings.Join(sheet.Formats(), ", "))
	return command
}

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
		return unwritten("choose a folder that is there and that you may write to", "writing %s: %v", name, errors.Unwrap(err))
	}
	_, err = file.Write(content)
	if err = errors.Join(err, file.Close()); err != nil {
		return errors.Join(unwritten("", "%v", err), os.Remove(name))
	}
	return nil
}
