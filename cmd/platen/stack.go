package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/stack"
)

// stackOptions are the flags of stack.
type stackOptions struct {
	layers int
	load   float64
	inner  float64
	lid    string
	json   bool
}

func newStack(s streams) *cobra.Command {
	o := &stackOptions{}
	c := &cobra.Command{
		Use:   "stack JOB.yaml",
		Short: "how the formed parts nest and stack",
		Long: "stack forms the sheet, lowers the formed part on its like, the same way and turned by half a turn, and\n" +
			"prints the pitch, where the parts touch, their play, what carries the load, and the free height over\n" +
			"every pocket. Parts are taken to be rigid; walls are those of the forming simulation, unverified.",
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			return runStack(c.Context(), args[0], *o, s)
		},
	}
	f := c.Flags()
	f.IntVar(&o.layers, "layers", 0, "parts one on another (default: the job's, else 10)")
	f.Float64Var(&o.load, "load", 0, "load of every part, g (default: the job's)")
	f.Float64Var(&o.inner, "inner-height", 0, "inner height the stack is to fit, mm (default: the job's)")
	f.StringVar(&o.lid, "lid", "", "job of a lid: lower its part on this one's, origin over origin")
	_ = c.MarkFlagFilename("lid", "yaml", "yml")
	f.BoolVar(&o.json, "json", false, "print the result as JSON")
	c.ValidArgsFunction = completeJob
	return c
}

func (o stackOptions) check() error {
	switch {
	case o.layers < 0 || o.layers > toolgen.MostLayers:
		return &usageError{err: fmt.Errorf("--layers %d: allowed 1 to %d", o.layers, toolgen.MostLayers)}
	case !(o.load >= 0 && o.load <= 1e6):
		return &usageError{err: fmt.Errorf("--load %g: allowed 0 to 1000000 g", o.load)}
	case !(o.inner >= 0 && o.inner <= 1e5):
		return &usageError{err: fmt.Errorf("--inner-height %g: allowed 0 to 100000 mm", o.inner)}
	}
	return nil
}

// stackAnswer is what stack --json prints.
type stackAnswer struct {
	*toolgen.StackSummary
	Lid  *toolgen.LidSummary `json:"lid,omitempty"`
	List []finding.Finding   `json:"finding_list"`
}

