package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/store"
)

// buildOptions are the flags of build.
type buildOptions struct {
	job       string
	dir       string
	only      []string
	tolerance float64
	maxEdge   float64
	anyway    bool
	json      bool
	noSheet   bool
}

func newBuild(s streams) *cobra.Command {
	o := &buildOptions{}
	c := &cobra.Command{
		Use:   "build JOB.yaml",
		Short: "make the tool: mesh, drill list, picture, findings, manifest",
		Long: "build reviews the job and writes " + strings.Join(toolgen.Names(), ", ") + " and manifest.json into a\n" +
			"folder named like the job file, beside it. Files appear all or none. A tool with errors in its\n" +
			"review is written only with --anyway, and every file name then says not-cleared.",
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			o.job = args[0]
			return runBuild(c.Context(), *o, s)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.dir, "out", "o", "", "folder to write into (default: job file without its ending)")
	f.StringSliceVar(&o.only, "only", nil, "make just these files: "+strings.Join(toolgen.Names(), ","))
	f.Float64Var(&o.tolerance, "tolerance", toolgen.DefaultTolerance, "largest distance between mesh and design, mm")
	f.Float64Var(&o.maxEdge, "max-edge", 0, "longest edge of a triangle, mm (0: as long as it likes)")
	f.BoolVar(&o.anyway, "anyway", false, "write the files although the review found errors")
	f.BoolVar(&o.noSheet, "no-sheet", false, "do not form the sheet: walls are estimates by area balance")
	f.BoolVar(&o.json, "json", false, "print the result as JSON")
	_ = c.RegisterFlagCompletionFunc("only", cobra.FixedCompletions(toolgen.Names(), cobra.ShellCompDirectiveNoFileComp))
	c.ValidArgsFunction = completeJob
	return c
}

// oneJob takes exactly one job file.
func oneJob(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usageError{fmt.Errorf("%s takes one job file, not %d", c.Name(), len(args))}
	}
	return nil
}

func completeJob(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}

func (o buildOptions) check() error {
	for _, name := range o.only {
		if !slices.Contains(toolgen.Names(), name) {
			return &usageError{fmt.Errorf("--only %q: no such file; allowed: %s", name, strings.Join(toolgen.Names(), ", "))}
		}
		if o.noSheet && toolgen.NeedsSheet(name) {
			return &usageError{fmt.Errorf("--only %s with --no-sheet: that file is made from the formed sheet; leave one of them out", name)}
		}
	}
	if !(o.tolerance >= 0.002 && o.tolerance <= 1) {
		return &usageError{fmt.Errorf("--tolerance %g: allowed 0.002 to 1 mm", o.tolerance)}
	}
	if o.maxEdge != 0 && !(o.maxEdge >= 0.5 && o.maxEdge <= 1e4) {
		return &usageError{fmt.Errorf("--max-edge %g: allowed 0 (free), or 0.5 to 10000 mm", o.maxEdge)}
	}
	return nil
}

func runBuild(ctx context.Context, o buildOptions, s streams) error {
	if err := o.check(); err != nil {
		return err
	}
	j, data, open, err := load(o.job)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	r, err := toolgen.Build(ctx, j, toolgen.Options{
		Kinds: features.All(), Open: open, Tolerance: o.tolerance, MaxEdge: o.maxEdge,
		Only: o.only, NoSheet: o.noSheet, Version: version(), Observe: bar.stage,
	})
	bar.done()
	if err != nil {
		return err
	}
	dir := o.dir
	if dir == "" {
		dir = defaultDir(o.job)
	}
	var written []store.Entry
	if r.Cleared() || o.anyway {
		if written, err = save(ctx, dir, data, r); err != nil {
			return err
		}
	} else if written, err = saveFindings(ctx, dir, r); err != nil {
		return err
	}
	return report(s, r, o.json, dir, written)
}

// save writes the wanted files and the manifest.
func save(ctx context.Context, dir string, job []byte, r *toolgen.Result) ([]store.Entry, error) {
	var files []store.File
	for _, a := range r.Artefacts() {
		files = append(files, store.File{Name: a.Name, Write: a.Write})
	}
	sum := sha256.Sum256(job)
	return store.Save(ctx, dir, files, func(es []store.Entry) ([]byte, error) {
		return r.Manifest(hex.EncodeToString(sum[:]), es)
	})
}

// saveFindings writes the findings alone: there is no tool to go with them.
func saveFindings(ctx context.Context, dir string, r *toolgen.Result) ([]store.Entry, error) {
	files := []store.File{{Name: toolgen.FindingsName, Write: r.FindingsJSON}}
	return store.Save(ctx, dir, files, func(es []store.Entry) ([]byte, error) { return r.Manifest("", es) })
}
