package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"golang.org/x/term"

	"platen/toolgen"
	"platen/toolgen/finding"
	"platen/toolgen/store"
)

// answer is what --json prints.
type answer struct {
	toolgen.Manifest
	Folder string            `json:"folder,omitempty"`
	List   []finding.Finding `json:"finding_list"`
}

// report prints a run: findings first, then figures, then files and the next step.
func report(s streams, r *toolgen.Result, asJSON bool, dir string, files []store.Entry) error {
	if asJSON {
		a := answer{Manifest: r.Summary(), Folder: dir, List: append([]finding.Finding{}, r.Findings...)}
		a.Files = files
		enc := json.NewEncoder(s.out)
		enc.SetIndent("", "  ")
		if err := enc.Encode(a); err != nil {
			return err
		}
	} else {
		findings(s, r)
		figures(s.out, r)
		for _, f := range files {
			fmt.Fprintf(s.out, "wrote  %s  %d bytes\n", filepath.Join(dir, f.Name), f.Size)
		}
		next(s.out, r, files)
	}
	if !r.Cleared() {
		return errFindings
	}
	return nil
}

func findings(s streams, r *toolgen.Result) {
	for _, f := range r.Findings {
		say(s, f)
	}
	m := r.Summary().Findings
	fmt.Fprintf(s.out, "review  %s, %s, %s\n", plural(m.Errors, "error"), plural(m.Warnings, "warning"), plural(m.Notes, "note"))
}

// say prints one finding.
func say(s streams, f finding.Finding) {
	colour := isTerminal(s.out) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	line := f.String()
	if colour && f.Severity != finding.Note {
		line = map[finding.Severity]string{finding.Error: "\x1b[31m", finding.Warning: "\x1b[33m"}[f.Severity] + line + "\x1b[0m"
	}
	fmt.Fprintln(s.out, line)
	if f.At != nil {
		fmt.Fprintf(s.out, "    at: tool x %.2f, y %.2f, z %.2f mm\n", f.At.X, f.At.Y, f.At.Z)
	}
	if f.Fix != "" {
		fmt.Fprintf(s.out, "    fix: %s\n", f.Fix)
	}
	if f.Source != "" {
		fmt.Fprintf(s.out, "    limit from: %s\n", f.Source)
	}
	if f.Override != "" {
		fmt.Fprintf(s.out, "    limit lifted in the job: %s\n", f.Override)
	}
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func figures(w io.Writer, r *toolgen.Result) {
	m := r.Summary()
	size := r.Body.Field.Box().Size()
	fmt.Fprintf(w, "tool    %s, %.1f x %.1f x %.1f mm over all; datum: %s\n", m.Tool, size.X, size.Y, size.Z, m.Datum)
	if m.Parts > 1 {
		fmt.Fprintf(w, "parts   %d on the tool; the files of the part are those of the first\n", m.Parts)
	}
	if m.Shrink.Off {
		fmt.Fprintln(w, "shrink  off: the tool is cut at part size")
	} else {
		fmt.Fprintf(w, "shrink  factors X %.5f, Y %.5f, Z %.5f (tool at 20 C / cold part; %s basis, %s, tool at %.0f C)\n",
			m.Shrink.X.Factor, m.Shrink.Y.Factor, m.Shrink.Z.Factor, m.Shrink.Basis, m.Shrink.Cut, m.Shrink.ToolTemp)
		fmt.Fprintf(w, "        spread X %.5f to %.5f, Y %.5f to %.5f; %s\n",
			m.Shrink.X.Low, m.Shrink.X.High, m.Shrink.Y.Low, m.Shrink.Y.High, m.Shrink.X.Source)
	}
	fmt.Fprintf(w, "vents   %s\n", plural(m.Vents, "hole"))
	if m.Air != nil {
		pullDown(w, m.Air)
	}
	if l := m.Lift; l != nil {
		fmt.Fprintf(w, "lift    held by its ends, %.0f mm apart along %s, it sags %.1f mm (%.1f to %.1f) under its own %.0f g and a load of %.0f g; an estimate\n",
			l.Span, l.Axis, l.Sag, l.Low, l.High, l.Own, l.Load)
	}
	if m.Forming != nil {
		fmt.Fprintf(w, "formed  %s\n        walls unverified; left out: %s\n", m.Forming, m.Forming.LeftOut)
	}
	if m.Passes > 0 {
		fmt.Fprintf(w, "sheet   tool offset by the formed wall in %d passes, last change %.3f mm\n", m.Passes, m.Residual)
	}
	if p := m.Part3D; p != nil {
		fmt.Fprintf(w, "part    %.1f g (%.1f g of sheet went into it), %s punched, %d triangles, closed %s, 2-manifold %s, outward %s, %s\n",
			p.Mass, p.SheetMass, plural(p.Holes, "hole"), p.Triangles, yes(p.Closed), yes(p.Manifold), yes(p.Outward), plural(p.Intersections, "self-intersection"))
		if p.Parts > 1 {
			fmt.Fprintf(w, "        one part: the first of %d on the tool, whose walls are alike within %.3f mm by the mean of an area\n", p.Parts, p.Unlike)
		}
	}
	if t := m.Tool3D; t != nil {
		fmt.Fprintf(w, "mesh    %d triangles, no farther than %.4f mm from the design (tolerance %.3f), volume %.1f mm3, area %.1f mm2\n",
			t.Triangles, t.Deviation, t.Tolerance, t.Volume, t.Area)
		fmt.Fprintf(w, "        %d in planes: exact; %d in strips: proved by a bound; %d in clusters: measured, 91 points each\n", t.Planes, t.Strips, t.Clusters)
		fmt.Fprintf(w, "        closed %s, 2-manifold %s, outward %s, %s\n", yes(t.Closed), yes(t.Manifold), yes(t.Outward), plural(t.Intersections, "self-intersection"))
	}
}

func pullDown(w io.Writer, a *toolgen.AirSummary) {
	if !a.Done {
		fmt.Fprintf(w, "air     not drawn out after %.0f s, target %.1f s; slowest: %s\n", a.Time, a.Target, a.Slowest)
	} else {
		fmt.Fprintf(w, "air     %.2f s to the last corner, target %.1f s; slowest: %s\n", a.Time, a.Target, a.Slowest)
	}
	switch {
	case a.Add > 0:
		fmt.Fprintf(w, "        %s to add for the target\n", plural(a.Add, "hole"))
	case a.Spare > 0:
		fmt.Fprintf(w, "        the time alone could spare %s\n", plural(a.Spare, "hole"))
	}
	fmt.Fprintf(w, "        %s\n", a.Machine)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "NO"
}

func next(w io.Writer, r *toolgen.Result, files []store.Entry) {
	switch {
	case !r.Cleared() && r.Withheld():
		fmt.Fprintln(w, "next    mend the errors above; build --anyway writes the files marked not-cleared")
	case !r.Cleared():
		fmt.Fprintln(w, "next    do not cut from these files: the review found errors")
	case len(files) > 0:
		fmt.Fprintln(w, "next    look at the pictures, prove programs above the work first; hot sheet, vacuum, dust and spindles: follow your shop's rules and local codes")
	default:
		fmt.Fprintln(w, "next    platen build makes the files")
	}
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
