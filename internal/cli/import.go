package cli

import (
	"github.com/spf13/cobra"
)

func newImport(env Env) *cobra.Command {
	return &cobra.Command{
		Use:     "import TRACK --plan PLAN",
		Short:   "Make a journal from a recorded track",
		Long:    "import reads a recorded track and finds the passings of the plan's points in it.",
		Example: "  legclock import flown.gpx --plan round.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(*cobra.Command, []string) error {
			return usage("", "import is not there yet")
		},
	}
}
