package cli

import (
	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func newMan(env Env) *cobra.Command {
	return &cobra.Command{
		Use:     "man",
		Short:   "Print the manual page",
		Long:    "man prints the manual page in roff.",
		Example: "  legclock man | man -l -",
		Args:    cobra.NoArgs,
		RunE: func(command *cobra.Command, _ []string) error {
			root := command.Root()
			root.DisableAutoGenTag = true
			date := env.Now()
			return doc.GenMan(root, &doc.GenManHeader{Title: "LEGCLOCK", Section: "1", Source: "legclock " + Version, Date: &date}, env.Stdout)
		},
	}
}
