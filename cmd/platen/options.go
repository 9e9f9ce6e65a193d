package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
)

func newOptions(s streams) *cobra.Command {
	asJSON := false
	var materials []string
	c := &cobra.Command{
		Use:   "options JOB.yaml",
		Short: "compare contact sides, gauges and sheets",
		Long: "options forms the sheet for both contact sides, for the asked gauge and the usual ones next to it, and\n" +
			"for the sheets named, and prints the least wall, the findings and the mass of each. Walls are computed\n" +
			"with the usual stiffness of hot sheet, which is unverified.",
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return runOptions(c.Context(), args[0], materials, asJSON, s)
		},
	}
	c.Flags().StringSliceVar(&materials, "materials", nil, "sheets to compare (default: the job's): "+strings.Join(names().Materials, ","))
	c.Flags().BoolVar(&asJSON, "json", false, "print the table as JSON")
	_ = c.RegisterFlagCompletionFunc("materials", cobra.FixedCompletions(names().Materials, cobra.ShellCompDirectiveNoFileComp))
	c.ValidArgsFunction = completeJob
	return c
}

func runOptions(ctx context.Context, path string, materials []string, asJSON bool, s streams) error {
	for _, m := range materials {
		if !slices.Contains(names().Materials, m) {
			return unknown("--materials takes no sheet", m, names().Materials...)
		}
	}
	j, _, open, err := load(path)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	rows, err := toolgen.Choices(ctx, j, toolgen.Options{Kinds: features.All(), Open: open, Version: version(), Observe: bar.stage}, materials)
	bar.done()
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, rows)
	}
	tw := tabwriter.NewWriter(s.out, 0, 4, 2, ' ', 0)
	fmt.Fprintln(tw, "CONTACT SIDE\tSHEET\tGAUGE, mm\tLEAST WALL, mm\tAT\tMASS, g\tERRORS\tWARNINGS\tNOTES\t")
	for _, r := range rows {
		mark := ""
		if r.Asked {
			mark = "as asked"
		}
		if r.Refused != "" {
			fmt.Fprintf(tw, "%s\t%s\t%.2f\t-\tno tool\t-\t-\t-\t-\t%s\n", r.Contact, r.Material, r.Gauge, r.Refused)
			continue
		}
		fmt.Fprintf(tw, "%s\t%s\t%.2f\t%.2f\t%s\t%.1f\t%d\t%d\t%d\t%s\n", r.Contact, r.Material, r.Gauge, r.Least, r.Where, r.Mass,
			r.Findings.Errors, r.Findings.Warnings, r.Findings.Notes, mark)
	}
	return tw.Flush()
}
