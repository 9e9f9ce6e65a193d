// Package toolgen runs a job: part, tool body, vents, review, mesh, files. It owns the order of the
// stages and the list of files a job makes.
package toolgen

import (
	"context"
	"slices"

	"platen/toolgen/air"
	"platen/toolgen/body"
	"platen/toolgen/closing"
	"platen/toolgen/finding"
	"platen/toolgen/geom"
	"platen/toolgen/job"
	"platen/toolgen/mesh"
	"platen/toolgen/part"
	"platen/toolgen/sheet"
	"platen/toolgen/shell"
	"platen/toolgen/stack"
	"platen/toolgen/stiff"
	"platen/toolgen/vent"
)

// DefaultTolerance is the largest distance between mesh and design, dense measure, mm.
const DefaultTolerance = 0.02

// Options steer a run. The zero value of a field takes its default.
type Options struct {
	Kinds     []part.Kind
	Open      part.Opener        // opens files the job names
	Tolerance float64            // mm
	MaxEdge   float64            // longest triangle edge, mm; 0 free
	Only      []string           // names of the files wanted; none: all
	NoSheet   bool               // form no sheet: walls are estimates
	Anyway    bool               // make the files although the review found errors
	NoBand    bool               // form no band: findings give the usual walls alone
	Version   string             // of the program, for the manifest
	NoStack   bool               // do not look how the parts nest and stack
	NoClose   bool               // do not close hinged parts
	Turned    geom.Angle         // how far the lid of a hinged part is turned; 0: shut
	Observe   func(stage string) // told when a stage starts
	Layers    int                // parts in a stack; 0: the job's
	Load      float64            // of every part of a stack, g; 0: the job's
	Inner     float64            // inner height a stack is to fit, mm; 0: the job's
}

func (o Options) progress(stage string) {
	if o.Observe != nil {
		o.Observe(stage)
	}
}

// Result is what a run made.
type Result struct {
	Job      *job.Job
	Part     *part.Part
	Body     *body.Body
	Formed   *sheet.Formed // the sheet formed on the tool; nil without
	Passes   int           // of offsetting and forming again; 0 where no offset asks for them
	Residual float64       // change of the walls in the last pass, mm
	Vents    vent.Plan
	Air      *air.Pulled       // drawn out from under the formed sheet; nil without one
	Beam     *stiff.Beam       // the part lifted by its ends
	Stack    *stack.Study      // how the formed part nests and stacks; nil without a formed sheet
	Findings []finding.Finding // sorted, errors first
	Mesh     *mesh.Mesh        // nil when no wanted file needs it
	Measure  Measure
	Shell    *shell.Part     // the formed part; nil when no wanted file needs it, or it makes no shell
	Closed   *closing.Closed // of a part with one fold line; nil without, or without a shell
	noShell  *shell.ShapeError
	open     string // why a part with a fold line is not closed
	shelled  bool   // whether the shell was tried
	opt      Options
}

// Check resolves and reviews a job without meshing.
func Check(ctx context.Context, j *job.Job, o Options) (*Result, error) {
	r := &Result{Job: j, opt: o}
	for _, s := range []struct {
		name string
		run  func(context.Context) error
	}{
		{"part", r.resolve},
		{"forming the sheet", r.form},
		{"band of the walls", r.band},
		{"vents", r.vents},
		{"air", r.pull},
		{"stacking", r.stacking},
		{"closing", r.closing},
		{"lifting", r.lift},
		{"review", r.judge},
	} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		o.progress(s.name)
		if err := s.run(ctx); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// Build checks a job and makes what the wanted files need: a tool that no wall moves is meshed without
// forming the sheet.
//
// ERROR: as Check; *AuditError for a mesh that fails its own audit.
func Build(ctx context.Context, j *job.Job, o Options) (*Result, error) {
	if o.Tolerance == 0 {
		o.Tolerance = DefaultTolerance
	}
	if !needsForming(j, o.Only) {
		o.NoSheet = true
	}
	r, err := Check(ctx, j, o)
	if err != nil {
		return nil, err
	}
	if r.Withheld() {
		return r, nil // the findings alone
	}
	if err := r.listsHoles(); err != nil {
		return nil, err
	}
	if r.asks(partShell) {
		o.progress("formed part")
		if err := r.shell(ctx); err != nil {
			return nil, err
		}
	}
	if r.wants(stackName) {
		o.progress("play of stacked parts")
		if err := r.Moves(ctx); err != nil {
			return nil, err
		}
	}
	if !r.asks(toolMesh) {
		return r, nil
	}
	o.progress("mesh")
	return r, r.mesh(ctx)
}

// Cleared reports whether the review found no error.
func (r *Result) Cleared() bool { return finding.Count(r.Findings, finding.Error) == 0 }

// Withheld reports whether the files are held back because the review found errors.
func (r *Result) Withheld() bool { return !r.Cleared() && !r.opt.Anyway }

// wants reports whether a file is among those asked for.
func (r *Result) wants(name string) bool {
	return len(r.opt.Only) == 0 || slices.Contains(r.opt.Only, name)
}
