package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/part"
)

func newFeatures(s streams) *cobra.Command {
	asJSON := false
	c := &cobra.Command{
		Use:   "features [KIND | SECTION | KEY]",
		Short: "list feature kinds, or the keys of one, of a section of the job or of a group such as product",
		Long:  "features prints the kinds of features and the keys of each with unit, range, default and source.",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listFeatures(s.out, asJSON)
			}
			return describeFeature(s.out, args[0], asJSON)
		},
	}
	for _, k := range features.All() {
		c.ValidArgs = append(c.ValidArgs, k.Name)
	}
	c.ValidArgs = append(c.ValidArgs, sectionNames()...)
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return c
}

// kindRow and keyRow are the JSON forms of the tables.
type kindRow struct {
	Kind string `json:"kind"`
	Way  string `json:"way"`
	Text string `json:"text"`
}

type keyRow struct {
	Key     string `json:"key"`
	Type    string `json:"type"`
	Range   string `json:"range,omitempty"`
	Default string `json:"default,omitempty"`
	Text    string `json:"text"`
	Source  string `json:"default_from,omitempty"`
}

func listFeatures(w io.Writer, asJSON bool) error {
	var rows []kindRow
	for _, k := range features.All() {
		rows = append(rows, kindRow{k.Name, k.On, k.Text})
	}
	if asJSON {
		return printJSON(w, rows)
	}
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintf(tw, "%s\t%s\t%s\n", r.Kind, r.Way, r.Text)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(w, "\nplaten features KIND prints the keys of one. Every feature also takes name, at, turn, repeat and features.\nSections of a job file are printed the same way: "+strings.Join(sectionNames(), ", ")+".")
	return err
}

func describeFeature(w io.Writer, name string, asJSON bool) error {
	if name == "values" && !asJSON {
		_, err := fmt.Fprintf(w, "values: numbers with a name, section of a job file\n\n%s\nexample:\n  values: {r: 12 mm, wall: 3, pitch: 2*r + wall}\n", job.Expressions())
		return err
	}
	if rows, ok := sectionRows(name); ok {
		return describeSection(w, name, rows, asJSON)
	}
	i := slices.IndexFunc(features.All(), func(k part.Kind) bool { return k.Name == name })
	if rows, of := groupRows(name); i < 0 && len(of) > 0 {
		return describeGroup(w, name, of, rows, asJSON)
	}
	if i < 0 {
		var all []string
		for _, k := range features.All() {
			all = append(all, k.Name)
		}
		return unknown("no feature kind or section", name, append(all, sectionNames()...)...)
	}
	k := features.All()[i]
	var rows []keyRow
	for _, p := range k.Params {
		rows = append(rows, keyOf(p))
		rows = append(rows, rowsOf(p.Params, p.Key+".")...)
	}
	if asJSON {
		return printJSON(w, rows)
	}
	fmt.Fprintf(w, "%s (%s): %s\n\n", k.Name, k.On, k.Text)
	if err := keyTable(w, rows); err != nil {
		return err
	}
	fmt.Fprintln(w)
	for _, r := range rows {
		if r.Source != "" {
			fmt.Fprintf(w, "default of %s: %s\n", r.Key, r.Source)
		}
	}
	_, err := fmt.Fprintf(w, "\nexample:\n  - %s\n", strings.ReplaceAll(strings.TrimRight(k.Example, "\n"), "\n", "\n    "))
	return err
}

func keyTable(w io.Writer, rows []keyRow) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(tw, "KEY\tTAKES\tRANGE\tDEFAULT\tMEANING")
	for _, r := range rows {
		fmt.Fprintf(tw, "%s\t%s\t%s\t%s\t%s\n", r.Key, r.Type, r.Range, r.Default, r.Text)
	}
	return tw.Flush()
}

// sectionNames lists the sections of a job file.
func sectionNames() []string {
	var out []string
	for _, p := range job.Sections() {
		if len(p.Params) > 0 || p.Key == "values" {
			out = append(out, p.Key)
		}
	}
	return out
}

// sectionRows returns the keys of a section, those of its groups with their path.
func sectionRows(name string) ([]keyRow, bool) {
	for _, p := range job.Sections() {
		switch {
		case p.Key != name:
		case name == "values":
			return []keyRow{keyOf(p)}, true
		case len(p.Params) > 0:
			return rowsOf(p.Params, ""), true
		}
	}
	return nil, false
}

func rowsOf(params []job.Param, path string) []keyRow {
	var rows []keyRow
	for _, p := range params {
		if len(p.Params) > 0 {
			rows = append(rows, rowsOf(p.Params, path+p.Key+".")...)
			continue
		}
		r := keyOf(p)
		r.Key = path + r.Key
		rows = append(rows, r)
	}
	return rows
}

// groupRows returns the kinds that take a key, and its keys, if it has some, as the first of them takes it.
func groupRows(name string) (rows []keyRow, of []string) {
	for _, k := range features.All() {
		for _, p := range k.Params {
			if p.Key != name {
				continue
			}
			if of = append(of, k.Name); len(of) > 1 {
				continue
			}
			if rows = []keyRow{keyOf(p)}; len(p.Params) > 0 {
				rows = rowsOf(p.Params, "")
			}
		}
	}
	return rows, of
}

func describeGroup(w io.Writer, name string, of []string, rows []keyRow, asJSON bool) error {
	if asJSON {
		return printJSON(w, rows)
	}
	fmt.Fprintf(w, "%s: key of %s; as %s takes it:\n\n", name, strings.Join(of, ", "), of[0])
	return keyTable(w, rows)
}

func describeSection(w io.Writer, name string, rows []keyRow, asJSON bool) error {
	if asJSON {
		return printJSON(w, rows)
	}
	fmt.Fprintf(w, "%s: section of a job file\n\n", name)
	return keyTable(w, rows)
}

func keyOf(p job.Param) keyRow {
	r := keyRow{Key: p.Key, Type: p.Type.String(), Range: p.Limits(), Text: p.Text, Source: p.Source}
	switch {
	case p.Required:
		r.Default = "required"
	case p.Default != nil && p.From != "":
		r.Default = fmt.Sprintf("defaults.%s, else %v", p.From, p.Default)
	case p.Default != nil:
		r.Default = fmt.Sprint(p.Default)
		if v, ok := p.Default.(geom.Vec2); ok {
			r.Default = fmt.Sprintf("[%g, %g]", v.X, v.Y)
		}
	case p.From != "":
		r.Default = "defaults." + p.From
	}
	if len(p.Choices) > 0 {
		r.Type = strings.Join(p.Choices, " | ")
	}
	return r
}
