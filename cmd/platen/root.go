package main

import (
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"slices"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen/job"
	"platen/toolgen/material"
	"platen/toolgen/part"
	"platen/toolgen/review"
)

// streams are the three standard streams.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// run executes one command line and returns the exit status.
func run(ctx context.Context, args []string, s streams) int {
	root := newRoot(s)
	root.SetArgs(args)
	c, err := root.ExecuteContextC(ctx)
	// Of a line that was not understood the flags were not all read.
	if asked, _ := c.Flags().GetBool("json"); asked || err != nil && c.Flags().Lookup("json") != nil && slices.Contains(args, "--json") {
		return exitCodeJSON(ctx, err, s)
	}
	return exitCode(ctx, err, s)
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "platen",
		Short: "make vacuum-forming tools from job files",
		Long: "platen turns a job file (pockets, lugs, cones, hinge lines, lettering ...) into the body of a\n" +
			"vacuum-forming tool with draft, roundings, shrink allowance and vacuum holes, reviews it, and\n" +
			"writes STL, 3MF, a drill list and a picture.\n\n" + exitHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       version(),
		Args:          noArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SuggestionsMinimumDistance = 2
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return &usageError{err: err} })
	root.AddCommand(
		newBuild(s),
		newCheck(s),
		newClose(s),
		newOptions(s),
		newStack(s),
		newLayout(s),
		newCalibrate(s),
		newNew(s),
		newMaterials(s),
		newFeatures(s),
		newSchema(s),
	)
	for _, c := range root.Commands() {
		c.Long += "\n\n" + exitHelp
	}
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		if c.Name() == "completion" {
			c.Args, c.RunE = knownShell, func(c *cobra.Command, _ []string) error { return c.Help() }
		}
	}
	return root
}

// knownShell refuses a shell that completion is not written for; the others are verbs of their own.
func knownShell(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, sub := range c.Commands() {
		names = append(names, sub.Name())
	}
	return unknown("no completion for", args[0], names...)
}

// noArgs takes no word; after the program's own name it would be a verb.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if c.HasParent() {
		return &usageError{err: fmt.Errorf("%s takes no names, not %q", c.Name(), args[0])}
	}
	hint := ""
	if s := c.SuggestionsFor(args[0]); len(s) > 0 {
		hint = fmt.Sprintf(" (did you mean %s?)", s[0])
	}
	return &usageError{err: fmt.Errorf("no verb %q%s", args[0], hint)}
}

// version returns the program's version as the build recorded it.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}

// kinds returns the declarations of the feature kinds.
func kinds(ks []part.Kind) []job.Kind {
	out := make([]job.Kind, len(ks))
	for i, k := range ks {
		out[i] = k.Kind
	}
	return out
}

// names returns the names a job file may refer to.
func names() job.Names {
	n := job.Names{Alike: map[string]string{}}
	for _, s := range material.Sheets() {
		n.Materials = append(n.Materials, s.Name)
		for _, a := range s.Aliases {
			n.Alike[a] = s.Name
		}
	}
	for _, t := range material.Tools() {
		n.ToolMaterials = append(n.ToolMaterials, t.Name)
		for _, a := range t.Aliases {
			n.Alike[a] = t.Name
		}
	}
	for _, r := range review.Rules() {
		if r.Override {
			n.Rules = append(n.Rules, r.ID)
		}
	}
	return n
}

// readJob reads a job file; errors are placed.
func readJob(data []byte, file string) (*job.Job, error) {
	return job.Read(data, file, kinds(features.All()), names())
}
