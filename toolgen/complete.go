package toolgen

import (
	"context"
	"fmt"
	"math"

	"platen/toolgen/geom"
	"platen/toolgen/piece"
	"platen/toolgen/sdf"
)

// complete checks that nothing of the surface is lost: every piece has its triangles, and points on
// every wall lie on the mesh. A lost glyph or floor passes every check of closedness.
func (r *Result) complete(ctx context.Context) error {
	if err := r.pieces(); err != nil {
		return err
	}
	points := r.wallPoints()
	c, err := r.Mesh.Coverage(ctx, func(i int) (geom.Vec3, bool) {
		if i == len(points) {
			return geom.Vec3{}, false
		}
		return points[i], true
	})
	if err != nil {
		return err
	}
	if c.Max > r.opt.Tolerance+quantumSlack {
		what := r.Body.Field.Pieces.At(r.Body.Field.At(c.At).Piece)
		return &AuditError{fmt.Errorf("%s is missing near (%.2f, %.2f, %.2f): the mesh is %.4f mm off", what, c.At.X, c.At.Y, c.At.Z, c.Max)}
	}
	return nil
}

// wallPoints returns points of the surface: half-way along every element of every outline, half-way up
// its wall.
func (r *Result) wallPoints() []geom.Vec3 {
	var out []geom.Vec3
	field := r.Body.Field
	for _, s := range r.Body.Solids {
		z := (s.Wall.Host + s.Wall.End) / 2
		for _, e := range s.Outline.Elems {
			q := e.Point(0.5).Add(e.Out(0.5).Scale(s.Wall.D(z))).At(z)
			for range 12 { // on to the surface along the gradient
				at := field.At(q)
				if math.Abs(at.D) < 1e-9 {
					out = append(out, q)
					break
				}
				q = q.Sub(at.G.Scale(at.D))
			}
		}
	}
	return out
}

// pieces checks that every piece of the visible surface has a triangle.
func (r *Result) pieces() error {
	have := make([]bool, r.Body.Field.Pieces.Len())
	features := map[string]bool{}
	for _, id := range r.Mesh.P {
		have[id] = true
		features[r.Body.Field.Pieces.At(id).Feature] = true
	}
	missing := func(s *sdf.Sweep) error {
		for _, id := range expected(s) {
			if !have[id] {
				return &AuditError{fmt.Errorf("%s has no triangle", r.Body.Field.Pieces.At(id))}
			}
		}
		return nil
	}
	if err := missing(r.Body.Field.Block); err != nil {
		return err
	}
	for _, p := range r.Body.Field.Patches {
		if p.Sweep != nil {
			if err := missing(p.Sweep); err != nil {
				return err
			}
			continue
		}
		for _, m := range p.Joint.Members {
			if !features[m.Feature] {
				return &AuditError{fmt.Errorf("%s has no triangle", m.Feature)}
			}
		}
	}
	return nil
}

// expected lists the pieces of a sweep that its outline gives a surface.
func expected(s *sdf.Sweep) []piece.ID {
	var kinds [2]bool
	for _, e := range s.Outline.Elems {
		if e.IsArc() {
			kinds[1] = true
		} else {
			kinds[0] = true
		}
	}
	var ids []piece.ID
	for _, pair := range s.IDs {
		for k, id := range pair {
			if kinds[k] || pair[0] == pair[1] {
				ids = append(ids, id)
			}
		}
	}
	return ids
}
