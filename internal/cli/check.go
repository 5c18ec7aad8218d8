package cli

import (
	"encoding/json"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/plan"
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
