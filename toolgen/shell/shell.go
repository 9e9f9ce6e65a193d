// Package shell owns the formed part as a closed shell: both sides of the sheet with the wall
// between them, cold, trimmed and punched, in the part frame.
//
// The contact side is the formed sheet: on the tool's face where it landed, as formed where it
// bridges. The free side stands off it by the local wall, which gives way in hollows tighter than
// the wall. The cut edge is a vertical wall on the trim line and
// round every hole.
//
// It promises a mesh that is closed, 2-manifold, outward and free of self-intersection, or an error
// that names the place. Start at Make.
package shell

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"platen/toolgen/form"
	"platen/toolgen/frame"
	"platen/toolgen/geom"
	"platen/toolgen/mesh"
	"platen/toolgen/outline"
	"platen/toolgen/piece"
)

// Input is what a part is made from.
type Input struct {
	Sheet   *form.Sheet
	Map     frame.Map          // from the cold part to the tool
	Trim    *outline.Outline   // trim line, part frame
	Holes   []*outline.Outline // punched through the part, inside the trim line and apart from each other, part frame
	Density float64            // of the sheet, kg/m3
	// Face returns how far a point lies off the tool's face, the unit direction away from it, and its
	// piece. It must be safe for concurrent calls.
	Face func(p geom.Vec3) (d float64, n geom.Vec3, id piece.ID)
}

// Part is the formed part, cold, in the part frame.
type Part struct {
	Mesh    *mesh.Mesh // vertices of the contact side first, then those of the free side in the same order
	Contact int        // vertices of each side
	Sides   int        // triangles of each side: contact side first, then free side, then the cut edge
	Wall    []float64  // of the formed sheet by vertex of the contact side, mm
	Audit   mesh.Audit
	Holes   int     // punched in it
	Volume  float64 // inside the shell, mm3
	Sheet   float64 // of the flat sheet that went into the part, mm3
	Density float64 // kg/m3
	Thinned Thinned
	Eased   float64 // area whose folds were smoothed, because the sheet ran through itself there, mm2
}

// Mass returns the mass of the shell, g.
func (p *Part) Mass() float64 { return p.Volume * p.Density * gramme }

// SheetMass returns the mass of the sheet that went into the part, g: that of its flat area.
func (p *Part) SheetMass() float64 { return p.Sheet * p.Density * gramme }

// gramme is mm3 kg/m3 in g.
const gramme = 1e-6

// Thinned says where the free side stands off by less than the wall, because a hollow is tighter
// than the wall and its sides would cross.
type Thinned struct {
	Area float64   // of contact side where the wall shown is short by more than a tenth, mm2
	Most float64   // largest lack, mm
	At   geom.Vec3 // where, on the contact side
}

// ShapeError is a formed sheet that makes no sound shell.
type ShapeError struct {
	At  geom.Vec3 // part frame
	Why string
}

// Error says what is wrong and where.
func (e *ShapeError) Error() string {
	return fmt.Sprintf("formed part: %s near part (%.2f, %.2f, %.2f)", e.Why, e.At.X, e.At.Y, e.At.Z)
}

// Make makes the part.
//
// ERROR: *ShapeError where the sheet does not reach the trim line or a hole, stands too steep there, or runs
// through itself, and where these lines cross each other; the context's error.
func Make(ctx context.Context, in Input) (*Part, error) {
	line, err := cutLine(in.Trim, in.Holes)
	if err != nil {
		return nil, &ShapeError{in.Trim.Bounds().Centre().At(0), err.Error()}
	}
	in.Trim = line
	p, err := build(ctx, in, true)
	var shape *ShapeError
	if errors.As(err, &shape) { // coarser as the sheet was formed, there is less to run into each other
		return build(ctx, in, false)
	}
	return p, err
}

func build(ctx context.Context, in Input, fine bool) (*Part, error) {
	s := &maker{in: in}
	steps := []func() error{still(s.contact), s.trim, still(s.offsets), still(s.untangle)}
	if fine {
		for range finer {
			steps = slices.Insert(steps, 1, still(s.refine))
		}
		steps = slices.Insert(steps, 1, func() error { return s.flip(ctx) })
	}
	for _, step := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	return s.close(ctx)
}

// still makes a step that can not fail of a function.
func still(do func()) func() error { return func() error { do(); return nil } }

// maker holds the contact side while the part is made.
type maker struct {
	in   Input
	v    []geom.Vec3 // contact side, part frame
	wall []float64   // by vertex, mm
	fit  []bool      // by vertex: on the tool's face
	away []geom.Vec3 // by vertex of the whole sheet: direction off the face where it landed, tool datum
	tri  [][3]int32  // counter-clockwise seen from the free side
	from []int32     // triangle of the sheet each is part of

	normal []geom.Vec3 // by vertex, towards the free side
	off    []geom.Vec3 // by vertex: from the contact side to the free side
	rim    []bool      // by vertex: on the cut edge
	first  []int32     // of each vertex in around, and one past the last
	around []int32     // triangles around each vertex
	eased  []bool      // by vertex: moved to undo a fold; nil where none was
	edge   [][2]int32  // of the cut, along the contact side's triangles
}

// up is the direction of the free side of a level sheet, in the part frame.
func (s *maker) up() geom.Vec3 {
	if s.in.Map.Over {
		return geom.Vec3{Z: -1}
	}
	return geom.Vec3{Z: 1}
}
