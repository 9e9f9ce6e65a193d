package sheet

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/form"
	"platen/toolgen/geom"
)

// Meshing for small features, measured on pockets of 39 mm against meshes four times as fine: with 11
// squares across, as the usual mesh has there, the corners come out 7 % too thick and the walls 3 %; with
// 15 they are within 2 % and 1 %.
const (
	squaresAcross = 15.0
	finestSquare  = 1.0 // mm; the sheet is about as thick
	usualSquare   = 3.5 // mm, of the solver
	usualEdge     = 1.5 // mm: the shortest that the solver splits; finer squares have finer ones
	edgeOfSquare  = 0.6
	deepEnough    = 0.3  // of its width; a shallower one stretches the sheet little, and a block is touched first
	mostFine      = 12e4 // triangles that small features may add to the first mesh; over it they get larger ones
)

// spotOfMesh is a place of the plan with a finer mesh.
type spotOfMesh struct {
	s      *body.Solid
	box    geom.Box2 // grown by reach
	reach  float64   // outside the outline, mm
	square float64   // mm
}

// meshFor returns options whose mesh is fine enough for the narrow and deep pockets of a body.
func meshFor(b *body.Body) form.Options {
	var o form.Options
	var fine []spotOfMesh
	triangles := 0.0
	for _, s := range b.Solids {
		across := 2 * s.Outline.Inside()
		if s.Use.Fine() || !s.Female() || s.Wall.Host-s.Wall.End < deepEnough*across {
			continue
		}
		square := max(finestSquare, across/squaresAcross)
		if square >= usualSquare {
			continue
		}
		reach := s.Wall.HostR + square // the land holds the sheet that goes into a pocket
		f := spotOfMesh{s, s.Outline.Bounds().Grow(reach), reach, square}
		size := f.box.Size()
		triangles += 2 * size.X * size.Y / (square * square)
		fine = append(fine, f)
	}
	if len(fine) == 0 {
		return o
	}
	coarser := math.Sqrt(max(1, triangles/mostFine))
	o.Least = usualEdge
	for i := range fine {
		fine[i].square *= coarser
		o.Least = min(o.Least, edgeOfSquare*fine[i].square)
	}
	o.Fine = func(p geom.Vec2) float64 {
		square := math.Inf(1)
		for i := range fine {
			if f := &fine[i]; f.square < square && f.box.Holds(p) && f.s.Outline.At(p).D < f.reach {
				square = f.square
			}
		}
		return square
	}
	return o
}
