package main

import (
	"encoding/json"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"platen/toolgen/material"
	"platen/toolgen/source"
)

func newMaterials(s streams) *cobra.Command {
	asJSON := false
	c := &cobra.Command{
		Use:   "materials [NAME]",
		Short: "list sheet and tool materials, or all that is known of one",
		Long:  "materials prints the tables the program works from. Every figure says where it comes from;\nwhat nobody has verified says so.",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listMaterials(s.out, asJSON)
			}
			return describeMaterial(s.out, args[0], asJSON)
		},
		ValidArgs: append(names().Materials, names().ToolMaterials...),
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

func listMaterials(w io.Writer, asJSON bool) error {
	n := names()
	if asJSON {
		return printJSON(w, map[string][]string{"sheets": n.Materials, "tools": n.ToolMaterials})
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(tw, "SHEET\tSTART AT, C\tTOOL, C\tSHRINKAGE FEMALE / MALE, %\tSPREAD, %")
	for _, m := range material.Sheets() {
		fmt.Fprintf(tw, "%s\t%.0f\t%.0f\t%.2f / %.2f\t%.2f to %.2f\n", m.Name, m.Core.V, m.ToolAt.V,
			100*m.Shrink.Female.V, 100*m.Shrink.Male.V, 100*m.Shrink.Spread.Low, 100*m.Shrink.Spread.High)
	}
	fmt.Fprintln(tw, "\nTOOL\tLIFE, PARTS\tLEAST WALL, mm\tHEAT LIMIT, C\tCOST, ALUMINIUM = 1")
	for _, t := range material.Tools() {
		heat := "none in use"
		if v, ok := t.HeatLimitAt(); ok {
			heat = fmt.Sprintf("%.0f", v.V)
		}
		fmt.Fprintf(tw, "%s\t%.0f to %.0f\t%.1f\t%s\t%.2f\n", t.Name, t.Life.Low, t.Life.High, t.LeastWall.V, heat, t.Cost.V)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(w, "\nplaten materials NAME prints every figure with its source.")
	return err
}

func describeMaterial(w io.Writer, name string, asJSON bool) error {
	var title string
	var rows []source.Row
	if m, err := material.SheetNamed(name); err == nil {
		title, rows = "sheet "+m.Name, material.Describe(m)
	} else if t, err := material.ToolNamed(name); err == nil {
		title, rows = "tool "+t.Name, material.DescribeTool(t)
	} else {
		n := names()
		return unknown("no material", name, append(n.Materials, n.ToolMaterials...)...)
	}
	if asJSON {
		return printJSON(w, map[string]any{"name": title, "rows": rows})
	}
	fmt.Fprintln(w, title)
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintf(tw, "  %s\t%s %s\t%s\n", r.Label, r.Value, r.Unit, r.Mark.Cite(r.Source))
	}
	return tw.Flush()
}

func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}