func runStack(ctx context.Context, path string, o stackOptions, s streams) error {
	if err := o.check(); err != nil {
		return err
	}
	bar := newProgress(s)
	r, lid, err := studyStack(ctx, path, o, bar)
	bar.done()
	if err != nil {
		return err
	}
	if o.json {
		enc := json.NewEncoder(s.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(stackAnswer{r.StackSummary(), lid, ofStacking(r)}); err != nil {
			return err
		}
	} else {
		for _, f := range ofStacking(r) {
			say(s, f)
		}
		m := r.Summary().Findings
		fmt.Fprintf(s.out, "review  %s, %s, %s in all; platen check prints them\n", plural(m.Errors, "error"), plural(m.Warnings, "warning"), plural(m.Notes, "note"))
		stackFigures(s.out, r.StackSummary())
		if lid != nil {
			fmt.Fprintf(s.out, "lid     %s; %.2f mm high over all\n", lid.Job, lid.Height)
			restFigures(s.out, "        ", lid.Rest)
			roomFigures(s.out, lid.Plays, lid.Rooms)
		}
	}
	if !r.Cleared() {
		return errFindings
	}
	return nil
}

// studyStack forms the job's sheet, and that of the lid if there is one.
func studyStack(ctx context.Context, path string, o stackOptions, bar *progress) (r *toolgen.Result, lid *toolgen.LidSummary, err error) {
	check := func(path string, more toolgen.Options) (*toolgen.Result, error) {
		j, _, open, err := load(path)
		if err != nil {
			return nil, err
		}
		more.Kinds, more.Open, more.Version, more.Observe, more.NoBand = features.All(), open, version(), bar.stage, true
		return toolgen.Check(ctx, j, more)
	}
	if r, err = check(path, toolgen.Options{Layers: o.layers, Load: o.load, Inner: o.inner}); err != nil {
		return nil, nil, err
	}
	bar.stage("play")
	if err = r.Moves(ctx); err != nil || o.lid == "" {
		return r, nil, err
	}
	top, err := check(o.lid, toolgen.Options{NoStack: true})
	if err != nil {
		return nil, nil, err
	}
	bar.stage("lid")
	lid, err = r.Lid(ctx, top)
	return r, lid, err
}

// ofStacking returns what the review says about nesting and stacking.
func ofStacking(r *toolgen.Result) []finding.Finding {
	out := []finding.Finding{}
	for _, f := range r.Findings {
		if strings.HasPrefix(f.ID, "stack.") || strings.HasPrefix(f.ID, "nest.") {
			out = append(out, f)
		}
	}
	return out
}

// restFigures prints how one part rests on another.
func restFigures(w io.Writer, name string, r toolgen.RestSummary) {
	how := "carried"
	if r.Jams {
		how = "JAMS: steep sides wedge"
	}
	fmt.Fprintf(w, "%s pitch %.2f mm, %s", name, r.Pitch, how)
	if r.Margin != nil && !r.Jams {
		fmt.Fprintf(w, "; %.2f mm above where steep sides would wedge", *r.Margin)
	}
	if r.Tilt >= 0.01 && r.On != nil {
		fmt.Fprintf(w, "; lies %.2f deg tilted, down to part x %.2f, y %.2f, where it touches %.2f mm lower", r.Tilt, r.On[0], r.On[1], r.Sinks)
	}
	if r.Lost != "" {
		fmt.Fprintf(w, "; how it settles is not known, looked at down to %.1f mm lower: %s", r.Looked, r.Lost)
	}
	if r.Past != nil {
		fmt.Fprintf(w, "; pressed past its undercuts it rests at %.2f mm", *r.Past)
	}
	fmt.Fprintln(w)
	for i, p := range r.Touch {
		if i == mostTouches {
			fmt.Fprintf(w, "        and %d more pairs\n", len(r.Touch)-i)
			break
		}
		unknown := ""
		if !p.Known {
			unknown = "; wall unknown there"
		}
		fmt.Fprintf(w, "        %s under %s, part x %.2f, y %.2f, z %.2f, %.0f deg from the vertical, from %.2f mm%s\n",
			p.Lower, p.Upper, p.At[0], p.At[1], p.At[2], p.Slope, p.Pitch, unknown)
	}
}

// roomFigures prints play and the room over the floors.
func roomFigures(w io.Writer, plays []toolgen.PlaySummary, rooms []toolgen.RoomSummary) {
	for _, p := range plays {
		unit, then := "mm", "then it "+p.Ends
		if strings.HasPrefix(p.Way, "turned") {
			unit = "deg"
		}
		switch p.Ends {
		case stack.Free.String():
			then = "and nothing stops it there"
		case stack.Strikes.String():
			then += " " + p.Over
		}
		fmt.Fprintf(w, "play    %-12s %.2f %s, %s\n", p.Way, p.Far, unit, then)
	}
	for _, p := range rooms {
		fmt.Fprintf(w, "free    %.2f mm over the floor of %s, least at part x %.2f, y %.2f, z %.2f\n", p.Free, p.Feature, p.At[0], p.At[1], p.At[2])
	}
}

func stackFigures(w io.Writer, m *toolgen.StackSummary) {
	fmt.Fprintf(w, "walls   %s\n", m.Walls)
	restFigures(w, "nest   ", m.Nest)
	restFigures(w, "turned ", m.Turned)
	fmt.Fprintf(w, "        half a turn about the vertical through part x %.2f, y %.2f, the centre of the trim outline\n", m.Axis[0], m.Axis[1])
	fmt.Fprintf(w, "stack   %s; part %.2f mm high; %d stacked %.1f mm, nested %.1f mm\n", m.Way, m.Height, m.Layers, m.Tall, m.Nested)
	if m.Inner > 0 {
		fmt.Fprintf(w, "        %d stacked fit an inner height of %.1f mm\n", m.Fit, m.Inner)
	}
	roomFigures(w, m.Plays, m.Rooms)
	switch {
	case m.Stand.Margin == nil:
	case *m.Stand.Margin < 0:
		fmt.Fprintf(w, "stands  NOT: load centred %.1f mm outside what carries, over layer %d\n", -*m.Stand.Margin, m.Stand.Layer)
	default:
		fmt.Fprintf(w, "stands  load centred %.1f mm inside what carries, least over layer %d\n", *m.Stand.Margin, m.Stand.Layer)
	}
	if m.Bear.Area == 0 {
		fmt.Fprint(w, "bears   nothing carries but steep sides")
	} else {
		fmt.Fprintf(w, "bears   %.0f mm2 lie within %g mm of touching, %.0f within %g", m.Bear.Area, stack.Give, m.Bear.Tight, stack.Touching)
	}
	if m.Bear.Load > 0 {
		fmt.Fprintf(w, "; %d parts with a load of %.0f g and %.1f g of their own: %.1f N on the lowest", m.Layers, m.Bear.Load, m.Bear.Own, m.Bear.Force)
		if m.Bear.Area > 0 {
			fmt.Fprintf(w, ", at least %.3f MPa", m.Bear.Pressure)
		}
		if m.Bear.Most > 0 {
			fmt.Fprintf(w, " and at most %.3f where no more touches; let lugs bear 2 to 3 times that (common practice, no source)", m.Bear.Most)
		}
	}
	fmt.Fprintln(w)
}

// mostTouches is how many pairs of touching places are printed.
const mostTouches = 8
