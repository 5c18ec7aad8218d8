package cli

import (
	"github.com/spf13/cobra"
)

func newExport(env Env) *cobra.Command {
	return &cobra.Command{
		Use:     "export PLAN|LOG",
		Short:   "Write a plan or a journal for other programs",
		Long:    "export writes a plan or a journal as GPX, GeoJSON, KML or CSV.",
		Example: "  legclock export round.yaml --format gpx > round.gpx",
		Args:    cobra.ExactArgs(1),
		RunE: func(*cobra.Command, []string) error {
			return usage("", "export is not there yet")
		},
	}
}
