package toolgen

import (
	"context"
	"fmt"
	"slices"

	"platen/toolgen/body"
	"platen/toolgen/finding"
	"platen/toolgen/part"
	"platen/toolgen/review"
	"platen/toolgen/sheet"
	"platen/toolgen/skin"
	"platen/toolgen/vent"
	"platen/toolgen/wall"
)

// resolve makes the part. Shaping lettering takes longest, so the context is looked at before each shape.
func (r *Result) resolve(ctx context.Context) (err error) {
	kinds := slices.Clone(r.opt.Kinds)
	for i := range kinds {
		shape := kinds[i].Shape
		kinds[i].Shape = func(e part.Env) ([]part.Solid, error) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			return shape(e)
		}
	}
	if r.Part, err = part.Resolve(r.Job, kinds, r.opt.Open); ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}

// allowance is the wall that the tool face is moved by before anything is formed.
func (r *Result) allowance() wall.Walls {
	if r.Job.Tool.Choice("wall_allowance") == "none" {
		return wall.None{}
	}
	return wall.Nominal{Gauge: r.Part.Gauge, Over: r.Job.Tool.Choice("contact") == "upper"}
}

// Limits of the passes that offset the tool by the wall formed on it and form again.
const (
	passes = 6
	settle = 0.02  // mm, change of any wall at which they end
	snug   = 0.005 // mm, of those at an undercut that another is pressed over
)

// form makes the tool body and forms the sheet on it, again and again until the walls that the tool
// is offset by are those that it forms.
func (r *Result) form(ctx context.Context) (err error) {
	w := r.allowance()
	if r.Body, err = body.Assemble(r.Part, w); err != nil {
		return err
	}
	if r.opt.NoSheet {
		_, err = sheet.PlanOf(r.Body) // refused all the same
		return err
	}
	if r.Formed, err = sheet.Form(ctx, r.Body, sheet.Options{}); err != nil {
		return err
	}
	if r.Job.Tool.Choice("wall_allowance") != "formed" || !r.Body.Offsets() {
		return nil
	}
	for r.Passes = 1; r.Passes < passes; r.Passes++ {
		next := r.Formed.Walls()
		r.Residual = wall.Change(r.Part, w, next)
		if r.Residual < settle && wall.Snug(r.Part, w, next) < snug {
			return nil
		}
		w = next
		if r.Body, err = body.Assemble(r.Part, w); err != nil {
			return err
		}
		if r.Formed, err = sheet.Form(ctx, r.Body, sheet.Options{}); err != nil {
			return err
		}
	}
	r.Residual = wall.Change(r.Part, w, r.Formed.Walls())
	return nil
}

// band forms the sheet at both ends of the stiffness that hot sheet may have.
func (r *Result) band(ctx context.Context) error {
	if r.Formed == nil || r.opt.NoBand {
		return nil
	}
	return r.Formed.Band(ctx)
}

// vents places the vacuum holes.
func (r *Result) vents(ctx context.Context) (err error) {
	var known vent.Sheet
	if r.Formed != nil {
		known.Wall = r.Formed.Wall
		for _, s := range r.Formed.Spots {
			known.Last = append(known.Last, vent.Last{At: s.At, Feature: s.Feature})
		}
	}
	r.Vents, err = vent.Place(ctx, r.Body, known)
	return err
}

// judge runs the review.
func (r *Result) judge(ctx context.Context) error {
	r.Findings = append(r.Findings, r.Body.Notes...)
	r.Findings = append(r.Findings, r.Vents.Findings...)
	r.unmodelled()
	if r.Residual >= settle {
		r.Findings = append(r.Findings, finding.Finding{
			ID: "wall.unsettled", Severity: finding.Warning, Feature: "part", Pos: r.Job.Tool.Pos("measured"),
			Got: r.Residual, Limit: settle, Unit: "mm", Source: "derived: change of the walls in the last pass of offsetting and forming again",
			Text: fmt.Sprintf("the walls that the tool is offset by still change by %.3f mm after %d passes, wanted under %.2f mm", r.Residual, r.Passes, settle),
			Fix:  "measure the first part; larger roundings or more draft where the sheet folds or bridges",
		})
	}
	p := &review.Pass{Body: r.Body, Vents: r.Vents.Holes, Formed: r.Formed, Air: r.Air, Stack: r.Stack, Closed: r.Closed, Open: r.open, Beam: r.Beam, Machine: r.machine().String()}
	p.Stop = func() bool { return ctx.Err() != nil }
	if r.Formed != nil {
		p.Cover = r.Formed
	}
	r.Findings = append(r.Findings, review.Run(p)...)
	finding.Sort(r.Findings)
	return ctx.Err()
}

// AuditError is a mesh that fails its own audit: never written, and our own fault.
type AuditError struct{ Err error }

// Error says what the audit found and where.
func (e *AuditError) Error() string { return "the mesh fails its audit: " + e.Err.Error() }

// Unwrap returns what the audit found.
func (e *AuditError) Unwrap() error { return e.Err }

// mesh makes the mesh, audits it and measures it.
func (r *Result) mesh(ctx context.Context) error {
	tol, bores := r.opt.Tolerance, r.bores()
	if len(bores) > 0 {
		tol = min(tol, boredTol)
	}
	m, rep, err := skin.Build(ctx, r.Body.Field, skin.Options{Tol: tol, MaxEdge: r.opt.MaxEdge, Contour: contours(tol, r.opt.MaxEdge, &r.Measure.Contours), Bores: bores})
	if err != nil {
		return r.unresolved(err)
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
	return r.complete(ctx)
}
