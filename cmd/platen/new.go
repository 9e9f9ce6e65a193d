package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"platen/examples"
)

func newNew(s streams) *cobra.Command {
	out, asJSON := "", false
	c := &cobra.Command{
		Use:   "new [KIND]",
		Short: "write a commented starter job",
		Long:  "new writes a starter job that builds as it is into KIND.yaml: " + strings.Join(examples.Starters(), ", ") + ".\nWithout KIND it lists them.",
		Args:  atMostOne,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 && asJSON {
				return printJSON(s.out, examples.Starters())
			}
			if len(args) == 0 {
				for _, n := range examples.Starters() {
					fmt.Fprintln(s.out, n)
				}
				return nil
			}
			return runNew(args[0], out, asJSON, s)
		},
		ValidArgs: examples.Starters(),
	}
	c.Flags().StringVarP(&out, "out", "o", "", "file to write (default: KIND.yaml)")
	c.Flags().BoolVar(&asJSON, "json", false, "print the list, or what was written, as JSON")
	return c
}

func atMostOne(c *cobra.Command, args []string) error {
	if len(args) > 1 {
		return &usageError{err: fmt.Errorf("%s takes at most one name, not %d", c.Name(), len(args))}
	}
	return nil
}

func runNew(kind, out string, asJSON bool, s streams) error {
	kind = strings.ReplaceAll(strings.ToLower(kind), " ", "_")
	if !slices.Contains(examples.Starters(), kind) {
		return unknown("no starter", kind, examples.Starters()...)
	}
	text, err := examples.Starter(kind)
	if err != nil {
		return err
	}
	if out == "" {
		out = kind + ".yaml"
	}
	f, err := os.OpenFile(out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already; choose another name with -o", out)
	}
	if err != nil {
		return err
	}
	if _, err := f.Write(text); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	if asJSON {
		return printJSON(s.out, map[string]string{"starter": kind, "job": out})
	}
	fmt.Fprintf(s.out, "wrote  %s\nnext    platen build %s\n", out, out)
	return nil
}
