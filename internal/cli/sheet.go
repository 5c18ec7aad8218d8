package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.com/legclock/internal/sheet"
)

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
