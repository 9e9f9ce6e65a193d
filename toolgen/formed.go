package toolgen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"platen/toolgen/export"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/outline"
	"platen/toolgen/part"
	"platen/toolgen/piece"
	"platen/toolgen/render"
	"platen/toolgen/shell"
)

// part makes the formed part; the error of a sheet that makes no sound shell is kept in noShell.
func (r *Result) part(ctx context.Context) (err error) {
	if r.shelled {
		return nil
	}
	r.shelled = true
	field := r.Body.Field
	in := shell.Input{
		Sheet: r.Formed.Sheet, Map: r.Body.Map, Trim: r.Part.Outline, Holes: r.punched(), Density: r.Part.Sheet.Heat.Density.V,
		Face: func(p geom.Vec3) (float64, geom.Vec3, piece.ID) {
			s := field.Face(p)
			return s.D, s.G, s.Piece
		},
	}
	r.Shell, err = shell.Make(ctx, in)
	var shape *shell.ShapeError
	if errors.As(err, &shape) && len(in.Holes) > 0 {
		in.Holes = nil
		if r.Shell, err = shell.Make(ctx, in); err == nil {
			r.unpunched(shape)
		}
	}
	if errors.As(err, &r.noShell) {
		err = nil
	}
	return err
}

// punched returns the holes of the first part.
func (r *Result) punched() []*outline.Outline {
	var out []*outline.Outline
	for _, h := range r.Part.Holes {
		if h.Impression == 0 {
			out = append(out, h.Outline)
		}
	}
	return out
}

// unpunched tells that the formed part is shown without its holes.
func (r *Result) unpunched(shape *shell.ShapeError) {
	hole := r.Part.Holes[0] // the one nearest to the fault
	for _, h := range r.Part.Holes {
		if h.Impression == 0 && h.Outline.At(shape.At.Plan()).D < hole.Outline.At(shape.At.Plan()).D {
			hole = h
		}
	}
	at := r.Body.Map.Point(shape.At)
	r.Findings = append(r.Findings, finding.Finding{
		ID: "part.not-punched", Severity: finding.Warning, Feature: hole.ID, Pos: hole.Pos, At: &at,
		Text:   fmt.Sprintf("part.stl and part.3mf show the part without its holes: %v", shape),
		Fix:    "move the hole on to a level of the part, clear of walls and of the trim line",
		Source: "derived: audit of the formed part's mesh",
	})
	finding.Sort(r.Findings)
}

// shell makes the formed part. A sheet that makes no sound shell is a finding; only who asks for the
// part by name is refused.
func (r *Result) shell(ctx context.Context) error {
	if err := r.part(ctx); err != nil || r.noShell == nil {
		return err
	}
	shape := r.noShell
	pos := r.Job.Part.Pos("outline")
	if len(r.opt.Only) > 0 {
		return &part.BuildError{Pos: pos, Feature: "part", Err: shape}
	}
	at := r.Body.Map.Point(shape.At)
	r.Findings = append(r.Findings, finding.Finding{
		ID: "part.no-shell", Severity: finding.Warning, Feature: "part", Pos: pos, At: &at,
		Text:   fmt.Sprintf("part.stl and part.3mf are not made: %v", shape),
		Fix:    "mend the webs and folds that the review names there",
		Source: "derived: audit of the formed part's mesh",
	})
	finding.Sort(r.Findings)
	return nil
}

func writePartSTL(r *Result, w io.Writer) error {
	return export.STL(w, r.Shell.Mesh, export.STLHeader("part frame, cold part"+r.which(), r.title()))
}

func writePartThreeMF(r *Result, w io.Writer) error {
	return export.ThreeMF(w, r.Shell.Mesh, export.Meta{
		Title:       r.title(),
		Application: "platen " + r.opt.Version,
		Description: "formed part, cold" + r.which() + "; unit mm; part frame: " + partFrame,
	})
}

