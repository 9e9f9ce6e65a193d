package review

import (
	"math"

	"platen/toolgen/body"
	"platen/toolgen/geom"
	"platen/toolgen/piece"
)

// Point is a point of the tool's face, found on the distance field.
type Point struct {
	At    geom.Vec3
	Out   geom.Vec3 // unit normal into the air
	Piece piece.Piece
}

// Draft returns the slope from the vertical: negative where the face overhangs.
func (p Point) Draft() geom.Angle { return geom.Angle(math.Asin(max(-1, min(1, p.Out.Z)))) }

// samples says where on every element of an outline the face is looked at, and at how many heights. The
// section of a lone feature is the same all along its outline; that of a cluster is not.
type samples struct {
	along  []float64
	levels int
}

var (
	lone    = samples{[]float64{0.5}, 5}
	cluster = samples{[]float64{0.02, 0.26, 0.5, 0.74, 0.98}, 9}
	waisted = samples{[]float64{0.5}, 49} // waist and widest lie between the levels
)

// survey finds points all over the walls and roundings of every solid that belong to it: along its
// outline, at several heights from host to end level.
func survey(b *body.Body) [][]Point {
	out := make([][]Point, len(b.Solids))
	for i, s := range b.Solids {
		how := lone
		switch {
		case b.Field.Patches[s.Patch].Joint != nil:
			how = cluster
		case s.Undercut.Depth > 0:
			how = waisted
		}
		for _, e := range s.Outline.Elems {
			for _, t := range how.along {
				foot, normal := e.Point(t), e.Out(t)
				for k := range how.levels {
					z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(float64(k)+0.5)/float64(how.levels)
					if p, ok := onFace(b, foot.Add(normal.Scale(s.Wall.D(z))).At(z)); ok && p.Piece.Feature == s.ID {
						out[i] = append(out[i], p)
					}
				}
			}
		}
	}
	return out
}

// onFace walks from q to the face along the gradient, which is exact near it.
func onFace(b *body.Body, q geom.Vec3) (Point, bool) {
	for range 12 {
		s := b.Field.Face(q)
		if math.Abs(s.D) < 1e-9 {
			return Point{At: q, Out: s.G, Piece: b.Field.Pieces.At(s.Piece)}, true
		}
		q = q.Sub(s.G.Scale(s.D))
	}
	return Point{}, false
}

// steepest returns the point of a solid's own face, in the given roles, with the least draft.
func (p *Pass) steepest(i int, roles ...piece.Role) (worst Point, ok bool) {
	for _, q := range p.faces[i] {
		for _, r := range roles {
			if q.Piece.Role == r && (!ok || q.Draft() < worst.Draft()) {
				worst, ok = q, true
			}
		}
	}
	return worst, ok
}
