package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/part"
)

func newClose(s streams) *cobra.Command {
	asJSON, angle := false, 180.0
	c := &cobra.Command{
		Use:   "close JOB.yaml",
		Short: "how a hinged pack closes",
		Long: "close forms the sheet, folds the part about its fold line and prints the gap between the flanges, what\n" +
			"meets on the way, how the snaps hold, and the free height over every pocket. Halves are taken to be rigid\n" +
			"and the fold to be a pin; walls are those of the forming simulation, unverified.",
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return runClose(c.Context(), args[0], angle, asJSON, s)
		},
	}
	c.Flags().Float64Var(&angle, "angle", 180, "how far the lid is turned, deg: what meets on the way there")
	c.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	c.ValidArgsFunction = completeJob
	return c
}

func runClose(ctx context.Context, path string, angle float64, asJSON bool, s streams) error {
	if !(angle > 0 && angle <= 180) {
		return &usageError{err: fmt.Errorf("--angle %g: allowed above 0 to 180 deg", angle)}
	}
	j, _, open, err := load(path)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	r, err := toolgen.Check(ctx, j, toolgen.Options{
		Kinds: features.All(), Open: open, Version: version(), Observe: bar.stage, NoBand: true, NoStack: true, Turned: geom.Angle(angle) * geom.Degree,
	})
	bar.done()
	if err != nil {
		return err
	}
	sum, why := r.CloseSummary()
	if sum == nil {
		return &part.BuildError{Pos: finding.Pos{File: path}, Feature: "closing", Err: errors.New(why)}
	}
	if asJSON {
		return printJSON(s.out, sum)
	}
	printClose(s.out, sum)
	return nil
}

// printClose prints the closed pack for the bench.
func printClose(w io.Writer, c *toolgen.CloseSummary) {
	fmt.Fprintf(w, "fold     about %s, through part x %.2f, y %.2f, z %.2f mm; %ss meet\n", c.Feature, c.Through[0], c.Through[1], c.Through[2], c.Meets)
	g := c.Flanges
	fmt.Fprintf(w, "flanges  %.3f to %.3f mm apart, mean %.3f, but for a hundredth at either end of %.0f mm2\n", g.Low, g.High, g.Mean, g.Area)
	fmt.Fprintf(w, "         least %.3f mm at x %.1f, y %.1f, most %.3f mm at x %.1f, y %.1f\n", g.Min, g.AtMin[0], g.AtMin[1], g.Max, g.AtMax[0], g.AtMax[1])
	if g.Lost > 0 {
		fmt.Fprintf(w, "         the wall is not known on %.0f mm2 of them: webbing\n", g.Lost)
	}
	switch t := c.Touch; {
	case t.Clear && c.Turned < 180 && t.Deep == nil:
		fmt.Fprintf(w, "swing    turned by %.2f deg nothing meets; the far edges are %.1f mm apart\n", c.Turned, c.Open)
	case t.Clear && c.Turned < 180:
		fmt.Fprintf(w, "swing    turned by %.2f deg nothing meets, no nearer than %.2f mm; the far edges are %.1f mm apart\n", c.Turned, -*t.Deep, c.Open)
	case t.Clear:
		fmt.Fprintf(w, "swing    nothing meets before the flanges do\n")
	default:
		fmt.Fprintf(w, "swing    turned by %.2f deg %s meets %s, %.2f mm of the way left, at x %.1f, y %.1f, z %.1f\n",
			t.Angle, orFlange(t.Base), orFlange(t.Lid), *t.Deep, t.At[0], t.At[1], t.At[2])
	}
	for _, n := range c.Snaps {
		if n.Socket == "" {
			fmt.Fprintf(w, "snap     %s: no socket on the other half\n", n.Button)
			continue
		}
		if !n.Known {
			fmt.Fprintf(w, "snap     %s in %s: misses by %.3f, %.3f mm; how it holds is not known: the sheet folds there\n", n.Button, n.Socket, n.Miss[0], n.Miss[1])
			continue
		}
		fmt.Fprintf(w, "snap     %s in %s: misses by %.3f, %.3f mm; %.3f mm wide through a lip of %.3f mm\n", n.Button, n.Socket, n.Miss[0], n.Miss[1], n.Wide, n.Lip)
		fmt.Fprintf(w, "         overlap %.3f mm a side, asked %.3f; lip stretched by %.1f %%; shut, %.3f mm of room a side and %.2f mm over it\n",
			n.Overlap, n.Asked, 100*n.Strain, n.Play, n.Top)
		if n.Off > 0 {
			fmt.Fprintf(w, "         the sheet stands up to %.2f mm off the tool there; so measured\n", n.Off)
		}
		fmt.Fprintf(w, "         apart by up to %.2f mm if the halves shrink unlike, by all of the material's spread of %.1f %%\n", n.Drift, 100*c.Spread)
	}
	for _, m := range c.Rooms {
		held := ""
		if m.Product > 0 {
			held = fmt.Sprintf("; its product is %.2f mm high", m.Product)
		}
		fmt.Fprintf(w, "room     %s: %.2f mm over its floor, under %s%s\n", m.Feature, m.Free, orFlange(m.Under), held)
	}
	fmt.Fprintf(w, "walls    %s\n", strings.ToLower(c.Walls))
}

// orFlange names the plain flange where no feature is.
func orFlange(id string) string {
	if id == "" {
		return "the flange"
	}
	return id
}