// writeThickness draws the part coloured by its wall and marks its thinnest place.
func writeThickness(r *Result, w io.Writer) error {
	p := r.Shell
	least, at := math.Inf(1), geom.Vec3{}
	where := ""
	for _, a := range r.Formed.Areas {
		if a.Size > 0 && a.Low < least {
			least, at, where = a.Low, r.Body.Map.Back(a.At), a.Feature+" "+a.Role.String()
		}
	}
	return render.PNG(w, p.Mesh, render.ThreeQuarter, []render.Mark{{At: at, Kind: render.Error}}, render.Options{
		Title: r.title(),
		Note:  fmt.Sprintf("wall of the formed part"+r.which()+", unverified; %s %.2f mm; cross, faint where the part hides it: least %.2f mm, %s", r.Part.Sheet.Name, r.Part.Gauge, least, where),
		Scale: &render.Scale{Values: append(slices.Clone(p.Wall), p.Wall...), Label: "wall, mm", Step: 0.1},
	})
}

// which says which part of several on the tool is shown; "" of one.
func (r *Result) which() string {
	if n := len(r.Part.Impressions); n > 1 {
		return fmt.Sprintf(" (the first of %d on the tool)", n)
	}
	return ""
}

// unlike returns by how much the mean wall of one area differs at most between the parts on the tool, mm.
func (r *Result) unlike() float64 {
	type area struct {
		feature string
		role    piece.Role
	}
	low, high := map[area]float64{}, map[area]float64{}
	most := 0.0
	for _, a := range r.Formed.Areas {
		_, rest, ok := strings.Cut(a.Feature, "/")
		if !ok || a.Size == 0 {
			continue // of the tool
		}
		k := area{rest, a.Role}
		if _, seen := low[k]; !seen {
			low[k], high[k] = a.Mean, a.Mean
		}
		low[k], high[k] = min(low[k], a.Mean), max(high[k], a.Mean)
		most = max(most, high[k]-low[k])
	}
	return most
}

// partFrame says how the part lies.
const partFrame = "X right, Y away, Z up, land of the measured side at z = 0, origin as in the job file"

// PartSummary is what was measured on the formed part.
type PartSummary struct {
	Triangles     int     `json:"triangles"`
	Volume        float64 `json:"volume_mm3"`
	Mass          float64 `json:"mass_g"`
	Holes         int     `json:"holes"`            // that are punched in it
	Parts         int     `json:"parts_on_tool"`    // of which it is the first
	Unlike        float64 `json:"parts_unlike_mm"`  // most by which the mean wall of an area differs between them
	SheetMass     float64 `json:"sheet_mass_g"`     // of the flat sheet that went into it
	Thinned       float64 `json:"thinned_area_mm2"` // where a hollow is tighter than the wall
	ThinnedMost   float64 `json:"thinned_most_mm"`  // largest lack of wall there
	Eased         float64 `json:"eased_area_mm2"`   // where folds of the membrane were smoothed
	Closed        bool    `json:"closed"`
	Manifold      bool    `json:"two_manifold"`       //
	Outward       bool    `json:"outward"`            //
	Intersections int     `json:"self_intersections"` //
}

func (r *Result) partSummary() *PartSummary {
	p := r.Shell
	if p == nil {
		return nil
	}
	a := p.Audit
	return &PartSummary{
		Triangles: len(p.Mesh.T), Volume: p.Volume, Mass: p.Mass(), Holes: p.Holes, Parts: len(r.Part.Impressions), Unlike: r.unlike(), SheetMass: p.SheetMass(),
		Thinned: p.Thinned.Area, ThinnedMost: p.Thinned.Most, Eased: p.Eased,
		Closed: a.Open.Count == 0, Manifold: a.Crowded.Count == 0 && a.Pinched.Count == 0 && a.Flipped.Count == 0,
		Outward: a.Inward.Count == 0, Intersections: a.Crossed.Count,
	}
}
