package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/geom"
	"platen/toolgen/job"
)

// layoutFlags are the flags of the verb as written.
type layoutFlags struct {
	inside, base      string
	deep, loose, land float64
	noTurn, asJSON    bool
}

func newLayout(s streams) *cobra.Command {
	f := layoutFlags{}
	c := &cobra.Command{
		Use:   "layout JOB.yaml [FEATURE]",
		Short: "how many of a pocket fit a tray, tote or carton",
		Long: "layout takes one feature on the land of a job with all that is nested in it, lays it out as often as it\n" +
			"fits the part, in rows, turned by a quarter where that helps, and never worse than the plain grid. It prints\n" +
			"the lines to put in place of at, turn and repeat of the feature, and the review of the job so filled.\n" +
			"With --inside the part is as large as a carton or tote takes; a tote that tapers is told its --base and\n" +
			"--deep, and the part stands on its base: flange, walls and floors keep off its sides, whose corners under the\n" +
			"flange are not looked at. Places where other features stand are left out.",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return &usageError{err: fmt.Errorf("layout takes a job file and the name of a feature, not %d words", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			name := ""
			if len(args) > 1 {
				name = args[1]
			}
			return runLayout(c.Context(), args[0], name, f, s)
		},
	}
	c.Flags().StringVar(&f.inside, "inside", "", "inside size of the carton or of the tote's rim, mm: 580x380")
	c.Flags().StringVar(&f.base, "base", "", "inside size at the base of a tote that tapers, mm")
	c.Flags().Float64Var(&f.deep, "deep", 0, "depth of a tote that tapers, rim to base, mm")
	c.Flags().Float64Var(&f.loose, "loose", 2, "left all round between part and tote, mm")
	c.Flags().Float64Var(&f.land, "land", 0, "flat kept between two places, mm (default: two gauges, at least 3)")
	c.Flags().BoolVar(&f.noTurn, "no-turn", false, "places are not turned")
	c.Flags().BoolVar(&f.asJSON, "json", false, "print the result as JSON")
	c.ValidArgsFunction = completeJob
	return c
}

func runLayout(ctx context.Context, path, name string, f layoutFlags, s streams) error {
	ask := toolgen.Filling{Feature: name, Deep: f.deep, Loose: f.loose, Land: f.land, NoTurn: f.noTurn}
	var err error
	if ask.Inside, err = sizeFlag("inside", f.inside); err != nil {
		return err
	}
	if ask.Base, err = sizeFlag("base", f.base); err != nil {
		return err
	}
	tapers := f.base != "" || f.deep != 0
	switch {
	case tapers && (f.base == "" || f.deep <= 0 || f.inside == ""):
		return &usageError{err: fmt.Errorf("--base and --deep go together, and with --inside")}
	case !(f.loose >= 0 && f.loose < 1000 && f.land >= 0 && f.land < 1000):
		return &usageError{err: fmt.Errorf("--loose %g and --land %g; 0 to 1000 mm", f.loose, f.land)}
	}
	j, _, open, err := load(path)
	if err != nil {
		return err
	}
	bar := newProgress(s)
	r, err := toolgen.Fill(ctx, j, toolgen.Options{Kinds: features.All(), Open: open, Version: version(), Observe: bar.stage}, ask)
	bar.done()
	if ask := (*toolgen.FillError)(nil); errors.As(err, &ask) {
		return &usageError{err: err}
	}
	if err != nil {
		return err
	}
	if f.asJSON {
		return printJSON(s.out, r)
	}
	return printLayout(s.out, j, r)
}

// sizeFlag reads a size written as 580x380.
func sizeFlag(name, text string) (geom.Vec2, error) {
	if text == "" {
		return geom.Vec2{}, nil
	}
	a, b, ok := strings.Cut(text, "x")
	x, errx := strconv.ParseFloat(a, 64)
	y, erry := strconv.ParseFloat(b, 64)
	if !ok || errx != nil || erry != nil || !(x >= 10 && x <= 3000 && y >= 10 && y <= 3000) {
		return geom.Vec2{}, &usageError{err: fmt.Errorf("--%s %q: two sizes in mm, 10 to 3000, as in 580x380", name, text)}
	}
	return geom.Vec2{X: x, Y: y}, nil
}

// printLayout prints the answer, with lines for the job file.
func printLayout(w io.Writer, j *job.Job, r *toolgen.Filled) error {
	fmt.Fprintf(w, "%d of %s, %.1f x %.1f mm at the opening, with %.1f mm of land between, in a part of %.1f x %.1f mm\n",
		r.Count(), r.Feature, r.Cell.X, r.Cell.Y, r.Land, r.Part.X, r.Part.Y)
	fmt.Fprintf(w, "the plain grid holds %d x %d = %d; openings take %.0f %% of the land within the flange\n",
		r.Grid[0], r.Grid[1], r.Grid[0]*r.Grid[1], 100*float64(r.Count())*r.Cell.X*r.Cell.Y/(r.Room.X*r.Room.Y))
	if r.LeftOut > 0 {
		fmt.Fprintf(w, "%d more places are taken by other features or by the corners of the part\n", r.LeftOut)
	}
	unit := ""
	if j.Unit != "mm" {
		unit = " mm"
	}
	pair := func(v geom.Vec2) string {
		n := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) + unit }
		return "[" + n(micron(v.X)) + ", " + n(micron(v.Y)) + "]"
	}
	fmt.Fprintln(w)
	if r.Changed {
		fmt.Fprintf(w, "part: {outline: {rect: %s, corner: %g%s}}\n", pair(r.Part), micron(r.Corner), unit)
	}
	for i, s := range r.Sets {
		if i == 0 {
			fmt.Fprintf(w, "  # %s: in place of its at, turn and repeat\n", s.Name)
		} else {
			fmt.Fprintf(w, "  # the same feature once more, name: %s\n", s.Name)
		}
		if s.Turn != 0 {
			fmt.Fprintf(w, "    turn: %g\n", s.Turn)
		}
		if s.Grid != nil {
			if s.At != (geom.Vec2{}) {
				fmt.Fprintf(w, "    at: %s\n", pair(s.At))
			}
			fmt.Fprintf(w, "    repeat: {grid: [%d, %d], pitch: %s}\n", s.Grid[0], s.Grid[1], pair(s.Pitch))
			continue
		}
		var points []string
		for _, p := range s.Places {
			points = append(points, pair(p))
		}
		fmt.Fprintf(w, "    repeat: {points: [%s]}\n", strings.Join(points, ", "))
	}
	fmt.Fprintln(w)
	if r.Refused != "" {
		_, err := fmt.Fprintf(w, "so filled it makes no tool: %s\n", r.Refused)
		return err
	}
	if len(r.Findings) == 0 {
		_, err := fmt.Fprintln(w, "review of the job so filled, walls by area balance: no errors, no warnings")
		return err
	}
	fmt.Fprintln(w, "review of the job so filled, walls by area balance:")
	for _, k := range slices.Sorted(maps.Keys(r.Findings)) {
		fmt.Fprintf(w, "  %d %s\n", r.Findings[k], k)
	}
	return nil
}

// micron rounds to a thousandth of a millimetre.
func micron(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'f', 3, 64), 64)
	return v + 0
}
