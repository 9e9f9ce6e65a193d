package toolgen

import (
	"context"
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/part"
	"platen/toolgen/review"
	"platen/toolgen/skin"
	"platen/toolgen/vent"
	"platen/toolgen/wall"
)

// Measure is what was measured on the mesh that is written.
type Measure struct {
	Audit     mesh.Audit
	Deviation mesh.Deviation // dense: 91 points on every triangle
	Skin      skin.Report
}

// resolve makes the part and the tool body.
func (r *Result) resolve() error {
	p, err := part.Resolve(r.Job, r.opt.Kinds, r.opt.Open)
	if err != nil {
		return err
	}
	r.Part = p
	r.Body, err = body.Assemble(p, walls(p))
	return err
}

// walls returns the allowance for the formed wall that the job asks for.
func walls(p *part.Part) wall.Walls {
	if p.Job.Tool.Choice("wall_allowance") == "none" {
		return wall.None{}
	}
	return wall.Nominal{Gauge: p.Gauge, Over: p.Job.Tool.Choice("contact") == "upper"}
}

// vents places the vacuum holes.
func (r *Result) vents() (err error) {
	r.Vents, err = vent.Place(r.Body)
	return err
}

// judge runs the review.
func (r *Result) judge() {
	r.Findings = append(r.Findings, r.Body.Notes...)
	r.Findings = append(r.Findings, r.Vents.Findings...)
	r.Findings = append(r.Findings, review.Run(&review.Pass{Body: r.Body, Vents: r.Vents.Holes})...)
	finding.Sort(r.Findings)
}

// AuditError is a mesh that fails its own audit: never written, and our own fault.
type AuditError struct{ Err error }

// Error says what the audit found and where.
func (e *AuditError) Error() string { return "the mesh fails its audit: " + e.Err.Error() }

// Unwrap returns what the audit found.
func (e *AuditError) Unwrap() error { return e.Err }

// mesh makes the mesh, audits it and measures it.
func (r *Result) mesh(ctx context.Context) error {
	m, rep, err := skin.Build(ctx, r.Body.Field, skin.Options{Tol: r.opt.Tolerance, MaxEdge: r.opt.MaxEdge, Contour: contours(r.opt.Tolerance, r.opt.MaxEdge)})
	if err != nil {
		return fmt.Errorf("mesh: %w", err)
	}
	r.Mesh, r.Measure.Skin = m, rep
	r.opt.progress("audit")
	if r.Measure.Audit, err = m.Audit(ctx); err != nil {
		return err
	}
	if err := r.Measure.Audit.Fault(); err != nil {
		return &AuditError{err}
	}
	field := r.Body.Field
	r.opt.progress("measure")
	dist := func(p geom.Vec3) float64 { return field.At(p).D }
	r.Measure.Deviation, err = m.Deviation(ctx, dist, nil, mesh.DenseOrder)
	if err != nil {
		return err
	}
	if d := r.Measure.Deviation; d.Max > r.opt.Tolerance+quantumSlack {
		return &AuditError{fmt.Errorf("it deviates by %.4f mm near (%.2f, %.2f, %.2f), tolerance %.4f mm", d.Max, d.At.X, d.At.Y, d.At.Z, r.opt.Tolerance)}
	}
	return r.complete()
}

// quantumSlack is what rounding vertices to the file's grid may add to the deviation, mm: half the
// diagonal of a cell of 2^-14 mm.
const quantumSlack = 0.0000529
