package toolgen

import (
	"context"
	"fmt"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/review"
	"platen/toolgen/skin"
	"platen/toolgen/vent"
	"platen/toolgen/wall"
)

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
	r.opt.progress("measure")
	if err := r.measure(ctx); err != nil {
		return err
	}
	return r.complete()
}
