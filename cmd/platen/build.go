package main

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
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
	force     bool
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
	f.BoolVar(&o.force, "force", false, "replace files in the folder that were changed by hand or that no build made")
	f.BoolVar(&o.noSheet, "no-sheet", false, "do not form the sheet: walls are estimates by area balance")
	f.BoolVar(&o.json, "json", false, "print the result as JSON")
	_ = c.RegisterFlagCompletionFunc("only", cobra.FixedCompletions(toolgen.Names(), cobra.ShellCompDirectiveNoFileComp))
	c.ValidArgsFunction = completeJob
	return c
}

// oneJob takes exactly one job file.
func oneJob(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usageError{err: fmt.Errorf("%s takes one job file, not %d", c.Name(), len(args))}
	}
	return nil
}

func completeJob(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}

func (o buildOptions) check() error {
	for _, name := range o.only {
		if !slices.Contains(toolgen.Names(), name) {
			return unknown("--only takes no file", name, toolgen.Names()...)
		}
		if o.noSheet && toolgen.NeedsSheet(name) {
			return &usageError{err: fmt.Errorf("--only %s with --no-sheet: that file is made from the formed sheet; leave one of them out", name)}
		}
	}
	if !(o.tolerance >= 0.002 && o.tolerance <= 1) {
		return &usageError{err: fmt.Errorf("--tolerance %g: allowed 0.002 to 1 mm", o.tolerance)}
	}
	if o.maxEdge != 0 && !(o.maxEdge >= 0.5 && o.maxEdge <= 1e4) {
		return &usageError{err: fmt.Errorf("--max-edge %g: allowed 0 (free), or 0.5 to 10000 mm", o.maxEdge)}
	}
	return nil
}

func runBuild(ctx context.Context, o buildOptions, s streams) error {
	if err := o.check(); err != nil {
		return err
	}
	j, sum, open, err := load(o.job)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	r, err := toolgen.Build(ctx, j, toolgen.Options{
		Kinds: features.All(), Open: open, Tolerance: o.tolerance, MaxEdge: o.maxEdge,
		Only: o.only, NoSheet: o.noSheet, Anyway: o.anyway, Version: version(), Observe: bar.stage,
	})
	bar.done()
	if err != nil {
		return err
	}
	dir := o.dir
	if dir == "" {
		dir = defaultDir(o.job)
	}
	saver := store.Saver{Force: o.force, Removed: func(name string) {
		if !o.json {
			fmt.Fprintf(s.out, "removed %s, of the build before\n", filepath.Join(dir, name))
		}
	}}
	written, err := save(ctx, saver, dir, hex.EncodeToString(sum.Sum(nil)), r, !r.Withheld())
	if errors.Is(err, store.ErrInTheWay) {
		return fmt.Errorf("%w; --force replaces them, -o names another folder", err)
	}
	if err != nil {
		return err
	}
	return report(s, r, o.json, dir, written)
}

// save writes the files of a build and its manifest: all that are wanted, or the findings alone where
// there is no tool to go with them.
func save(ctx context.Context, saver store.Saver, dir string, jobHash string, r *toolgen.Result, all bool) ([]store.Entry, error) {
	files := []store.File{{Name: toolgen.FindingsName, Write: r.FindingsJSON}}
	if all {
		files = files[:0]
		for _, a := range r.Artefacts() {
			files = append(files, store.File{Name: a.Name, Write: a.Write})
		}
	}
	return saver.Save(ctx, dir, files, func(es []store.Entry) ([]byte, error) { return r.Manifest(jobHash, es) })
}
