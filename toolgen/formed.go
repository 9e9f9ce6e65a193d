package toolgen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"platen/toolgen/export"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
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
	r.Shell, err = shell.Make(ctx, shell.Input{
		Sheet: r.Formed.Sheet, Map: r.Body.Map, Trim: r.Part.Outline, Density: r.Part.Sheet.Heat.Density.V,
		Face: func(p geom.Vec3) (float64, geom.Vec3, piece.ID) {
			s := field.Face(p)
			return s.D, s.G, s.Piece
		},
	})
	if errors.As(err, &r.noShell) {
		err = nil
	}
	return err
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
	return export.STL(w, r.Shell.Mesh, export.STLHeader("part frame, cold part", r.title()))
}

func writePartThreeMF(r *Result, w io.Writer) error {
	return export.ThreeMF(w, r.Shell.Mesh, export.Meta{
		Title:       r.title(),
		Application: "platen " + r.opt.Version,
		Description: "formed part, cold; unit mm; part frame: " + partFrame,
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
	return render.PNG(w, p.Mesh, render.ThreeQuarter, []render.Mark{{At: at, Kind: render.Error, Plain: true}}, render.Options{
		Title: r.title(),
		Note:  fmt.Sprintf("wall of the formed part, unverified; %s %.2f mm; cross: least %.2f mm, %s", r.Part.Sheet.Name, r.Part.Gauge, least, where),
		Scale: &render.Scale{Values: append(slices.Clone(p.Wall), p.Wall...), Label: "wall, mm", Step: 0.1},
	})
}

// partFrame says how the part lies.
const partFrame = "X right, Y away, Z up, land of the measured side at z = 0, origin as in the job file"

// PartSummary is what was measured on the formed part.
type PartSummary struct {
	Triangles     int     `json:"triangles"`
	Volume        float64 `json:"volume_mm3"`
	Mass          float64 `json:"mass_g"`
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
		Triangles: len(p.Mesh.T), Volume: p.Volume, Mass: p.Mass(), SheetMass: p.SheetMass(),
		Thinned: p.Thinned.Area, ThinnedMost: p.Thinned.Most, Eased: p.Eased,
		Closed: a.Open.Count == 0, Manifold: a.Crowded.Count == 0 && a.Pinched.Count == 0 && a.Flipped.Count == 0,
		Outward: a.Inward.Count == 0, Intersections: a.Crossed.Count,
	}
}
