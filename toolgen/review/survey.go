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
	Solid *body.Solid // whose wall was looked for there
}

// Draft returns the slope from the vertical: negative where the face overhangs.
func (p Point) Draft() geom.Angle { return geom.Angle(math.Asin(max(-1, min(1, p.Out.Z)))) }

// levels is how many heights of every wall are looked at.
const levels = 7

// survey finds points all over the walls and roundings of every feature: along its outline at the
// ends and middle of every element, at several heights from host to end level.
func survey(b *body.Body) []Point {
	var out []Point
	for _, s := range b.Solids {
		for _, e := range s.Outline.Elems {
			for _, t := range [...]float64{0.02, 0.5, 0.98} {
				for k := range levels {
					z := s.Wall.Host + (s.Wall.End-s.Wall.Host)*(float64(k)+0.5)/levels
					q := e.Point(t).Add(e.Out(t).Scale(s.Wall.D(z))).At(z)
					if p, ok := onFace(b, q); ok {
						p.Solid = s
						out = append(out, p)
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
