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

// Hot sheet and vacuum, the same for all materials: no measured data of forming sheet at temperature
// was found that would serve a shop. Unverified; the band over Stiffening shows what it costs.
const (
	modulus  = 0.1   // shear modulus of the hot sheet, MPa
	vacuum   = 0.085 // pressure difference at the end, MPa (unverified, a usual tank)
	clampOff = 20.0  // from the block to the clamp frame where the sheet drapes, mm
)

// Stiffening is the ratio C2/C1 of the hot sheet: low, usual and high. It decides how much of the
// wall the last corners keep.
var Stiffening = struct{ Low, Usual, High float64 }{0.03, 0.1, 0.3}

// Options steer a run.
type Options struct {
	Stiffening float64 // 0: the job's own, else the usual
	Workers    int
}

// Formed is the sheet formed on a tool.
type Formed struct {
	Body   *body.Body
	Sheet  *form.Sheet
	Setup  form.Setup
	Areas  []Area    // by feature in the order of the job, then by role; the land first
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

// Form forms the job's sheet on the tool.
func Form(ctx context.Context, b *body.Body, o Options) (*Formed, error) {
	if o.Stiffening == 0 {
		o.Stiffening = stiffening(b)
	}
	set := setup(b)
	set.Gauge = b.Part.Gauge
	set.Law = form.Rubber(modulus, o.Stiffening)
	set.Pressure = vacuum
	sh, err := form.Run(ctx, face{b, set.Closed}, set, form.Options{Workers: o.Workers})
	if err != nil {
		return nil, err
	}
	f := &Formed{Body: b, Sheet: sh, Setup: set}
	var c collection
	for _, next := range [...]func(){
		func() { f.Nodes = sh.Walls() },
		func() { f.finder = sh.Finder() },
		func() { c = f.collect() },
		func() { c.sum(); f.order(c.areas) },
		func() { f.fits(c.shreds) },
		f.lastSpots,
	} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		next()
	}
	return f, nil
}

// setup returns the frame as the job seals.
func setup(b *body.Body) form.Setup {
	box := b.Field.Box()
	land := b.Land()
	switch b.Part.Job.Tool.Choice("seal") {
	case "platen":
		return form.OnPlaten(box, clampOff)
	case "reducing_plate":
		return form.ReducingPlate(box.Plan(), land, box.Max.Z, 0, b.Bottom())
	}
	return form.LevelFrame(box.Plan(), land, box.Max.Z)
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
