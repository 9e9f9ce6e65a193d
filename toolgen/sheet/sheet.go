// Package sheet owns the forming of a job's sheet on its tool: how the machine holds it, the wall it
// leaves on every feature, what it does not reach, and the walls that offsets are made from.
package sheet

import (
	"context"

	"platen/toolgen/body"
	"platen/toolgen/form"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// modulus is the shear modulus of the hot sheet, MPa, the same for all materials: no measured data of
// forming sheet at temperature was found that would serve a shop. Unverified; the band over
// Stiffening shows what it costs.
const modulus = 0.1

// Stiffening is the ratio C2/C1 of the hot sheet: low, usual and high. It decides how much of the
// wall the last corners keep.
var Stiffening = struct{ Low, Usual, High float64 }{0.03, 0.1, 0.3}

// Options steer a run.
type Options struct {
	Stiffening float64 // 0: the job's own, else the usual
	Workers    int
	areas      bool // only Formed.Areas is wanted
}

// Formed is the sheet formed on a tool.
type Formed struct {
	Body   *body.Body
	Sheet  *form.Sheet
	Setup  form.Setup
	Plan   Plan
	Areas  []Area    // by feature in the order of the job, then by role; the land first
	Levels []Level   // floors and tops of features that the sheet was seen on, in the order of the job
	Spots  []Spot    // where the sheet lands last, the last first
	Nodes  []float64 // wall at the nodes of the sheet, mm: the mean around each
	walls  map[string]*fit
	finder *form.Finder
	band   [2][]Area // at the low and the high stiffening; empty until formed
	land   float64
}

// Spot is a place where the sheet lands last.
type Spot struct {
	At      geom.Vec3 // on the tool's face
	Feature string
	Role    piece.Role
	Gap     float64 // left at the end, mm
}

// fewestStates of the air are kept where nobody asks for it.
const fewestStates = 2

// Form forms the job's sheet on the tool.
//
// ERROR: *part.BuildError at a key of the forming that no machine can do; the context's error.
func Form(ctx context.Context, b *body.Body, o Options) (*Formed, error) {
	if o.Stiffening == 0 {
		o.Stiffening = stiffening(b)
	}
	plan, err := PlanOf(b)
	if err != nil {
		return nil, err
	}
	set := plan.Setup
	set.Law = form.Rubber(modulus, o.Stiffening)
	mesh := meshFor(b)
	mesh.Workers = o.Workers
	if o.areas {
		mesh.States = fewestStates
	}
	sh, err := form.Run(ctx, face{b, set.Closed}, set, mesh)
	if err != nil {
		return nil, err
	}
	f := &Formed{Body: b, Sheet: sh, Setup: set, Plan: plan}
	var c collection
	steps := []func(){
		func() { f.Nodes = sh.Walls() },
		func() { c = f.collect() },
		func() { c.sum(); f.order(c.areas) },
		func() { f.finder = sh.Finder() },
		func() { f.fits(c.shreds) },
		f.lastSpots,
	}
	if o.areas {
		steps = steps[:3]
	}
	for _, next := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		next()
	}
	return f, nil
}

// face is the tool as the solver sees it: the whole block where the sheet drapes, else the face alone.
type face struct {
	b     *body.Body
	whole bool
}

// Distance returns the distance off the face, positive in the air.
func (f face) Distance(p geom.Vec3) (float64, geom.Vec3) {
	s := f.b.Field.Face(p)
	if f.whole {
		s = f.b.Field.At(p)
	}
	return s.D, s.G
}

// minIsland is the least part of the sheet that counts as landing last by itself, mm2.
const minIsland = 60

func (f *Formed) lastSpots() {
	for _, s := range f.Sheet.Spots(minIsland) {
		p := s.At
		for range 8 { // on to the face
			q := f.Body.Field.Face(p)
			p = p.Sub(q.G.Scale(q.D))
		}
		what := f.Body.Field.Pieces.At(f.Body.Field.Face(p).Piece)
		f.Spots = append(f.Spots, Spot{At: p, Feature: what.Feature, Role: what.Role, Gap: s.Gap})
	}
}
