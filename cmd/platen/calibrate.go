package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
)

func newCalibrate(s streams) *cobra.Command {
	out, asJSON := "", false
	c := &cobra.Command{
		Use:   "calibrate JOB.yaml MEASURED.csv",
		Short: "fit the sheet's stiffness and shrinkage to a measured part",
		Long: "calibrate compares a part that the job's tool has made with the job. MEASURED.csv has the header\n" +
			"kind,x,y,z,x2,y2,z2,measured; all mm, cold part, part frame:\n" +
			"  wall,X,Y,Z,,,,T           the wall T at a place, as sheet.json lists places to lay a gauge on\n" +
			"  length,X,Y,Z,X2,Y2,Z2,L   the distance L between two places that the job asks there\n" +
			"Walls fit the ratio sheet.stiffening, by forming the sheet again and again; lengths fit shrink x, y\n" +
			"and z by least squares. The job must be the one the tool was made from. The lines printed at the\n" +
			"end belong into the job file; --out writes them into a file of their own.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 2 {
				return &usageError{err: fmt.Errorf("%s takes a job file and a file of measurements, not %d names", c.Name(), len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return runCalibrate(c.Context(), args[0], args[1], out, asJSON, s)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the fit as JSON")
	c.Flags().StringVarP(&out, "out", "o", "", "file to write the lines for the job into")
	c.ValidArgsFunction = completeJob
	return c
}

func runCalibrate(ctx context.Context, path, table, out string, asJSON bool, s streams) error {
	j, _, open, err := load(path)
	if err != nil {
		return err
	}
	data, err := readAll(table)
	if err != nil {
		return err
	}
	m, err := toolgen.ReadMeasured(bytes.NewReader(data))
	if err != nil {
		return fmt.Errorf("%s: %w", table, err)
	}
	bar := newProgress(s)
	c, err := toolgen.Calibrate(ctx, j, toolgen.Options{Kinds: features.All(), Open: open, Version: version(), Observe: bar.stage}, m)
	bar.done()
	if err != nil {
		return err
	}
	if asJSON {
		err = printJSON(s.out, c)
	} else {
		err = printFit(s.out, c)
	}
	if err != nil {
		return err
	}
	if out == "" {
		return nil
	}
	f, err := os.OpenFile(out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already; choose another name with -o", out)
	}
	if err != nil {
		return err
	}
	if _, err := f.WriteString(c.Lines()); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

// printFit prints the readings beside what the fit says, and the lines for the job.
func printFit(w io.Writer, c *toolgen.Calibration) error {
	tw := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, set := range []struct {
		name string
		rows []toolgen.Residual
	}{{"wall", c.Walls}, {"length", c.Lengths}} {
		for _, r := range set.rows {
			fmt.Fprintf(tw, "line %d\t%s\tmeasured %.3f\tcomputed %.3f\tdifference %+.3f mm\n", r.Line, set.name, r.Measured, r.Computed, r.Measured-r.Computed)
		}
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	if c.AtEnd {
		fmt.Fprintln(w, "the walls do not tell the stiffness: the fit ran to the end of its range; measure floors and bottom corners")
	}
	_, err := fmt.Fprint(w, c.Lines())
	return err
}
