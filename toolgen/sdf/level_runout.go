package sdf

import (
	"math"

	"platen/toolgen/geom"
)

// runout checks where the floor rounding of sunk member a runs out into the deeper member b: there
// the ball that makes it rolls over two edges at once, that of a's floor and that between both walls.
//
// The path of its centre bends towards it with radius (r + e)/S, r being the ball and e the edges'
// radius. When that is below r the ball has two places to rest and leaves a sharp lip. With v the way
// from the surface to the centre, v = mu_f n_f + mu_a n_a and |v| = r, the edges bend the path by
// (mu_f s_f + mu_a s_a)/(r + e), where s is the squared sine between an edge and the path; S r is the
// largest such sum for v between both normals.
func (l *layout) runout(out []Misfit, a, b int) []Misfit {
	ma, mb := &l.members[a], &l.members[b]
	z, r, e := ma.Wall.End, ma.Wall.EndR, mb.Wall.HostR
	if mb.Wall.End > z-sameLevel {
		return out
	}
	most, at := 0.0, geom.Vec3{}
	up := geom.Vec3{Z: 1}
	l.crossings(a, b, z, func(q geom.Vec2) {
		_, na := surfaceNormal(ma, a, q, z)
		_, nb := surfaceNormal(mb, b, q, z)
		path := up.Cross(na).Unit()
		sine := func(edge geom.Vec3) float64 {
			c := path.Dot(edge.Unit())
			return 1 - c*c
		}
		sf, sa := sine(up.Cross(nb)), sine(na.Cross(nb))
		cos := up.Dot(na)
		sum := max(sf, sa)
		if sa > sf*cos && sf > sa*cos { // the largest lies between both normals
			sum = math.Sqrt((sf*sf + sa*sa - 2*sf*sa*cos) / (1 - cos*cos))
		}
		if sum > most {
			most, at = sum, q.At(z)
		}
	})
	need := r * (most - 1)
	if e >= wedgePlay*need {
		return out
	}
	return append(out, Misfit{
		Members: [2]string{ma.Feature, mb.Feature}, What: "edge radius where the floor rounding runs out", At: at, Of: "floor",
		Got: e, Limit: wedgePlay * need, Largest: floor3(e / (wedgePlay * (most - 1))), Hard: e <= need,
	})
}

// crossings calls visit with the points at height z where the walls of two members run into one
// another.
func (l *layout) crossings(a, b int, z float64, visit func(q geom.Vec2)) {
	ss := l.strips(a, b, z)
	for i := range ss {
		s := &ss[i]
		e := &ss[s.next]
		if (s.dist > 0) != (e.dist > 0) {
			visit(s.at.Add(e.at.Sub(s.at).Scale(s.dist / (s.dist - e.dist))))
		}
	}
}
