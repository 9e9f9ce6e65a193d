package main

import (
	"context"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
)

func newCheck(s streams) *cobra.Command {
	asJSON, noSheet := false, false
	c := &cobra.Command{
		Use:   "check JOB.yaml",
		Short: "review a job without writing anything",
		Long:  "check reads the job, makes the tool body in memory, places the vacuum holes and prints the review.",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return runCheck(c.Context(), args[0], asJSON, noSheet, s)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	c.Flags().BoolVar(&noSheet, "no-sheet", false, "do not form the sheet: walls are estimates by area balance")
	c.ValidArgsFunction = completeJob
	return c
}

func runCheck(ctx context.Context, path string, asJSON, noSheet bool, s streams) error {
	j, _, open, err := load(path)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	r, err := toolgen.Check(ctx, j, toolgen.Options{Kinds: features.All(), Open: open, NoSheet: noSheet, Version: version(), Observe: bar.stage})
	bar.done()
	if err != nil {
		return err
	}
	return report(s, r, asJSON, "", nil)
}
