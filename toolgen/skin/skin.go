// Package skin owns the mesh of the whole tool body: strips along the outlines for what is swept,
// contours for clusters, and triangulated planes between them.
//
// It promises a closed, 2-manifold mesh whose vertices lie on the grid of mesh.Quantum, every
// triangle with its piece, and no point of a strip or plane farther than the tolerance from the
// field (contours keep the tolerance of whoever makes them). Neighbours share their rim vertex by
// vertex; nothing is stitched. The result depends on the body and the options only.
package skin

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/mesh"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// rounded is how far the grid of finished vertices may move a point of a triangle, mm.
const rounded = mesh.Quantum / 2 * 1.7320508075688773

// LeastTol is the smallest tolerance taken, mm: ten times what the grid of vertices takes of it.
const LeastTol = 10 * rounded

// Options says how fine the mesh is to be.
type Options struct {
	Tol     float64 // largest distance of any point of the mesh from the field, mm
	MaxEdge float64 // longest edge, mm; 0 leaves them free

	// Contour meshes the cluster of a patch but for its level planes, whose heights (mm) it is told by
	// piece. The border of the open mesh it returns lies exactly on those heights. Vertices are then
	// put on the grid of mesh.Quantum, 6e-5 mm away at most. Needed only for bodies that have clusters.
	Contour func(ctx context.Context, patch int, j *sdf.Joint, levels map[piece.ID]float64) (*mesh.Mesh, error)

	Bores []Bore // vacuum holes that stand in the mesh; they may not meet each other or a wall
}

// Report says what a mesh is made of.
type Report struct {
	Strips   int     // triangles of swept features and the block's side
	Planes   int     // triangles of level planes
	Contours int     // triangles of clusters
	Bound    float64 // largest distance of strips and planes from the field by the closed bound, mm
}

// Build returns the mesh of the body.
//
// ERROR: a tolerance below LeastTol, a cluster without Options.Contour, a section that runs farther
// than a corner of its outline allows, or features whose rims cross, with the feature and the place.
func Build(ctx context.Context, b *sdf.Body, o Options) (*mesh.Mesh, Report, error) {
	if !(o.Tol >= LeastTol) || math.IsInf(o.Tol, 0) {
		return nil, Report{}, fmt.Errorf("a mesh tolerance of %g mm is not at least %.4f mm", o.Tol, LeastTol)
	}
	if !(o.MaxEdge == 0 || o.MaxEdge >= 10*o.Tol) || math.IsInf(o.MaxEdge, 0) {
		return nil, Report{}, fmt.Errorf("a longest edge of %g mm is neither 0 nor at least ten times the tolerance", o.MaxEdge)
	}
	w := newWork(b, o)
	if err := w.block(); err != nil {
		return nil, Report{}, fmt.Errorf("block: %w", err)
	}
	for i, p := range b.Patches {
		if err := ctx.Err(); err != nil {
			return nil, Report{}, err
		}
		if err := w.patch(ctx, i, p); err != nil {
			return nil, Report{}, fmt.Errorf("%s: %w", p.Name, err)
		}
	}
	for _, b := range o.Bores {
		if err := w.bore(b); err != nil {
			return nil, Report{}, err
		}
	}
	for i := range w.planes {
		if err := ctx.Err(); err != nil {
			return nil, Report{}, err
		}
		if err := w.fill(&w.planes[i]); err != nil {
			return nil, Report{}, fmt.Errorf("%v plane at z = %.4f mm: %w", b.Pieces.At(w.planes[i].id), w.planes[i].z, err)
		}
	}
	w.finish()
	if err := w.shorten(ctx, o.MaxEdge); err != nil {
		return nil, Report{}, err
	}
	return &w.m, w.report(), nil
}

// patch adds the surface of one patch but for its level planes.
func (w *work) patch(ctx context.Context, i int, p *sdf.Patch) error {
	host, err := w.hostPlane(p)
	if err != nil {
		return err
	}
	if p.Sweep != nil {
		return w.sweep(p.Sweep, host)
	}
	return w.cluster(ctx, i, p.Joint, host)
}

// block adds the sides of the block.
func (w *work) block() error {
	s := w.body.Block
	base := w.level(s.IDs[0][0], s.Profile[0].A.Y)
	w.planes[base].down = true
	return w.sweep(s, base)
}

// level returns the plane of a piece, made if need be.
func (w *work) level(id piece.ID, z float64) int {
	z = quantise(z)
	if i, ok := w.byPiece[id]; ok {
		return i
	}
	w.byPiece[id] = len(w.planes)
	w.planes = append(w.planes, plane{id: id, z: z})
	return len(w.planes) - 1
}
